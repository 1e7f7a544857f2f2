"""A bad reading as a cause of its own: how likely each reading is a slip of the hand, and what was meant."""

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

import msgspec

from drawthrough.judge.accuracy import PRESSURES
from drawthrough.judge.beside import Beside, beside_of
from drawthrough.judge.joint import Joint
from drawthrough.judge.law import Law, Normal
from drawthrough.judge.meant import Meant, meant_of
from drawthrough.judge.rows import HeatRow
from drawthrough.measure.fit import Fitted
from drawthrough.trade.slips import Kind, Slips, slips
from drawthrough.visit.state import Reading, Run, Visit

_SUPPLY = ("supply", "supply far")
_STRIPS = ("volts", "amps", "power")
_ANY_FACTOR = (
    1.5  # of a reading that is wrong in no way that has a name, standard deviation of its logarithm (judgement)
)
_HIGHEST = 500.0


class Named(NamedTuple):
    """One kind of slip in one reading, as probable as it is."""

    kind: Kind
    probability: float
    value: float | None  # as meant [SI]; None: nothing tells
    at: str = ""  # the hole that was read instead, or with which it was changed over


class Misreading(msgspec.Struct, frozen=True):
    """How likely a reading is a slip, and of which kinds, likeliest first."""

    run: str
    index: int
    odds: float  # probability that this reading is a slip, at most one reading of the visit being one
    kinds: tuple[Named, ...]


class Suspicion(msgspec.Struct, frozen=True):
    """One hypothesis: this reading went wrong in this way."""

    run: str
    index: int
    meant: Meant
    odds: float  # logarithm, against nothing being wrong, as the fit and all else on the sheet have it
    guess: float  # the same by what tells only where to look
    beside: float = 0.0  # the part of `odds` that no fit knows of
    fits: bool = False  # the fit would be another one

    @property
    def wrong(self) -> tuple[tuple[str, int], ...]:
        """Which readings are wrong if it is so."""
        own = (self.run, self.index)
        if self.meant.kind == "two holes changed over" and self.meant.other is not None:
            return own, (self.run, self.meant.other)
        return (own,)


class _Rise(NamedTuple):
    """What the fit says of a rise, and how each reading moves it."""

    law: Law
    value: float
    moves: dict[tuple[str, int], float]  # share of a reading's change that is the rise's


def misreadings(visit: Visit, joint: Joint | None, table: Slips | None = None) -> tuple[Misreading, ...]:
    """Return how likely each reading is a slip, by one fit of the visit: those with any odds, likeliest first.

    Parameters
    ----------
    visit : Visit
        What was read.
    joint : Joint, optional
        The fit of these readings.
    table : Slips, optional
        Kinds of slips with their rates; those that the tool brings unless given.

    Notes
    -----
    Odds of each kind of slip against "as typed": its rate, times how much better the number that was meant fits to what
    all others expect than the number as typed. At most one reading is taken to be wrong, so that a reading that looks
    odd only because of another one does not stay suspect beside it. A reading that speaks to the fit as part of a rise
    is judged by what the rise would be. The other readings' weights are left as they are: where one reading bent the
    whole fit, `recheck.checked` asks the fit again.
    """
    return probable(suspicions(visit, joint, table or slips()))


def any_slip(found: Iterable[Misreading]) -> float:
    """Return the probability that some reading of the visit is a slip, for whoever weighs it as a cause."""
    seen: dict[tuple[str, int, str, str], float] = {}
    for one in found:
        for named in one.kinds:
            # Two holes changed over are one slip of two readings.
            swapped = named.kind == "two holes changed over"
            key = (one.run, -1, named.kind, str(named.probability)) if swapped else (
                one.run, one.index, named.kind, f"{named.value} {named.at}")  # fmt: skip
            seen[key] = named.probability
    return min(1.0, sum(seen.values()))


def any_slip_before(visit: Visit, table: Slips | None = None) -> float:
    """Return how probable a slip is among as many readings before any of them is held against another."""
    kinds = (table or slips()).slip.values()
    none = 1.0
    for run in visit.run:
        for reading in run.reading:
            none *= 1.0 - sum(one.rate for one in kinds if not one.what or reading.what in one.what)
    return 1.0 - none


