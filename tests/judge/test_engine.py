"""What the engine says of invented visits whose answer follows from how they were made."""

import json
import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.judge import Judgement, judge
from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.visit.state import Capacitor, FanTable, Run, Site, Visit, Work
from tests.judge.visits import CFM, INWC, TABLE, deep_clean, reading, strips_run, system, zero_run


def codes(judgement):
    return {finding.code for finding in judgement.findings}


def standing_of(judgement, run, at):
    return next(r for r in judgement.readings if r.run == run and r.at == at)


@pytest.mark.analytic
def test_the_ratio_of_airflows_is_that_of_rises_and_of_the_ducts_roots():
    judgement = judge(deep_clean())
    ratio = judgement.result("airflow", "as left over as found")
    by_rise = (20.5 - 1.0) / (16.3 - 0.9)  # energy balance at the same power
    by_ducts = math.sqrt(1.54) ** (2 / 1.9)  # supply static 71 over 46 Pa, exponent 1.9
    assert min(by_rise, by_ducts) - 0.02 < ratio.value < max(by_rise, by_ducts) + 0.02
    assert ratio.standing == "it stands"
    assert ratio.low < ratio.value < ratio.high


@pytest.mark.analytic
def test_airflow_is_power_over_heat_capacity_and_rise():
    judgement = judge(deep_clean())
    found = judgement.result("airflow", "as found")
    # 238 V * 39.6 A over cp of 1.02 kJ/(kg K) and 19.5 K, at about 0.885 m3 per kg of dry air at 1,000 ft.
    expected = 238.0 * 39.6 / 1022.0 / 19.5 * 0.885
    assert found.value == pytest.approx(expected, rel=0.04)


@pytest.mark.analytic
def test_the_risen_static_is_explained_by_more_air_through_the_same_ducts():
    judgement = judge(deep_clean())
    assert "more air meets the same ducts" in codes(judgement)
    assert "ducts as before" in codes(judgement)
    static = judgement.result("duct_static", "as left over as found")
    assert static.value == pytest.approx((71 + 36) / (46 + 23), rel=0.03)


@pytest.mark.analytic
def test_the_gains_add_up_to_the_change_of_airflow():
    visit = deep_clean()
    judgement = judge(visit)
    total = sum(gain.value for gain in judgement.gains)
    change = math.log(judgement.result("airflow", "as left over as found").value)
    # What the fit leaves to the table's own noise, the 1 % change that an untouched duct is allowed, and the third
    # order of the median are not shared out.
    assert total == pytest.approx(change, abs=0.02)
    assert {gain.part for gain in judgement.gains} == {"blower", "coil"}
    assert judgement.gains[0].part == "blower"


@pytest.mark.analytic
def test_without_rpm_the_wheel_is_not_named():
    visit = deep_clean()
    runs = tuple(
        msgspec.structs.replace(run, reading=tuple(r for r in run.reading if r.what != "speed")) for run in visit.run
    )
    judgement = judge(msgspec.structs.replace(visit, run=runs))
    assert judgement.result("wheel_against_clean", "as found over as left") is None
    assert judgement.result("blower_against_clean", "as found over as left") is not None
    assert "rpm" in {offer.code for offer in judgement.next_readings}


@pytest.mark.analytic
def test_the_wheel_is_the_blower_with_the_speeds_taken_out():
    judgement = judge(deep_clean())
    blower = judgement.result("blower_against_clean", "as found over as left").value
    wheel = judgement.result("wheel_against_clean", "as found over as left").value
    # At the same static on the table the clean blower would turn equally fast; here it differs by little, and a PSC
    # motor's clean speed moves by 6 % per inch of water.
    assert wheel == pytest.approx(blower * 1085 / 1097, rel=0.012)


@pytest.mark.analytic
def test_a_total_static_alone_tells_neither_coil_from_wheel_nor_much_airflow():
    visit = deep_clean()
    runs = tuple(
        Run(
            id=f"fan {when}", when=when, mode="fan", speed="high", filter="same",
            reading=(reading("static", "supply plenum", value, against="return plenum", instrument="manometer"),),
        )
        for when, value in (("as found", 69.0), ("as left", 107.0))
    )  # fmt: skip
    no_table = system(fan_table=())
    judgement = judge(msgspec.structs.replace(visit, run=runs, system=no_table))
    assert judgement.result("airflow", "as found").standing == "not resolved"
    assert judgement.result("coil_resistance", "as left over as found").standing == "not resolved"
    as_found = judge(msgspec.structs.replace(visit, run=runs[:1], system=no_table, work=()))
    assert {"drop across the coil", "static after the coil"} <= {offer.code for offer in as_found.next_readings}
    assert as_found.causes.found.tie


