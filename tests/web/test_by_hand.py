"""A whole visit entered through the application's own forms is the visit of its sheet, and is judged the same."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from drawthrough.judge.engine import judge
from drawthrough.visit.sheet import load
from drawthrough.visit.sheet_text import quantity_text
from drawthrough.web.forms import values_of

pytestmark = pytest.mark.property
EXAMPLES = sorted(Path("examples").glob("*.toml"))


def pasted(table) -> str:
    """A fan table as a spreadsheet would give it, each value with its unit to the last digit."""
    rows = [
        f"{quantity_text(static, 'static')}\t{quantity_text(airflow, 'airflow')}"
        for static, airflow in zip(table.static, table.airflow, strict=True)
    ]
    return "\n".join(rows)


class Hand:
    """Fills in forms; each with an id of its own, as a page gives it."""

    def __init__(self, client) -> None:
        self.client = client
        self.count = 0

    def post(self, path: str, fields: dict[str, str]) -> str:
        self.count += 1
        answer = self.client.post(path, data={"once": self.client.ledger.once(), **fields})
        assert answer.status_code == 303, f"{path} {fields}: {answer.text}"
        return answer.headers["location"]


def enter(client, visit) -> str:
    """Enter a visit form by form; return its id."""
    hand = Hand(client)
    site = values_of(visit.site)
    where = hand.post("/visit", {"name": site["name"], "altitude": site["altitude"]}).removesuffix("/system")
    hand.post(f"{where}/system/place", site)
    system = values_of(visit.system)
    hand.post(f"{where}/system/equipment", system)
    for table in visit.system.fan_table:
        hand.post(f"{where}/system/fan-table", {**values_of(table), "static": "", "airflow": "", "text": pasted(table)})
    for one in visit.instrument:
        hand.post(f"{where}/system/instrument", values_of(one))
    if visit.complaint:
        hand.post(f"{where}/complaint", {"words": visit.complaint})
    later = [run for run in visit.run if run.zero_for is not None]  # a zero names its strips run, which must be there
    for run in sorted(visit.run, key=lambda run: run in later):
        hand.post(f"{where}/describe", {k: v for k, v in values_of(run).items() if k != "reading"})
        for reading in run.reading:
            hand.post(f"{where}/reading", {"run": run.id, **values_of(reading)})
    for name, things in (
        ("work", visit.work), ("leads/terminal", visit.terminal), ("leads/lead", visit.lead),
        ("leads/change", visit.change), ("leads/seat", visit.seat), ("leads/capacitor", visit.run_capacitor),
        ("gap", visit.gap), ("pattern", visit.pattern), ("price", visit.price),
    ):  # fmt: skip
        for one in things:
            hand.post(f"{where}/{name}", values_of(one))
    return where.rpartition("/")[2]


def timed_as(sheet, run):
    """A run, the times taken away that the application wrote by itself because the sheet has none."""
    theirs = next(one for one in sheet.run if one.id == run.id)
    return replace(
        run,
        reading=tuple(
            replace(one, time=other.time and one.time) for one, other in zip(run.reading, theirs.reading, strict=True)
        ),
    )


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_typed_by_hand_it_is_the_visit_of_its_sheet(client, path):
    sheet = load(path)
    typed = client.ledger.opened(enter(client, sheet)).visit
    order = {run.id: k for k, run in enumerate(sheet.run)}
    assert typed.system == sheet.system
    assert typed.instrument == sheet.instrument
    assert [timed_as(sheet, run) for run in sorted(typed.run, key=lambda run: order[run.id])] == list(sheet.run)
    for name in (
        "site", "work", "terminal", "lead", "change", "seat", "run_capacitor", "gap", "pattern", "price", "complaint",
    ):  # fmt: skip
        assert getattr(typed, name) == getattr(sheet, name), name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_it_is_judged_the_same(client, path):
    """But for the order in which runs were begun: a zero is begun after the run that it belongs to."""
    sheet = load(path)
    typed = judge(client.ledger.opened(enter(client, sheet)).visit)
    expected = judge(sheet)
    assert {(one.name, one.when, one.basis) for one in typed.results} == {
        (one.name, one.when, one.basis) for one in expected.results
    }
    for ours, theirs in zip(typed.results, expected.results, strict=True):
        if (ours.name, ours.when, ours.basis) == (theirs.name, theirs.when, theirs.basis):
            assert (ours.value, ours.low, ours.high) == pytest.approx((theirs.value, theirs.low, theirs.high), rel=1e-9)
            assert ours.standing == theirs.standing
