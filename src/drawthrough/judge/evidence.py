"""How well a fit explains its readings: the logarithm of their probability, all unknowns averaged out."""

import math

from drawthrough.errors import Unresolvable
from drawthrough.judge.joint import Joint
from drawthrough.judge.law import Law, student
from drawthrough.judge.rows import HeatRow
from drawthrough.measure import dense

_LEAST = 1e-300


def evidence(joint: Joint) -> float:
    """Return the log probability of the readings of a fit, by the width of its peak (Laplace).

    Noise and beliefs are taken at the fit's mean, the width from its covariance. Beliefs count with the tails of
    Student's t, though the fit takes them for normal: that a duct changed by four of its standard deviations is rather
    a belief too narrow than a number written wrongly.
    """
    unknowns, solution = joint.model.unknowns, joint.solution
    total = 0.0
    for value, mean, sd in zip(solution.mean, unknowns.mean, unknowns.sd, strict=True):
        total += math.log(max(student(value - mean, sd), _LEAST))
    for observation, (expected, _, _) in zip(joint.model.observations, joint.rows, strict=True):
        gap = observation.value - expected
        if observation.heavy:
            total += math.log(max(student(gap, observation.sd), _LEAST))
        else:
            total -= 0.5 * (gap / observation.sd) ** 2 + math.log(observation.sd * math.sqrt(2.0 * math.pi))
    factor = dense.cholesky([list(line) for line in solution.covariance])
    return total + sum(math.log(line[-1]) for line in factor)


def gained(base: Joint, other: Joint) -> float:
    """Return by how much another fit of the same visit explains its readings better, as a logarithm.

    A rise that only one of the two fits has is one that is not above zero in the other: there it stands at zero.
    """
    labels = [{o.label for o in joint.model.observations} for joint in (base, other)]
    try:
        difference = evidence(other) - evidence(base)
    except Unresolvable:
        return -math.inf
    return difference - _missing(other, labels[0]) + _missing(base, labels[1])


def _missing(joint: Joint, labels: set[str]) -> float:
    """Return the log density of no rise at all, for each rise of a fit that the other has not."""
    return sum(
        Law(fitted.expected_without, fitted.sd, fitted.sd_without).log(0.0)
        for fitted, row in zip(joint.solution.fitted, joint.model.expectations, strict=True)
        if isinstance(row, HeatRow) and fitted.label not in labels
    )
