"""What many judged visits say of the causes: verdicts and odds beside what is true."""

import itertools
from collections.abc import Callable, Iterable, Sequence
from typing import Literal, NamedTuple

from drawthrough.trade.causes import MISREAD, NOTHING
from tests.calibration.causes_judged import Odds, Said
from tests.calibration.counting import Count, counted
from tests.calibration.judged import Judged

When = Literal["as found", "as left"]
EDGES = (0.0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0)  # of the bins of odds
ENOUGH = 400  # in a bin that is judged
OFF = 0.03  # by which the share that is so may lie off what was said, two standard errors of chance on top
_ERRORS = 2.0


class Told(NamedTuple):
    """One verdict beside the truth. Nothing wrong is a cause among the others."""

    said: Said
    true: frozenset[str]

    @property
    def holds(self) -> bool:
        """Whether at least one of those said is so: the lenient count where two are."""
        return bool(self.said.causes & self.true)

    @property
    def wrong(self) -> bool:
        """Whether it is said without a tie and not all of it is so: the strict count."""
        return not self.said.tie and not self.said.causes <= self.true

    @property
    def wholly_wrong(self) -> bool:
        """Whether it is said without a tie and none of it is so."""
        return not self.said.tie and not self.holds


class Verdicts(NamedTuple):
    """What verdicts were worth."""

    holds: Count
    all_held: Count  # every true cause is among those said
    size: float | None  # mean number of causes held: 1 where no tie is said
    ties: int  # of two or more
    tie_size: float | None
    alone: Count  # ties of one: named as likely, not said by itself; and how many of them are so
    single: Count
    wrong: Count
    wholly_wrong: Count


def verdicts(told: Iterable[Told]) -> Verdicts:
    """Return what these verdicts were worth."""
    seen = list(told)
    sizes = [len(t.said.causes) for t in seen if t.said.tie]
    several = [size for size in sizes if size > 1]
    return Verdicts(
        holds=counted(t.holds for t in seen),
        all_held=counted(t.true <= t.said.causes for t in seen),
        size=(sum(sizes) + len(seen) - len(sizes)) / len(seen) if seen else None,
        ties=len(several),
        tie_size=sum(several) / len(several) if several else None,
        alone=counted(t.holds for t in seen if t.said.tie and len(t.said.causes) == 1),
        single=counted(not t.said.tie for t in seen),
        wrong=counted(t.wrong for t in seen),
        wholly_wrong=counted(t.wholly_wrong for t in seen),
    )


class Bin(NamedTuple):
    """Causes that were said to be about as likely, and how often they were so."""

    low: float
    high: float
    so: Count
    said: float  # mean

    @property
    def off(self) -> float:
        """How far the share that is so lies above what was said."""
        return self.so.share - self.said

    @property
    def error(self) -> float:
        """Standard error of the share, were it as said."""
        return float((self.said * (1.0 - self.said) / self.so.of) ** 0.5)

    @property
    def kept(self) -> bool | None:
        """Whether it lies as near as is asked; None: too few to be judged."""
        return None if self.so.of < ENOUGH else abs(self.off) <= OFF + _ERRORS * self.error


Pair = tuple[float, bool]  # how likely a cause was said to be, and whether it is so


def bins(pairs: Iterable[Pair]) -> list[Bin]:
    """Return the bins that are not empty."""
    seen = sorted(pairs)
    made = []
    for low, high in itertools.pairwise(EDGES):
        inside = [(p, so) for p, so in seen if low <= p < high or (p == high == 1.0)]
        if inside:
            so = counted(true for _, true in inside)
            made.append(Bin(low, high, so, sum(p for p, _ in inside) / len(inside)))
    return made


def distance(made: Sequence[Bin]) -> float:
    """Return the mean distance of bins from what was said in them, each counted as often as it has causes."""
    return sum(abs(b.off) * b.so.of for b in made) / sum(b.so.of for b in made)


WIDTHS: dict[str, Callable[[Odds], float]] = {
    "as they are": lambda odds: odds.found,
    "halved": lambda odds: odds.halved,
    "doubled": lambda odds: odds.doubled,
}


def told(visits: Iterable[Judged], when: When = "as found") -> list[Told]:
    """Return each verdict beside the truth."""
    seen = []
    for visit in visits:
        if visit.causes is None:
            continue
        said, true = (visit.causes.found, visit.found) if when == "as found" else (visit.causes.left, visit.left)
        if said is not None:
            seen.append(Told(said, true))
    return seen


def pairs(visits: Iterable[Judged], of: Callable[[Odds], float] = WIDTHS["as they are"]) -> list[Pair]:
    """Return how likely each cause of each visit was said to be as found, and whether it was so.

    A bad reading is left out: whether there is one decides which visits are looked at here.
    """
    return [
        (of(odds), odds.cause in visit.found)
        for visit in visits
        if visit.causes is not None
        for odds in visit.causes.odds
        if odds.cause != MISREAD
    ]


def pairs_left(visits: Iterable[Judged]) -> list[Pair]:
    """Return how likely each cause was said to be as left, and whether it is so."""
    return [
        (odds.left, odds.cause in visit.left)
        for visit in visits
        if visit.causes is not None
        for odds in visit.causes.odds
        if odds.left is not None
    ]


def of_those_found(visits: Iterable[Judged], *, remained: bool) -> list[Told]:
    """Return the verdicts as left of visits in which something was wrong, and some of it remained or none did."""
    some = [v for v in visits if NOTHING not in v.found and (NOTHING not in v.left) is remained]
    return told(some, "as left")
