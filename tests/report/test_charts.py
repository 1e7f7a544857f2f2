"""The charts: geometry by their own scales, labels that keep apart, and nothing in them that the page forbids."""

import itertools
import math
import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path
from typing import NamedTuple

import msgspec
import pytest

from drawthrough.judge import Judgement, judge
from drawthrough.judge.drawing import OperatingPoint
from drawthrough.report.charts import Chart, fan_chart, path_chart, ratio_chart, steady_chart, strip_chart
from drawthrough.report.charts.axis import axis, round_amount
from drawthrough.report.charts.canvas import Box, Canvas, Line, clipped
from drawthrough.report.charts.fan import outline
from drawthrough.report.charts.widths import width_of
from drawthrough.report.voice import Voice
from drawthrough.visit import logger, sheet
from drawthrough.visit.logger_steady import find_windows
from tests.measure.made_day import as_csv, made_day

CHECKOUT = Path(__file__).parents[2]
EXAMPLES = sorted(path.stem for path in (CHECKOUT / "examples").glob("*.toml"))
VOICES = [Voice(language, measures) for language in ("en", "es") for measures in ("field", "SI")]
SPACE = "{http://www.w3.org/2000/svg}"
CHI_SQUARE = 5.991  # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4: 2 degrees of freedom, 0.95

each_voice = pytest.mark.parametrize("voice", VOICES, ids=lambda voice: f"{voice.language} {voice.measures}")
each_example = pytest.mark.parametrize("name", EXAMPLES)


@cache
def judged(name: str) -> Judgement:
    return judge(sheet.load(CHECKOUT / "examples" / f"{name}.toml"))


@cache
def charts(name: str, voice: Voice) -> tuple[Chart, ...]:
    """Every chart of an example."""
    judgement = judged(name)
    made = [fan_chart(judgement, voice), path_chart(judgement, voice)]
    names = dict.fromkeys(result.name for result in judgement.results)
    for one in names:
        made.append(strip_chart(judgement.result(one, "as found"), judgement.result(one, "as left"), voice))
        ratios = [result for result in judgement.results if result.name == one and " over " in result.when]
        made.append(ratio_chart(ratios, voice))
    made.append(ratio_chart([result for result in judgement.results if " over " in result.when], voice))
    return tuple(chart for chart in made if chart is not None)


@cache
def day() -> tuple[logger.Log, tuple[object, ...]]:
    log = logger.read(as_csv(made_day()))
    return log, find_windows(log, "cooling").windows


class Written(NamedTuple):
    text: str
    box: Box


def written(chart: Chart) -> list[Written]:
    """Every text of a drawing with the box in which it stands."""
    found = []
    for node in ET.fromstring(chart.svg).iter(f"{SPACE}text"):
        text = node.text or ""
        names = set((node.get("class") or "").split()) - {"halo"}
        face = "figure" if "figure" in names else "words left" if "left" in names else "words"
        wide = width_of(text, face)
        x, y = float(node.get("x", "0")), float(node.get("y", "0"))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[node.get("text-anchor", "start")]
        found.append(Written(text, Box(left, y - 9.5, left + wide, y + 3.0)))
    return found


def assert_apart(chart: Chart) -> None:
    high = float((ET.fromstring(chart.svg).get("viewBox") or "").split()[3])
    texts = written(chart)
    for one in texts:
        assert one.box.left >= -0.5, one
        assert one.box.right <= 342.5, one
        assert one.box.top >= 0.0, one
        assert one.box.bottom <= high, one
    for one, other in itertools.combinations(texts, 2):
        assert not one.box.meets(other.box), f"{one.text!r} lies on {other.text!r}"


@pytest.mark.property
@each_voice
@each_example
def test_labels_keep_apart(name: str, voice: Voice) -> None:
    """No text lies on another, and none leaves the drawing."""
    for chart in charts(name, voice):
        assert_apart(chart)


@pytest.mark.property
@each_voice
@pytest.mark.parametrize("count", [0, 1, 5, 40])
def test_labels_of_a_log_keep_apart(voice: Voice, count: int) -> None:
    """Also where windows stand close together."""
    log, windows = day()
    chart = steady_chart(log, windows[:count], voice)  # type: ignore[arg-type]
    assert chart is not None
    assert_apart(chart)
    assert len(chart.table.rows) == min(count, len(windows))


@pytest.mark.property
@each_voice
@each_example
def test_nothing_that_the_page_forbids(name: str, voice: Voice) -> None:
    """Well-formed, no style, no colour, no script; every reference finds its id; a name for readers."""
    for chart in charts(name, voice):
        root = ET.fromstring(chart.svg)
        assert root.get("role") == "img"
        assert root[0].tag == f"{SPACE}title"
        assert root[0].text
        assert root.get("viewBox", "").startswith("0 0 342 ")
        ids = {node.get("id") for node in root.iter() if node.get("id")}
        for node in root.iter():
            assert not {key for key in node.attrib if key in ("style", "color", "stroke") or key.startswith("on")}
            fill = node.get("fill")
            if fill is not None:
                assert re.fullmatch(r"url\(#hatch-[a-z]+-[0-9a-f]{8}\)", fill)
                assert fill[5:-1] in ids
        assert not re.search(r"#[0-9a-f]{3,6}\b(?!-)|rgb|hsl", chart.svg.replace("url(#hatch", ""))


