"""Rings: things that wait for each other, or rest on each other, so that none comes first."""

from collections.abc import Iterator, Mapping, Set


def ring_in(before: Mapping[str, Set[str]]) -> tuple[str, ...]:
    """Return names that wait for each other in a ring, in their order, or nothing.

    Parameters
    ----------
    before : mapping of str to set of str
        What each thing waits for.
    """
    state: dict[str, int] = {}
    for start in before:
        trail: list[tuple[str, Iterator[str]]] = []
        if state.get(start, 0) == 0:
            trail.append((start, iter(sorted(before[start]))))
            state[start] = 1
        while trail:
            code, rest = trail[-1]
            step = next(rest, None)
            if step is None:
                state[code] = 2
                trail.pop()
            elif state.get(step, 0) == 1:
                names = [name for name, _ in trail]
                return tuple(reversed(names[names.index(step) :]))
            elif state.get(step, 0) == 0 and step in before:
                state[step] = 1
                trail.append((step, iter(sorted(before[step]))))
    return ()
