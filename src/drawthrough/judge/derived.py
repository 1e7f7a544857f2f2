"""Numbers of the air side as logarithms of the joint fit's unknowns, each with its gradient."""

import math

from drawthrough.judge.ends import path_of
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.stream import REFERENCE_MASS_FLOW
from drawthrough.visit.state import Run, Visit, When


def airflow(joint: Joint, run: Run, place: str = "blower") -> Derived:
    """Return ln of a run's airflow at the local state of a section [m3/s]."""
    stream = joint.model.streams[run.id]
    return joint.linear({stream.flow: 1.0}, math.log(REFERENCE_MASS_FLOW * stream.air[place].volume))


def airflow_ratio(joint: Joint, found: Run, left: Run) -> Derived:
    """Return ln of the mass flow as left over as found."""
    return joint.linear({joint.model.streams[left.id].flow: 1.0, joint.model.streams[found.id].flow: -1.0})


def static_between(joint: Joint, visit: Visit, run: Run, ends: tuple[str, str]) -> Derived:
    """Return ln of the static between two places of a run [Pa], as the fit has it."""
    high, low = ends
    path = path_of(visit.system)
    stream = joint.model.streams[run.id]
    parts = [(name, sign) for name, sign in path.span(high, low) if name in stream.section]

    def logarithm(x: list[float]) -> float:
        return math.log(sum(sign * stream.section[name].evaluate(x)[0] for name, sign in parts))

    total = 0.0
    gradient: dict[int, float] = {}
    for name, sign in parts:
        drop, slopes = stream.section[name].evaluate(joint.mean)
        total += sign * drop
        for index, slope in zip(stream.section[name].unknowns, slopes, strict=True):
            gradient[index] = gradient.get(index, 0.0) + sign * slope
    return Derived(logarithm, {index: slope / total for index, slope in gradient.items()}, natural=True)


def shifted(number: Derived, constant: float, extra: tuple[tuple[str, float], ...] = (), sign: int = 1) -> Derived:
    """Return constant + ln of a number, or constant - ln of it."""
    return number._replace(
        logarithm=lambda x: constant + sign * number.logarithm(x),
        gradient={index: sign * slope for index, slope in number.gradient.items()},
        extra=(*number.extra, *extra),
    )


def difference(joint: Joint, first: Derived, second: Derived, extra: tuple[tuple[str, float], ...] = ()) -> Derived:
    """Return ln of the first number over the second."""
    gradient = dict(first.gradient)
    for index, slope in second.gradient.items():
        gradient[index] = gradient.get(index, 0.0) - slope
    return Derived(
        lambda x: first.logarithm(x) - second.logarithm(x),
        {index: slope for index, slope in gradient.items() if slope},
        extra,
        linear=first.linear and second.linear,
    )


def strength(joint: Joint, visit: Visit, when: When) -> Derived | None:
    """Return ln of blower against clean, or None where the fit has no such unknown."""
    find = joint.model.unknowns.find
    own = find(f"strength {when}")
    if own is not None:
        return joint.linear({own: 1.0})
    left, change = find("strength as left"), find("change strength")
    if left is None or change is None:
        return None
    return joint.linear({left: 1.0, change: 1.0})


def resistance_ratio(joint: Joint, part: str) -> Derived | None:
    """Return ln of a part's resistance as left over as found, or None where it was held to be the same."""
    change = joint.model.unknowns.find(f"change {part}")
    if change is None:
        return None
    return joint.linear({change: 1.0 if part == "filter" else -1.0})


def released(joint: Joint, first: str, second: str) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return what the readings alone say of two tied changes: (value, sd) of each, their priors taken away.

    The posterior precision less that of the priors is the readings' own: a block of two is enough, since everything
    else has already been integrated out. None where the readings say nothing of one of them.
    """
    find = joint.model.unknowns.find
    i, j = find(first), find(second)
    if i is None or j is None:
        return None
    c = joint.solution.covariance
    unknowns = joint.model.unknowns
    determinant = c[i][i] * c[j][j] - c[i][j] ** 2
    p = c[j][j] / determinant - 1.0 / unknowns.sd[i] ** 2
    q = c[i][i] / determinant - 1.0 / unknowns.sd[j] ** 2
    r = -c[i][j] / determinant
    rest = p * q - r * r
    if p <= 0.0 or q <= 0.0 or rest <= 1e-9 * p * q:
        return None
    a = (c[j][j] * joint.mean[i] - c[i][j] * joint.mean[j]) / determinant - unknowns.mean[i] / unknowns.sd[i] ** 2
    b = (c[i][i] * joint.mean[j] - c[i][j] * joint.mean[i]) / determinant - unknowns.mean[j] / unknowns.sd[j] ** 2
    return (
        ((q * a - r * b) / rest, math.sqrt(q / rest)),
        ((p * b - r * a) / rest, math.sqrt(p / rest)),
    )