@pytest.mark.analytic
def test_a_seam_sealed_on_the_same_visit_does_not_fake_more_air_where_a_zero_was_made():
    # The rise with strips on and off moves alike when cold air leaks in: only the difference counts. A supply that
    # reads 1 K warmer is also 0.3 % lighter, and the ducts see that.
    visit = deep_clean()
    runs = list(visit.run)
    shifted = []
    for run in runs:
        if run.when == "as left":
            moved = tuple(
                msgspec.structs.replace(r, value=r.value + 1.0) if r.at == "supply" else r for r in run.reading
            )
            shifted.append(msgspec.structs.replace(run, reading=moved))
        else:
            shifted.append(run)
    work = (*visit.work, Work(part="seams", action="sealed"))
    plain = judge(msgspec.structs.replace(visit, work=work)).result("airflow", "as left over as found")
    moved = judge(msgspec.structs.replace(visit, work=work, run=tuple(shifted)))
    assert moved.result("airflow", "as left over as found").value == pytest.approx(plain.value, rel=3e-3)


@pytest.mark.analytic
def test_without_a_zero_the_airflow_is_wider_and_the_rise_in_doubt_after_a_rinse():
    visit = deep_clean()
    runs = tuple(run for run in visit.run if run.mode != "zero")
    bare = judge(msgspec.structs.replace(visit, run=runs))
    zeroed = judge(visit)

    def width(judgement):
        ratio = judgement.result("airflow", "as left over as found")
        return math.log(ratio.high / ratio.low)

    assert width(bare) > 1.2 * width(zeroed)
    assert standing_of(bare, "strips as left", "supply").standing == "in doubt"
    assert "zero" in {offer.code for offer in bare.next_readings}


@pytest.mark.analytic
def test_a_decimal_slip_is_set_aside_and_the_ratio_keeps_its_place():
    visit = deep_clean()
    across = {"as found": 41.0, "as left": 42.0}
    runs = []
    for run in visit.run:
        if run.mode == "strips":
            extra = reading(
                "pressure_drop", "after filter", across[run.when], against="after coil", instrument="manometer"
            )
            run = msgspec.structs.replace(run, reading=(*run.reading, extra))
        runs.append(run)
    good = judge(msgspec.structs.replace(visit, run=tuple(runs)))
    first = runs[0]
    slipped = tuple(msgspec.structs.replace(r, value=4.1) if r.what == "pressure_drop" else r for r in first.reading)
    runs[0] = msgspec.structs.replace(first, reading=slipped)
    bad = judge(msgspec.structs.replace(visit, run=tuple(runs)))
    wrong = next(r for r in bad.readings if r.what == "pressure_drop" and r.run == first.id)
    assert wrong.standing == "set aside"
    assert wrong.expected == pytest.approx(41.0, abs=4.0)
    before, after = (j.result("coil_resistance", "as left over as found").value for j in (good, bad))
    assert after == pytest.approx(before, rel=0.03)


@pytest.mark.analytic
def test_a_door_left_off_sets_its_statics_aside():
    visit = deep_clean()
    runs = list(visit.run)
    runs[2] = msgspec.structs.replace(runs[2], doors_on=False)
    judgement = judge(msgspec.structs.replace(visit, run=tuple(runs)))
    assert standing_of(judgement, "strips as left", "after coil").standing == "set aside"
    assert not standing_of(judgement, "strips as left", "after coil").used


@pytest.mark.analytic
def test_a_heat_pump_that_also_runs_sets_the_strip_readings_aside():
    visit = deep_clean()
    runs = list(visit.run)
    runs[0] = msgspec.structs.replace(runs[0], also_heats="heat pump")
    judgement = judge(msgspec.structs.replace(visit, run=tuple(runs)))
    assert standing_of(judgement, "strips as found", "supply").standing == "set aside"
    model = build(msgspec.structs.replace(visit, run=tuple(runs)), Priors())
    assert not any(o.label == "strips as found: strip rise" for o in model.observations)