def probable(found: Iterable[Suspicion]) -> tuple[Misreading, ...]:
    """Return the readings' probabilities from the odds of each hypothesis."""
    listed = list(found)
    top = max([0.0, *(one.odds for one in listed)])
    weights = [math.exp(one.odds - top) for one in listed]
    total = math.exp(-top) + sum(weights)
    kinds: dict[tuple[str, int], list[Named]] = {}
    for one, weight in zip(listed, weights, strict=True):
        share = weight / total
        meant = one.meant
        for k, key in enumerate(one.wrong):
            value = meant.value if k == 0 and meant.kind not in ("otherwise", "another hole") else None
            kinds.setdefault(key, []).append(Named(meant.kind, share, value, meant.at))
    made = [
        Misreading(run, index, sum(n.probability for n in named), tuple(sorted(named, key=lambda n: -n.probability)))
        for (run, index), named in kinds.items()
    ]
    return tuple(sorted(made, key=lambda one: -one.odds))


def suspicions(visit: Visit, joint: Joint | None, table: Slips, known: Visit | None = None) -> list[Suspicion]:
    """Return every hypothesis of one slip with its odds, by one fit and by all else on the sheet.

    `known` is the visit without what is already known to be wrong, where anything is.
    """
    known = known or visit
    pressures, rises = _fitted(visit, joint)
    found: list[Suspicion] = []
    for run in visit.run:
        laws = {k: law for (name, k), law in pressures.items() if name == run.id}
        for index, reading in enumerate(run.reading):
            beside = list(beside_of(known, run, index, table))
            firm = sorted((b for b in beside if not b.check.guess), key=lambda b: b.spread(reading.value))
            vague = [b for b in beside if b.check.guess]
            rise = next((r for r in rises if (run.id, index) in r.moves), None)
            law = laws.get(index)
            fits = law is not None or rise is not None or _shapes(run, reading)
            for meant in meant_of(visit, run, index, table):
                fit = _by_fit(run, index, meant, law and law[0], laws, rise)
                others = _by_others(firm, reading.value, meant)
                guess = meant.odds + _by_guess(known, run, vague, reading, meant, table)
                odds = min(meant.odds + fit + others, _HIGHEST)
                found.append(Suspicion(run.id, index, meant, odds, guess, others, fits))
            share = rise.moves[run.id, index] if rise is not None else 0.0
            apart = -sum(b.log(reading.value) - b.highest() for b in firm)
            other = _otherwise(reading, firm, law and law[0], rise, share, table)
            if other is None and joint is None and fits:
                other = 0.0
            if other is not None:
                rate = math.log(table.slip["otherwise"].rate)
                meant = Meant("otherwise", reading.value, rate)
                guess = rate - sum(b.log(reading.value) - b.highest() for b in vague)
                odds = min(rate + other + apart, _HIGHEST)
                in_fit = law is not None or bool(share) or (joint is None and fits)
                found.append(Suspicion(run.id, index, meant, odds, guess, apart if in_fit else 0.0, in_fit))
    return found


def _fitted(visit: Visit, joint: Joint | None) -> tuple[dict[tuple[str, int], tuple[Law, Fitted]], list[_Rise]]:
    pressures: dict[tuple[str, int], tuple[Law, Fitted]] = {}
    rises: list[_Rise] = []
    if joint is None:
        return pressures, rises
    runs = {run.id: run for run in visit.run}
    for source, fitted, row in zip(joint.model.sources, joint.solution.fitted, joint.model.expectations, strict=True):
        law = Law(fitted.expected_without, fitted.sd, fitted.sd_without)
        if isinstance(row, HeatRow):
            rises.append(_Rise(law, fitted.value, _moves(visit, runs[source.run])))
        elif len(source.readings) == 1 and runs[source.run].reading[source.readings[0]].what in PRESSURES:
            pressures[source.run, source.readings[0]] = (law, fitted)
    return pressures, rises


