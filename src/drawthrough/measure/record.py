"""The columns of a logger's record, what is asked of each, and the sums from which any span is judged."""

import math
from collections.abc import Iterable, Sequence
from itertools import accumulate
from typing import NamedTuple

Values = Sequence[float | None]  # None: not there, or not to be believed


class Channel(NamedTuple):
    """One column of a record, with what is asked of it. A limit that is None is not asked."""

    label: str
    values: Values
    scatter: float | None = None  # largest standard deviation within a span, in the channel's unit
    scatter_relative: float | None = None  # the same as a share of the mean
    least: float | None = None  # smallest mean within a span
    drift: float | None = None  # largest change by drift over a span, in the channel's unit ...
    drift_relative: float | None = None  # ... and as a share of the mean; where both are given the larger one counts


class Difference(NamedTuple):
    """The difference of two channels: what results are made of, so that a drift which both share moves none of them."""

    label: str
    first: str
    second: str
    least: float | None = None
    drift: float | None = None
    drift_relative: float | None = None


class Rules(NamedTuple):
    """What steadiness rests on. Times in seconds."""

    # After a step of power the coil, the probes and the duct's walls still move: at 8 minutes a residential split
    # system is within about 1 % of where it goes. Strip heat is read no sooner than that either.
    settling: float = 480.0
    # The shortest stretch that can be judged: five readings of a one-minute logger.
    span: float = 300.0
    fewest: int = 5  # readings in a span of a slower logger
    # A step is a change within a minute by this share of the larger value: stages differ by a third or more, noise of
    # true watts stays within a few percent (judgement) ...
    step: float = 0.10
    # ... and by this share of what the channel reads when it is high: standby power flickers by its own size
    # (judgement).
    step_floor: float = 0.05
    # Below this share of its high reading the machine counts as off (judgement).
    running: float = 0.20
    # A row later than this many usual spacings after the last one lies behind a gap: what happened there is unknown.
    gap: float = 1.5
    # Share of a span's rows that must hold a value: one bad cell in five does not spoil it (judgement).
    present: float = 0.8
    # A drift is refused if its change over the span exceeds the limit by more than this many of its own standard
    # uncertainties: five readings with the noise of a display make slopes out of nothing. 2: the 95 % with which
    # anything here counts as resolved.
    resolved: float = 2.0


class Drift(NamedTuple):
    """The drift of one channel or difference over a window, against its limit, in the channel's unit."""

    label: str
    change: float
    uncertainty: float
    limit: float

    def exceeds(self, resolved: float) -> bool:
        """Is the change beyond the limit by more than noise can make of nothing?"""
        return abs(self.change) - resolved * self.uncertainty > self.limit * (1.0 + SLACK)


SLACK = 1e-6  # limits that are met exactly are met, whatever the last digits of a conversion say


class Table:
    """A channel or difference with sums from which mean, scatter and slope of any span follow."""

    def __init__(self, asked: Channel | Difference, values: Values) -> None:
        self.asked = asked
        there = [value for value in values if value is not None]
        self.centre = math.fsum(there) / len(there) if there else 0.0
        rest = [None if value is None else value - self.centre for value in values]
        self.counts = _sums(0.0 if one is None else 1.0 for one in rest)
        self.rows = _sums(0.0 if one is None else float(i) for i, one in enumerate(rest))
        self.row_squares = _sums(0.0 if one is None else float(i) * i for i, one in enumerate(rest))
        self.ones = _sums(0.0 if one is None else one for one in rest)
        self.squares = _sums(0.0 if one is None else one * one for one in rest)
        self.products = _sums(0.0 if one is None else i * one for i, one in enumerate(rest))

    def refusals(self, first: int, last: int, span: int, rules: Rules) -> list[str]:
        """Return why a span is refused for this channel's sake."""
        asked = self.asked
        scatter = (asked.scatter, asked.scatter_relative) if isinstance(asked, Channel) else (None, None)
        if scatter == (None, None) and asked.least is None and asked.drift is None and asked.drift_relative is None:
            return []
        count, mean, square = self._moments(first, last)
        if count < rules.present * span or count < 3:
            return [f"{asked.label}: no reading"]
        found = []
        if asked.least is not None and mean < asked.least * (1.0 - SLACK):
            found.append(f"{asked.label}: too small")
        for limit in (scatter[0], None if scatter[1] is None else scatter[1] * abs(mean)):
            if limit is not None and square > (count - 1) * (limit * (1.0 + SLACK)) ** 2 + 1e-12:
                found.append(f"{asked.label}: unsteady")
                break
        drift = self.drift(first, last)
        if drift is not None and drift.exceeds(rules.resolved):
            found.append(f"{asked.label}: drifts")
        return found

    def _moments(self, first: int, last: int) -> tuple[float, float, float]:
        """Return count, mean and sum of squares about the mean of the rows that hold a value."""
        count = self.counts[last + 1] - self.counts[first]
        if count == 0.0:
            return 0.0, 0.0, 0.0
        total = self.ones[last + 1] - self.ones[first]
        square = self.squares[last + 1] - self.squares[first] - total * total / count
        return count, self.centre + total / count, max(square, 0.0)

    def drift(self, first: int, last: int) -> Drift | None:
        """Return the drift over a span, or None where no limit is set or too little is there."""
        asked = self.asked
        if asked.drift is None and asked.drift_relative is None:
            return None
        count, mean, square = self._moments(first, last)
        if count < 3:
            return None
        total = self.ones[last + 1] - self.ones[first]
        rows = self.rows[last + 1] - self.rows[first]
        width = self.row_squares[last + 1] - self.row_squares[first] - rows * rows / count
        slope = (self.products[last + 1] - self.products[first] - rows * total / count) / width
        left = max(square - slope * slope * width, 0.0)
        span = last - first + 1
        limit = max(asked.drift or 0.0, (asked.drift_relative or 0.0) * abs(mean))
        return Drift(asked.label, slope * span, math.sqrt(left / (count - 2) / width) * span, limit)


def _sums(values: Iterable[float]) -> list[float]:
    return list(accumulate(values, initial=0.0))
