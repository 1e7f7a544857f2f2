"""The simulator itself: that its physics closes, that its visits are sheets, and that it owes nothing to the engine."""

import ast
import math
import random
from pathlib import Path

import pytest

from drawthrough.visit import sheet
from tests.simulate import causes, heat, house, instruments, refrigerant, runs, visits
from tests.simulate.airpath import Densities, solve, solve_held
from tests.simulate.fans import CFM, INWC, SHAPES, STANDARD_DENSITY, Blower, Wheel
from tests.simulate.heat import Air
from tests.simulate.pages import READINGS

HERE = Path(__file__).parent
STANDARD = Densities(*(STANDARD_DENSITY,) * 5)


def blower(motor="psc", mix=0.5):
    return Blower(SHAPES[motor], mix, 1.0, 0.02, 1200 * CFM, 0.3 * INWC, 1.8)


def built(motor, seed=7):
    return house.drawn(motor, random.Random(seed))


def worse(state, **changes):
    return state._replace(**changes)


def path_of(seed=7, **changes):
    return causes.path(built("psc", seed), causes.State(**changes))


@pytest.mark.property
def test_no_module_of_the_simulator_uses_the_engine():
    seen = set()
    for file in HERE.glob("*.py"):
        if file.name.startswith("test_"):
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [f"{node.module}.{a.name}" for a in node.names]
            seen.update(name for name in names if name.startswith("drawthrough"))
    assert not [name for name in seen if name.startswith(("drawthrough.judge", "drawthrough.measure"))]
    assert {name for name in seen if "physics" in name} == {"drawthrough.physics.moist_air"}


@pytest.mark.analytic
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("motor", visits.MOTORS)
def test_mass_and_pressure_close_at_the_operating_point(motor, seed):
    there = built(motor, seed)
    state = causes.State(dirt=(0.85, 0.75), coil=1.6, filter=1.5, leak=60 * CFM)
    wheel, path = causes.wheel(there, state), causes.path(there, state)
    d = Densities(1.19, 1.11, 1.2, 1.22, 1.08)
    if motor == "constant airflow":
        p = solve_held(there.blower, wheel, path, d, 1.2, there.held, there.held_limit, there.held_rate)
    else:
        p = solve(there.blower, wheel, path, d, 1.2)
    first, second, third = p.leaks
    assert p.filter_mass + second + third == pytest.approx(p.mass, rel=1e-9)
    assert p.supply_mass < p.mass
    back = p.filter_mass - first
    # Every static again from the flows alone, one section after the other, against the room at both ends.
    assert p.return_plenum == pytest.approx(-path.return_duct.at(back / d.back, d.back), rel=1e-9)
    assert p.return_plenum - p.after_filter == pytest.approx(path.filter.at(p.filter_mass / d.back, d.back), rel=1e-9)
    through = p.filter_mass + second
    assert p.after_filter - p.after_coil == pytest.approx(1.2 * path.coil.at(through / d.coil, d.coil), rel=1e-9)
    assert p.after_blower - p.supply_plenum == pytest.approx(path.heater.at(p.mass / d.supply, d.supply), rel=1e-9)
    assert p.supply_plenum == pytest.approx(path.supply_duct.at(p.supply_mass / d.supply, d.supply), rel=1e-4)
    assert p.rise == pytest.approx(p.after_blower - p.after_coil, rel=1e-12)
    # And the blower's own curve gives that rise at that airflow.
    speed = p.speed
    work = p.rise * STANDARD_DENSITY / d.blower / (speed**2 * wheel.pressure)
    assert speed * wheel.airflow * there.blower.at_rise(work) == pytest.approx(p.airflow, rel=1e-6)


@pytest.mark.restated
def test_the_measured_shapes_are_those_of_the_source():
    """High tap of the measured PSC blower: 1179 cfm at 0.5 in. w.c.; the fit's own law at two other statics."""
    fan = blower(mix=1.0)
    for static, airflow in ((0.3, 1179 + 10 * (math.exp(5.35 * 0.5) - math.exp(5.35 * 0.3))), (0.5, 1179.0)):
        bent = 1200 / 1179 * airflow - 1200 * 0.02 * static**2
        assert fan.at_external(static * INWC) / CFM == pytest.approx(bent, rel=1e-3)


