"""The file of causes and the file of readings: what they hold, and what is refused."""

import copy
import tomllib
from importlib.resources import files
from typing import Any

import pytest

from drawthrough.judge.marks import RESISTANCES
from drawthrough.trade.causes import CauseError, beliefs, read_beliefs
from drawthrough.trade.next_readings import offers, read_offers
from drawthrough.trade.usual_blowers import usual_blowers, usual_table
from drawthrough.units import INWC
from drawthrough.visit.state import System


def _data(name: str) -> dict[str, Any]:
    return tomllib.loads((files("drawthrough.trade") / name).read_text(encoding="utf-8"))


@pytest.mark.property
def test_every_belief_says_where_it_comes_from_and_shifts_something() -> None:
    made = beliefs()
    for each in (*made.mark.values(), *made.cause.values()):
        assert each.source
        assert each.word in ("published", "from memory", "common practice", "judgement", "model")
    shifted = {mark for cause in made.cause.values() for shift in cause.shift for mark in shift.by}
    assert shifted == set(made.mark)
    assert set(RESISTANCES) < set(made.mark)
    for motor in ("psc", "constant torque", "constant airflow"):
        assert any(cause.shifts(motor) for cause in made.cause.values())  # type: ignore[arg-type]


@pytest.mark.published
def test_the_mean_leak_is_that_of_thirty_cabinets_within_its_scatter() -> None:
    """FSEC-RR-138-03: 6.4 % of the air enters before the blower."""
    leak = beliefs().mark["leak"]
    assert abs(leak.mean - 0.064) < leak.sd


@pytest.mark.published
def test_a_dirty_coil_is_one_whose_drop_has_doubled() -> None:
    """Siegel, Walker and Sherman 2002: the drop doubles in 7.5 years of a typical home."""
    (shift,) = beliefs().cause["coil"].shift
    assert shift.mean - shift.sd < 0.693 < shift.mean + shift.sd


@pytest.mark.property
@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda d: d["cause"].append(copy.deepcopy(d["cause"][0])), "Told twice"),
        (lambda d: d["cause"][0].update(often=0.0), "neither never nor always"),
        (lambda d: d["cause"][0].update(ends=1.2), "between 0 and 1"),
        (lambda d: d["cause"][1]["shift"][0]["by"].update(weather=1.0), "weather"),
        (lambda d: d["cause"][1]["shift"][0].update(sd=0.0), "by no width"),
        (lambda d: d["cause"][0].update(undone=0.0), "not make it impossible"),
        (lambda d: d["mark"][0].update(sd=0.0), "a width"),
        (lambda d: d["mark"][0].update(colour="green"), "not a belief"),
        (lambda d: d["cause"][0]["shift"][0].update(motor=["steam"]), "not a belief"),
    ],
)
def test_what_does_not_hang_together_is_refused(change: Any, says: str) -> None:
    data = _data("causes.toml")
    change(data)
    with pytest.raises(CauseError, match=says):
        read_beliefs(data)


@pytest.mark.property
@pytest.mark.parametrize(
    "change",
    [
        lambda d: d["reading"].append(copy.deepcopy(d["reading"][0])),
        lambda d: d["reading"][0].update(minutes=0.0),
        lambda d: d["reading"][0].update(kind="smell"),
        lambda d: d["reading"][-1].update(cause="gremlins"),
        lambda d: d["reading"][0].pop("at"),
        lambda d: d.pop("look"),
    ],
)
def test_a_reading_that_tells_of_nothing_is_refused(change: Any) -> None:
    data = _data("next_readings.toml")
    change(data)
    with pytest.raises(CauseError):
        read_offers(data)


@pytest.mark.property
def test_each_reading_takes_time_and_a_look_finds_more_than_it_mistakes() -> None:
    assert all(offer.minutes > 0.0 for offer in offers().offer)
    assert offers().look.seen > 0.5 > offers().look.mistaken


@pytest.mark.published
@pytest.mark.parametrize(("motor", "first", "second"), [("psc", 49.0, -570.0), ("constant torque", -456.0, 8.0)])
def test_usual_blowers_are_the_published_curves(motor: str, first: float, second: float) -> None:
    """U.S. DOE, EERE-2014-BT-STD-0048-0098, appendix 7-C, coefficients as quoted by open code; the rounding is ours."""
    blowers = usual_blowers()
    for static, relative in zip(blowers.static, blowers.shape(motor), strict=True):  # type: ignore[arg-type]
        airflow = 1200.0 + first * (static - 0.5) + second * (static**2 - 0.25)
        assert relative == pytest.approx(airflow / 1200.0, abs=0.002)


@pytest.mark.property
def test_a_usual_table_stands_at_its_airflow() -> None:
    system = System(name="x", arrangement="draw-through", motor="psc", coil_inside_taps=True)
    table = usual_table(system, "high", 0.5)
    at = min(range(len(table.static)), key=lambda k: abs(table.static[k] - 0.5 * INWC))
    assert table.airflow[at] == pytest.approx(0.5)
    assert table.coil == "dry"
