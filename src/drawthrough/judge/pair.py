"""Which runs as found and as left are compared, and whether they may be."""

from typing import NamedTuple

from drawthrough.judge.ends import path_of
from drawthrough.judge.joint import Joint
from drawthrough.judge.judgement import Reason
from drawthrough.judge.rows import PressureRow
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


def filter_hides(visit: Visit, joint: Joint, pair: Pair) -> tuple[Reason, ...]:
    """Return why a pair tells no change: another filter may have made all of it.

    Where a filter was changed and a blower worked on, a static across filter and ducts together may have moved for
    either. What tells them apart is an airflow (by a known heat or outright), or a static that leaves the filter out.
    """
    model = joint.model
    filters = [model.streams[run.id].section.get("filter") for run in (pair.found, pair.left)]
    same = len({part.resistance if part is not None else None for part in filters}) == 1
    fans = all(run.id in model.fans for run in (pair.found, pair.left))
    held = visit.system.motor == "constant airflow" and model.unknowns.find("held short") is None
    if same or (fans and (held or model.unknowns.find("change strength") is not None)):
        return ()
    if all(_tells_airflow(visit, joint, run) for run in (pair.found, pair.left)):
        return ()
    return (reason("nothing read tells this"),)


def _tells_airflow(visit: Visit, joint: Joint, run: Run) -> bool:
    path = path_of(visit.system)
    present = joint.model.streams[run.id].section  # a filter that is out resists nothing
    for source, row in zip(joint.model.sources, joint.model.expectations, strict=True):
        if source.run != run.id or not source.readings:
            continue
        if not isinstance(row, PressureRow):
            return True
        reading = run.reading[source.readings[0]]
        passed = {name for name, _ in path.span(reading.at, reading.against or reading.at) if name in present}
        if passed and ("filter" not in passed or passed == {"filter"}):
            return True
    return False


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
