"""One simulated visit judged: what the engine said of it beside what is true."""

import math
from collections.abc import Callable
from typing import NamedTuple

import msgspec
from tests.simulate.visits import Gross, Truth

from drawthrough.errors import DrawthroughError
from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Judgement, ReadingStanding, Result
from drawthrough.visit.state import Visit
from tests.calibration import rules_of_thumb

Simulate = Callable[..., tuple[Visit, Truth]]

# The four quantities whose truth is known: the engine's result, and whether the truth is told the other way round.
QUANTITIES = {
    "airflow ratio": ("airflow", "as left over as found", False),
    "blower, found over left": ("blower_against_clean", "as found over as left", False),
    "coil resistance ratio": ("coil_resistance", "as left over as found", True),
    "sensible ratio": ("sensible_capacity", "as left over as found", False),
}
# Reasons that accuse a reading. All others speak of how it was taken, and say nothing against its digits.
ACCUSES = frozenset(
    {"contradicts the others", "no such air", "supply points disagree", "strip power does not fit the kit"}
)
NO_CHANGE = "interval holds no change"


class Given(NamedTuple):
    """A ratio with its 95 % interval, and the truth."""

    truth: float
    value: float
    low: float
    high: float
    stands: bool  # the engine says that it stands
    no_change: bool  # all that keeps it from standing is that the interval holds 1

    @property
    def holds(self) -> bool:
        """Whether the interval holds the truth."""
        return self.low <= self.truth <= self.high

    @property
    def width(self) -> float:
        """Width of the interval, in logarithms."""
        return math.log(self.high / self.low)


class Planted(NamedTuple):
    """A gross error that was planted, and what the engine made of it."""

    kind: str
    what: str
    size: float | None  # over the smallest error that the engine says it would notice there; None: nothing checks it
    detected: bool
    named: bool  # it is among at most three readings that are accused
    anything: bool  # any reading at all is accused


class Judged(NamedTuple):
    """One visit: its cell, its truth, what was said, and what the rules of thumb say."""

    seed: int
    cell: tuple[str, str, str]
    airflow_ratio: float
    blower_ratio: float
    found: frozenset[str]
    left: frozenset[str]
    given: dict[str, Given]
    accused: int  # readings that are accused, or 1 where all that is said is that they contradict each other
    readings: int
    unchecked: int  # readings in the fit that nothing checks, and say so
    unused: int  # readings that do not enter the fit
    planted: Planted | None
    moments: tuple[rules_of_thumb.Moment, rules_of_thumb.Moment]
    refused: str  # why there is no judgement at all; empty: there is one


def judged(simulate: Simulate, seed: int, gross: bool) -> Judged:
    """Return one simulated visit as it was judged."""
    visit, truth = simulate(seed, gross=gross)
    refused = ""
    said: Judgement | None = None
    try:
        said = judge(visit)
    except DrawthroughError as error:
        refused = type(error).__name__
    readings = said.readings if said is not None else ()
    return Judged(
        seed=seed,
        cell=truth.cell,
        airflow_ratio=truth.airflow_ratio,
        blower_ratio=truth.blower_ratio,
        found=truth.found,
        left=truth.left,
        given=_given(said, truth) if said is not None else {},
        accused=_accused(said) if said is not None else 0,
        readings=len(readings),
        unchecked=sum(any(r.code == "nothing checks it" for r in reading.reasons) for reading in readings),
        unused=sum(not reading.used for reading in readings),
        planted=_planted(visit, said, truth.gross) if truth.gross is not None and said is not None else None,
        moments=(rules_of_thumb.moment(visit, "as found"), rules_of_thumb.moment(visit, "as left")),
        refused=refused,
    )


def _given(said: Judgement, truth: Truth) -> dict[str, Given]:
    truths = (truth.airflow_ratio, truth.blower_ratio, truth.coil_ratio, truth.sensible_ratio)
    given = {}
    for (quantity, (name, when, inverted)), true in zip(QUANTITIES.items(), truths, strict=True):
        result = said.result(name, when)
        if result is not None and true is not None:
            given[quantity] = _beside(result, 1.0 / true if inverted else true)
    return given


def _beside(result: Result, truth: float) -> Given:
    codes = {reason.code for reason in result.reasons}
    no_change = result.standing == "not resolved" and codes == {NO_CHANGE}
    return Given(truth, result.value, result.low, result.high, result.standing == "it stands", no_change)


def _is_accused(reading: ReadingStanding) -> bool:
    return reading.standing in ("in doubt", "set aside") and any(r.code in ACCUSES for r in reading.reasons)


def _accused(said: Judgement) -> int:
    """Return how many readings are accused: a rise counts as one, since its readings only ever speak together."""
    accused = {(r.run, r.what if r.against is None else r.index) for r in said.readings if _is_accused(r)}
    contradict = any(finding.code == "readings contradict each other" for finding in said.findings)
    return max(len(accused), int(contradict))


def _planted(visit: Visit, said: Judgement, gross: Gross) -> Planted:
    at = next(r for r in said.readings if (r.run, r.index) == (gross.run, gross.index))
    detected = _is_accused(at)
    count = _accused(said)
    return Planted(
        kind=gross.kind,
        what=at.what,
        size=_size(visit, gross),
        detected=detected,
        named=detected and count <= 3,
        anything=count > 0,
    )


def _size(visit: Visit, gross: Gross) -> float | None:
    """Return the planted error over the smallest that the engine would notice in the same visit without it."""
    wrong = next(run for run in visit.run if run.id == gross.run).reading[gross.index].value
    mended = judge(mended_visit(visit, gross))
    here = next(r for r in mended.readings if (r.run, r.index) == (gross.run, gross.index))
    return None if here.smallest_detectable is None else abs(wrong - gross.true) / here.smallest_detectable


def mended_visit(visit: Visit, gross: Gross) -> Visit:
    """Return a visit with the reading as it should have been written."""
    replace = msgspec.structs.replace
    runs = tuple(
        replace(
            run,
            reading=tuple(replace(r, value=gross.true) if k == gross.index else r for k, r in enumerate(run.reading)),
        )
        if run.id == gross.run
        else run
        for run in visit.run
    )
    return replace(visit, run=runs)
