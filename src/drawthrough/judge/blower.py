"""The blower against a clean one, and the wheel apart from the rest of it."""

import math
from collections.abc import Callable

from drawthrough.judge import derived
from drawthrough.judge.accuracy import noise_of
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.judgement import Reason, Result
from drawthrough.judge.outcome import HARDLY_NARROWER, result_of
from drawthrough.judge.pair import Pair, filter_hides
from drawthrough.judge.priors import Belief, Priors
from drawthrough.judge.rules import reason
from drawthrough.judge.unknowns import touched
from drawthrough.visit.state import Run, Visit

_PAST = 0.05  # share of its width by which a table may be followed past its ends (judgement)
NAMED_PRIOR = reason("level rests on its prior")
UNTOLD = reason("nothing read tells this")


def blower_of(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> list[Result]:
    """Return how the blower, and with rpm the wheel, stood against clean as found and as left."""
    if visit.system.motor == "constant airflow":
        return _held_airflow(visit, joint, pair, priors)
    found, left = (derived.strength(joint, visit, when) for when in ("as found", "as left"))
    if found is None or left is None:
        return []
    results = [
        result_of(joint, "blower_against_clean", "as found", "1", found, (NAMED_PRIOR,)),
        result_of(joint, "blower_against_clean", "as left", "1", left, (NAMED_PRIOR,)),
    ]
    ratio = derived.difference(joint, found, left)
    if not ratio.gradient:
        return results
    doubts = (*pair.doubts, *beyond_table(joint, pair), *filter_hides(visit, joint, pair))
    prior_sd = math.hypot(*(joint.model.unknowns.sd[i] for i in ratio.gradient))
    if joint.sd(ratio) > HARDLY_NARROWER * prior_sd and UNTOLD not in doubts:
        doubts = (*doubts, UNTOLD)
    results.append(
        result_of(
            joint,
            "blower_against_clean",
            "as found over as left",
            "1",
            ratio,
            doubts,
            "wheel, motor, voltage and capacitor together",
            ratio=True,
        )
    )
    speeds = _speeds(visit, pair, priors)
    if speeds is not None:
        logarithm, variance = speeds
        slope = priors.speed_slope_psc if visit.system.motor == "psc" else priors.speed_slope_constant_torque
        # A clean blower turns faster against more static: that much of the change of speed is not the wheel's.
        moved = _static_on_table(joint, pair.found) - _static_on_table(joint, pair.left)
        extra = (("tachometer", variance), ("speed against static", (slope.sd * moved) ** 2))
        wheel = derived.shifted(ratio, slope.mean * moved - logarithm, extra)
        results.append(
            result_of(
                joint,
                "wheel_against_clean",
                "as found over as left",
                "1",
                wheel,
                doubts,
                "rpm taken out",
                ratio=True,
            )
        )
    return results


def _static_on_table(joint: Joint, run: Run) -> float:
    """Static at which a run enters its fan table [Pa]."""
    joint.model.streams[run.id].evaluate(joint.mean)
    return joint.model.fans[run.id].static_on_table(joint.mean)


def beyond_table(joint: Joint, pair: Pair) -> tuple[Reason, ...]:
    """Return why the fan table cannot carry a pair: its curve was followed past its printed ends."""
    reasons = []
    for run in (pair.found, pair.left):
        row = joint.model.fans.get(run.id)
        if row is None:
            continue
        static = _static_on_table(joint, run)
        low, high = row.limits
        if not low - _PAST * (high - low) <= static <= high + _PAST * (high - low):
            reasons.append(reason("beyond the fan table", {"run": run.id}, static=static, low=low, high=high))
    return tuple(reasons)


def _speeds(visit: Visit, pair: Pair, priors: Priors) -> tuple[float, float] | None:
    """ln(rpm as found over as left) and its variance; a shared gain of the tachometer cancels."""
    values = []
    variance = 0.0
    for run in (pair.found, pair.left):
        read = [r for r in run.reading if r.what == "speed" and r.at == "blower"]
        if not read:
            return None
        values.append(sum(r.value for r in read) / len(read))
        variance += sum((noise_of(visit, r, priors) / r.value) ** 2 for r in read) / len(read) ** 2
    return math.log(values[0] / values[1]), variance


def _held_airflow(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> list[Result]:
    """Constant airflow below its limit: only the speed tells the wheel, since airflow is held whatever the dirt."""
    speeds = _speeds(visit, pair, priors)
    if speeds is None:
        return []
    wheel = _at_held_airflow(joint, pair, priors, *speeds)
    doubts = (*pair.doubts, *filter_hides(visit, joint, pair))
    if touched(visit, "motor"):
        doubts = (*doubts, reason("motor was touched"))
    return [
        result_of(
            joint, "wheel_against_clean", "as found over as left", "1", wheel, doubts, "rpm at held airflow", ratio=True
        )
    ]


def _at_held_airflow(joint: Joint, pair: Pair, priors: Priors, logarithm: float, variance: float) -> Derived:
    """Return ln of the wheel as found over as left, from ln of the speeds and its variance."""
    slope, slope_sd = priors.speed_slope_constant_airflow.mean, priors.speed_slope_constant_airflow.sd
    flow = derived.airflow_ratio(joint, pair.left, pair.found)  # found over left

    def total_drop(x: list[float], run: Run) -> float:
        return sum(part.evaluate(x)[0] for part in joint.model.streams[run.id].section.values())

    def value(x: list[float]) -> float:
        # N grows with airflow one to one, and with the pressure that the blower must make; the rest is the wheel.
        rise = total_drop(x, pair.found) - total_drop(x, pair.left)
        return flow.logarithm(x) + slope * rise - logarithm

    gradient = _numeric_gradient(value, joint)
    rise = total_drop(joint.mean, pair.found) - total_drop(joint.mean, pair.left)
    return Derived(value, gradient, (("tachometer", variance), ("speed against pressure", (slope_sd * rise) ** 2)))


def speed_moved(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> Belief | None:
    """Return ln of the speed as found over as left beyond what other work makes of a clean blower's, or None.

    Work is the static against which an induction motor runs; where airflow is held, it is that airflow and the pressure
    that the blower must make for it.
    """
    speeds = _speeds(visit, pair, priors)
    if speeds is None:
        return None
    logarithm, variance = speeds
    if visit.system.motor == "constant airflow":
        held = _at_held_airflow(joint, pair, priors, logarithm, variance)
        return Belief(-held.logarithm(joint.mean), joint.sd(held))
    if not {pair.found.id, pair.left.id} <= joint.model.fans.keys():
        return None
    slope = priors.speed_slope_psc if visit.system.motor == "psc" else priors.speed_slope_constant_torque
    moved = _static_on_table(joint, pair.found) - _static_on_table(joint, pair.left)
    return Belief(logarithm - slope.mean * moved, math.hypot(math.sqrt(variance), slope.sd * moved))


def _numeric_gradient(value: Callable[[list[float]], float], joint: Joint) -> dict[int, float]:
    """Return the gradient of a logarithm by central differences over all unknowns."""
    gradient = {}
    for index in range(len(joint.mean)):
        step = 1e-5 * max(1.0, joint.model.unknowns.sd[index])
        up, down = list(joint.mean), list(joint.mean)
        up[index] += step
        down[index] -= step
        slope = (value(up) - value(down)) / (2 * step)
        if slope:
            gradient[index] = slope
    return gradient
