"""From a derived number to a result: its interval, its standing, and why."""

import msgspec

from drawthrough.judge import derived
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.judgement import Moment, Reason, Result
from drawthrough.judge.rules import reason, standing_of
from drawthrough.visit.state import Run

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
    reasons = doubts
    if ratio and interval.low <= reference <= interval.high:
        reasons = (*reasons, reason("interval holds no change"))
    if interval.leans:
        reasons = (*reasons, reason("interval leans"))
    if not joint.solution.settled:
        reasons = (*reasons, reason("readings contradict each other"))
    return Result(
        name=name,
        when=when,
        unit=unit,
        value=interval.value,
        low=interval.low,
        high=interval.high,
        standing=standing_of(reasons),
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
    reasons = (reason("airflow hardly measured", sd=sd), *result.reasons)
    return msgspec.structs.replace(result, standing="not resolved", reasons=reasons)
