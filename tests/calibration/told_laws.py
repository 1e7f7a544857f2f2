"""The engine's beliefs as they would be if it knew the simulator's own laws: means and deviations of what is drawn.

The same fit, told these, is as narrow as this model can be in that world; the width of the printed beliefs is held
against it. A law that is not a normal one is told by its mean and standard deviation, a share of the world that has
no belief (which parts leak, say) not at all. One set of beliefs for each kind of motor.
"""

import math
import random
from collections import defaultdict
from collections.abc import Sequence
from functools import cache
from statistics import fmean, pstdev

import msgspec

from drawthrough.judge.priors import Belief, Priors
from drawthrough.visit.state import Work
from tests.simulate import causes as wrongs
from tests.simulate import house, runs
from tests.simulate.airpath import REFERENCE, Filter, Point
from tests.simulate.fans import INWC, STANDARD_DENSITY
from tests.simulate.house import House
from tests.simulate.instruments import NOISE
from tests.simulate.pages import MOMENTS
from tests.simulate.runs import Day, Truly
from tests.simulate.visits import SEEN_DAMP

HOUSES = 600  # drawn for each kind of motor
LEAST = 1e-4  # of a deviation: what is certain in the simulated world is told as hardly in doubt
_FIRST = 7_000_000_000  # these houses are not those of any seed set

Drawn = dict[str, list[float]]


@cache
def told(motor: str) -> Priors:
    """Return the beliefs that the simulator's laws for one kind of motor bear out."""
    drawn: Drawn = defaultdict(list)
    for number in range(HOUSES):
        _draw(motor, random.Random(_FIRST + number), drawn)
    beliefs = {name: _belief(drawn[name]) for name in _BELIEFS if len(drawn[name]) > 1}
    deviations = {name: max(_root(drawn[name]), LEAST) for name in _DEVIATIONS if drawn[name]}
    noise = fmean([NOISE[0] ** 2, NOISE[0] * NOISE[1], NOISE[1] ** 2])  # mean square of a uniform law
    return msgspec.structs.replace(Priors(), shared_variance=1.0 / (1.0 + noise), **beliefs, **deviations)


_BELIEFS = (
    "return_duct", "supply_duct", "filter", "coil", "heater", "exponent_duct", "exponent_filter", "exponent_coil",
    "coil_change", "filter_change", "duct_change", "untouched_change", "untouched_duct", "rated_coil_clean",
    "rated_coil_unseen", "rated_heater", "wet", "wet_run", "damp", "leak", "leak_sealed", "strength_unknown",
    "strength_clean", "strength_untouched_change", "held_short", "blower_power_unknown",
)  # fmt: skip
_DEVIATIONS = (
    "airflow_sd", "table_level_sd", "table_slope_sd", "held_airflow_sd", "placement_sd", "static_swing",
    "strip_probe_sd", "no_zero_sd", "leak_behind_coil_sd",
)  # fmt: skip


def _belief(values: Sequence[float]) -> Belief:
    return Belief(fmean(values), max(pstdev(values), LEAST))


def _root(values: Sequence[float]) -> float:
    """Return the root of the mean square: what is believed to be nothing, give or take."""
    return math.sqrt(fmean([value * value for value in values]))


def _draw(motor: str, rng: random.Random, drawn: Drawn) -> None:
    built = house.drawn(motor, rng)
    case = wrongs.drawn(motor, wrongs.chosen(motor, rng), rng)
    days = runs.days(built, case.rinsed, rng)
    states = (case.before, case.after)
    strips = built.kit * built.heater
    mains = tuple(runs.still(built, s, d, MOMENTS["main"], strips) for s, d in zip(states, days, strict=True))
    _ducts(built, case, mains, drawn)
    _coil(built, case, states, days, rng, drawn)
    _leaks(case, mains, drawn)
    _blower(built, case, mains, rng, drawn)
    _probes(built, days[1], mains[1], states[1], drawn)
    for _ in range(4):
        hole = house.draw(rng, "day", "placement") * INWC * (REFERENCE / built.rated) ** 2
        drawn["placement_sd"].append(hole)
        tip = house.draw(rng, "day", "replacement") * INWC
        drawn["static_swing"].append(math.hypot(house.draw(rng, "day", "swing") * INWC, tip))


def _ducts(built: House, case: wrongs.Case, mains: tuple[Truly, Truly], drawn: Drawn) -> None:
    clean, before, after = built.clean, case.before, case.after
    for name, duct, sides, parts in (
        ("return_duct", clean.return_duct, (before.return_duct, after.return_duct), ("return ducts", "registers")),
        ("supply_duct", clean.supply_duct, (before.supply_duct, after.supply_duct), ("supply ducts", "registers")),
    ):
        drawn[name].append(math.log(duct.drop * sides[1]))
        drawn["exponent_duct"].append(duct.exponent)
        worked = _worked_on(case.work, *parts)
        drawn["duct_change" if worked else "untouched_duct"].append(math.log(sides[0] / sides[1]))
    drawn["heater"].append(math.log(clean.heater.drop))
    drawn["exponent_filter"].append(_filter_power(clean.filter._replace(load=before.filter), mains[0].point.airflow))
    old, new = (_at_reference(clean.filter._replace(load=state.filter)) for state in (before, after))
    drawn["filter"].append(math.log(old))
    if case.new_filter:
        drawn["filter_change"].append(math.log(old / new))


