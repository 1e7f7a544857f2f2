"""The drawing of a judgement against the physics it is drawn from, and against the fit's own answers."""

import math
from functools import cache
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest

from drawthrough.judge import Judgement, judge
from drawthrough.judge.drawing import Curve, Drawing
from drawthrough.judge.ends import path_of
from drawthrough.physics.fan import FanCurve
from drawthrough.visit import sheet
from drawthrough.visit.state import Visit
from tests.judge.visits import CFM, INWC

EXAMPLES = sorted(path.stem for path in (Path(__file__).parents[2] / "examples").glob("*.toml"))
WITH_TABLE = [name for name in EXAMPLES if name != "nothing-resolved"]
FURNACE = "furnace-coil-outside"


@cache
def visit_of(name: str) -> Visit:
    return sheet.load(Path(__file__).parents[2] / "examples" / f"{name}.toml")


@cache
def judged(name: str) -> Judgement:
    return judge(visit_of(name))


def drawing_of(name: str) -> Drawing:
    drawing = judged(name).drawing
    assert drawing is not None
    return drawing


def static_at(curve: Curve, airflow: float) -> float:
    """Static of a curve between its points, straight in the logarithms, as a power law is."""
    points = sorted(curve.points, key=lambda spot: spot.airflow)
    assert points[0].airflow <= airflow <= points[-1].airflow
    for first, last in pairwise(points):
        if first.airflow <= airflow <= last.airflow:
            share = math.log(airflow / first.airflow) / math.log(last.airflow / first.airflow)
            return first.static * (last.static / first.static) ** share
    raise AssertionError(airflow)


def curve_for(curves: tuple[Curve, ...], when: str) -> Curve:
    return next(curve for curve in curves if when in curve.when)


def said_beyond_its_table(name: str) -> bool:
    """Whether the blower's change is held to rest on a table that was followed past its ends."""
    result = judged(name).result("blower_against_clean", "as found over as left")
    return result is not None and any(reason.code == "beyond the fan table" for reason in result.reasons)


@pytest.mark.analytic
@pytest.mark.parametrize("name", EXAMPLES)
def test_duct_curve_passes_through_the_points(name: str) -> None:
    """Within the standard deviation of each point's static, and exactly where a run has a curve of its own."""
    drawing = drawing_of(name)
    for point in drawing.points:
        curve = curve_for(drawing.ducts, point.when)
        off = abs(math.log(static_at(curve, point.airflow) / point.static))
        assert off <= math.sqrt(point.covariance[1][1])
        if len(curve.when) == 1:
            assert off < 1e-4  # a sum of power laws, between two of twenty points


@pytest.mark.analytic
@pytest.mark.parametrize("name", WITH_TABLE)
def test_blower_curve_passes_through_its_point(name: str) -> None:
    """Where the blower meets the ducts: both curves hold the same static at the run's airflow."""
    drawing = drawing_of(name)
    for point in drawing.points:
        curve = curve_for(drawing.blowers, point.when)
        spots = sorted(curve.points, key=lambda spot: spot.static)
        for first, last in pairwise(spots):
            if first.static <= point.static <= last.static:
                share = (point.static - first.static) / (last.static - first.static)
                airflow = first.airflow + share * (last.airflow - first.airflow)
                assert airflow == pytest.approx(point.airflow, rel=2e-3)  # twenty chords on a bent curve
                break
        else:
            # A curve ends where its table does; a blower that works harder stands past it, and it is said.
            assert point.static > spots[-1].static
            assert said_beyond_its_table(name), "the point lies beyond the curve"


@pytest.mark.analytic
@pytest.mark.parametrize("name", WITH_TABLE)
def test_blower_curve_stops_where_its_table_does(name: str) -> None:
    """Airflow over the table's, at the ends of the curve, is one factor but for the table's slope."""
    drawing = drawing_of(name)
    table = drawing.tables[0]
    printed = [spot.airflow for spot in table.points]
    for curve in drawing.blowers:
        flows = [spot.airflow for spot in curve.points]
        assert flows == sorted(flows, reverse=True)
        # No further than the table goes, scaled by a strength and a level that cannot be far from 1.
        assert 0.6 * min(printed) < min(flows)
        assert max(flows) < 1.2 * max(printed)


@pytest.mark.analytic
@pytest.mark.parametrize("name", EXAMPLES)
def test_points_are_the_results(name: str) -> None:
    """The airflow and the static of a point are those of the judgement, but for the lean of its median."""
    judgement, drawing = judged(name), drawing_of(name)
    for point in drawing.points:
        airflow = judgement.result("airflow", point.when)
        assert airflow is not None
        assert point.airflow == pytest.approx(airflow.value, rel=0.02)
        half = 1.959964 * math.sqrt(point.covariance[0][0])
        assert math.log(airflow.high / airflow.low) / 2 == pytest.approx(half, rel=1e-6)
        static = judgement.result("duct_static", point.when) or judgement.result("external_static", point.when)
        assert static is not None
        assert point.static == pytest.approx(static.value, rel=1e-9)
        assert 1.959964 * math.sqrt(point.covariance[1][1]) == pytest.approx(
            (static.high - static.low) / 2 / static.value, rel=1e-6
        )


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_covariance_is_one(name: str) -> None:
    """Symmetric and positive definite."""
    for point in drawing_of(name).points:
        (a, b), (c, d) = point.covariance
        assert b == c
        assert a > 0.0
        assert a * d - b * c > 0.0


