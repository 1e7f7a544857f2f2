"""What waits for an opening: seen on a visit, left since it could not be reached, and not done since."""

from collections.abc import Iterable
from typing import NamedTuple

from drawthrough.visit.facts import LeftWaiting, TaskDone
from drawthrough.visit.fold import Folded


class Waiting(NamedTuple):
    """One thing that waits."""

    task: str
    why: str
    visit: str  # id of the visit on which it was seen
    moment: int  # of the fact that says so
    id: str  # of that fact


def still_waiting(visits: Iterable[Folded]) -> tuple[Waiting, ...]:
    """Return what still waits on a system, the oldest first.

    Parameters
    ----------
    visits : iterable of Folded
        The visits to the system, in the order in which they were opened.
    """
    found: dict[str, Waiting] = {}
    for folded in visits:
        for fact in folded.doing:
            if isinstance(fact, LeftWaiting):
                # Seen again it has still waited since the first time; the newer words are the better ones.
                first = found.get(fact.task)
                found[fact.task] = Waiting(
                    fact.task,
                    fact.why or (first.why if first else ""),
                    first.visit if first else folded.id,
                    first.moment if first else fact.moment,
                    first.id if first else fact.id,
                )
            elif isinstance(fact, TaskDone):
                found.pop(fact.task, None)
    return tuple(found.values())
