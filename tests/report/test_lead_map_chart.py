"""The lead map drawn: its own mirror image where all is back, one thick curve for each lead that is not."""

import re
import xml.etree.ElementTree as ET
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from msgspec.structs import replace

from drawthrough.report.charts.canvas import WIDTH
from drawthrough.report.charts.lead_map import energised, lead_chart
from drawthrough.report.voice import Voice
from drawthrough.report.words_leads import ERRORS, FINDINGS, STATES, finding_told, lead_told
from drawthrough.visit.lead_compare import compare
from drawthrough.visit.lead_map import Finding, FindingKind, Kind, RowState, lead_map
from drawthrough.visit.state import Lead, Terminal

pytestmark = pytest.mark.property
SVG = "{http://www.w3.org/2000/svg}"
FOUND = [
    Lead(colour=colour, function=function, origin="motor", terminal=terminal, when="as found")
    for colour, function, terminal in (
        ("black", "high", "relay 4"), ("blue", "medium", "M1"), ("red", "low", "M2"), ("white", "common", "L2"),
        ("brown", "capacitor", "herm"), ("purple", "capacitor", "fan"), ("green", "ground", "chassis screw"),
        ("yellow", "ground", "chassis screw"), ("orange", "low voltage", "a terminal with a rather long name"),
    )
]  # fmt: skip
POSTS = [Terminal(name=name, kind="park", proved_dead=True) for name in ("M1", "M2", "M3")]


def drawn(found, left, **how):
    leads = [*found, *left]
    sides = lead_map(leads, POSTS, "as found"), lead_map(leads, POSTS, "as left")
    chart = lead_chart(*sides, compare(*sides), **how)
    return chart, ET.fromstring(chart.svg), compare(*sides)


def left(found, where=()):
    places = dict(where)
    return [replace(one, when="as left", terminal=places.get(one.colour, one.terminal)) for one in found]


def shapes(board, side):
    """Return each shape of one side with its places, those of the right side turned over."""

    def turned(x):
        return round(float(x) if side == "found" else WIDTH - float(x), 1)

    made = []
    for one in board.iter():
        words = one.get("class", "").split()
        if side not in words or not {"wire", "landing"} & set(words):
            continue
        name = (one.tag, *(word for word in words if word not in ("found", "left")))
        if one.tag == f"{SVG}line":
            ends = sorted([(turned(one.get("x1")), one.get("y1")), (turned(one.get("x2")), one.get("y2"))])
        elif one.tag == f"{SVG}circle":
            ends = [(turned(one.get("cx")), one.get("cy"))]
        elif one.tag == f"{SVG}rect":
            near = float(one.get("x")) + (0.0 if side == "found" else float(one.get("width")))
            ends = [(turned(near), one.get("y"))]
        else:
            points = re.findall(r"[-\d.]+", one.get("points"))
            ends = [(turned(x), y) for x, y in zip(points[::2], points[1::2], strict=True)]
        made.append((name, tuple(ends)))
    return sorted(made)


def colours(board, name):
    return sum(name in one.get("class", "").split() for one in board.iter())


@settings(deadline=None, max_examples=40)
@given(some.lists(some.sampled_from(FOUND), min_size=1, unique=True))
def test_put_back_right_it_is_its_own_mirror_image(found):
    chart, board, comparison = drawn(found, left(found))
    assert comparison.agrees
    assert shapes(board, "found") == shapes(board, "left")
    assert colours(board, "wrong") == 0
    assert "its own mirror image" in chart.sentence


@settings(deadline=None, max_examples=60)
@given(some.permutations([one.terminal for one in FOUND]))
def test_each_lead_that_is_not_where_it_was_is_a_thick_line_and_no_other_is(places):
    where = dict(zip([one.colour for one in FOUND], places, strict=True))
    _, board, comparison = drawn(FOUND, left(FOUND, where))
    assert colours(board, "wrong") == sum(row.state == "moved" for row in comparison.rows)


@pytest.mark.analytic
def test_two_exchanged_leads():
    chart, board, _ = drawn(FOUND, left(FOUND, {"black": "M1", "blue": "relay 4"}))
    curves = [one for one in board.iter(f"{SVG}polyline") if "wrong" in one.get("class")]
    rows = [[float(y) for y in re.findall(r"[-\d.]+", one.get("points"))[1::2]] for one in curves]
    assert sorted((ys[0], ys[-1]) for ys in rows) == [(51.0, 101.0), (101.0, 51.0)]
    assert "Not where it was: black and blue." in chart.sentence
    assert "Energised speed lead, as found: black." in chart.sentence
    assert "Energised speed lead, as left: blue." in chart.sentence


@pytest.mark.analytic
def test_what_stands_at_the_landing_points():
    _, board, _ = drawn(FOUND, [])
    said = [one.text for one in board.iter(f"{SVG}text")]
    assert said.count("park") == 2
    assert said.count("nothing on it") == 1, "the post that was declared and holds nothing"
    assert "energised" in said
    hatched = [
        one for one in board.iter(f"{SVG}rect") if "landing" in one.get("class") and "url(" in one.get("fill", "")
    ]
    assert len(hatched) == 2


def test_what_is_still_to_be_looked_at_is_kept_back():
    chart, board, _ = drawn(FOUND, left(FOUND[:1]), blind=True)
    said = " ".join(one.text for one in board.iter(f"{SVG}text"))
    for lead in FOUND[1:]:
        assert lead.colour in said
        assert lead.terminal not in said or lead.terminal in ("M1", "M2"), "posts are declared: a name tells nothing"
    assert "nothing on it" not in said.split("as left")[0]
    rows = {row[0]: row[2:] for row in chart.table.rows}
    assert rows["black"] == ("relay 4", "relay 4", "as it was")
    assert rows["blue"] == ("–", "–", "not looked at yet")
    assert "Energised speed lead, as found" not in chart.sentence


def test_no_colour_of_its_own_and_an_image_with_a_sentence():
    chart, board, _ = drawn(FOUND, left(FOUND, {"black": "M3", "red": "herm"}))
    assert board.get("role") == "img"
    assert board.find(f"{SVG}title").text == chart.sentence
    assert not re.search(r"#[0-9a-f]{3,6}\b|style=|stroke=", chart.svg)
    assert len(chart.table.rows) == len(FOUND)


def test_nothing_seen_is_nothing_drawn():
    none = lead_map([], [], "as found"), lead_map([], [], "as left")
    assert lead_chart(*none, compare(*none)) is None
    assert energised(none[0]) == ()


@pytest.mark.parametrize("kind", get_args(FindingKind))
def test_every_finding_says_what_to_do(kind):
    finding = Finding(kind=kind, leads=("black", "red"), terminals=("M2", "relay 4"), expected="relay 4")
    for one in (finding, replace(finding, expected=""), Finding(kind=kind)):
        told = finding_told(one, Voice())
        assert re.fullmatch(r"[A-Z][^{}]*[.]", told)


@pytest.mark.analytic
def test_words():
    told = finding_told(Finding(kind="moved", leads=("black",), terminals=("M2",), expected="relay 4"))
    assert told == "Move black from M2 to relay 4."
    assert set(FINDINGS) == set(get_args(FindingKind))
    assert set(STATES) == set(get_args(RowState))
    assert set(ERRORS) == set(get_args(Kind))
    assert lead_told("T1 brown/white") == "T1 brown/white"
    assert lead_told("line plug") == "line plug"
