"""What moves between as found and as left without being read: the zero, another filter, the coil's water, held air."""

import math

import msgspec
import pytest

from drawthrough.judge.engine import judge
from drawthrough.judge.heat import zero_of
from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.visit.state import Run, Visit, Work
from tests.judge.visits import INSTRUMENTS, WASHED, deep_clean, reading, strips_run, system, zero_run

replace = msgspec.structs.replace
STATICS = {"plenum": -36.0, "filter": -65.0, "coil": -107.0, "supply": 71.0}


def zeros(*timed, moment="10:40"):
    """A visit with one strips run, read at a moment, and zeros of (when read, rise)."""
    runs = [strips_run("as left", 16.3, STATICS, start=moment)]
    for k, (time, rise) in enumerate(timed):
        runs.append(replace(zero_run("as left", rise), id=f"zero {k}", start=time))
    visit = deep_clean(run=tuple(runs))
    return zero_of(visit, runs[0], Priors())


@pytest.mark.analytic
@pytest.mark.parametrize("drift", [0.0, 0.4, -0.7])
def test_a_zero_that_drifts_evenly_is_met_at_the_moment_of_the_run(drift):
    rise = 1.0 + drift * 30 / 45  # a straight line from 10:10 to 10:55, at 10:40
    assert zeros(("10:10", 1.0), ("10:55", 1.0 + drift)).value == pytest.approx(rise, abs=1e-12)
    # The order in which they stand on the sheet and a date before the clock say nothing else.
    assert zeros(("10:55", 1.0 + drift), ("10:10", 1.0)).value == pytest.approx(rise, abs=1e-12)
    dated = zeros(("2026-05-12T10:10", 1.0), ("2026-05-12T10:55", 1.0 + drift), moment="2026-05-12T10:40")
    assert dated.value == pytest.approx(rise, abs=1e-12)


@pytest.mark.analytic
def test_without_a_clock_or_on_one_side_alone_zeros_are_averaged():
    assert zeros((None, 1.0), (None, 1.4)).value == pytest.approx(1.2)
    assert zeros(("10:10", 1.0), ("10:20", 1.4)).value == pytest.approx(1.2)
    assert zeros(("10:10", 1.0), (None, 1.4)).value == pytest.approx(1.2)
    assert zeros() is None


@pytest.mark.analytic
def test_the_straight_line_is_believed_less_where_the_zeros_differ():
    still, moved = zeros(("10:10", 1.0), ("10:55", 1.0)), zeros(("10:10", 1.0), ("10:55", 0.4))
    assert moved.variance - still.variance == pytest.approx((Priors().zero_bend * 0.6) ** 2, rel=1e-9)


@pytest.mark.analytic
def test_a_decay_to_a_third_bends_by_a_tenth_of_the_difference():
    """The belief in the bend restates a figure that can be computed: an exponential against its chord."""
    chord = max((1 - u) + u / 3 - (1 / 3) ** u for u in (k / 100 for k in range(101)))
    assert chord / (1 - 1 / 3) == pytest.approx(0.13, abs=0.03)
    assert Priors().zero_bend <= chord / (1 - 1 / 3)


def two_statics(work, filter_as_left="new", motor="psc", **left):
    """The external static as found and as left, read across filter and ducts, and nothing else."""

    def run(when, value, state):
        taken = (reading("static", "supply plenum", value, against="after filter", instrument="manometer"),)
        return Run(id=when, when=when, mode="fan", speed="high", reading=taken, filter=state)

    runs = (run("as found", 105.0, "as found"), replace(run("as left", 120.0, filter_as_left), **left))
    return Visit(site=deep_clean().site, system=system(motor=motor), instrument=INSTRUMENTS, run=runs, work=work)


WHEEL, FILTER = Work(part="wheel", action="cleaned", condition="seen clean"), Work(part="filter", action="replaced")


def codes(visit, name="airflow", when="as left over as found"):
    result = judge(visit).result(name, when)
    return result.standing, [reason.code for reason in result.reasons]


@pytest.mark.analytic
@pytest.mark.parametrize("motor", ["psc", "constant torque"])
def test_one_static_across_ducts_and_another_filter_tells_no_change(motor):
    standing, said = codes(two_statics((WHEEL, FILTER), motor=motor))
    assert standing == "in doubt" or standing == "not resolved"
    assert said.count("nothing read tells this") == 1
    _, said = codes(two_statics((WHEEL, FILTER), motor=motor), "blower_against_clean", "as found over as left")
    assert said.count("nothing read tells this") == 1


@pytest.mark.analytic
def test_it_tells_where_the_filter_stayed_or_nobody_touched_the_blower():
    assert "nothing read tells this" not in codes(two_statics((WHEEL,), filter_as_left="same"))[1]
    assert "nothing read tells this" not in codes(two_statics((FILTER,)))[1]


@pytest.mark.analytic
def test_it_tells_where_a_static_leaves_the_filter_out_or_a_heat_gives_the_airflow():
    visit = two_statics((WHEEL, FILTER))
    plenum = [reading("static", "return plenum", value, against="room") for value in (-24.0, -28.0)]
    runs = tuple(replace(r, reading=(*r.reading, more)) for r, more in zip(visit.run, plenum, strict=True))
    assert "nothing read tells this" not in codes(replace(visit, run=runs))[1]
    out = tuple(replace(run, filter="out") for run in visit.run)
    assert "nothing read tells this" not in codes(replace(visit, run=out))[1]
    # In one of the two runs alone it does not.
    assert "nothing read tells this" in codes(replace(visit, run=(runs[0], visit.run[1])))[1]
    strips = deep_clean(work=(*WASHED, FILTER))
    assert "nothing read tells this" not in codes(strips)[1]


@pytest.mark.property
def test_each_wet_run_has_water_of_its_own():
    def cooled(when):
        statics = {"after filter": -60.0, "after coil": -120.0, "supply plenum": 60.0}
        taken = tuple(reading("static", place, value, against="room") for place, value in statics.items())
        return Run(id=f"cooling {when}", when=when, mode="cooling", speed="high", wetness="wet steady", reading=taken)

    plain = deep_clean()
    visit = Visit(site=plain.site, system=plain.system, run=(cooled("as found"), cooled("as left")), work=WASHED)

    def width(priors):
        result = judge(visit, priors).result("coil_resistance", "as left over as found")
        return math.log(result.high / result.low)

    wet = replace(Priors(), wet_run=replace(Priors().wet_run, sd=1e-6))
    assert width(Priors()) > width(wet)
    names = build(visit, Priors()).unknowns.names
    assert [name for name in names if name.startswith("wet coil in ")] == [
        "wet coil in cooling as found", "wet coil in cooling as left",
    ]  # fmt: skip


@pytest.mark.property
def test_a_held_airflow_may_have_fallen_short_only_as_found_and_before_work_on_wheel_or_coil():
    visit = two_statics((WHEEL,), filter_as_left="same", motor="constant airflow")
    model = build(visit, Priors())
    short = model.unknowns.find("held short")
    model.predict(model.unknowns.mean)
    depends = {run: short in row.row(model.unknowns.mean)[1] for run, row in model.fans.items()}
    assert depends == {"as found": True, "as left": False}
    assert build(replace(visit, work=()), Priors()).unknowns.find("held short") is None
    assert [o.heavy for o in model.observations if o.label.endswith("fan table")] == [True, True]
