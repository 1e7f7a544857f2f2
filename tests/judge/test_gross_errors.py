"""Slips of the hand: one wrong reading is named and let go, and the answer keeps its place."""

from pathlib import Path

import msgspec
import pytest

from drawthrough.judge import judge
from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.visit import sheet
from tests.judge.visits import deep_clean, reading

DEMO = sheet.load(Path(__file__).parents[2] / "examples" / "dirty-wheel-psc.toml")
RATIO = judge(DEMO).result("airflow", "as left over as found")


def with_reading(visit, run_id, change):
    """The visit with the readings of one run changed by a function."""
    runs = tuple(
        msgspec.structs.replace(run, reading=tuple(map(change, run.reading))) if run.id == run_id else run
        for run in visit.run
    )
    return msgspec.structs.replace(visit, run=runs)


@pytest.mark.analytic
@pytest.mark.parametrize("place", ["return plenum", "after filter", "after coil", "supply plenum"])
@pytest.mark.parametrize("error", [-100.0, -25.0, 40.0, 250.0])
def test_a_static_misread_by_any_amount_is_set_aside_and_alone(place, error):
    def slip(r):
        return msgspec.structs.replace(r, value=r.value + error) if (r.what, r.at) == ("static", place) else r

    judgement = judge(with_reading(DEMO, "strips-left", slip))
    aside = [(r.run, r.at) for r in judgement.readings if r.standing == "set aside"]
    assert aside == [("strips-left", place)]
    ratio = judgement.result("airflow", "as left over as found")
    assert ratio.value == pytest.approx(RATIO.value, rel=0.01)
    assert ratio.standing == "it stands"


@pytest.mark.analytic
def test_a_rise_read_in_celsius_and_written_as_fahrenheit_is_noticed():
    def slip(r):
        if (r.what, r.at) != ("dry_bulb", "supply"):
            return r
        return msgspec.structs.replace(r, value=(r.value - 273.15 + 459.67) / 1.8)  # 40.6 C taken for 40.6 F

    judgement = judge(with_reading(DEMO, "strips-left", slip))
    ratio = judgement.result("airflow", "as left over as found")
    # The rise turns negative: no airflow comes of it, and the statics alone still give the ratio.
    assert ratio.value == pytest.approx(RATIO.value, rel=0.03)
    assert any(note.code == "strips on without a rise" for note in judgement.fit.notes) or any(
        r.standing != "it stands" for r in judgement.readings if r.run == "strips-left" and r.at == "supply"
    )


@pytest.mark.analytic
def test_a_wet_bulb_that_no_air_could_have_is_set_aside_and_nothing_else_fails():
    def slip(r):
        return msgspec.structs.replace(r, value=270.0) if (r.what, r.at) == ("wet_bulb", "return") else r

    judgement = judge(with_reading(DEMO, "cooling-found", slip))
    wrong = next(r for r in judgement.readings if (r.run, r.what, r.at) == ("cooling-found", "wet_bulb", "return"))
    assert wrong.standing == "set aside"
    assert [reason.code for reason in wrong.reasons] == ["no such air"]
    assert judgement.result("airflow", "as left over as found").standing == "it stands"
    assert judgement.result("total_capacity", "as found") is None
    assert judgement.result("sensible_capacity", "as found") is not None


@pytest.mark.analytic
def test_two_names_of_one_place_are_one_hole():
    visit = deep_clean()
    first = visit.run[0]
    again = reading("static", "before coil", -45.5, against="room", instrument="manometer")
    runs = (msgspec.structs.replace(first, reading=(*first.reading, again)), *visit.run[1:])
    holes = [
        n for n in build(msgspec.structs.replace(visit, run=runs), Priors()).unknowns.names if n.startswith("hole")
    ]
    assert sorted(holes) == ["hole after coil", "hole after filter", "hole return plenum", "hole supply plenum"]


@pytest.mark.analytic
def test_a_blower_off_its_table_is_doubted():
    # Three times the statics of any real system: the curve has to be followed far past its last printed point.
    def heavy(r):
        return msgspec.structs.replace(r, value=3 * r.value) if r.what == "static" else r

    visit = deep_clean()
    for run in ("strips as found", "strips as left"):
        visit = with_reading(visit, run, heavy)
    blower = judge(visit).result("blower_against_clean", "as found over as left")
    assert "beyond the fan table" in [reason.code for reason in blower.reasons]
    assert blower.standing != "it stands"
