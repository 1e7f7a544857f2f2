"""What the cooling did: sensible and total capacity as found and as left, brought to one condition."""

import math
from typing import NamedTuple

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.judge.accuracy import day_of
from drawthrough.judge.air import mean_reading
from drawthrough.judge.derived import shifted
from drawthrough.judge.heatflow import HeatFlow, capacity_of, capacity_ratio, heat_flow
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.judgement import Reason, Result
from drawthrough.judge.outcome import result_of, unless_vague
from drawthrough.judge.pair import Pair, filter_hides
from drawthrough.judge.priors import CFM_PER_TON, Priors
from drawthrough.judge.rules import reason
from drawthrough.physics import moist_air
from drawthrough.physics.performance import performance_by_curves
from drawthrough.visit.state import Run, Visit

# Repeatability of an unfaulted laboratory machine at one condition, k=1: within a day, over days (NIST windows).
_REPEAT = {"sensible_capacity": (0.004, 0.0085), "total_capacity": (0.018, 0.030)}
_CORRECTION_TRUST = 0.3  # a correction to one condition is believed to this share of itself (judgement)
_SMALL = 0.002  # and never better than this (judgement)
_APART = {"return dry bulb": 2.0 / 1.8, "return wet bulb": 1.0 / 1.8, "outdoor": 5.0 / 1.8}  # [K] (judgement)
_UNRATED_EIR = 0.3  # only ratios of capacity are used, so the power of the curves does not matter
_RATED_AIRFLOW = 400 * CFM_PER_TON  # where the nameplate gives none [m3/s per W]
_STANDARD_DENSITY = 1.2  # [kg/m3]
_RATED_SHR = 0.75  # where the nameplate gives none (judgement)


class Condition(NamedTuple):
    """What capacity depends on besides the air: return dry and wet bulb and outdoor dry bulb [K]."""

    dry_bulb: float
    wet_bulb: float
    outdoor: float


def condition_of(visit: Visit, joint: Joint, run: Run) -> Condition | None:
    """Return the condition of a cooling run, or None where one of its three temperatures is not known."""
    dry_bulb, outdoor = (mean_reading(run, "dry_bulb", at) for at in ("return", "outdoor"))
    if dry_bulb is None or outdoor is None:
        return None
    wet_bulb = mean_reading(run, "wet_bulb", "return")
    if wet_bulb is None and "return humidity" not in joint.model.airs[run.id].assumed:
        air = joint.model.airs[run.id]
        wet_bulb = moist_air.wet_bulb(dry_bulb, air.humidity_ratio_return, air.pressure)
    return None if wet_bulb is None else Condition(dry_bulb, wet_bulb, outdoor)


def cooling_of(visit: Visit, joint: Joint, pairs: list[Pair], priors: Priors) -> tuple[Result, ...]:
    """Return capacities of every cooling run, and their ratio at one condition for the first pair that has both."""
    results: list[Result] = []
    flows: dict[tuple[str, str], HeatFlow] = {}
    for run in visit.run:
        if run.mode != "cooling" or run.id not in joint.model.streams:
            continue
        for name, total in (("sensible_capacity", False), ("total_capacity", True)):
            flow = heat_flow(visit, visit.site, run, priors, total)
            if flow is None:
                continue
            flows[run.id, name] = flow
            doubts = _doubts(run)
            basis = f"net of the fan, between the probes; {run.id}"
            result = result_of(joint, name, run.when, "W", capacity_of(joint, flow), doubts, basis)
            results.append(unless_vague(joint, run, result))
    pair = next((p for p in pairs if p.found.mode == p.left.mode == "cooling"), None)
    if pair is None:
        return tuple(results)
    correction = _correction(visit, joint, pair)
    same_day = day_of(pair.found) == day_of(pair.left) or pair.found.start is None or len(pair.found.start) < 10
    for name, repeats in _REPEAT.items():
        first, second = flows.get((pair.found.id, name)), flows.get((pair.left.id, name))
        if first is None or second is None:
            continue
        ratio = capacity_ratio(joint, first, second, priors, repeats[0 if same_day else 1])
        moved, doubts = _at_one_condition(ratio, name, correction)
        doubts = (*pair.doubts, *filter_hides(visit, joint, pair), *_doubts(pair.found), *_doubts(pair.left), *doubts)
        results.append(
            result_of(joint, name, "as left over as found", "1", moved, doubts, "at the condition as found", ratio=True)
        )
    return tuple(results)


def _doubts(run: Run) -> tuple[Reason, ...]:
    if run.wetness == "wet steady":
        return ()
    return (reason("coil not wet and steady"),)


class Correction(NamedTuple):
    """Capacity that curves expect as left over as found at the same airflow, as logarithms, and how far apart."""

    logarithms: dict[str, float]
    doubts: tuple[Reason, ...]


def _correction(visit: Visit, joint: Joint, pair: Pair) -> Correction:
    """Return how the conditions of the two runs alone would have moved the capacity."""
    first, second = condition_of(visit, joint, pair.found), condition_of(visit, joint, pair.left)
    if first is None or second is None:
        return Correction({}, (reason("conditions not read"),))
    apart = {
        "return dry bulb": second.dry_bulb - first.dry_bulb,
        "return wet bulb": second.wet_bulb - first.wet_bulb,
        "outdoor": second.outdoor - first.outdoor,
    }
    far = {name: value for name, value in apart.items() if abs(value) > _APART[name]}
    doubts = (msgspec.structs.replace(reason("conditions apart"), figures=far),) if far else ()
    system = visit.system
    capacity = system.total_capacity_rated
    if not capacity:
        return Correction({}, (*doubts, reason("capacity not rated")) if far else ())
    flow = (system.airflow_rated or _RATED_AIRFLOW * capacity) * _STANDARD_DENSITY
    share = system.sensible_heat_ratio_rated or _RATED_SHR
    air = joint.model.airs[pair.found.id]
    try:
        before, after = (
            performance_by_curves(
                capacity, share, _UNRATED_EIR * capacity, flow, c.outdoor, c.wet_bulb, c.dry_bulb, air.pressure
            )
            for c in (first, second)
        )
    except DrawthroughError:
        return Correction({}, (*doubts, reason("conditions beyond the curves")))
    return Correction(
        {
            "sensible_capacity": math.log(after.sensible_capacity / before.sensible_capacity),
            "total_capacity": math.log(after.total_capacity / before.total_capacity),
        },
        doubts,
    )


def _at_one_condition(ratio: Derived, name: str, correction: Correction) -> tuple[Derived, tuple[Reason, ...]]:
    moved = correction.logarithms.get(name)
    if moved is None:
        return ratio, correction.doubts
    sd = math.hypot(_CORRECTION_TRUST * moved, _SMALL)
    return shifted(ratio, -moved, (("correction to one condition", sd * sd),)), correction.doubts
