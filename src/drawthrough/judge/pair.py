"""Which runs as found and as left are compared, and whether they may be."""

from typing import NamedTuple

from drawthrough.judge.joint import Joint
from drawthrough.judge.judgement import Reason
from drawthrough.judge.rules import reason
from drawthrough.visit.state import Run, Visit


class Pair(NamedTuple):
    """A run as found and a run as left, and why their comparison is not a plain one (empty: it is)."""

    found: Run
    left: Run
    doubts: tuple[Reason, ...]


def doubts_of(found: Run, left: Run) -> tuple[Reason, ...]:
    """Return what differs between two runs that a plain comparison needs the same."""
    doubts = []
    if found.mode != left.mode:
        doubts.append(reason("compared across modes"))
    if (found.speed, found.lead) != (left.speed, left.lead) and (
        found.speed != left.speed or (found.lead and left.lead)
    ):
        doubts.append(reason("compared across speeds"))
    if found.wetness != left.wetness:
        doubts.append(reason("compared across wetness"))
    return tuple(doubts)


def flow_index(joint: Joint, run: Run) -> int:
    """Return the unknown that is ln of a run's airflow."""
    return joint.model.streams[run.id].flow


def pairs_of(visit: Visit, joint: Joint) -> list[Pair]:
    """Return the pairs that can be compared, plain ones first, then by how well they tell the ratio."""
    runs = [run for run in visit.run if run.id in joint.model.streams and run.mode != "zero"]
    informed = {source.run for source in joint.model.sources if source.readings}
    pairs = [
        Pair(found, left, doubts_of(found, left))
        for found in runs
        if found.when == "as found" and found.id in informed
        for left in runs
        if left.when == "as left" and left.id in informed
    ]

    def spread(pair: Pair) -> float:
        return joint.solution.variance({flow_index(joint, pair.found): -1.0, flow_index(joint, pair.left): 1.0})

    return sorted(pairs, key=lambda pair: (len(pair.doubts), spread(pair)))
