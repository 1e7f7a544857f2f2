"""Counts with their uncertainty: how often something happened, overall and in cells."""

import math
from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import NamedTuple, TypeVar

_NORMAL_95 = 1.959963984540054  # two-sided 95 % quantile of the normal distribution

Item = TypeVar("Item")
Cell = TypeVar("Cell", bound=Hashable)


class Count(NamedTuple):
    """How many of so many."""

    hits: int
    of: int

    @property
    def share(self) -> float:
        """Return the share of hits; refused where there was nothing to count."""
        if not self.of:
            raise ValueError("a share of nothing")
        return self.hits / self.of

    @property
    def bounds(self) -> tuple[float, float]:
        """Return the 95 % bounds of the share that stands behind the count."""
        return wilson(self.hits, self.of)


def wilson(hits: int, of: int, quantile: float = _NORMAL_95) -> tuple[float, float]:
    """Return Wilson's score interval of a binomial share: every p with |hits/of - p| <= z*sqrt(p*(1 - p)/of).

    With nothing counted, all from 0 to 1 is possible.
    """
    if not 0 <= hits <= of:
        raise ValueError(f"{hits} of {of}")
    if of == 0:
        return 0.0, 1.0
    share = hits / of
    squared = quantile * quantile / of
    middle = (share + squared / 2) / (1 + squared)
    half = quantile * math.sqrt(share * (1 - share) / of + squared / (4 * of)) / (1 + squared)
    # None of so many, or all of them: the bound is 0 or 1 itself, which rounding must not miss.
    return 0.0 if hits == 0 else middle - half, 1.0 if hits == of else middle + half


def counted(outcomes: Iterable[bool]) -> Count:
    """Return how many of the outcomes are true."""
    seen = list(outcomes)
    return Count(sum(seen), len(seen))


def by_cell(items: Iterable[Item], cell: Callable[[Item], Cell]) -> dict[Cell, list[Item]]:
    """Return the items of each cell, cells in the order in which they were first met."""
    cells: dict[Cell, list[Item]] = {}
    for item in items:
        cells.setdefault(cell(item), []).append(item)
    return cells


def median(values: Sequence[float]) -> float | None:
    """Return the median, or None of nothing."""
    if not values:
        return None
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2
