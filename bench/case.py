"""One thing that is timed: ours, and where there is one the reference that does the same work."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Case:
    """A case of the bench; every `bench/bench_*.py` exposes a sequence `CASES` of them.

    Parameters
    ----------
    name : str
        What is worked out, as the table says it.
    ours : callable
        Does the work once, with the engine. It returns its answer, so that nothing can be left out unseen.
    other : callable or None
        Does the same work once, with the reference; None for a case that has only a limit.
    other_name : str
        Name of the reference.
    wanted_ratio : float or None
        How many times faster than the reference ours has to be; None: only told.
    note : str
        What the comparison leaves out, or what bounds it.
    limit_ms : float or None
        Limit of our own time in milliseconds; None: only told.
    repeats : int or None
        Calls of the reference in one sample, where the bench should not find the number itself (a slow reference: 1).
    """

    name: str
    ours: Callable[[], Any]
    other: Callable[[], Any] | None = None
    other_name: str = ""
    wanted_ratio: float | None = None
    note: str = ""
    limit_ms: float | None = None
    repeats: int | None = None
