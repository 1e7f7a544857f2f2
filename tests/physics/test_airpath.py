"""Where places lie on the air path, and what a pressure between two of them spans."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import Unresolvable
from drawthrough.physics.airpath import AirPath, coil_dirt_effect, sections
from drawthrough.physics.fan import MOTORS, FanCurve
from drawthrough.physics.operating_point import Section, operating_point
from drawthrough.physics.resistance import EXPONENTS

PATHS = [AirPath(a, f) for a in ("draw-through", "blow-through") for f in ("slot", "grille")]


@pytest.mark.analytic
def test_order_of_sections() -> None:
    assert sections("draw-through") == ("return duct", "filter", "coil", "blower", "heater", "supply duct")
    assert sections("blow-through") == ("return duct", "filter", "blower", "heater", "coil", "supply duct")
    assert sections("draw-through", "grille")[:2] == ("filter", "return duct")
    assert set(EXPONENTS) == set(sections("draw-through")) - {"blower"}
    for wrong in (("sideways", "slot"), ("draw-through", "attic")):
        with pytest.raises(Unresolvable):
            sections(*wrong)


@pytest.mark.property
@given(st.sampled_from(["draw-through", "blow-through"]), st.sampled_from(["slot", "grille"]))
def test_every_arrangement_has_each_section_once(arrangement: str, filter_place: str) -> None:
    order = sections(arrangement, filter_place)
    assert sorted(order) == sorted(sections("draw-through"))
    assert (order.index("coil") < order.index("blower")) == (arrangement == "draw-through")
    assert (order.index("filter") < order.index("return duct")) == (filter_place == "grille")
    assert order.index("filter") < order.index("blower")
    assert order[-1] == "supply duct"


def march(path: AirPath, drops: dict[str, float]) -> dict[str, float]:
    """Return the pressure at each place, walking with the air from the room to the room."""
    rise = sum(drops.values())
    level, at = 0.0, {0: 0.0}
    for k, name in enumerate(path.sections, start=1):
        level += rise if name == "blower" else -drops[name]
        at[k] = level
    assert at[len(path.sections)] == pytest.approx(0.0, abs=1e-9)
    return {place: at[path.station(place)] for place in path.places}


@pytest.mark.property
@given(st.sampled_from(PATHS), st.lists(st.floats(0.0, 200.0), min_size=5, max_size=5))
def test_both_routes_add_up_to_the_pressure(path: AirPath, sizes: list[float]) -> None:
    """Walked station by station, and as the sum of the sections spanned, with and without the blower."""
    drops = dict(zip((name for name in path.sections if name != "blower"), sizes, strict=True))
    every = {**drops, "blower": sum(sizes)}
    pressure = march(path, drops)
    for at, against in permutations(path.places, 2):
        expected = pressure[at] - pressure[against]
        spanned = path.span(at, against)
        assert "blower" not in dict(spanned)
        assert sum(sign * drops[name] for name, sign in spanned) == pytest.approx(expected, abs=1e-9)
        other = path.span_through_blower(at, against)
        assert sum(sign * every[name] for name, sign in other) == pytest.approx(expected, abs=1e-9)
        assert {name for name, _ in spanned}.isdisjoint(name for name, _ in other)
        if path.station(at) != path.station(against):
            assert len(spanned) + len(other) == len(path.sections)


@pytest.mark.analytic
def test_spans_as_the_trade_knows_them() -> None:
    path = AirPath("draw-through", "slot")
    assert path.span("return plenum", "room") == [("return duct", -1)]
    assert path.span("supply plenum", "room") == [("supply duct", 1)]
    assert path.span("room", "return plenum") == [("return duct", 1)]
    assert path.span("after filter", "after coil") == [("coil", 1)]
    assert path.span("before filter", "return plenum") == []
    assert path.span_through_blower("before filter", "return plenum") == []
    assert path.span("room", "room") == []
    # External static from plenum to plenum: what the two ducts cost, and what the blower has left for them.
    assert sorted(path.span("supply plenum", "return plenum")) == [("return duct", 1), ("supply duct", 1)]
    assert path.span_through_blower("supply plenum", "return plenum") == [
        ("filter", -1), ("coil", -1), ("blower", 1), ("heater", -1),
    ]  # fmt: skip
    # The blower's own rise: everything else.
    assert sorted(name for name, _ in path.span("after blower", "before blower")) == sorted(
        name for name in path.sections if name != "blower"
    )
    furnace = AirPath("blow-through", "slot")
    assert furnace.span("before coil", "supply plenum") == [("coil", 1)]
    assert furnace.span("before coil", "room") == [("coil", 1), ("supply duct", 1)]
    grille = AirPath("draw-through", "grille")
    assert grille.span("return plenum", "return grille") == [("return duct", -1)]
    assert grille.span("return grille", "room") == [("filter", -1)]


@pytest.mark.analytic
def test_places_that_do_not_exist_are_refused_with_the_reason() -> None:
    for path in PATHS:
        with pytest.raises(Unresolvable, match="no place on a"):
            path.span("attic", "room")
    for arrangement in ("draw-through", "blow-through"):
        with pytest.raises(Unresolvable, match="room itself"):
            AirPath(arrangement, "grille").span("before filter", "room")
        with pytest.raises(Unresolvable, match="part of the return duct"):
            AirPath(arrangement, "slot").hole("return grille")


@pytest.mark.analytic
def test_holes() -> None:
    path = AirPath("draw-through", "slot")
    assert path.hole("room") is None
    assert path.hole("after coil") == path.hole("after coil", None) == "after coil"
    assert len({path.hole("after coil", hole) for hole in (None, "left", "right")}) == 3


@pytest.mark.analytic
def test_ends_of_the_external_static() -> None:
    air_handler = AirPath("draw-through", "slot")
    assert air_handler.external_ends(True) == ("supply plenum", "before coil")
    assert air_handler.external_ends(True, filter_inside_taps=True) == ("supply plenum", "return plenum")
    assert air_handler.external_ends(False) == ("supply plenum", "before blower")
    furnace = AirPath("blow-through", "slot")
    assert furnace.external_ends(False) == ("before coil", "before blower")
    assert furnace.external_ends(True) == ("supply plenum", "before blower")
    assert furnace.external_ends(True, filter_inside_taps=True) == ("supply plenum", "return plenum")
    assert AirPath("draw-through", "grille").external_ends(True) == ("supply plenum", "return plenum")
    assert AirPath("blow-through", "grille").external_ends(False) == ("before coil", "return plenum")


@pytest.mark.property
@given(st.sampled_from(PATHS), st.booleans(), st.booleans())
def test_what_lies_inside_the_taps_is_no_part_of_the_external_static(path: AirPath, coil: bool, filter_: bool) -> None:
    spanned = dict(path.span(*path.external_ends(coil, filter_)))
    assert ("coil" in spanned) == (not coil)
    assert ("filter" in spanned) == (not filter_ or path.filter_place == "grille" or
                                     (path.arrangement == "draw-through" and not coil))  # fmt: skip
    assert {"return duct", "supply duct"} <= set(spanned)
    assert set(spanned.values()) == {1}


@pytest.mark.property
@given(
    st.sampled_from(PATHS), st.sampled_from(MOTORS), st.booleans(), st.floats(0.05, 0.6),
    st.lists(st.floats(10.0, 40.0), min_size=5, max_size=5),
)  # fmt: skip
def test_effect_of_dirt_on_the_coil(path: AirPath, motor: str, inside: bool, dirt: float, sizes: list[float]) -> None:
    """The sign that is said is the sign that the operating point gives."""
    falls = [0.75, 0.68, 0.60, 0.50, 0.38, 0.20]
    airflow = [0.5] * 6 if motor == "constant airflow" else falls
    curve = FanCurve([5.0, 60.0, 120.0, 180.0, 240.0, 400.0], airflow)
    names = [name for name in path.sections if name != "blower"]
    external = [names.index(name) for name, _ in path.span(*path.external_ends(inside))]

    def external_static(coil: float) -> float:
        parts = [
            Section(size * (coil if name == "coil" else 1.0), EXPONENTS[name].mean)
            for name, size in zip(names, sizes, strict=True)
        ]
        drops = operating_point(curve, motor, parts).drops
        return sum(drops[k] for k in external)

    change = external_static(1.0 + dirt) - external_static(1.0)
    effect = coil_dirt_effect(motor, inside)
    assert change == pytest.approx(0.0, abs=1e-8) if effect == 0 else change * effect > 1e-6


@pytest.mark.analytic
def test_effect_of_dirt_as_the_balance_of_pressures_has_it() -> None:
    assert [coil_dirt_effect(motor, False) for motor in MOTORS] == [1, 1, 1]
    assert [coil_dirt_effect(motor, True) for motor in MOTORS] == [-1, -1, 0]
    with pytest.raises(Unresolvable):
        coil_dirt_effect("steam", True)
