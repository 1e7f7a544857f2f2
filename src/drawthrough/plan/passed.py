"""What was passed over: nobody said that it was done, though something that comes after it was begun."""

from collections.abc import Mapping, Sequence

from drawthrough.plan.job import Planned


def passed_over(planned: Sequence[Planned], begun: Mapping[str, float]) -> dict[str, float]:
    """Return the tasks that were passed over, each with when the first thing after it was begun.

    Parameters
    ----------
    planned : sequence of Planned
        The tasks of a visit.
    begun : mapping of str to float
        When each task was begun that was begun or done. [s]
    """
    ways = {one.code: one.after for one in planned}
    found: dict[str, float] = {}
    todo = [(code, start) for code, start in begun.items() if code in ways]
    while todo:
        code, start = todo.pop()
        for before, _ in ways[code]:
            if before not in begun and start < found.get(before, float("inf")):
                found[before] = start
                todo.append((before, start))
    return found
