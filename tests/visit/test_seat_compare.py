"""How motor and wheel sit: what changed is found, what is alike is not, and what nobody recorded is told."""

import math
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.units import INCH
from drawthrough.visit.seat_compare import CLEARANCE_TOLERANCE, SeatPart, compare_seats
from drawthrough.visit.state import Seat

pytestmark = pytest.mark.property

LENGTHS = {
    "clearance motor side": "clearance_motor_side", "clearance far side": "clearance_far_side",
    "run-out motor side": "run_out_motor_side", "run-out far side": "run_out_far_side",
}  # fmt: skip
lengths = st.floats(0.0, 0.05)


def seat(**fields: Any) -> Seat:
    whole: dict[str, Any] = {
        "lead_exit": "4 o'clock", "clearance_motor_side": 0.01, "clearance_far_side": 0.012, "weights": 3,
        "run_out_motor_side": 0.001, "run_out_far_side": 0.002, "set_screw": "on the flat", "rotation": "clockwise",
        "when": "as found",
    }  # fmt: skip
    return Seat(**{**whole, **fields})


def told(found: Seat | None, left: Seat | None, **tolerance: float) -> list[tuple[str, str]]:
    return [(one.part, one.kind) for one in compare_seats(found, left, **tolerance)]


@given(
    st.builds(
        seat, clearance_motor_side=lengths, clearance_far_side=lengths, run_out_motor_side=lengths,
        run_out_far_side=lengths, weights=st.integers(0, 12),
        rotation=st.sampled_from(["clockwise", "counterclockwise"]),
        lead_exit=st.sampled_from(["4 o'clock", "12:30", "towards the door"]),
    )
)  # fmt: skip
def test_a_seat_agrees_with_itself(whole: Seat) -> None:
    assert told(whole, whole) == []


@given(st.sampled_from(sorted(LENGTHS)), lengths, st.floats(0.0, 0.03))
def test_a_length_is_told_beyond_its_tolerance(part: str, before: float, change: float) -> None:
    """A clearance either way; a run-out only where it grew, for a rim that runs truer is no fault."""
    after = before + change
    expected = [] if change <= CLEARANCE_TOLERANCE + 1e-9 else [(part, "grown" if "run-out" in part else "changed")]
    assert told(seat(**{LENGTHS[part]: before}), seat(**{LENGTHS[part]: after})) == expected
    back = [] if "run-out" in part else expected
    assert told(seat(**{LENGTHS[part]: after}), seat(**{LENGTHS[part]: before})) == back


def test_a_difference_of_just_the_tolerance_is_within_it() -> None:
    left = seat(clearance_motor_side=0.01 + INCH / 16)
    assert told(seat(), left) == []
    assert told(seat(), left, clearance_tolerance=INCH / 32) == [("clearance motor side", "changed")]


@pytest.mark.parametrize(
    ("before", "after", "same"),
    [
        ("4 o'clock", "4:00", True), ("4 o'clock", "a las 4", True), ("12 o'clock", "12:30", True),
        ("12:30", "1", True), ("11:45", "12:10", True), ("4 o'clock", "5 o'clock", False), ("12", "6", False),
        ("half past 4", "4:30", True), ("towards the door", "Towards  the door", True),
        ("towards the door", "4 o'clock", False), ("13 o'clock", "1 o'clock", False),
    ],
)  # fmt: skip
def test_where_the_leads_leave(before: str, after: str, same: bool) -> None:
    """Leads that leave elsewhere may not reach, or touch the wheel."""
    assert told(seat(lead_exit=before), seat(lead_exit=after)) == ([] if same else [("lead exit", "changed")])


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"weights": 2}, ("weights", "changed")), ({"rotation": "counterclockwise"}, ("rotation", "changed")),
        ({"set_screw": "off the flat"}, ("set screw", "off the flat")),
        ({"set_screw": "not seen"}, ("set screw", "not seen")),
        ({"weights": None}, ("weights", "not recorded")), ({"set_screw": None}, ("set screw", "not recorded")),
    ],
)  # fmt: skip
def test_what_must_be_as_it_was(fields: dict[str, Any], expected: tuple[str, str]) -> None:
    """A weight that came off makes the wheel shake; a wheel that turns the other way moves little air."""
    assert told(seat(), seat(when="as left", **fields)) == [expected]


def test_a_set_screw_must_be_right_as_left_only() -> None:
    """That it was off the flat as found is a reason to open, not a fault of what was done."""
    assert told(seat(set_screw="off the flat"), seat()) == []
    assert told(seat(set_screw=None), seat()) == []
    assert told(seat(set_screw="off the flat"), seat(set_screw="off the flat")) == [("set screw", "off the flat")]


def test_what_was_not_recorded_is_told_with_its_side() -> None:
    found = compare_seats(seat(rotation=None, weights=None), seat(rotation="clockwise", weights=None))
    assert [(one.part, one.lacks) for one in found] == [
        ("weights", ("as found", "as left")), ("rotation", ("as found",)),
    ]  # fmt: skip
    nothing = compare_seats(None, None)
    assert [one.part for one in nothing] == list(get_args(SeatPart))
    assert {one.kind for one in nothing} == {"not recorded"}
    assert [one.lacks for one in compare_seats(seat(), None)] == [("as left",)] * len(get_args(SeatPart))


@pytest.mark.parametrize(
    ("fields", "name"),
    [
        ({"clearance_far_side": -0.001}, "clearance_far_side"),
        ({"run_out_motor_side": math.nan}, "run_out_motor_side"),
        ({"clearance_motor_side": 1.0}, "clearance_motor_side"), ({"weights": -1}, "weights"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(fields: dict[str, Any], name: str) -> None:
    with pytest.raises(OutOfRange) as refusal:
        compare_seats(seat(), seat(**fields))
    assert refusal.value.quantity == name


@pytest.mark.parametrize("name", ["clearance_tolerance", "run_out_tolerance", "lead_exit_tolerance"])
@pytest.mark.parametrize("tolerance", [-1.0, math.nan, math.inf])
def test_a_tolerance_that_is_none_is_refused(name: str, tolerance: float) -> None:
    with pytest.raises(OutOfRange) as refusal:
        compare_seats(seat(), seat(), **{name: tolerance})
    assert refusal.value.quantity == name
