"""The law of one reading as all others expect it: a normal expectation, and heavy-tailed noise of its own on top."""

import math
from typing import NamedTuple

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


class Law(NamedTuple):
    """What one reading may show: where the others expect it, its own noise, and how sure they are.

    Noise and expectation are both heavy-tailed: that of the noise is Student's t with 4 degrees of freedom, and the
    expectation rests on beliefs whose normal law nobody has seen further out than two or three standard deviations.
    Their sum is taken as Student's t with 4 degrees again and the sum of both variances. Where one of the two is far
    the larger that is exact; the true sum's density lies within an eighth of it up to three standard deviations, and
    far out it has at most twice the true one, so that it rather believes a reading.
    """

    middle: float
    own: float
    others: float

    def log(self, value: float) -> float:
        """Return the logarithm of the density of a value."""
        return math.log(max(student(value - self.middle, math.hypot(self.own, self.others)), _LEAST))

    def tail(self, value: float) -> float:
        """Return the probability of lying further from the middle, to either side."""
        return student_tail(value - self.middle, math.hypot(self.own, self.others))


class Normal(NamedTuple):
    """A plain normal law: a reading that is wrong in no way that has a name."""

    middle: float
    spread: float

    def log(self, value: float) -> float:
        """Return the logarithm of the density of a value."""
        z = (value - self.middle) / self.spread
        return -0.5 * z * z - math.log(self.spread * _ROOT)
