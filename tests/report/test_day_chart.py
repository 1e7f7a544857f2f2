"""The day's drawing: bars where the scale says, names that keep apart, two people told apart by a letter."""

import itertools
import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest

from drawthrough.plan.day import Day
from drawthrough.plan.job import planned
from drawthrough.plan.timeline import Timeline, timeline
from drawthrough.plan.truck import CapacitorWanted
from drawthrough.report.charts import Chart
from drawthrough.report.charts.canvas import WIDTH, Box
from drawthrough.report.charts.day import day_chart
from drawthrough.report.charts.widths import width_of
from drawthrough.report.text_plan import clock
from drawthrough.report.voice import ENGLISH, Voice
from drawthrough.report.words_plan import (
    capacitor_words,
    extra_words,
    finish_told,
    finish_words,
    lasting,
    promised,
    tied,
    volume,
)
from drawthrough.visit import sheet
from drawthrough.visit.facts import TaskBegun, TaskDone, VisitOpened
from drawthrough.visit.fold import fold
from drawthrough.visit.state import Job

SPACE = "{http://www.w3.org/2000/svg}"
SHEET = Path(__file__).parents[2] / "examples" / "dirty-wheel-psc.toml"
EIGHT = 8 * 3600.0
SCOPES = [("readings", "blower", "coil"), ("capacitor",), ("readings", "blower", "coil", "strips", "drain"), ("drain",)]
each_crew = pytest.mark.parametrize("crew", [1, 2])
each_scope = pytest.mark.parametrize("scope", SCOPES, ids="-".join)


@cache
def ahead(crew: int, scope: tuple[str, ...]) -> Timeline:
    system = sheet.load(SHEET).system
    return timeline(planned(Job(crew=crew, scope=scope), system), crew, EIGHT)


def fact(kind: type, number: int, at: float, **content: object) -> object:
    return kind(id=str(number), visit="v", device="d", sequence=number, moment=round(at * 1000) * 65536, **content)


@cache
def going(crew: int = 1) -> tuple[Day, float]:
    """A day on which three tasks are done and one is in hand."""
    facts = [fact(VisitOpened, 1, EIGHT, system="s")]
    for k, code in enumerate(("arrive", "tell the risk", "take the readings")):
        facts.append(fact(TaskDone, 2 + k, EIGHT + 1200 * (k + 1), task=code))
    facts.append(fact(TaskBegun, 9, EIGHT + 3700, task="isolate"))
    now = EIGHT + 3900.0
    return Day(fold(facts), now), now  # type: ignore[arg-type]


def bars(chart: Chart, name: str) -> list[Box]:
    found = []
    for node in ET.fromstring(chart.svg).iter(f"{SPACE}rect"):
        if set(name.split()) <= set((node.get("class") or "").split()):
            x, y, w, h = (float(node.get(key, "")) for key in ("x", "y", "width", "height"))
            found.append(Box(x, y, x + w, y + h))
    return found


def texts(chart: Chart) -> list[tuple[str, Box]]:
    found = []
    for node in ET.fromstring(chart.svg).iter(f"{SPACE}text"):
        names = (node.get("class") or "").split()
        face = "figure" if "figure" in names else "words left" if "left" in names else "words"
        wide, x, y = width_of(node.text or "", face), float(node.get("x", "")), float(node.get("y", ""))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[node.get("text-anchor", "start")]
        found.append((node.text or "", Box(left, y - 9.5, left + wide, y + 3.0)))
    return found


@pytest.mark.property
@each_crew
@each_scope
@pytest.mark.parametrize("language", ["en", "es"])
def test_names_keep_apart_and_inside(crew: int, scope: tuple[str, ...], language: str) -> None:
    """No text lies on another or on a bar, none leaves the drawing: whatever the day is for."""
    chart = day_chart(ahead(crew, scope), clock, Voice(language), crew=crew)
    assert chart is not None
    written = texts(chart)
    for text, box in written:
        assert box.left >= -0.5, text
        assert box.right <= WIDTH + 0.5, text
    for (one, here), (other, there) in itertools.combinations(written, 2):
        assert not here.meets(there), f"{one!r} lies on {other!r}"
    for text, box in written:
        inner = Box(box.left + 1, box.top + 2, box.right - 1, box.bottom - 2)
        for bar in [*bars(chart, "hands"), *bars(chart, "wait")]:
            assert not inner.meets(bar), text


@pytest.mark.analytic
@each_crew
@each_scope
def test_bars_lie_where_the_scale_says(crew: int, scope: tuple[str, ...]) -> None:
    """One bar of hands a task, at its times: the scale is read back from the first and the last task."""
    plan = ahead(crew, scope)
    chart = day_chart(plan, clock, crew=crew)
    assert chart is not None
    hands = bars(chart, "hands")
    assert len(hands) == len(plan.slots)
    first, last = plan.slots[0], plan.slots[-1]
    scale = (hands[-1].left - hands[0].left) / (last.start - first.start)
    for slot, bar in zip(plan.slots, hands, strict=True):
        assert bar.left == pytest.approx(hands[0].left + scale * (slot.start - first.start), abs=0.2)
        assert bar.right - bar.left == pytest.approx(max(scale * (slot.end - slot.start), 2.0), abs=0.2)
    waits = [slot for slot in plan.slots if slot.over > slot.end]
    assert len(bars(chart, "wait")) == len(waits)
    finish = bars(chart, "finish")[0]
    assert finish.left == pytest.approx(hands[0].left + scale * (plan.finish.low - first.start), abs=0.3)
    assert finish.right == pytest.approx(hands[0].left + scale * (plan.finish.high - first.start), abs=0.3)


