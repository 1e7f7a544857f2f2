"""One simulated visit judged: what the engine said of it beside what is true."""

import math
from collections.abc import Callable
from typing import NamedTuple

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.judge.engine import judge
from drawthrough.judge.heat import POINTS_AGREE
from drawthrough.judge.judgement import Judgement, ReadingStanding, Result
from drawthrough.judge.priors import Priors
from drawthrough.visit.state import Visit
from tests.calibration import rules_of_thumb
from tests.calibration.causes_judged import SaidOfCauses, causes_judged
from tests.simulate.blunders import Gross
from tests.simulate.visits import Truth

Simulate = Callable[..., tuple[Visit, Truth]]

# The four quantities whose truth is known: the engine's result, and whether the truth is told the other way round.
QUANTITIES = {
    "airflow ratio": ("airflow", "as left over as found", False),
    "blower, found over left": ("blower_against_clean", "as found over as left", False),
    "coil resistance ratio": ("coil_resistance", "as left over as found", True),
    "sensible ratio": ("sensible_capacity", "as left over as found", False),
}
# Reasons that accuse a reading. All others speak of how it was taken, and say nothing against its digits.
BY_DIGITS = ("contradicts the others", "looks like a slip", "no such air", "beyond what can be worked with")
APART = "supply points disagree"
ACCUSES = (*BY_DIGITS, APART, "strip power does not fit the kit")
UNCHECKED = "nothing checks it"
CONTRADICT = "readings contradict each other"
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
    accused: frozenset[str]  # why any reading is accused; empty: none is
    excused: frozenset[str]  # those of these reasons that are true of the house, and no false alarm
    readings: int
    unchecked: int  # readings in the fit that nothing checks, and say so
    unused: int  # readings that do not enter the fit
    planted: Planted | None
    moments: tuple[rules_of_thumb.Moment, rules_of_thumb.Moment]
    refused: str  # why there is no judgement at all; empty: there is one
    causes: SaidOfCauses | None = None  # None: nothing was said of them


def judged(simulate: Simulate, seed: int, gross: bool, beliefs: Callable[[str], Priors] | None = None) -> Judged:
    """Return one simulated visit as it was judged, with the printed beliefs or with those for its kind of motor."""
    visit, truth = simulate(seed, gross=gross)
    refused = ""
    said: Judgement | None = None
    try:
        said = judge(visit, beliefs(truth.cell[0]) if beliefs else None)
    except DrawthroughError as error:
        refused = type(error).__name__
    readings = said.readings if said is not None else ()
    return Judged(
        seed=seed,
        cell=truth.cell,
        airflow_ratio=truth.airflow_ratio if said is None else _airflow_ratio(said, truth),
        blower_ratio=truth.blower_ratio,
        found=truth.found,
        left=truth.left,
        given=_given(said, truth) if said is not None else {},
        accused=_reasons(said) if said is not None else frozenset(),
        excused=_excused(said, truth) if said is not None else frozenset(),
        readings=len(readings),
        unchecked=sum(any(r.code == UNCHECKED for r in reading.reasons) for reading in readings),
        unused=sum(not reading.used for reading in readings),
        planted=_planted(visit, said, truth.gross) if truth.gross is not None and said is not None else None,
        moments=(rules_of_thumb.moment(visit, "as found"), rules_of_thumb.moment(visit, "as left")),
        refused=refused,
        causes=causes_judged(said),
    )


def _given(said: Judgement, truth: Truth) -> dict[str, Given]:
    truths = (_airflow_ratio(said, truth), truth.blower_ratio, truth.coil_ratio, truth.sensible_ratio)
    given = {}
    for (quantity, (name, when, inverted)), true in zip(QUANTITIES.items(), truths, strict=True):
        result = said.result(name, when)
        if result is not None and true is not None:
            given[quantity] = _beside(result, 1.0 / true if inverted else true)
    return given


def _airflow_ratio(said: Judgement, truth: Truth) -> float:
    """Return the true ratio of the two runs that the engine compares: strips and cooling move different airflows."""
    if said.compared is None:
        return truth.airflow_ratio
    found, left = said.compared
    return truth.flows[left] / truth.flows[found]


def _beside(result: Result, truth: float) -> Given:
    codes = {reason.code for reason in result.reasons}
    no_change = result.standing == "not resolved" and codes == {NO_CHANGE}
    return Given(truth, result.value, result.low, result.high, result.standing == "it stands", no_change)


def _against(reading: ReadingStanding) -> frozenset[str]:
    """Return what accuses a reading."""
    if reading.standing not in ("in doubt", "set aside"):
        return frozenset()
    return frozenset(r.code for r in reading.reasons if r.code in ACCUSES)


def _reasons(said: Judgement) -> frozenset[str]:
    """Return why any reading is accused."""
    contradict = any(finding.code == CONTRADICT for finding in said.findings)
    return frozenset({CONTRADICT} if contradict else ()).union(*(_against(r) for r in said.readings))


def _excused(said: Judgement, truth: Truth) -> frozenset[str]:
    """Return the reasons that are true: supply points that disagree where the air at them truly does, every time."""
    runs = {r.run for r in said.readings if APART in _against(r)}
    apart = bool(runs) and all(truth.points[run] > POINTS_AGREE for run in runs)
    return frozenset({APART} if apart else ())


def _count(said: Judgement) -> int:
    """Return how many readings are accused; those that make one rise speak together and count as one."""
    return len({(r.run, r.what if r.against is None else r.index) for r in said.readings if _against(r)})


def _planted(visit: Visit, said: Judgement, gross: Gross) -> Planted:
    """Return what became of a gross error, beside what is said of the same visit without it."""
    twin = judge(mended_visit(visit, gross))
    wrong, right = (
        next(r for r in judgement.readings if (r.run, r.index) == (gross.run, gross.index))
        for judgement in (said, twin)
    )
    accused = _against(wrong)
    # A rule of how readings are taken may accuse this one with or without the error; the fit's verdict counts as it is.
    detected = bool(accused & set(BY_DIGITS) or accused - _against(right))
    unchecked = any(reason.code == UNCHECKED for reason in right.reasons)
    smallest = None if unchecked else right.smallest_detectable
    return Planted(
        kind=gross.kind,
        what=wrong.what,
        size=None if smallest is None else abs(gross.typed - gross.true) / smallest,
        detected=detected,
        named=detected and _count(said) <= 3,
        anything=bool(_reasons(said)),
    )


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