@pytest.mark.analytic
@pytest.mark.parametrize("scale", [0.6, 0.8, 0.95, 1.05])
def test_a_blower_by_the_fan_laws_shows_just_that_scale(scale):
    """Airflow by s, pressure by s^2, density by itself: what `against_clean` finds is s."""
    fan, path = blower(), path_of()
    thin = Densities(*(1.05,) * 5)
    p = solve(fan, Wheel(airflow=scale, pressure=scale**2), path, thin)
    assert fan.against_clean(p.airflow, p.rise, thin.blower) == pytest.approx(scale, rel=1e-6)
    slow = solve(fan, Wheel(speed=scale), path, thin)
    assert slow.airflow == pytest.approx(p.airflow, rel=1e-6)
    assert fan.against_clean(slow.airflow, slow.rise, thin.blower, speed=scale) == pytest.approx(1.0, rel=1e-6)


@pytest.mark.property
@pytest.mark.parametrize("motor", ["psc", "constant torque"])
def test_dirt_and_tightness_cost_air_and_move_the_statics_their_own_way(motor):
    there = built(motor)

    def point(**changes):
        state = causes.State(**changes)
        return solve(there.blower, causes.wheel(there, state), causes.path(there, state), STANDARD)

    clean = point()
    dirty = [point(dirt=(a, a**2)) for a in (0.95, 0.85, 0.7)]
    assert [p.mass for p in (clean, *dirty)] == sorted((p.mass for p in (clean, *dirty)), reverse=True)
    assert all(p.supply_plenum < clean.supply_plenum and p.after_coil > clean.after_coil for p in dirty)
    tight = point(supply_duct=2.5)
    assert tight.mass < clean.mass
    assert tight.supply_plenum > clean.supply_plenum
    blocked = point(coil=3.0)
    assert blocked.mass < clean.mass
    assert blocked.after_coil < clean.after_coil
    assert blocked.supply_plenum < clean.supply_plenum
    loaded = point(filter=3.0)
    assert loaded.after_filter < clean.after_filter
    assert loaded.return_plenum > clean.return_plenum
    leaky = point(leak=100 * CFM)
    assert sum(leaky.leaks) / leaky.mass > sum(clean.leaks) / clean.mass + 0.03
    assert leaky.return_plenum > clean.return_plenum
    # The leak goes with the suction: the same hole, a larger share behind a loaded filter.
    both = point(leak=100 * CFM, filter=3.0)
    assert sum(both.leaks) / both.mass > sum(leaky.leaks) / leaky.mass


@pytest.mark.property
def test_induction_motors_slip_and_held_airflow_is_held():
    there = built("psc")
    weak, low, good = (
        runs.solved(there, state, day_of(there), STANDARD, 1.0)
        for state in (causes.State(capacitor=0.5), causes.State(volts=200.0), causes.State())
    )
    assert weak.mass < good.mass
    assert weak.speed < good.speed
    assert low.mass < good.mass
    held = built("constant airflow")
    clean, dirty, blocked = (
        runs.solved(held, causes.State(dirt=dirt, coil=coil), day_of(held), STANDARD, 1.0)
        for dirt, coil in (((1.0, 1.0), 1.0), ((0.95, 0.9), 1.0), ((0.5, 0.2), 4.0))
    )
    assert dirty.mass == pytest.approx(clean.mass, rel=0.01)
    assert dirty.speed > clean.speed
    assert blocked.mass < 0.95 * clean.mass  # the motor is at its limit
    assert blocked.speed == pytest.approx(held.held_limit)


def day_of(there, rinsed=False, seed=3):
    found, left = runs.days(there, rinsed, random.Random(seed))
    return (left if rinsed else found)._replace(held=0.0)