@pytest.mark.analytic
def test_a_dead_element_is_counted():
    visit = deep_clean()
    runs = list(visit.run)
    half = tuple(msgspec.structs.replace(r, value=19.8) if r.what == "amps" else r for r in runs[0].reading)
    runs[0] = msgspec.structs.replace(runs[0], reading=half)
    assert "elements missing" in codes(judge(msgspec.structs.replace(visit, run=tuple(runs))))


@pytest.mark.analytic
def test_constant_airflow_below_its_limit_names_the_wheel_by_rpm_alone():
    table = FanTable(
        speed="high", static=TABLE.static, airflow=tuple(q * CFM for q in (1010, 1010, 1005, 1005, 1000, 1000, 995)),
        heater="in",
    )  # fmt: skip
    held = system(motor="constant airflow", airflow_limit_static=0.65 * INWC, fan_table=(table,))
    same = {"plenum": -30.0, "filter": -55.0, "coil": -95.0, "supply": 60.0}
    runs = (
        strips_run("as found", 20.0, same, rpm=1000),
        zero_run("as found", 1.0),
        strips_run("as left", 20.0, same, rpm=900),
        zero_run("as left", 1.0),
    )
    judgement = judge(deep_clean(system=held, run=runs))
    wheel = judgement.result("wheel_against_clean", "as found over as left")
    assert wheel.value == pytest.approx(0.9, rel=0.01)  # N_left / N_found at equal airflow and static
    assert "airflow is held, so the static stays" in codes(judgement)
    assert judgement.result("blower_against_clean", "as found over as left") is None


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("amps", "code"),
    [(0.98, "capacitor within its print"), (0.70, "capacitor outside its print"), (0.925, "capacitor not resolved")],
)
def test_a_capacitor_is_held_against_its_own_print(amps, code):
    visit = deep_clean(system=system(capacitor=Capacitor(capacitance=7.0e-6, tolerance=0.10)))
    readings = (
        reading("volts", "capacitor", 370.0, instrument="voltmeter"),
        reading("amps", "capacitor", amps, instrument="clamp"),
    )
    first = visit.run[0]
    runs = (msgspec.structs.replace(first, reading=(*first.reading, *readings)), *visit.run[1:])
    judgement = judge(msgspec.structs.replace(visit, run=runs))
    assert code in codes(judgement)
    # C = I / (2 pi f V)
    expected = amps / (2 * math.pi * 60 * 370)
    assert judgement.result("capacitance", "as found").value == pytest.approx(expected, rel=1e-9)


@pytest.mark.analytic
def test_budgets_add_up_to_one_and_fall():
    for result in judge(deep_clean()).results:
        if result.budget:
            shares = [part.share for part in result.budget if part.label != "everything else"]
            assert sum(part.share for part in result.budget) == pytest.approx(1.0, abs=1e-6)
            assert shares == sorted(shares, reverse=True)


@pytest.mark.property
def test_the_same_visit_gives_the_same_judgement_and_survives_json():
    first, second = judge(deep_clean()), judge(deep_clean())
    assert first == second
    text = msgspec.json.encode(first)
    assert msgspec.json.decode(text, type=Judgement) == first
    assert json.loads(text)["form"] == 1


@pytest.mark.property
@settings(max_examples=25)
@given(
    st.lists(st.floats(-150.0, 150.0), min_size=8, max_size=8),
    st.floats(0.5, 40.0),
    st.floats(0.5, 40.0),
)
def test_no_set_of_readings_makes_it_fail(pressures, first, second):
    names = ("plenum", "filter", "coil", "supply")
    runs = (
        strips_run("as found", first, dict(zip(names, pressures[:4], strict=True)), rpm=1000),
        strips_run("as left", second, dict(zip(names, pressures[4:], strict=True)), rpm=1000),
    )
    judgement = judge(deep_clean(run=runs))
    for result in judgement.results:
        assert math.isfinite(result.low)
        assert result.low <= result.high


@pytest.mark.analytic
def test_a_visit_without_readings_says_so():
    judgement = judge(Visit(site=Site(name="a house", altitude=0.0), system=system()))
    assert codes(judgement) == {"no reading speaks of air"}
    assert judgement.fit is None
    assert judgement.causes is None
    assert {offer.code for offer in judgement.next_readings} == {"read as found"}
