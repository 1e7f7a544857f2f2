"""The fit on which causes are weighed: beliefs wide enough for any of them, and a usual blower where no table is."""

import math

import msgspec

from drawthrough.errors import Unresolvable
from drawthrough.judge.joint import Joint
from drawthrough.judge.model import build, expected_airflow
from drawthrough.judge.priors import Belief, Priors
from drawthrough.trade.usual_blowers import usual_blowers, usual_table
from drawthrough.visit.state import Visit


def broad_fit(visit: Visit, priors: Priors) -> Joint | None:
    """Return the fit of a visit under wide beliefs, or None where it has no run, or its readings fit nothing.

    Parameters
    ----------
    visit : Visit
        What was read and done. Runs of which no reading speaks of air take part: a next one may.
    priors : Priors
        The usual beliefs.
    """
    if not visit.run:
        return None
    try:
        return Joint(build(_with_blower(visit, priors), _wide(visit, priors), every_run=True))
    except Unresolvable:
        return None


def _wide(visit: Visit, priors: Priors) -> Priors:
    """Return beliefs wide enough for any cause: what is told from them is taken away again."""
    wide = msgspec.structs.replace(
        priors,
        coil=Belief(priors.coil.mean, max(priors.coil.sd, 0.8)),
        filter=Belief(priors.filter.mean, max(priors.filter.sd, 0.9)),
        coil_change=Belief(0.2, 0.6),
        filter_change=Belief(0.2, 0.7),
        duct_change=Belief(0.2, 0.5),
        leak=Belief(0.08, 0.08),
        strength_unknown=Belief(-0.2, 0.3),
        strength_clean=Belief(-0.1, 0.2),
        airflow_sd=3.0,  # the blower's table tells it already
    )
    if _printed(visit):
        return wide
    usual = usual_blowers()
    rated = visit.system.airflow_rated or visit.system.total_capacity_rated
    level = math.hypot(usual.level_sd, 0.0 if rated else usual.unrated_sd)
    return msgspec.structs.replace(
        wide, table_level_sd=level, table_speed_sd=usual.level_sd, table_slope_sd=usual.slope_sd
    )


def _printed(visit: Visit) -> bool:
    """Whether the blower's own table can be used."""
    system = visit.system
    return bool(system.fan_table) and system.motor_original is not False and not system.label_altered


def _with_blower(visit: Visit, priors: Priors) -> Visit:
    """Return the visit with the usual blower where its own table cannot be used."""
    if _printed(visit):
        return visit
    system = visit.system
    airflow = expected_airflow(system, priors)
    tables = tuple(usual_table(system, speed, airflow) for speed in dict.fromkeys(run.speed for run in visit.run))
    system = msgspec.structs.replace(system, fan_table=tables, motor_original=None, label_altered=None)
    return msgspec.structs.replace(visit, system=system)