@pytest.mark.analytic
def test_strips_warm_the_air_by_their_heat():
    """m cp dT = P: what the air carries off is what the strips, the blower and the duct give, less the loss."""
    there = built("psc")
    day = day_of(there)._replace(drift=0.0)
    on, off = (runs.still(there, causes.State(), day, 0.0, strips) for strips in (9600.0, 0.0))
    water = day.back.water
    gained = on.supply.dry_bulb - runs.still(there, causes.State(), day, 0.0).supply.dry_bulb
    heat_capacity = (1006.0 + 1860.0 * water) / (1.0 + water)
    carried = on.point.mass * heat_capacity * gained
    assert carried == pytest.approx(9600.0 * (1.0 - day.loss), rel=0.01)
    assert off.supply.dry_bulb > off.back.dry_bulb  # the blower's own heat


@pytest.mark.property
def test_a_rinsed_coil_cools_the_air_and_dries():
    there = built("psc")
    day = day_of(there, rinsed=True)._replace(drift=0.0, water=3e-4, water_lasting=1200.0)
    dry = day._replace(water=0.0, damp=0.0)
    soon, later = (runs.still(there, causes.State(), day, t) for t in (0.0, 3000.0))
    none = runs.still(there, causes.State(), dry, 0.0)
    assert soon.supply.dry_bulb < later.supply.dry_bulb < none.supply.dry_bulb
    assert soon.supply.water > later.supply.water > none.supply.water
    assert soon.point.mass < none.point.mass  # water in the fins resists


@pytest.mark.analytic
def test_the_coil_takes_out_what_it_is_said_to():
    """The enthalpy that the air loses is the total capacity; the split lies between all sensible and half of it."""
    coil = heat.Coil(10_000.0, 0.55, 0.1, 0.6, 0.15, 0.03, 0.008)
    entering, mass = Air(299.0, 0.0105), 0.65
    leaving, total, share = heat.cooled(coil, entering, mass, 308.0, 101325.0)
    dry = mass / 1.0105

    def enthalpy(air):  # of moist air, textbook form
        t = air.dry_bulb - 273.15
        return 1006.0 * t + air.water * (2.501e6 + 1860.0 * t)

    assert dry * (enthalpy(entering) - enthalpy(leaving)) == pytest.approx(total, rel=0.005)
    assert 0.5 < share < 1.0
    dusty = heat.cooled(coil, Air(299.0, 0.004), mass, 308.0, 101325.0)
    assert dusty[2] == pytest.approx(1.0, abs=0.01)  # dry air: nothing condenses
    assert dusty[0].water == pytest.approx(0.004)


@pytest.mark.property
def test_more_latent_load_and_more_dirt_make_a_wetter_coil():
    there = built("psc")
    factors = [runs.wet_factor(there, causes.State(), water, 0.5) for water in (0.0, 2e-4, 5e-4, 2e-3)]
    assert factors[0] == 1.0
    assert factors == sorted(factors)
    assert factors[-1] <= 1.0 + there.wet_most
    assert runs.wet_factor(there, causes.State(coil=2.0), 5e-4, 0.5) > factors[2]


@pytest.mark.restated
def test_saturation_runs_through_its_nodes():
    """A node of the restated table: R-410A dew at 40 F, 133.05 psia; between nodes near their geometric mean."""
    at = refrigerant.pressure((40.0 + 459.67) / 1.8, dew=True) / refrigerant.PSI
    assert at == pytest.approx(133.0535, rel=1e-6)
    between = refrigerant.pressure((45.0 + 459.67) / 1.8, dew=True) / refrigerant.PSI
    assert between == pytest.approx(math.sqrt(133.0535 * 157.3396), rel=2e-3)


@pytest.mark.property
def test_an_instrument_errs_within_its_sheet_and_rounds_to_its_step():
    rng = random.Random(1)
    shown = []
    for _ in range(300):
        tool = instruments.drawn("ordinary", rng)["manometer"]
        text = tool.shown(0.4 * INWC, rng)
        assert len(text.split()[0].partition(".")[2]) == 3
        shown.append(abs(float(text.split()[0]) - 0.4))
    allowed = 0.01 * 0.4 + 0.005
    assert sum(error <= allowed for error in shown) > 0.85 * len(shown)
    assert max(shown) > 0.8 * allowed  # the errors fill what the sheet allows


