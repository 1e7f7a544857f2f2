"""What the engine says of a visit: frozen structures with a stable JSON form.

Sentences are not kept here: a finding is a code with its figures, and a view finds the words for it.
"""

from typing import Literal

import msgspec

from drawthrough.judge.drawing import Drawing
from drawthrough.visit.state import When

Moment = Literal["as found", "as left", "as left over as found", "as found over as left"]
Standing = Literal["it stands", "in doubt", "set aside", "not resolved", "not yet read"]
FORM = 1  # version of this JSON form; a field may be added without a new version, none is renamed or dropped


class Frozen(msgspec.Struct, frozen=True, kw_only=True):
    """Base of a judgement's parts."""


class Reason(Frozen, frozen=True, kw_only=True):
    """Why something has its standing: a code that a view puts into words, its figures, and whose rule it is."""

    code: str
    source: str
    figures: dict[str, float] = {}
    names: dict[str, str] = {}


class Contribution(Frozen, frozen=True, kw_only=True):
    """One line of a budget: what contributes, and its share of the variance."""

    label: str
    share: float


class Result(Frozen, frozen=True, kw_only=True):
    """One number that the judgement gives, with its 95 % interval and its standing."""

    name: str
    when: Moment
    unit: str
    value: float
    low: float
    high: float
    standing: Standing
    reasons: tuple[Reason, ...] = ()
    budget: tuple[Contribution, ...] = ()
    basis: str = ""  # what kind of number it is: the state of an airflow, the two runs of a ratio
    leans: bool = False  # the posterior leans further than the interval can follow
    rests_on: tuple[str, ...] = ()  # other results, kinds of readings, the fan table: by the rules of standing


class ReadingStanding(Frozen, frozen=True, kw_only=True):
    """Whether one reading can be believed, and what checks it."""

    run: str
    when: When
    index: int
    what: str
    at: str
    against: str | None
    typed: str
    standing: Standing
    reasons: tuple[Reason, ...] = ()
    used: bool = False  # it entered the joint fit
    unit: str = ""
    value: float | None = None
    expected: float | None = None  # what all others expect of it
    expected_sd: float | None = None
    redundancy: float | None = None
    standardised: float | None = None
    smallest_detectable: float | None = None  # None: nothing checks this reading


class Finding(Frozen, frozen=True, kw_only=True):
    """Something the judgement says in words: a code with its figures (SI) and names."""

    code: str
    standing: Standing
    figures: dict[str, float] = {}
    names: dict[str, str] = {}


class Gain(Frozen, frozen=True, kw_only=True):
    """How much of ln(airflow as left over as found) is due to one change."""

    part: str
    value: float
    low: float
    high: float
    standing: Standing


class NextReading(Frozen, frozen=True, kw_only=True):
    """A reading not taken that would settle something open."""

    code: str
    when: When | None = None  # None: at any time
    settles: tuple[str, ...]
    minutes: float
    bits: float = 0.0  # expected fall of what is open of the leading question


class Evidence(Frozen, frozen=True, kw_only=True):
    """What one mark says of a cause."""

    mark: str
    when: Literal["as found", "as left", "as found over as left"]
    value: float  # over what is usual; for a move: as found over as left; kelvins and shares: the difference
    low: float
    high: float
    usual_low: float  # what is usual of it: 95 in 100
    usual_high: float
    odds: float  # by which factor it changes the odds of the cause; below 1 it speaks against


class Cause(Frozen, frozen=True, kw_only=True):
    """One thing that can be wrong, and how likely it is that it was, and still is."""

    name: str
    often: float  # before any reading
    found: float  # as found
    found_halved: float  # with all widths of belief halved
    found_doubled: float  # and doubled
    left: float | None = None  # as left; None: nothing was read as left
    evidence: tuple[Evidence, ...] = ()
    looked: float = 1.0  # factor of the odds by what was seen


class Verdict(Frozen, frozen=True, kw_only=True):
    """What may be said: each of these causes by itself, or (a tie) that it is at least one of them."""

    causes: tuple[str, ...]
    tie: bool
    probability: float  # that at least one of them is so; where each is said by itself: of the least likely


class Causes(Frozen, frozen=True, kw_only=True):
    """Why it was so, and what remains."""

    found: Verdict
    left: Verdict | None
    each: tuple[Cause, ...]  # likeliest first, nothing wrong among them
    told: bool  # something read or seen speaks of them; else their odds are those before any reading


class FitReport(Frozen, frozen=True, kw_only=True):
    """How the joint fit went."""

    unknowns: int
    observations: int
    iterations: int
    settled: bool
    notes: tuple[Reason, ...] = ()


class Judgement(Frozen, frozen=True, kw_only=True):
    """Everything that the engine says of one visit."""

    engine: str
    site: str
    system: str
    compared: tuple[str, str] | None  # ids of the runs as found and as left that the headline compares
    results: tuple[Result, ...]
    readings: tuple[ReadingStanding, ...]
    findings: tuple[Finding, ...]
    gains: tuple[Gain, ...]
    next_readings: tuple[NextReading, ...]
    fit: FitReport | None
    drawing: Drawing | None = None
    causes: Causes | None = None  # None: too little was read to weigh any
    form: int = FORM

    def result(self, name: str, when: str) -> Result | None:
        """Return one result by its name and when, or None."""
        return next((r for r in self.results if r.name == name and r.when == when), None)