def _at_reference(medium: Filter) -> float:
    return medium.at(REFERENCE, STANDARD_DENSITY)


def _filter_power(medium: Filter, airflow: float) -> float:
    """Return by which power of the airflow a medium's drop goes where the system runs."""
    step = 0.05
    up, down = (medium.at(airflow * math.exp(s), STANDARD_DENSITY) for s in (step, -step))
    return math.log(up / down) / (2 * step)


def _coil(
    built: House,
    case: wrongs.Case,
    states: tuple[wrongs.State, wrongs.State],
    days: tuple[Day, Day],
    rng: random.Random,
    drawn: Drawn,
) -> None:
    before, after = states
    drawn["coil"].append(math.log(built.clean.coil.drop * after.coil))
    drawn["exponent_coil"].append(built.clean.coil.exponent + before.coil_exponent)
    change = math.log(before.coil / after.coil)
    drawn["coil_change" if _worked_on(case.work, "coil") else "untouched_change"].append(change)
    # The maker's coil is a clean one of its own: what the law says of it, over what is left of dirt on this one.
    other = house.draw(rng, "blower", "table_coil")
    seen = any(work.part == "coil" and work.condition == "seen clean" for work in case.work)
    drawn["rated_coil_clean" if seen else "rated_coil_unseen"].append(other - math.log(after.coil))
    drawn["rated_heater"].append(0.0)
    logs = []
    for state, day in zip(states, days, strict=True):
        true = runs.cooling(built, state, day)
        logs.append(math.log(runs.wet_factor(built, state, true.condensate, true.point.airflow)))
    drawn["wet"].append(fmean(logs))
    drawn["wet_run"].extend((logs[0] - fmean(logs), fmean(logs) - logs[0]))
    for day, wet in zip(days, logs, strict=True):
        if day.water > SEEN_DAMP and wet > 0.02:
            left = math.exp(-MOMENTS["main"] / day.water_lasting)
            drawn["damp"].append(math.log(1.0 + built.wet_most * day.damp * left) / wet)


def _leaks(case: wrongs.Case, mains: tuple[Truly, Truly], drawn: Drawn) -> None:
    sealed = _worked_on(case.work, "seams", "cabinet")
    for true, when in zip(mains, ("found", "left"), strict=True):
        point: Point = true.point
        _, second, third = point.leaks
        drawn["leak_sealed" if sealed and when == "found" else "leak"].append((second + third) / point.mass)
        drawn["leak_behind_coil_sd"].append(third / (second + third) - 0.5)


def _blower(built: House, case: wrongs.Case, mains: tuple[Truly, Truly], rng: random.Random, drawn: Drawn) -> None:
    for true in mains:
        drawn["airflow_sd"].append(math.log(true.point.mass / STANDARD_DENSITY / built.rated))
        drawn["blower_power_unknown"].append(true.power)
    held = built.motor == "constant airflow"
    # A table of held airflow is printed without a slope of its own, and with less of a level.
    drawn["table_level_sd"].append((0.4 if held else 1.0) * house.draw(rng, "blower", "table_level"))
    drawn["table_slope_sd"].append(0.0 if held else house.draw(rng, "blower", "table_slope"))
    worked = _worked_on(case.work, "wheel", "motor", "capacitor", "speed lead")
    if held:
        short = [math.log(t.point.mass / STANDARD_DENSITY / built.held) for t in mains]
        drawn["held_short"].extend(short[:1] if _worked_on(case.work, "wheel", "coil") else [])
        drawn["held_airflow_sd"].extend(short[1:])
        return
    found, left = (
        math.log(built.blower.against_clean(t.point.airflow, t.point.rise, t.point.mass / t.point.airflow))
        for t in mains
    )
    seen = any(work.part == "wheel" and work.condition == "seen clean" for work in case.work)
    drawn["strength_clean" if seen else "strength_unknown"].append(left)
    if worked:
        drawn["strength_unknown"].append(found)
    else:
        drawn["strength_untouched_change"].append(found - left)


def _probes(built: House, day: Day, true: Truly, state: wrongs.State, drawn: Drawn) -> None:
    zero = runs.still(built, state, day, MOMENTS["main"])
    capacity = zero.point.mass * 1010.0
    own = zero.power / capacity
    base = zero.near.dry_bulb - zero.back.dry_bulb
    drawn["no_zero_sd"].append(base - own)
    seen = (true.near.dry_bulb + true.far.dry_bulb) / 2.0 - true.back.dry_bulb - base
    drawn["strip_probe_sd"].append(math.log(seen / (true.strips / (true.point.mass * 1010.0))))


def _worked_on(work: Sequence[Work], *parts: str) -> bool:
    return any(one.part in parts and one.action != "inspected" for one in work)
