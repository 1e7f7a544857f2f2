"""How much a reading that nobody has taken would settle: of which causes are so, and of one number.

Each case of the causes expects the reading somewhere; weighed together these are what it may show. For each value that
it may show the odds would be these or those: the expected fall of what is open of them, in bits.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from drawthrough.judge.causes import SIZED, Case, Weighed
from drawthrough.judge.joint import Joint
from drawthrough.measure.dense import backward, cholesky, forward

_NODES = 31  # values that a reading may show
_REACH = 4.0  # how far out these go, in standard deviations of what each case expects


class Prospect(NamedTuple):
    """What a reading would show of the marks' numbers: a weighted sum of them, and what blurs it."""

    weights: dict[int, float]
    variance: float


def of_unknowns(joint: Joint, weighed: Weighed, gradient: dict[int, float], noise: float) -> Prospect:
    """Return a reading of the fit's unknowns as one of the marks' numbers, the rest of it as blur.

    Parameters
    ----------
    joint : Joint
        The fit under wide beliefs.
    weighed : Weighed
        The causes, weighed on that fit.
    gradient : dict of int to float
        How the reading goes with each unknown.
    noise : float
        Standard deviation of the reading itself.
    """
    covariance = joint.solution.covariance
    fitted = [(k, each) for k, each in enumerate(weighed.marks.weights) if each is not None]

    def between(one: dict[int, float], other: dict[int, float]) -> float:
        return sum(v * w * covariance[i][j] for i, v in one.items() for j, w in other.items())

    factor = cholesky([[between(one, other) for _, other in fitted[: i + 1]] for i, (_, one) in enumerate(fitted)])
    shared = [between(gradient, each) for _, each in fitted]
    slopes = backward(factor, forward(factor, shared))
    rest = between(gradient, gradient) - sum(s * c for s, c in zip(slopes, shared, strict=True))
    return Prospect({k: s for (k, _), s in zip(fitted, slopes, strict=True)}, max(rest, 0.0) + noise * noise)


def bits_of_reading(weighed: Weighed, prospect: Prospect, *, left: bool) -> dict[str, float]:
    """Return by how many bits a reading is expected to settle each cause, as found or as left."""
    expected = list(_expected(weighed, prospect))
    cases = [case for case, _, _ in expected]
    low = min(mean - _REACH * sd for _, mean, sd in expected)
    high = max(mean + _REACH * sd for _, mean, sd in expected)
    outcomes = []
    for k in range(_NODES):
        value = low + (high - low) * k / (_NODES - 1)
        outcomes.append([c.probability * math.exp(-0.5 * ((value - m) / s) ** 2) / s for c, m, s in expected])
    return _fall(cases, outcomes, left)


def bits_of_look(weighed: Weighed, cause: str, seen: float, mistaken: float, *, left: bool) -> dict[str, float]:
    """Return by how many bits a look at a part is expected to settle each cause, as found or as left."""
    cases = list(weighed.cases[:SIZED])
    shown = []
    for case in cases:
        there = any(option.cause == cause and (option.remains or not left) for option in case.options)
        shown.append(seen if there else mistaken)
    outcomes = [
        [case.probability * share for case, share in zip(cases, shown, strict=True)],
        [case.probability * (1.0 - share) for case, share in zip(cases, shown, strict=True)],
    ]
    return _fall(cases, outcomes, left)


def bits_of_number(joint: Joint, number: dict[int, float], gradient: dict[int, float], noise: float) -> float:
    """Return by how many bits a reading narrows a number: the linear variance that it takes away."""
    covariance = joint.solution.covariance
    shared = sum(v * w * covariance[i][j] for i, v in number.items() for j, w in gradient.items())
    own = joint.solution.variance(gradient) + noise * noise
    share = shared * shared / (own * joint.solution.variance(number))
    return -0.5 * math.log2(1.0 - min(share, 0.999999))


def _expected(weighed: Weighed, prospect: Prospect) -> Iterator[tuple[Case, float, float]]:
    """Yield what each case expects of a reading: mean, standard deviation."""
    usual, weights = weighed.usual, prospect.weights
    size = len(usual.mean)
    mean = sum(w * usual.mean[i] for i, w in weights.items())
    variance = sum(v * w * usual.covariance[i][j] for i, v in weights.items() for j, w in weights.items())
    followed = [sum(w * usual.follow[i][j] for i, w in weights.items()) for j in range(size)]
    along = [sum(followed[i] * v for i, v in direction.by.items()) for direction in weighed.directions]
    for case in weighed.cases[:SIZED]:
        moved, more = 0.0, 0.0
        if case.sized is not None:
            at = [k for option in case.options for k in option.direction]
            moved = sum(along[k] * size_of for k, size_of in zip(at, case.sized.mean, strict=True))
            for i, line in zip(at, case.sized.covariance, strict=True):
                more += sum(along[i] * along[k] * value for k, value in zip(at, line, strict=True))
        yield case, mean + moved, math.sqrt(variance + more + prospect.variance)


def _fall(cases: Sequence[Case], outcomes: Sequence[Sequence[float]], left: bool) -> dict[str, float]:
    """Return the expected fall of each cause's entropy over outcomes, each given by the weights the cases then have."""
    total = sum(map(sum, outcomes)) or 1.0
    fall = _entropies(cases, [sum(each) for each in zip(*outcomes, strict=True)], left)
    for weights in outcomes:
        share = sum(weights) / total
        for cause, bits in _entropies(cases, weights, left).items():
            fall[cause] -= share * bits
    return {cause: max(bits, 0.0) for cause, bits in fall.items()}


def _entropies(cases: Sequence[Case], weights: Sequence[float], left: bool) -> dict[str, float]:
    """Return how much is open of each cause, in bits."""
    total = sum(weights)
    shares: dict[str, float] = {}
    for case, weight in zip(cases, weights, strict=True):
        for option in case.options:
            if option.remains or not left:
                shares[option.cause] = shares.get(option.cause, 0.0) + weight
    return {cause: _binary(share / total) if total > 0.0 else 0.0 for cause, share in shares.items()}


def _binary(share: float) -> float:
    if not 0.0 < share < 1.0:
        return 0.0
    return -share * math.log2(share) - (1.0 - share) * math.log2(1.0 - share)
