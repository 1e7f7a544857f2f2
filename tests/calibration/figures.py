"""What many judged visits say of the engine: each figure a count among plainly named visits."""

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from typing import NamedTuple

from drawthrough.judge.priors import Priors
from tests.calibration.counting import Count, counted, median
from tests.calibration.judged import Given, Judged, Simulate, judged
from tests.calibration.rules_of_thumb import WORKED, Moment

GROSS_EVERY = 5  # one visit in so many has a gross error planted
_SET = 1_000_000  # seeds of one set do not meet those of another
CLEANED = frozenset({"wheel", "coil"})  # causes that a cleaning is for
WHEELS: dict[str, Callable[[Judged], bool]] = {
    "true wheel 0.97 to 1.03": lambda visit: 0.97 <= visit.blower_ratio <= 1.03,
    "true wheel below 0.8": lambda visit: visit.blower_ratio < 0.8,
}


def run(
    simulate: Simulate,
    visits: int,
    seeds: int,
    processes: int = 1,
    beliefs: Callable[[str], Priors] | None = None,
) -> list[Judged]:
    """Return the judged visits of a seed set, in the order of their seeds whatever the processes."""
    first = seeds * _SET
    one = partial(judged, simulate, beliefs=beliefs)
    numbers = range(first, first + visits)
    planted = [number % GROSS_EVERY == GROSS_EVERY - 1 for number in numbers]
    if processes == 1:
        return list(map(one, numbers, planted))
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(one, numbers, planted, chunksize=20))


class Coverage(NamedTuple):
    """How often an interval held the truth, and how wide it was."""

    held: Count
    width: float | None  # median, in logarithms
    below: int  # intervals that lie wholly below the truth
    above: int


def coverage(given: Iterable[Given]) -> Coverage:
    """Return how often these intervals hold the truth."""
    seen = list(given)
    return Coverage(
        held=counted(g.holds for g in seen),
        width=median([g.width for g in seen]),
        below=sum(g.high < g.truth for g in seen),
        above=sum(g.low > g.truth for g in seen),
    )


def clean_of_blunders(visits: Iterable[Judged]) -> list[Judged]:
    """Return the visits in which no gross error was planted."""
    return [visit for visit in visits if visit.seed % GROSS_EVERY != GROSS_EVERY - 1]


def standing(visits: Iterable[Judged], quantity: str) -> list[Given]:
    """Return what is said of a quantity where it stands."""
    return [g for v in visits if (g := v.given.get(quantity)) is not None and g.stands]


def told(visits: Iterable[Judged], quantity: str) -> list[Given]:
    """Return what is said of a quantity where it stands, or is not resolved only because its interval holds 1."""
    return [g for v in visits if (g := v.given.get(quantity)) is not None and (g.stands or g.no_change)]


class Widths(NamedTuple):
    """How wide the intervals are beside those of the same fit that was told the laws of the simulated world."""

    visits: int
    width: float | None  # median, in logarithms
    told: float | None  # the same where the laws were told
    over: float | None  # median over the visits of the one over the other
    held: Count  # how often the intervals held the truth where the laws were told


def widths(pairs: Iterable[tuple[Judged, Judged]], quantity: str) -> Widths:
    """Return both widths of a quantity, of the visits in which both fits tell it: as it is, and told the laws."""
    both = []
    for pair in pairs:
        one, other = (told([visit], quantity) for visit in pair)
        if one and other and one[0].truth == other[0].truth:  # else they compare different runs
            both.append((one[0], other[0]))
    return Widths(
        visits=len(both),
        width=median([one.width for one, _ in both]),
        told=median([other.width for _, other in both]),
        over=median([one.width / other.width for one, other in both]),
        held=counted(other.holds for _, other in both),
    )


class Claim(NamedTuple):
    """How often something is said: where it is true, where it is false, and how often it is true where it is said."""

    where_true: Count
    where_false: Count
    silent: int

    @property
    def right(self) -> Count:
        """Return how often it is true among those where it is said."""
        return Count(self.where_true.hits, self.where_true.hits + self.where_false.hits)


def claim(pairs: Iterable[tuple[bool | None, bool]]) -> Claim:
    """Return a claim from pairs of what is said (None: nothing) and what is true."""
    seen = list(pairs)
    answered = [(said, true) for said, true in seen if said is not None]
    return Claim(
        where_true=counted(said for said, true in answered if true),
        where_false=counted(said for said, true in answered if not true),
        silent=len(seen) - len(answered),
    )


def _rose(visit: Judged, above: float) -> bool | None:
    given = visit.given.get("airflow ratio")
    if given is None or not (given.stands or given.no_change):
        return None
    return given.stands and given.low > above


def engine_worked(visit: Judged) -> bool | None:
    """Whether the engine says that the clean worked: the ratio stands, and its whole interval lies above 1.03."""
    return _rose(visit, WORKED)


def engine_rose(visit: Judged) -> bool | None:
    """Whether the engine says that there is more air than before: the ratio stands, wholly above 1."""
    return _rose(visit, 1.0)


def worked(visits: Sequence[Judged], said: Callable[[Judged], bool | None]) -> Claim:
    """Return how often 'the clean worked' is said where the airflow truly rose by more than 3 %, and where not."""
    return claim((said(visit), visit.airflow_ratio > WORKED) for visit in visits)


def dirty(visits: Sequence[Judged], rule: Callable[[Moment], bool | None]) -> Claim:
    """Return how often a rule says 'dirty' of wheel or coil, both moments of each visit counted."""
    return claim(
        (rule(moment), bool(causes & CLEANED))
        for visit in visits
        for moment, causes in zip(visit.moments, (visit.found, visit.left), strict=True)
    )


DETECTABLE = 1.3  # over the smallest detectable error, from which a gross error is to be detected


class Errors(NamedTuple):
    """What became of planted gross errors."""

    planted: int
    unchecked: int  # in a reading for which no smallest detectable error can be given
    small: int  # below what is to be detected
    detected: Count  # of those to be detected: the reading itself is in doubt or set aside for what it says
    named: Count  # of those to be detected: it is among at most three that are accused
    elsewhere: int  # of those to be detected: only other readings are accused
    besides: Count  # of all others, unchecked and small ones: detected all the same


def errors(visits: Iterable[Judged]) -> Errors:
    """Return what became of the gross errors planted in these visits."""
    planted = [visit.planted for visit in visits if visit.planted is not None]
    sized = [(p, p.size) for p in planted if p.size is not None]
    large = [p for p, size in sized if size > DETECTABLE]
    others = [p for p in planted if p.size is None or p.size <= DETECTABLE]
    return Errors(
        planted=len(planted),
        unchecked=len(planted) - len(sized),
        small=len(sized) - len(large),
        detected=counted(p.detected for p in large),
        named=counted(p.named for p in large),
        elsewhere=sum(p.anything and not p.detected for p in large),
        besides=counted(p.detected for p in others),
    )


def false_alarms(visits: Iterable[Judged], reason: str | None = None, *, excused: bool = False) -> Count:
    """Return how many visits without a gross error have a reading accused, for one reason or for any.

    With `excused`, a reason that is true of the house does not count.
    """
    seen = [v.accused - v.excused if excused else v.accused for v in clean_of_blunders(visits) if not v.refused]
    return counted(bool(accused) if reason is None else reason in accused for accused in seen)
