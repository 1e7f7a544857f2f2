"""The law of one reading as all others expect it: a normal expectation, and heavy-tailed noise of its own on top."""

import math
from typing import NamedTuple

from drawthrough.measure.sites import NODES

_ROOT = math.sqrt(2.0 * math.pi)
_LEAST = 1e-300


def student(distance: float, sd: float) -> float:
    """Return the density of Student's t with 4 degrees of freedom and this standard deviation."""
    x = distance / sd
    # With sd^2 = 2 scale^2: 3/8 (1 + t^2/4)^-5/2 over the scale.
    return 0.375 * math.sqrt(2.0) / sd * float((1.0 + 0.5 * x * x) ** -2.5)


def student_tail(distance: float, sd: float) -> float:
    """Return the probability of lying further out, to either side, by Student's t with 4 degrees of freedom."""
    t = abs(distance) / sd * math.sqrt(2.0)
    s = t / math.sqrt(4.0 + t * t)
    if s > 0.999:
        # 1 - 3/2 s + 1/2 s^3 loses all its digits here; with 1 - s^2 = q it is 3/8 q^2 and less.
        q = 4.0 / (4.0 + t * t)
        return 0.375 * q * q + 0.125 * q**3
    return 1.0 - 1.5 * s + 0.5 * s**3


class Law:
    """Student-t noise about a normal expectation, as the mixture of normals that the fit's readings are.

    The nodes reach 23 standard deviations of the noise. Beyond, the mixture falls as a normal, the true law as the
    noise alone: where the noise alone is the larger of the two it stands.
    """

    __slots__ = ("_nodes", "middle", "others", "own")

    def __init__(self, middle: float, own: float, others: float) -> None:
        self.middle, self.own, self.others = middle, own, others
        wide = others * others
        self._nodes = tuple((weight, 0.5 / (own * own * spread + wide)) for spread, weight in NODES)

    def density(self, value: float) -> float:
        """Return the density of a value."""
        square = (value - self.middle) ** 2
        total = sum(w * math.sqrt(2.0 * half) * math.exp(-half * square) for w, half in self._nodes) / _ROOT
        return max(total, student(value - self.middle, self.own), _LEAST)

    def log(self, value: float) -> float:
        """Return the logarithm of the density of a value."""
        return math.log(self.density(value))

    def tail(self, value: float) -> float:
        """Return the probability of lying further from the middle, to either side."""
        distance = abs(value - self.middle)
        mixed = sum(w * math.erfc(distance * math.sqrt(half)) for w, half in self._nodes)
        return max(mixed, student_tail(distance, self.own))


class Normal(NamedTuple):
    """A plain normal law: a reading that is wrong in no way that has a name."""

    middle: float
    spread: float

    def log(self, value: float) -> float:
        """Return the logarithm of the density of a value."""
        z = (value - self.middle) / self.spread
        return -0.5 * z * z - math.log(self.spread * _ROOT)
