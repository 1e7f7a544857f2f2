"""Why the readings moved as they did: the risen static, the ducts that should not have changed, the zero's heat."""

import math

from drawthrough.judge import derived
from drawthrough.judge.air import mean_reading
from drawthrough.judge.ends import duct_ends, external_ends, read_between
from drawthrough.judge.heat import zero_of
from drawthrough.judge.joint import COVERAGE, Joint
from drawthrough.judge.judgement import Finding, Standing
from drawthrough.judge.model import has_pressures
from drawthrough.judge.pair import Pair
from drawthrough.judge.priors import Priors
from drawthrough.judge.stream import REFERENCE_MASS_FLOW
from drawthrough.physics.heat_rise import heat_rise
from drawthrough.visit.state import Run, Visit

_PROBES_APART = math.sqrt(
    2 * 0.3**2
)  # by how much two probes of half a degree Fahrenheit may differ, k=1 [K] (judgement)
_VISIBLE = 0.07  # a change of a duct's resistance below this cannot be seen in the field (judgement)


def static_explained(visit: Visit, joint: Joint, pair: Pair) -> Finding | None:
    """Return why the static across the ducts moved between as found and as left, or None where none was read."""
    if not any(map(has_pressures, pair[:2])):
        return None
    system = visit.system
    ends = duct_ends(system)
    before, after = (read_between(system, run, ends) for run in (pair.found, pair.left))
    fitted = derived.difference(
        joint,
        derived.static_between(joint, visit, pair.left, ends),
        derived.static_between(joint, visit, pair.found, ends),
    )
    flow = derived.airflow_ratio(joint, pair.found, pair.left)
    change, sd = fitted.logarithm(joint.mean), joint.sd(fitted)
    flow_change, flow_sd = flow.logarithm(joint.mean), joint.sd(flow)
    resolved = abs(change) > COVERAGE * sd and abs(flow_change) > COVERAGE * flow_sd
    outside = not system.coil_inside_taps and system.arrangement == "blow-through"
    if system.motor == "constant airflow" and abs(flow_change) <= max(COVERAGE * flow_sd, 0.03):
        code = "airflow is held, so the static stays"
    elif outside:
        code = "the coil counts as duct"
    elif change > 0 and flow_change > 0:
        code = "more air meets the same ducts"
    elif change < 0 and flow_change < 0:
        code = "less air meets the same ducts"
    else:
        code = "static and airflow moved apart"
    index = joint.model.unknowns.find("exponent duct")
    figures = {
        "static_ratio": math.exp(change),
        "static_ratio_low": math.exp(change - COVERAGE * sd),
        "static_ratio_high": math.exp(change + COVERAGE * sd),
        "airflow_ratio": math.exp(flow_change),
        "exponent": joint.mean[index] if index is not None else 1.9,
    }
    if before is not None and after is not None:
        figures["static_found"], figures["static_left"] = before, after
    standing: Standing = "it stands" if resolved else "not resolved"
    return Finding(code=code, standing=standing, figures=figures, names={"motor": system.motor})


def ducts_explained(joint: Joint) -> Finding | None:
    """Return whether the ducts' own resistance stayed as it was: the check on airflow, holes and leaks.

    Only the return side moves: a leak was sealed, not a bad reading. Both move alike: the airflow is wrong.
    """
    free = derived.released(joint, "change return duct", "change supply duct")
    if free is None:
        return None
    (back, back_sd), (out, out_sd) = ((-value, sd) for value, sd in free)  # as left over as found
    figures = {
        "return_change": back,
        "return_low": back - COVERAGE * back_sd,
        "return_high": back + COVERAGE * back_sd,
        "supply_change": out,
        "supply_low": out - COVERAGE * out_sd,
        "supply_high": out + COVERAGE * out_sd,
    }
    back_moved, out_moved = abs(back) > COVERAGE * back_sd, abs(out) > COVERAGE * out_sd
    standing: Standing = "it stands"
    if not back_moved and not out_moved:
        code = "ducts as before"
        if COVERAGE * min(back_sd, out_sd) > 2 * _VISIBLE:
            code, standing = "ducts not checked", "not resolved"
    elif back_moved and out_moved and back * out > 0:
        code, standing = "both sides moved alike", "in doubt"
    elif back_moved and not out_moved:
        code, standing = "only the return side moved", "in doubt"
    else:
        code, standing = "the supply side moved", "in doubt"
    return Finding(code=code, standing=standing, figures=figures)


def zero_explained(visit: Visit, joint: Joint, run: Run, priors: Priors) -> Finding | None:
    """Return whether the rise with strips off is the blower's own heat, and what it is if not."""
    zero = zero_of(visit, run, priors)
    if zero is None or run.id not in joint.model.streams:
        return None
    watts = [
        read
        for other in (*(r for r in visit.run if r.zero_for == run.id), run)
        if (read := mean_reading(other, "blower_power", "blower")) is not None
    ]
    if not watts:
        return None
    air = joint.model.airs[run.id]
    flow = REFERENCE_MASS_FLOW * math.exp(joint.mean[joint.model.streams[run.id].flow])
    expected = heat_rise(sum(watts) / len(watts), flow, air.humidity_ratio_return)
    offset = 0.0 if zero.probes[0] == zero.probes[1] else _PROBES_APART
    sd = math.sqrt(zero.variance + offset**2)
    excess = zero.value - expected
    code = "zero is the blower's heat"
    standing: Standing = "it stands"
    if excess < -COVERAGE * sd:
        code, standing = "zero is colder than the blower's heat", "in doubt"
    elif excess > COVERAGE * sd:
        code, standing = "zero is warmer than the blower's heat", "in doubt"
    return Finding(
        code=code,
        standing=standing,
        figures={"rise": zero.value, "expected": expected, "sd": sd},
        names={"run": run.id, "when": run.when},
    )


def nameplate_static(visit: Visit, run: Run) -> Finding | None:
    """Return how the external static as read stands against the nameplate's maximum, or None."""
    limit = visit.system.static_rated
    read = read_between(visit.system, run, external_ends(visit.system))
    if limit is None or read is None:
        return None
    return Finding(
        code="static above the nameplate" if read > limit else "static within the nameplate",
        standing="it stands",
        figures={"static": read, "static_rated": limit},
        names={"run": run.id, "when": run.when, "motor": visit.system.motor},
    )