@pytest.mark.property
@each_example
def test_ids_differ_on_one_page(name: str) -> None:
    """Different drawings name different patterns."""
    made = charts(name, VOICES[0])
    ids = [found for chart in {chart.svg for chart in made} for found in re.findall(r' id="([^"]+)"', chart)]
    assert len(ids) == len(set(ids))


@pytest.mark.property
@each_voice
@each_example
def test_each_chart_has_its_sentence_and_table(name: str, voice: Voice) -> None:
    """Rows are as long as their heads; no unfilled placeholder is left; `left` never stands alone in English."""
    for chart in charts(name, voice):
        assert chart.sentence.endswith(".")
        told = [chart.sentence, *chart.table.heads, *(cell for row in chart.table.rows for cell in row)]
        told += [one.text for one in written(chart)]
        assert not [text for text in told if re.search(r"[{}]|\bnan\b|\.\.", text)]
        assert chart.table.rows
        assert {len(row) for row in chart.table.rows} == {len(chart.table.heads)}
        if voice.language == "en":
            assert not [text for text in told if re.match(r"(left|found)\b", text)]


def ticks(chart: Chart, across: bool) -> tuple[float, float]:
    """Return scale and origin of an axis, from two of its written ticks: pixel = origin + scale * value."""
    root = ET.fromstring(chart.svg)
    found = []
    for node in root.iter(f"{SPACE}text"):
        if node.get("class") == "figure" and re.fullmatch("[−0-9.]+", node.text or ""):
            foot = node.get("text-anchor") == "middle"
            if foot == across:
                pixel = float(node.get("x", "")) if across else float(node.get("y", "")) - 4.5
                found.append((float((node.text or "").replace("−", "-")), pixel))
    found.sort()
    (v0, p0), (v1, p1) = found[0], found[-1]
    return (p1 - p0) / (v1 - v0), p0 - v0 * (p1 - p0) / (v1 - v0)


@pytest.mark.analytic
@each_voice
@each_example
def test_operating_points_lie_where_the_scale_says(name: str, voice: Voice) -> None:
    """Read back from the drawing by its own ticks, to the tenth of a unit that a drawing is written to."""
    judgement = judged(name)
    assert judgement.drawing is not None
    chart = fan_chart(judgement, voice)
    assert chart is not None
    (sx, ox), (sy, oy) = ticks(chart, True), ticks(chart, False)
    dots = {
        (node.get("class") or "").split()[1]: (float(node.get("cx", "")), float(node.get("cy", "")))
        for node in ET.fromstring(chart.svg).iter(f"{SPACE}circle")
    }
    assert len(dots) == 2
    for point in judgement.drawing.points:
        x, y = dots[point.when.removeprefix("as ")]
        flow, static = voice.unit("cfm").of(point.airflow), voice.unit("inwc").of(point.static)
        assert ox + sx * flow == pytest.approx(x, abs=0.2)
        assert oy + sy * static == pytest.approx(y, abs=0.2)


@pytest.mark.analytic
@each_example
def test_path_lies_where_the_scale_says(name: str) -> None:
    """Each corner of the line along the air path."""
    judgement = judged(name)
    assert judgement.drawing is not None
    voice = VOICES[0]
    chart = path_chart(judgement, voice)
    assert chart is not None
    root = ET.fromstring(chart.svg)
    lines = {node.get("class"): node.get("points", "") for node in root.iter(f"{SPACE}polyline")}
    zeros = [node for node in root.iter(f"{SPACE}text") if node.get("text-anchor") == "middle"]
    values = sorted((float((n.text or "").replace("−", "-")), float(n.get("x", ""))) for n in zeros)
    (v0, p0), (v1, p1) = values[0], values[-1]
    for run in judgement.drawing.path:
        points = [tuple(map(float, pair.split(","))) for pair in lines[f"curve {run.when[3:]}"].split()]
        for place, (x, _) in zip(run.places, points, strict=True):
            value = voice.unit("inwc").of(place.value)
            assert p0 + (value - v0) * (p1 - p0) / (v1 - v0) == pytest.approx(x, abs=0.2)
        heights = [y for _, y in points]
        assert heights == sorted(heights, reverse=True)  # upward


@pytest.mark.published
@each_example
def test_region_holds_95_in_100(name: str) -> None:
    """Every point of the outline lies at the Mahalanobis distance of the chi-square table."""
    drawing = judged(name).drawing
    assert drawing is not None
    for point in drawing.points:
        (a, b), (_, c) = point.covariance
        determinant = a * c - b * b
        for spot in outline(point):
            u, v = math.log(spot.airflow / point.airflow), math.log(spot.static / point.static)
            assert (c * u * u - 2 * b * u * v + a * v * v) / determinant == pytest.approx(CHI_SQUARE, abs=6e-4)