@pytest.mark.analytic
@pytest.mark.parametrize("name", EXAMPLES)
def test_path_closes(name: str) -> None:
    """From room to room the steps add up to nothing, and what lies between the duct's two ends to the duct static."""
    drawing = drawing_of(name)
    path = path_of(visit_of(name).system)
    for run, point in zip(drawing.path, drawing.points, strict=True):
        values = [place.value for place in run.places]
        assert values[0] == values[-1] == 0.0
        rise = [after - before for before, after in pairwise(values)]
        blower = next(k for k, place in enumerate(run.places[1:]) if place.after == "blower")
        assert rise[blower] > 0.0
        assert all(step < 0.0 for k, step in enumerate(rise) if k != blower)
        assert rise[blower] == pytest.approx(-sum(step for k, step in enumerate(rise) if k != blower), rel=1e-12)
        by_station = {path.station(place.place): place.value for place in run.places[1:-1]}
        high, low = (by_station[path.station(end)] for end in drawing.ends)
        assert high - low == pytest.approx(point.static, rel=1e-9)
        for place in run.places[1:-1]:
            assert place.low < place.value < place.high
            assert place.low * place.high > 0.0


@pytest.mark.independent
def test_what_was_typed_stands_at_its_place() -> None:
    """The readings of the sheet, by hand from the file."""
    found = drawing_of("dirty-wheel-psc").path[0]
    read = {place.place: place.read for place in found.places}
    assert read == {
        "room": (),
        "return plenum": ("-0.092 inwc",),
        "after filter": ("-0.239 inwc",),
        "after coil": ("-0.384 inwc",),
        "after blower": (),
        "supply plenum": ("0.183 inwc",),
    }


@pytest.mark.analytic
def test_ducts_are_one_curve_where_they_stayed_as_they_were() -> None:
    """A coil outside the taps counts as duct, and its cleaning moves the curve; otherwise one curve serves."""
    for name in EXAMPLES:
        whens = [curve.when for curve in drawing_of(name).ducts]
        alone = [("as found",), ("as left",)]
        assert whens == (alone if name == FURNACE else [("as found", "as left")])


@pytest.mark.independent
def test_table_alone() -> None:
    """The table's claim is that of the table at the static that was read; 0.422 in. w.c. lies between two points."""
    found, left = drawing_of("dirty-wheel-psc").claims
    table = visit_of("dirty-wheel-psc").system.fan_table[0]
    assert found.static == pytest.approx((0.183 + 0.239) * INWC, rel=1e-4)
    assert found.airflow == FanCurve(table.static, table.airflow).airflow(found.static)
    assert 1185 * CFM < found.airflow < 1240 * CFM
    assert found.set_aside == "outside the interval of all readings"
    assert left.set_aside == ""


@pytest.mark.property
def test_a_motor_that_is_not_the_makers_has_no_curve() -> None:
    """Its table is not drawn, the reason is given, and what the table claims is set aside for it."""
    drawing = drawing_of("nothing-resolved")
    assert drawing.blowers == drawing.tables == ()
    assert [(note.what, note.why) for note in drawing.notes] == [("blower curve", "motor not original")] * 2
    assert {claim.set_aside for claim in drawing.claims} == {"motor not original"}


@pytest.mark.property
@pytest.mark.parametrize(
    ("change", "why"), [({"motor_original": False}, "motor not original"), ({"label_altered": True}, "label altered")]
)
def test_what_is_not_known_to_be_the_makers_voids_the_fan_table(change: dict[str, bool], why: str) -> None:
    """Another motor or an altered label: nobody knows whose table it is, so no airflow rests on it."""
    visit = visit_of("dirty-wheel-psc")
    found = judge(msgspec.structs.replace(visit, system=msgspec.structs.replace(visit.system, **change))).drawing
    assert found is not None
    assert found.blowers == found.tables == ()
    assert {note.why for note in found.notes if note.what == "blower curve"} == {why}
    assert len(drawing_of("dirty-wheel-psc").blowers) > 0


@pytest.mark.property
def test_one_run_is_drawn_alone() -> None:
    """Before anything was cleaned there is one point, one duct curve and one path."""
    visit = visit_of("dirty-wheel-psc")
    found = msgspec.structs.replace(visit, run=tuple(run for run in visit.run if run.when == "as found"), work=())
    drawing = judge(found).drawing
    assert drawing is not None
    assert [len(part) for part in (drawing.points, drawing.ducts, drawing.blowers, drawing.path)] == [1, 1, 1, 1]


@pytest.mark.property
def test_nothing_to_draw() -> None:
    """Without a reading of the air there is no drawing."""
    visit = msgspec.structs.replace(visit_of("dirty-wheel-psc"), run=(), work=())
    assert judge(visit).drawing is None


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_json_round_trip(name: str) -> None:
    """A judgement with its drawing comes back from JSON as it was."""
    judgement = judged(name)
    assert msgspec.json.decode(msgspec.json.encode(judgement), type=Judgement) == judgement
