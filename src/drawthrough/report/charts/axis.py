"""Scales of the drawings: ticks lie on squares, and a square is a round amount of the unit that is shown."""

import math
from typing import NamedTuple

from drawthrough.report.charts.chart import signed


def round_amount(about: float) -> float:
    """Return the smallest of 1, 2 and 5 times a power of ten that is not below a number."""
    power = 10.0 ** math.floor(math.log10(about))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= about * (1.0 - 1e-9))


class Axis(NamedTuple):
    """A scale from units to pixels: its ends in both, and how much a square is."""

    low: float
    high: float
    square: float
    start: float  # pixel of `low`
    end: float  # pixel of `high`

    def at(self, value: float) -> float:
        """Return the pixel of a value."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def squares(self) -> list[float]:
        """Return the value of each line of the squared paper, both ends included."""
        first, last = round(self.low / self.square), round(self.high / self.square)
        return [k * self.square for k in range(first, last + 1)]

    def ticks(self, apart: float) -> list[tuple[float, str]]:
        """Return the values that are written, at least so many pixels apart, with their texts."""
        pixels = abs(self.end - self.start) * self.square / (self.high - self.low)
        every = next((k for k in (1, 2, 5, 10, 20, 50) if k * pixels >= apart), 100)
        step = every * self.square
        decimals = next(d for d in range(9) if abs(round(step, d) - step) < 1e-9 * step)
        return [
            (value, signed(f"{value + 0.0:.{decimals}f}"))
            for value in self.squares()
            if round(value / self.square) % every == 0
        ]


def axis(low: float, high: float, start: float, end: float, most: int) -> Axis:
    """Return a scale that holds two values, in whole squares, at most about `most` of them."""
    span = max(high - low, abs(high) * 1e-6, 1e-12)
    square = round_amount(span / most)
    first, last = math.floor(low / square + 1e-9), math.ceil(high / square - 1e-9)
    return Axis(first * square, max(last, first + 1) * square, square, start, end)
