"""What made the system as it was found, and what remains as left: causes with their odds.

Every cause shifts marks from what is usual, by an uncertain size. Each set of up to three causes, each ended by the
work or not, is weighed by how likely it makes all readings; a cause's odds are those of all sets that hold it.
"""

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from drawthrough.judge.judgement import Verdict
from drawthrough.judge.marks import Marks
from drawthrough.measure.shift import Sized, Usual, evidence, sized, usual
from drawthrough.trade.causes import NOTHING, Cause, beliefs
from drawthrough.visit.state import Visit

SAID = 0.95  # odds from which on a cause is said by itself
TOGETHER = 0.85  # and that a tie must hold together: what it holds in the mean is then about 0.95
SIZED = 30  # likeliest cases whose sizes are worked out
_MOST = 3  # causes at once
_TRIED = 6  # that are likeliest by themselves or in pairs, and are tried in threes
_HALF_DONE = 0.6  # share of a cause's size that work takes away where it does not end it (judgement)


class Direction(NamedTuple):
    """A shift of the marks' numbers: how far each goes by one unit of size, and what is believed of the size."""

    by: dict[int, float]
    mean: float
    sd: float


class Option(NamedTuple):
    """One cause in one course: there as found and ended, or there still."""

    cause: str
    remains: bool
    log_prior: float  # ln of how often, over its absence
    direction: tuple[int, ...]  # places in the list of directions


class Case(NamedTuple):
    """A set of causes, each in its course, with its probability and the sizes that the readings give."""

    options: tuple[Option, ...]
    probability: float
    log_ratio: float  # ln of how likely it makes the readings, over nothing wrong
    sized: Sized | None  # None: no cause, or a case too rare to be looked at


class Weighed(NamedTuple):
    """All cases of one visit, likeliest first, and what they were weighed with."""

    cases: tuple[Case, ...]
    marks: Marks
    usual: Usual
    directions: tuple[Direction, ...]

    def found(self, cause: str) -> float:
        """Return the probability of a cause as found; of nothing wrong: that there was none."""
        if cause == NOTHING:
            return sum(case.probability for case in self.cases if not case.options)
        return sum(case.probability for case in self.cases if any(o.cause == cause for o in case.options))

    def left(self, cause: str) -> float:
        """Return the probability that a cause remains as left; of nothing wrong: that none does."""
        if cause == NOTHING:
            return sum(case.probability for case in self.cases if not any(o.remains for o in case.options))
        return sum(case.probability for case in self.cases if any(o.cause == cause and o.remains for o in case.options))


def possible(visit: Visit) -> tuple[Cause, ...]:
    """Return the causes that this system can have and that would show on it."""
    return tuple(cause for cause in beliefs().cause.values() if cause.shifts(visit.system.motor))


def weighed(visit: Visit, marks: Marks, widths: float = 1.0) -> Weighed:
    """Return all cases of a visit with their probabilities.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    marks : Marks
        The visit's marks.
    widths : float
        Factor of all widths of belief, to see what rests on them. [1]
    """
    normal = usual(
        marks.readings,
        [number.usual.mean for number in marks.number],
        [number.usual.sd * widths for number in marks.number],
    )
    directions: list[Direction] = []
    options = [option for cause in possible(visit) for option in _options(visit, cause, marks, directions, widths)]
    gradient, curvature = _along(normal, directions)

    def along(chosen: Sequence[Option]) -> tuple[list[float], list[list[float]], list[float], list[float]]:
        at = [k for option in chosen for k in option.direction]
        return (
            [gradient[k] for k in at],
            [[curvature[i][k] for k in at] for i in at],
            [directions[k].mean for k in at],
            [directions[k].sd for k in at],
        )

    def case(chosen: Sequence[Option]) -> tuple[tuple[Option, ...], float, float]:
        log_ratio = evidence(*along(chosen))
        return tuple(chosen), log_ratio + sum(option.log_prior for option in chosen), log_ratio

    tried = [case((option,)) for option in options]
    tried.extend(case(two) for two in itertools.combinations(options, 2) if two[0].cause != two[1].cause)
    first = _likeliest(tried, _TRIED)
    threes = itertools.combinations([option for option in options if option.cause in first], _MOST)
    tried.extend(case(three) for three in threes if len({option.cause for option in three}) == _MOST)
    top = max(0.0, max((log for _, log, _ in tried), default=0.0))
    total = math.exp(-top) + sum(math.exp(log - top) for _, log, _ in tried)
    cases = [Case((), math.exp(-top) / total, 0.0, None)]
    cases.extend(Case(chosen, math.exp(log - top) / total, log_ratio, None) for chosen, log, log_ratio in tried)
    cases.sort(key=lambda each: -each.probability)
    likely = [each._replace(sized=sized(*along(each.options)) if each.options else None) for each in cases[:SIZED]]
    return Weighed((*likely, *cases[SIZED:]), marks, normal, tuple(directions))