@pytest.mark.analytic
def test_the_noise_has_a_standard_deviation_of_one_and_heavy_tails():
    """Student's t of 4: 1.61 % beyond 4 of its own scales; here the scale is one over the root of two."""
    rng = random.Random(4)
    drawn = [instruments.heavy(rng) for _ in range(40_000)]
    assert sum(x * x for x in drawn) / len(drawn) == pytest.approx(1.0, rel=0.1)
    beyond = sum(abs(x) > 4.0 / math.sqrt(2.0) for x in drawn) / len(drawn)
    assert beyond == pytest.approx(0.0161, rel=0.12)


@pytest.mark.property
@pytest.mark.parametrize("start", range(0, 150, 25))
def test_every_visit_is_a_sheet_that_reads_back(start):
    for seed in range(start, start + 25):
        visit, truth = visits.simulated(seed, gross=seed % 3 == 0)
        assert sheet.read(sheet.sheet_text(visit)) == visit, seed
        assert {run.id for run in visit.run} == set(truth.flows)
        assert truth.found <= set(causes.CAUSES)
        assert truth.left
        assert 0.5 < truth.airflow_ratio < 6.0


@pytest.mark.property
def test_the_same_seed_is_the_same_visit_and_another_one_is_not():
    assert visits.simulated(11) == visits.simulated(11)
    assert visits.simulated(11)[0] != visits.simulated(12)[0]


@pytest.mark.property
def test_what_is_asked_for_is_what_is_drawn():
    for motor in visits.MOTORS:
        for readings in READINGS:
            for cause in causes.possible(motor):
                visit, truth = visits.simulated(5, motor=motor, instruments="good", readings=readings, causes={cause})
                assert truth.cell == (motor, "good", readings)
                assert truth.found == {cause}
                assert visit.system.motor == motor
                assert (truth.sensible_ratio is not None) == (readings == "full and cooling")
    with pytest.raises(ValueError, match="cannot all be on"):
        visits.simulated(5, motor="constant airflow", causes={"weak capacitor"})
    with pytest.raises(ValueError, match="is not one of"):
        visits.simulated(5, readings="all of it")


@pytest.mark.property
def test_truths_go_with_their_causes():
    for seed in range(30):
        for motor in ("psc", "constant torque"):
            wheel = visits.simulated(seed, motor=motor, causes={"wheel"})[1]
            coil = visits.simulated(seed, motor=motor, causes={"coil"})[1]
            assert wheel.blower_ratio < 1.01
            assert coil.coil_ratio > 1.2 if "coil" not in coil.left else coil.coil_ratio == pytest.approx(1.0)
            assert 0.95 < coil.blower_ratio < 1.05
            if "wheel" in wheel.left:
                assert wheel.blower_ratio == pytest.approx(1.0, abs=0.02)
        nothing = visits.simulated(seed, causes={"nothing wrong"})[1]
        assert nothing.left == {"nothing wrong"}
        assert 0.93 < nothing.airflow_ratio < 1.08


@pytest.mark.property
def test_a_blunder_stands_where_the_truth_says():
    kinds = set()
    for seed in range(120):
        honest, _ = visits.simulated(seed)
        visit, truth = visits.simulated(seed, gross=True)
        if truth.gross is None:
            continue
        kinds.add(truth.gross.kind)
        changed = [
            (run.id, k)
            for run, other in zip(visit.run, honest.run, strict=True)
            for k, (one, two) in enumerate(zip(run.reading, other.reading, strict=True))
            if one != two
        ]
        assert changed == [(truth.gross.run, truth.gross.index)]
        run = next(run for run in visit.run if run.id == truth.gross.run)
        assert run.reading[truth.gross.index].value == truth.gross.typed != truth.gross.true
    assert kinds == {"decimal slip", "wrong hole", "F for C", "zero left off"}