@pytest.mark.published
def test_region_of_tied_logarithms() -> None:
    """The same where airflow and static are strongly tied: the outline leans."""
    tied = ((0.04, 0.045), (0.045, 0.09))
    point = OperatingPoint(run="r", when="as left", airflow=0.5, static=100.0, covariance=tied)
    spots = outline(point, 12)
    for spot in spots:
        u, v = math.log(spot.airflow / 0.5), math.log(spot.static / 100.0)
        distance = (0.09 * u * u - 0.09 * u * v + 0.04 * v * v) / (0.04 * 0.09 - 0.045**2)
        assert distance == pytest.approx(CHI_SQUARE, abs=6e-4)
    assert spots[0].static > 100.0  # furthest right, and above


@pytest.mark.property
def test_not_resolved_is_open_and_broken() -> None:
    """No hatching, no notch and no best value where nothing is resolved."""
    judgement = judged("nothing-resolved")
    fan = fan_chart(judgement)
    strip = strip_chart(judgement.result("airflow", "as found"), judgement.result("airflow", "as left"))
    assert fan is not None
    assert strip is not None
    for chart, bars in ((fan, "polygon"), (strip, "rect")):
        found = list(ET.fromstring(chart.svg).iter(f"{SPACE}{bars}"))
        assert len(found) == 2
        assert all("open" in (node.get("class") or "").split() and node.get("fill") is None for node in found)
        assert "notch" not in chart.svg
    assert "860" not in strip.sentence
    assert all(row[1] == "" for row in strip.table.rows)


@pytest.mark.property
def test_found_is_hatched_and_left_is_solid() -> None:
    """It survives a grey copier: the two differ by more than a colour."""
    judgement = judged("dirty-wheel-psc")
    chart = strip_chart(judgement.result("airflow", "as found"), judgement.result("airflow", "as left"))
    assert chart is not None
    bars = {node.get("class"): node.get("fill") for node in ET.fromstring(chart.svg).iter(f"{SPACE}rect")}
    assert (bars["bar found"] or "").startswith("url(#")
    assert bars["bar left"] is None


@pytest.mark.property
def test_one_run_alone() -> None:
    """Before there is a pair, the one run is drawn."""
    visit = sheet.load(CHECKOUT / "examples" / "dirty-wheel-psc.toml")
    found = tuple(run for run in visit.run if run.when == "as found")
    judgement = judge(msgspec.structs.replace(visit, run=found, work=()))
    for voice in VOICES:
        for chart in (fan_chart(judgement, voice), path_chart(judgement, voice)):
            assert chart is not None
            assert_apart(chart)
            assert "left" not in re.findall(r'class="dot (\w+)"', chart.svg)


@pytest.mark.property
def test_nothing_to_draw() -> None:
    """No reading of air, no chart; no result, no strip; no values, no log."""
    visit = sheet.load(CHECKOUT / "examples" / "dirty-wheel-psc.toml")
    judgement = judge(msgspec.structs.replace(visit, run=(), work=()))
    assert fan_chart(judgement) is None
    assert path_chart(judgement) is None
    assert strip_chart(None) is None
    assert ratio_chart([]) is None
    log, _ = day()
    assert steady_chart(log._replace(columns=()), ()) is None


@pytest.mark.property
def test_text_is_escaped() -> None:
    """What a user typed cannot break the drawing."""
    canvas = Canvas(40.0)
    canvas.text((0.0, 20.0), '<b> & "c"', "words")
    root = ET.fromstring(canvas.render("strip", "a < b & c"))
    assert root[0].text == "a < b & c"
    assert [node.text for node in root.iter(f"{SPACE}text")] == ['<b> & "c"']


@pytest.mark.property
def test_a_label_that_finds_no_room_is_left_out() -> None:
    """Rather than written over another."""
    canvas = Canvas(40.0)
    room = Box(0.0, 0.0, 60.0, 20.0)
    for _ in range(3):
        canvas.label([Line("a label", "words")], [(10.0, 10.0)], room)
    assert canvas.render("fan", "x").count("<text") == 1


@pytest.mark.analytic
def test_clipping() -> None:
    """A diagonal through a unit square, and a line that passes it by."""
    box = Box(0.0, 0.0, 1.0, 1.0)
    assert clipped([(-1.0, -1.0), (2.0, 2.0)], box) == [[(0.0, 0.0), (1.0, 1.0)]]
    assert clipped([(-1.0, 2.0), (2.0, 2.0)], box) == []


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("about", "amount"), [(0.9, 1.0), (1.0, 1.0), (1.2, 2.0), (2.1, 5.0), (0.07, 0.1), (38.0, 50.0)]
)
def test_squares_are_round(about: float, amount: float) -> None:
    """One, two or five times a power of ten, and never less than asked."""
    assert round_amount(about) == pytest.approx(amount)
    scale = axis(-0.31 * about, 8.7 * about, 0.0, 300.0, 10)
    assert scale.low <= -0.31 * about
    assert scale.high >= 8.7 * about
    assert scale.at(scale.low) == 0.0
    assert scale.at(scale.high) == 300.0
