"""The causes of one visit, put together: their odds, what speaks for and against each, and what may be said."""

import math
from collections.abc import Callable, Iterator
from typing import Literal

import msgspec

from drawthrough.judge import judgement
from drawthrough.judge.causes import Weighed, looked, possible, verdict, weighed
from drawthrough.judge.joint import COVERAGE
from drawthrough.judge.judgement import Causes, Evidence
from drawthrough.judge.marks import Marks
from drawthrough.measure.shift import Usual, evidence
from drawthrough.trade.causes import MISREAD, NOTHING, Cause, Shift
from drawthrough.visit.state import Visit

DIFFERENCES = ("leak", "subcooling", "superheat")  # marks that are told as differences, all others as ratios
_When = Literal["as found", "as found over as left"]
_FEW = 0.4  # ln of odds
_LARGEST = 50.0  # ln of odds: beyond it a figure says no more
_TOLD = 1.5  # a mark is told where its readings are not wider than this many times what is usual of it (judgement)


def causes_of(visit: Visit, marks: Marks, misread: tuple[float, float]) -> tuple[Causes, Weighed]:
    """Return the causes of a visit, and what they were weighed with.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    marks : Marks
        Its marks.
    misread : tuple of float
        How probable a bad reading was before any was held against another, and is after.
    """
    found = weighed(visit, marks)
    halved, doubled = (weighed(visit, marks, widths) for widths in (0.5, 2.0))
    causes = possible(visit)
    absent = math.prod(1.0 - cause.often for cause in causes)
    each = [
        judgement.Cause(
            name=cause.name,
            often=cause.often,
            found=found.found(cause.name),
            found_halved=halved.found(cause.name),
            found_doubled=doubled.found(cause.name),
            left=found.left(cause.name) if marks.both else None,
            evidence=tuple(sorted(_evidence(visit, cause, found), key=lambda e: -abs(math.log(e.odds)))),
            looked=math.exp(looked(visit, cause)),
        )
        for cause in causes
    ]
    each.append(
        judgement.Cause(
            name=NOTHING,
            often=absent,
            found=found.found(NOTHING),
            found_halved=halved.found(NOTHING),
            found_doubled=doubled.found(NOTHING),
            left=found.left(NOTHING) if marks.both else None,
        )
    )
    before, after = misread
    each.append(
        judgement.Cause(name=MISREAD, often=before, found=after, found_halved=after, found_doubled=after, left=None)
    )
    told = any(
        cause.evidence or cause.looked != 1.0 or _moved(cause.often, cause.found)
        for cause in each
        if cause.name != MISREAD
    )
    said = Causes(
        found=verdict(found),
        left=verdict(found, left=True) if marks.both else None,
        each=tuple(sorted(each, key=lambda c: -c.found)),
        told=told,
    )
    return said, found


def _moved(before: float, after: float) -> bool:
    """Whether the odds moved by more than a few cases at once that nobody tries can explain."""
    return abs(math.log(before / (1.0 - before)) - math.log(max(after, 1e-12) / max(1.0 - after, 1e-12))) > _FEW


def _evidence(visit: Visit, cause: Cause, weighed: Weighed) -> Iterator[Evidence]:
    """Yield what each mark that a cause shifts says of it, all else as usual."""
    marks, usual = weighed.marks, weighed.usual
    for shift in cause.shifts(visit.system.motor):
        for mark, slope in shift.by.items():
            places = {moved: marks.place(mark, moved=moved) for moved in (False, True)}
            base, move = places[False], places[True]
            if base is None:
                continue
            told = [(_told(marks, usual, _sum(base, move), mark, "as found"), _bayes(usual, base, slope, shift))]
            if move is not None:
                moved = _told(marks, usual, {move: 1.0}, mark, "as found over as left")
                told.append((moved, _bayes(usual, move, slope, shift)))
            strongest = max(
                ((one, odds) for one, odds in told if one is not None), key=lambda each: each[1], default=None
            )
            if strongest is not None:
                odds = sum(each for _, each in told) / len(told)  # ended, or there still
                yield msgspec.structs.replace(strongest[0], odds=odds)


def _sum(base: int, move: int | None) -> dict[int, float]:
    return {base: 1.0} if move is None else {base: 1.0, move: 1.0}


def _bayes(usual: Usual, place: int, slope: float, shift: Shift) -> float:
    """Return by which factor one number changes the odds of a cause that shifts it."""
    gradient, curvature = slope * usual.gradient[place], slope * slope * usual.curvature[place][place]
    return math.exp(min(evidence([gradient], [[curvature]], [shift.mean], [shift.sd]), _LARGEST))


def _told(marks: Marks, usual: Usual, weights: dict[int, float], mark: str, when: _When) -> Evidence | None:
    """Return what the readings say of a mark where all else is as usual, or None where they say next to nothing."""
    variance = sum(v * w * usual.covariance[i][j] for i, v in weights.items() for j, w in weights.items())
    believed = sum((w * marks.number[i].usual.sd) ** 2 for i, w in weights.items())
    precision = 1.0 / variance - 1.0 / believed
    if precision <= 1.0 / (_TOLD**2 * believed):
        return None
    middle = sum(w * marks.number[i].usual.mean for i, w in weights.items())
    value = (sum(w * usual.mean[i] for i, w in weights.items()) / variance - middle / believed) / precision - middle
    spread, scatter = COVERAGE / math.sqrt(precision), COVERAGE * math.sqrt(believed)
    shown: Callable[[float], float] = float if mark in DIFFERENCES else math.exp
    if when == "as found over as left":
        value += middle
    low, high = shown(value - spread), shown(value + spread)
    return Evidence(
        mark=mark, when=when, value=shown(value), low=low, high=high,
        usual_low=shown(-scatter), usual_high=shown(scatter), odds=1.0,
    )  # fmt: skip
