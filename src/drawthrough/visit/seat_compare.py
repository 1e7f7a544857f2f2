"""How motor and wheel sit as left, held against how they sat as found."""

import math
import re
from typing import Literal, get_args

from drawthrough.errors import OutOfRange
from drawthrough.units import INCH
from drawthrough.visit.state import Frozen, Seat, When
from drawthrough.vocabulary import quantity_of

CLEARANCE_TOLERANCE = INCH / 16  # [m] (judgement): what a rule held into a housing can tell
RUN_OUT_TOLERANCE = INCH / 16  # [m] (judgement)
_ROUNDING = 1e-9  # so that a difference of just the tolerance is within it
LEAD_EXIT_TOLERANCE = 0.5  # hours of a clock face (judgement): what a look can tell

SeatPart = Literal[
    "lead exit", "clearance motor side", "clearance far side", "run-out motor side", "run-out far side", "weights",
    "set screw", "rotation",
]  # fmt: skip
SeatKind = Literal["changed", "grown", "off the flat", "not seen", "not recorded"]
Said = str | int | float | None


class SeatFinding(Frozen, frozen=True, kw_only=True):
    """One thing that changed or was not recorded; lengths are in metres. `lacks` says on which side nothing stands."""

    part: SeatPart
    kind: SeatKind
    found: Said = None
    left: Said = None
    lacks: tuple[When, ...] = ()


def compare_seats(
    found: Seat | None,
    left: Seat | None,
    *,
    clearance_tolerance: float = CLEARANCE_TOLERANCE,
    run_out_tolerance: float = RUN_OUT_TOLERANCE,
    lead_exit_tolerance: float = LEAD_EXIT_TOLERANCE,
) -> tuple[SeatFinding, ...]:
    """Return what differs, in the order of `SeatPart`. What was not recorded on a side is told, not passed over."""
    for name, tolerance in (
        ("clearance_tolerance", clearance_tolerance),
        ("run_out_tolerance", run_out_tolerance),
        ("lead_exit_tolerance", lead_exit_tolerance),
    ):
        if not 0.0 <= tolerance < math.inf:
            raise OutOfRange(name, tolerance, (0.0, math.inf), "a tolerance")
    tolerance_of: dict[SeatPart, float] = {
        "lead exit": lead_exit_tolerance,
        "clearance motor side": clearance_tolerance,
        "clearance far side": clearance_tolerance,
        "run-out motor side": run_out_tolerance,
        "run-out far side": run_out_tolerance,
    }
    found_said, left_said = _said(found), _said(left)
    findings = []
    for part, before in found_said.items():
        after = left_said[part]
        kind = _differs(part, before, after, tolerance_of.get(part, 0.0))
        if kind is None:
            continue
        lacks: list[When] = ["as found"] if before is None else []
        if after is None:
            lacks.append("as left")
        findings.append(SeatFinding(part=part, kind=kind, found=before, left=after, lacks=tuple(lacks)))
    return tuple(findings)


def _said(seat: Seat | None) -> dict[SeatPart, Said]:
    """Return what was recorded of each part; None where nothing was."""
    if seat is None:
        return dict.fromkeys(get_args(SeatPart))
    lengths = {
        "clearance_motor_side": seat.clearance_motor_side,
        "clearance_far_side": seat.clearance_far_side,
        "run_out_motor_side": seat.run_out_motor_side,
        "run_out_far_side": seat.run_out_far_side,
    }
    for name, length in lengths.items():
        quantity = quantity_of("clearance" if name.startswith("clearance") else "run_out")
        if length is not None and not quantity.low <= length <= quantity.high:
            raise OutOfRange(name, length, (quantity.low, quantity.high), "vocabulary")
    if seat.weights is not None and seat.weights < 0:
        raise OutOfRange("weights", seat.weights, (0, math.inf), "a count")
    return {
        "lead exit": seat.lead_exit.strip() or None,
        "clearance motor side": seat.clearance_motor_side,
        "clearance far side": seat.clearance_far_side,
        "run-out motor side": seat.run_out_motor_side,
        "run-out far side": seat.run_out_far_side,
        "weights": seat.weights,
        "set screw": seat.set_screw,
        "rotation": seat.rotation,
    }


def _differs(part: SeatPart, before: Said, after: Said, tolerance: float) -> SeatKind | None:
    """Return how one part differs, or None where it does not."""
    if part == "set screw":  # it must be right as left, whatever it was as found
        if after is None:
            return "not recorded"
        return None if after == "on the flat" else "off the flat" if after == "off the flat" else "not seen"
    if before is None or after is None:
        return "not recorded"
    if part == "lead exit":
        return None if _same_exit(str(before), str(after), tolerance) else "changed"
    if isinstance(before, (int, float)) and isinstance(after, (int, float)):
        change = after - before if part.startswith("run-out") else abs(after - before)  # a rim that runs truer is good
        if change <= tolerance + _ROUNDING:
            return None
        return "grown" if part.startswith("run-out") else "changed"
    return None if before == after else "changed"


def _same_exit(before: str, after: str, tolerance: float) -> bool:
    """Do two clock positions agree? Words that are no clock position must be the same words."""
    hours = [_hour(text) for text in (before, after)]
    if hours[0] is None or hours[1] is None:
        return " ".join(before.casefold().split()) == " ".join(after.casefold().split())
    apart = abs(hours[0] - hours[1]) % 12
    return min(apart, 12 - apart) <= tolerance + _ROUNDING


def _hour(text: str) -> float | None:
    """Return the hour of a clock position such as "4 o'clock", "4:30" or "a las 4"."""
    numbers = re.findall(r"(\d{1,2})(?:[:.](\d{2}))?", text)
    if len(numbers) != 1:
        return None
    hour, minute = int(numbers[0][0]), int(numbers[0][1] or 0)
    if not 1 <= hour <= 12 or minute > 59:
        return None
    half = 0.5 if re.search(r"\b(half past|y media)\b", text.casefold()) else 0.0
    return hour + minute / 60 + half
