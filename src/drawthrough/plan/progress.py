"""How far the work is: what was begun, done, left out, and which openings stand, from the facts in their order."""

from collections.abc import Iterable

from drawthrough.trade.tasks import Tasks, tasks
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import HoldPassed, TaskBegun, TaskDone, TaskLeft
from drawthrough.visit.fold import Folded


class Progress:
    """What the facts of a visit say of its tasks.

    Parameters
    ----------
    folded : Folded
        What the facts add up to.
    made : Tasks, optional
        The tasks; those that the tool brings.
    """

    def __init__(self, folded: Folded, made: Tasks | None = None) -> None:
        self.folded = folded
        self.made = made or tasks()
        self._place: dict[str, int] = {}  # of the last time that each task was done, in the order of the facts
        self._done: dict[str, TaskDone] = {}
        self._begun: dict[str, TaskBegun] = {}
        self._left: dict[str, TaskLeft] = {}
        self.passed: list[tuple[int, HoldPassed]] = []
        for place, fact in enumerate(folded.doing):
            if isinstance(fact, TaskDone):
                self._done[fact.task] = fact
                self._place[fact.task] = place
                self._left.pop(fact.task, None)
            elif isinstance(fact, TaskBegun):
                self._begun[fact.task] = fact
                self._left.pop(fact.task, None)
            elif isinstance(fact, TaskLeft):
                self._left[fact.task] = fact
            elif isinstance(fact, HoldPassed):
                self.passed.append((place, fact))

    @property
    def under_way(self) -> bool:
        """Has the work begun to go by the plan?"""
        return bool(self._done or self._begun)

    def done(self, code: str, since: Iterable[str] = ()) -> bool:
        """Was a task done, with all its checks, and later than the last time that each of some others was done?"""
        fact = self._done.get(code)
        if fact is None:
            return False
        task = self.made.task.get(code)
        if task is not None and not set(task.checks) <= set(fact.checks):
            return False
        return all(self._place.get(other, -1) < self._place[code] for other in since)

    def place(self, code: str) -> int:
        """Return where in the order of the facts a task was last done; -1: never."""
        return self._place.get(code, -1)

    def done_fact(self, code: str) -> TaskDone | None:
        """Return the fact by which a task was last done."""
        return self._done.get(code)

    def left_fact(self, code: str) -> TaskLeft | None:
        """Return the fact by which a task was left out, if that is the last word on it."""
        return self._left.get(code)

    def begun_at(self, code: str) -> int | None:
        """Return since when a task is in hand, in milliseconds; None if it is not, or is over."""
        fact = self._begun.get(code)
        if fact is None or code in self._left:
            return None
        over = self._done.get(code)
        return None if over is not None and over.moment > fact.moment else wall(fact.moment)

    def hands_of(self, code: str) -> tuple[int | None, int] | None:
        """Return when a task was begun and when it was done, in milliseconds; the first is None if nobody said so."""
        over = self._done.get(code)
        if over is None:
            return None
        began = self._begun.get(code)
        start = wall(began.moment) if began is not None and began.moment < over.moment else None
        return start, wall(over.moment)

    def open(self, opening: str) -> bool:
        """Does an opening stand? It was made, and has not been ended since."""
        return self.place(self.made.opener(opening).code) > self.place(self.made.ender(opening).code)

    @property
    def openings(self) -> tuple[str, ...]:
        """The openings that stand."""
        return tuple(opening for opening in self.made.openings if self.open(opening))