def _likeliest(tried: Iterable[tuple[tuple[Option, ...], float, float]], most: int) -> set[str]:
    """Return the causes whose likeliest case is the likeliest."""
    best: dict[str, float] = {}
    for chosen, log, _ in tried:
        for option in chosen:
            best[option.cause] = max(log, best.get(option.cause, -math.inf))
    return set(sorted(best, key=lambda cause: -best[cause])[:most])


def _options(visit: Visit, cause: Cause, marks: Marks, directions: list[Direction], widths: float) -> Iterable[Option]:
    """Yield the courses that a cause can have taken, and add their directions."""
    log_odds = math.log(cause.often / (1.0 - cause.often)) + looked(visit, cause)
    worked = any((work.part, work.action) in cause.work for work in visit.work)
    if marks.both:
        log_odds += math.log(cause.done if worked else cause.undone)
    ended = (_ended(visit, cause) if worked else cause.passes) if marks.both else 0.0
    for remains, share in ((False, ended), (True, 1.0 - ended)):
        if share <= 0.0:
            continue
        places = []
        for shift in cause.shifts(visit.system.motor):
            size = shift.sd * widths
            for by, part in _courses(shift.by, marks, remains, worked and marks.both):
                places.append(len(directions))
                directions.append(Direction(by, shift.mean * part, size * math.sqrt(part)))
        yield Option(cause.name, remains, log_odds + math.log(share), tuple(places))


def _courses(
    by: dict[str, float], marks: Marks, remains: bool, worked: bool
) -> Iterable[tuple[dict[int, float], float]]:
    """Yield where a shift goes, and which share of its size: what is there as found moves away, what remains does not.

    Work that did not end a cause took a share of it away.
    """
    for moved, part in ((True, _HALF_DONE), (False, 1.0 - _HALF_DONE)) if remains and worked else ((not remains, 1.0),):
        places = {marks.place(mark, moved=moved): slope for mark, slope in by.items()}
        yield {place: slope for place, slope in places.items() if place is not None}, part


def looked(visit: Visit, cause: Cause) -> float:
    """Return ln of how much likelier what was seen of a cause's part makes it."""
    told = beliefs().look
    seen: list[str] = [pattern.dirt for pattern in visit.pattern if cause.seen_on and pattern.surface == cause.seen_on]
    seen += [work.condition or "" for work in visit.work if (work.part, work.action) == (cause.seen_on, "inspected")]
    known = [told[each] for each in seen if each in told]
    return math.log(known[-1]) if known else 0.0


def _ended(visit: Visit, cause: Cause) -> float:
    """Return how often the work that was done ends a cause, by the condition in which its part was left."""
    seen = {work.condition for work in visit.work if (work.part, work.action) in cause.work}
    if "still dirty" in seen:
        return 1.0 - cause.ends
    return cause.ends if seen & {"seen clean", None} else 0.9 * cause.ends


def _along(normal: Usual, directions: Sequence[Direction]) -> tuple[list[float], list[list[float]]]:
    """Return gradient and curvature of the evidence along the directions."""
    gradient = [sum(normal.gradient[i] * v for i, v in d.by.items()) for d in directions]
    curvature = [
        [sum(v * w * normal.curvature[i][j] for i, v in a.by.items() for j, w in b.by.items()) for b in directions]
        for a in directions
    ]
    return gradient, curvature


def verdict(weighed: Weighed, *, left: bool = False) -> Verdict:
    """Return what may be said of the causes as found, or of those that remain.

    Every cause that is likelier than `SAID` is said by itself; where none is, the fewest of which at least one is so.
    """
    names = sorted({o.cause for case in weighed.cases for o in case.options})
    odds = {name: (weighed.left if left else weighed.found)(name) for name in (*names, NOTHING)}
    ranked = sorted(odds, key=lambda name: -odds[name])
    sure = tuple(name for name in ranked if odds[name] >= SAID)
    if sure:
        return Verdict(causes=sure, tie=False, probability=min(odds[name] for name in sure))
    held: tuple[str, ...] = ()
    share = 0.0
    for name in ranked:
        held, share = (*held, name), _any(weighed, (*held, name), left)
        if share >= TOGETHER:
            break
    return Verdict(causes=held, tie=True, probability=share)


def _any(weighed: Weighed, names: Sequence[str], left: bool) -> float:
    """Return the probability that at least one of some causes is so."""
    total = 0.0
    for case in weighed.cases:
        there = {o.cause for o in case.options if o.remains or not left} or {NOTHING}
        if there & set(names):
            total += case.probability
    return total