@pytest.mark.property
def test_done_is_solid_and_ahead_an_outline() -> None:
    """It survives a grey copier; what is in hand is solid up to now, and only waiting is hatched."""
    day, now = going()
    chart = day_chart(day.plan, clock, now=now)
    assert chart is not None
    done = sum(slot.state == "done" for slot in day.plan.slots)
    assert done == 3
    assert len(bars(chart, "hands left")) == done + 1
    assert len(bars(chart, "hands ahead")) == len(day.plan.slots) - done
    for node in ET.fromstring(chart.svg).iter(f"{SPACE}rect"):
        names = (node.get("class") or "").split()
        assert (node.get("fill") is not None) == ("wait" in names)
    line = next(node for node in ET.fromstring(chart.svg).iter(f"{SPACE}line") if node.get("class") == "now")
    in_hand = bars(chart, "hands left")[-1]
    assert in_hand.right == pytest.approx(float(line.get("x1", "")), abs=0.2)
    assert [row[4] for row in chart.table.rows[:4]] == ["done", "done", "done", "in hand"]


@pytest.mark.property
def test_two_people_are_told_apart_by_a_letter() -> None:
    """One person needs none; of two, each name has the letter of the table's last column."""
    alone, two = (day_chart(ahead(crew, SCOPES[0]), clock, crew=crew) for crew in (1, 2))
    assert alone is not None
    assert two is not None
    assert not [text for text, _ in texts(alone) if re.match("[AB]: ", text)]
    letters = [text[0] for text, _ in texts(two) if re.match("[AB]: ", text)]
    assert letters == [row[-1] for row in two.table.rows]
    assert set(letters) == {"A", "B"}
    assert len(alone.table.heads) == len(two.table.heads) - 1


@pytest.mark.property
@each_crew
def test_nothing_that_the_page_forbids(crew: int) -> None:
    """A name for readers, no style, no colour; the same as a table, each row as long as its head."""
    chart = day_chart(ahead(crew, SCOPES[0]), clock, crew=crew)
    assert chart is not None
    root = ET.fromstring(chart.svg)
    assert root.get("role") == "img"
    assert root[0].text == chart.sentence
    for node in root.iter():
        assert not {key for key in node.attrib if key in ("style", "color", "stroke") or key.startswith("on")}
    assert {len(row) for row in chart.table.rows} == {len(chart.table.heads)}
    assert len(chart.table.rows) == len(ahead(crew, SCOPES[0]).slots)


@pytest.mark.property
def test_nothing_to_draw() -> None:
    """A day without tasks has no drawing."""
    assert day_chart(ahead(1, SCOPES[0])._replace(slots=()), clock) is None


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("seconds", "told"),
    [(0, "0 min"), (29, "0 min"), (31, "1 min"), (1500, "25 min"), (3570, "1 h"), (7200, "2 h"), (7800, "2 h 10 min")],
)
def test_lasting(seconds: float, told: str) -> None:
    """Whole minutes; an hour has no minutes where there are none."""
    assert lasting(seconds, ENGLISH) == told
    assert tied(told) == told.replace(" ", "\N{NO-BREAK SPACE}")


@pytest.mark.property
@each_crew
@each_scope
def test_the_finish_is_told_no_narrower_than_it_is(crew: int, scope: tuple[str, ...]) -> None:
    """Ends go outward to five minutes, and what is promised is no earlier than the late end."""
    plan = ahead(crew, scope)
    best, low, high = finish_told(plan)
    assert low <= plan.finish.low
    assert high >= plan.finish.high
    assert low <= best <= high
    assert promised(plan) >= plan.finish.high
    assert promised(plan) % 900 == 0
    assert finish_words(plan, clock) == f"Over at about {clock(best)}, between {clock(low)} and {clock(high)}."


@pytest.mark.analytic
def test_other_words() -> None:
    """Times of an extra, a jug's marks, and what a capacitor must have: voltage at least the old one's."""
    assert extra_words(360, 7800) == "now +6 min; on a visit of its own 2 h 10 min"
    assert extra_words(-5, 7800).startswith("now nothing")
    assert volume(3.785411784e-3) == "1 gal"  # a US gallon is 231 cubic inches
    assert volume(3.785411784e-3 / 128) == "1 fl oz"
    assert volume(99.6e-6, Voice("en", "SI")) == "100 mL"
    assert volume(0.5e-3, Voice("en", "SI")) == "500 mL"
    told = capacitor_words(CapacitorWanted(7.5e-6, 370.0, 0.06))
    assert told == "7.5 uF, the same as the old one; at least 370 V; no wider than ±6 %"
    assert "read volts and tolerance off the old one" in capacitor_words(CapacitorWanted(7.5e-6, None, None))
