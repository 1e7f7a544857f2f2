"""Whose gain it was: the change of airflow shared among wheel, coil, filter and ducts."""

import math
from typing import NamedTuple

from drawthrough.judge import derived
from drawthrough.judge.blower import beyond_table
from drawthrough.judge.derived import strength
from drawthrough.judge.joint import COVERAGE, Derived, Joint
from drawthrough.judge.judgement import Gain, Standing
from drawthrough.judge.pair import Pair
from drawthrough.judge.unknowns import WORKED_ON
from drawthrough.physics.operating_point import shared_gain
from drawthrough.visit.state import Visit

_CHANGES = {"coil": -1.0, "filter": 1.0, "return duct": -1.0, "supply duct": -1.0}
_LEAST = 1e-3  # changes of ln K held this close by their priors are no change


class Shares(NamedTuple):
    """Whose gain it was, and the whole ratio with the filter's part taken out (None: the filter was not changed)."""

    gains: tuple[Gain, ...] = ()
    at_equal_filter: Derived | None = None


def gains_of(visit: Visit, joint: Joint, pair: Pair) -> Shares:
    """Return how ln(airflow as left over as found) divides among what was changed.

    The operating point is recomputed with each change brought in first, last and in every place between, and the
    differences are averaged over all orders, so that the shares add up. Widths come from the fit's covariance, each
    share taken as proportional to its own change. Nothing without a fan table for the pair's speed.
    """
    model = joint.model
    row = model.fans.get(pair.left.id)
    if row is None:
        return Shares()
    changes = _changes(visit, joint, pair)
    if not changes:
        return Shares()
    sizes = {part: sum(w * joint.mean[i] for i, w in weights.items()) for part, weights in changes.items()}

    def flow(parts: frozenset[str]) -> float:
        """ln of the airflow with only these parts as left, the others as found."""
        x = list(joint.mean)
        for part, size in sizes.items():
            if part not in parts:
                _take_back(joint, x, pair, part, size)
        return _operating_point(joint, pair, x)

    shares = shared_gain(flow, tuple(changes))
    followed = not beyond_table(joint, pair)
    gains = []
    without_filter = None
    for part, share in shares.items():
        sd = math.sqrt(joint.solution.variance(changes[part]))
        scale = share / sizes[part] if abs(sizes[part]) > _LEAST else _sensitivity(joint, pair, part)
        half = COVERAGE * abs(scale) * sd
        low, high = share - half, share + half
        certain: Standing = "it stands" if followed else "in doubt"
        standing: Standing = certain if low > 0.0 or high < 0.0 else "not resolved"
        if part == "filter":
            weights = dict(derived.airflow_ratio(joint, pair.found, pair.left).gradient)
            for index, weight in changes[part].items():
                weights[index] = weights.get(index, 0.0) - scale * weight
            without_filter = joint.linear(weights)
        gains.append(Gain(part=part, value=share, low=low, high=high, standing=standing))
    return Shares(tuple(sorted(gains, key=lambda gain: -abs(gain.value))), without_filter)


def _changes(visit: Visit, joint: Joint, pair: Pair) -> dict[str, dict[int, float]]:
    """Return the changes between two runs, each as weights of unknowns whose sum is ln(as left over as found)."""
    found_parts, left_parts = (joint.model.streams[run.id].section for run in (pair.found, pair.left))
    changes: dict[str, dict[int, float]] = {}
    for part, sign in _CHANGES.items():
        index = joint.model.unknowns.find(f"change {part}")
        if index is None or joint.model.unknowns.sd[index] < WORKED_ON:
            continue
        if part in found_parts and part in left_parts and found_parts[part].resistance != left_parts[part].resistance:
            changes[part] = {index: sign}
    found, left = strength(joint, visit, "as found"), strength(joint, visit, "as left")
    if found is not None and left is not None and visit.system.motor != "constant airflow":
        blower = {i: w for i, w in derived.difference(joint, left, found).gradient.items() if w}
        if blower:
            changes["blower"] = blower
    return changes


def _take_back(joint: Joint, x: list[float], pair: Pair, part: str, size: float) -> None:
    """Put one part of the run as left back to what it was as found, in the unknowns that its fan row reads."""
    find = joint.model.unknowns.find
    names = {"blower": f"strength {pair.left.when}", "filter": "change filter"}
    index, rated = find(names.get(part, f"resistance {part}")), find("rated coil")
    if index is not None:
        x[index] -= size
    if part == "coil" and rated is not None:
        x[rated] += size  # the cabinet in which the blower was rated does not change


def _operating_point(joint: Joint, pair: Pair, x: list[float]) -> float:
    """Return ln of the airflow of the run as left at which the blower meets the path, all other unknowns given."""
    model = joint.model
    row, stream = model.fans[pair.left.id], model.streams[pair.left.id]
    x = list(x)
    stream.evaluate(joint.mean)
    target = row.row(joint.mean)[0]  # what the fit leaves unexplained stays as it is
    for _ in range(12):
        stream.evaluate(x)
        value, indices, slopes = row.row(x)
        slope = slopes[indices.index(stream.flow)]
        step = (target - value) / slope
        x[stream.flow] += max(-0.3, min(0.3, step))
        if abs(step) < 1e-9:
            break
    return x[stream.flow]


def _sensitivity(joint: Joint, pair: Pair, part: str) -> float:
    """Return d ln(airflow) per unit of a change too small to divide by."""
    here = _operating_point(joint, pair, joint.mean)
    x = list(joint.mean)
    _take_back(joint, x, pair, part, 0.01)
    return (here - _operating_point(joint, pair, x)) / 0.01