def _shapes(run: Run, reading: Reading) -> bool:
    """Would a reading enter the fit, had it settled, or were the rise that it belongs to above zero?"""
    if reading.what in PRESSURES:
        return reading.against is not None and run.doors_on
    if run.mode == "strips" and reading.at == "strips":
        return reading.what in _STRIPS
    if run.mode in ("strips", "zero", "gas"):
        return reading.what == "dry_bulb" and reading.at in (*_SUPPLY, "return")
    return False


def _moves(visit: Visit, run: Run) -> dict[tuple[str, int], float]:
    """Return by how much a rise moves with each temperature that makes it, those of its zeros among them."""
    zeros = [zero for zero in visit.run if zero.mode == "zero" and zero.zero_for == run.id]
    zeros = [zero for zero in zeros if len(dict(_ends(zero))) == 2]
    moves: dict[tuple[str, int], float] = {}
    for one, share in ((run, 1.0), *((zero, -1.0 / len(zeros)) for zero in zeros)):
        ends = list(_ends(one))
        for end, k in ends:
            moves[one.id, k] = share * (1.0 if end == "warm" else -1.0) / sum(e == end for e, _ in ends)
    for k, reading in enumerate(run.reading):
        if reading.what in _STRIPS and reading.at == "strips":
            moves[run.id, k] = 0.0  # moves the heat, not the rise
    return moves


def _ends(run: Run) -> Iterator[tuple[str, int]]:
    for k, reading in enumerate(run.reading):
        if reading.what == "dry_bulb" and reading.at in (*_SUPPLY, "return"):
            yield ("warm" if reading.at in _SUPPLY else "cool"), k


def _by_fit(
    run: Run, index: int, meant: Meant, law: Law | None, laws: dict[int, tuple[Law, Fitted]], rise: _Rise | None
) -> float:
    """Return how much better the fit takes a reading as it was meant, as a logarithm."""
    typed = run.reading[index].value
    if law is not None:
        plain = law.log(typed)
        if meant.kind in ("another hole", "two holes changed over"):
            there = laws.get(meant.other if meant.other is not None else -1)
            if there is None:
                return 0.0
            if meant.kind == "another hole":
                # What stands in the other hole is known by its own reading, too.
                known = there[1]
                return Law(known.expected, law.own, min(known.sd, known.sd_without)).log(typed) - plain
            other = run.reading[meant.other or 0].value
            return law.log(other) + there[0].log(typed) - plain - there[0].log(other)
        return law.log(meant.value) - plain
    if rise is not None:
        share = rise.moves[run.id, index]
        if share:
            return rise.law.log(rise.value + share * (meant.value - typed)) - rise.law.log(rise.value)
        factor = meant.value / typed
        if factor > 0.0:
            return rise.law.log(rise.value / factor) - math.log(factor) - rise.law.log(rise.value)
    return 0.0


def _by_others(firm: list[Beside], typed: float, meant: Meant) -> float:
    return sum(b.log(meant.value) - b.log(typed) for b in firm)


def _by_guess(known: Visit, run: Run, vague: list[Beside], reading: Reading, meant: Meant, table: Slips) -> float:
    if not vague:
        return 0.0
    if meant.other is None:
        return _by_others(vague, reading.value, meant)
    there = [b for b in beside_of(known, run, meant.other, table) if b.check.guess]
    if not there:
        return 0.0
    gain = sum(b.log(reading.value) for b in there) - sum(b.log(reading.value) for b in vague)
    if meant.kind == "two holes changed over":
        gain += sum(b.log(meant.value) for b in vague) - sum(b.log(meant.value) for b in there)
    return gain


def _otherwise(
    reading: Reading, firm: list[Beside], law: Law | None, rise: _Rise | None, share: float, table: Slips
) -> float | None:
    """Return how much better a law that knows nothing takes the reading, as a logarithm; None: nothing expects it."""
    broad = table.broad.get(reading.what)
    value = reading.value
    if rise is not None and share:
        law, value = rise.law, rise.value
    if law is not None and broad is not None:
        return Normal(law.middle, math.hypot(broad, law.others)).log(value) - law.log(value)
    if not firm:
        return None
    first = firm[0]
    spread = _ANY_FACTOR if first.check.ratio else broad or 10.0 * first.check.spread
    return Normal(0.0, spread).log(first.distance(value)) - first.highest()
