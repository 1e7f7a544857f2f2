"""From a derived number to a result: its interval, its standing, and why."""

import msgspec

from drawthrough.judge import derived
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.judgement import Moment, Reason, Result, Standing
from drawthrough.judge.pair import reason
from drawthrough.visit.state import Run

MODEL = "joint fit of all readings"
HARDLY_NARROWER = 0.8  # a posterior wider than this share of its prior says nothing that was read (judgement)
_VAGUE = 0.15  # an airflow known to no better than this (k=1) is its prior, hardly a measurement (judgement)


def result_of(
    joint: Joint,
    name: str,
    when: Moment,
    unit: str,
    number: Derived,
    doubts: tuple[Reason, ...] = (),
    basis: str = "",
    *,
    ratio: bool = False,
    reference: float = 1.0,
) -> Result:
    """Return a derived number as a result: a ratio whose interval holds `reference` is not resolved."""
    interval = joint.interval(number)
    standing: Standing = "it stands"
    reasons = doubts
    if ratio and interval.low <= reference <= interval.high:
        standing = "not resolved"
        reasons = (*doubts, reason("interval holds no change", MODEL))
    elif doubts:
        standing = "in doubt"
    if interval.leans:
        standing = "not resolved"
        reasons = (*reasons, reason("interval leans", MODEL))
    if not joint.solution.settled:
        standing = "in doubt"
        reasons = (*reasons, reason("readings contradict each other", MODEL))
    return Result(
        name=name,
        when=when,
        unit=unit,
        value=interval.value,
        low=interval.low,
        high=interval.high,
        standing=standing,
        reasons=reasons,
        budget=joint.budget(number),
        basis=basis,
        leans=interval.leans,
    )


def unless_vague(joint: Joint, run: Run, result: Result) -> Result:
    """Return a result that needs the airflow of a run, as not resolved where nothing read ties that airflow down."""
    sd = joint.sd(derived.airflow(joint, run))
    if sd <= _VAGUE:
        return result
    reasons = (reason("airflow hardly measured", MODEL, sd=sd), *result.reasons)
    return msgspec.structs.replace(result, standing="not resolved", reasons=reasons)
