"""Superheat and subcooling, and whether they can be believed. The tool reads them; it never says what to do."""

import math

from drawthrough.errors import DrawthroughError
from drawthrough.judge.accuracy import accuracy_of
from drawthrough.judge.air import mean_reading
from drawthrough.judge.joint import COVERAGE
from drawthrough.judge.judgement import Finding, Reason, Result, Standing
from drawthrough.judge.priors import CFM_PER_TON, Priors
from drawthrough.judge.rules import reason
from drawthrough.judge.standing import rules_for
from drawthrough.physics import refrigerant
from drawthrough.physics.atmosphere import standard_pressure
from drawthrough.physics.charge import target_superheat
from drawthrough.visit.state import Run, Visit

_LEAST_AIR = 300 * CFM_PER_TON  # 300 cfm per ton (2008 RA3.2.2.7) [m3/s per W]


def charge_of(visit: Visit, run: Run, airflow: Result | None, priors: Priors) -> tuple[Result, ...]:
    """Return superheat and subcooling of a cooling run, each with its interval and its standing."""
    name = visit.system.refrigerant
    if name is None or run.mode != "cooling":
        return ()
    pressure = run.station_pressure or standard_pressure(visit.site.altitude)
    results = []
    for what, line, function in (
        ("superheat", "suction line", refrigerant.superheat),
        ("subcooling", "liquid line", refrigerant.subcooling),
    ):
        gauge, pipe = mean_reading(run, "gauge_pressure", line), mean_reading(run, "temperature", line)
        if gauge is None or pipe is None:
            continue
        try:
            value = function(name, pipe, gauge, pressure)
            slope = function(name, pipe, gauge + 1000.0, pressure) - value
        except DrawthroughError:
            continue
        readings = [r for r in run.reading if r.at == line and r.what in ("gauge_pressure", "temperature")]
        variance = 0.0
        standing: Standing = "it stands"
        reasons: list[Reason] = []
        for reading in readings:
            accuracy = accuracy_of(visit, reading)
            sd = accuracy.relative(reading.value) * abs(reading.value)
            variance += (sd * (slope / 1000.0 if reading.what == "gauge_pressure" else 1.0)) ** 2
            own, why = rules_for(visit, run, reading, priors)
            if own != "it stands":
                standing = own
                reasons = [r for r in why if r.code in ("too cold outdoors", "no outdoor temperature")]
        standing, reasons = _needs_air(visit, airflow, standing, reasons)
        half = COVERAGE * math.sqrt(variance)
        results.append(
            Result(
                name=what,
                when=run.when,
                unit="K",
                value=value,
                low=value - half,
                high=value + half,
                standing=standing,
                reasons=tuple(reasons),
                basis=f"{name}; {run.id}",
            )
        )
    return tuple(results)


def _needs_air(
    visit: Visit, airflow: Result | None, standing: Standing, reasons: list[Reason]
) -> tuple[Standing, list[Reason]]:
    """Charge readings stand only once airflow does."""
    capacity = visit.system.total_capacity_rated
    if airflow is None or airflow.standing == "not resolved":
        return ("in doubt" if standing == "it stands" else standing), [
            *reasons,
            reason("airflow does not stand"),
        ]
    if capacity and airflow.value / capacity < _LEAST_AIR:
        return ("in doubt" if standing == "it stands" else standing), [
            *reasons,
            reason("too little air", airflow_per_capacity=airflow.value / capacity),
        ]
    return standing, reasons


def target_finding(visit: Visit, run: Run, results: tuple[Result, ...]) -> Finding | None:
    """Return the charts' superheat for a fixed orifice beside the one read, or None where it does not apply."""
    if visit.system.metering != "fixed orifice":
        return None
    read = next((r for r in results if r.name == "superheat" and r.when == run.when), None)
    wet_bulb, outdoor = mean_reading(run, "wet_bulb", "return"), mean_reading(run, "dry_bulb", "outdoor")
    if read is None or wet_bulb is None or outdoor is None:
        return None
    try:
        target = target_superheat(wet_bulb, outdoor)
    except DrawthroughError:
        return Finding(
            code="no target superheat here", standing="not resolved", names={"when": run.when, "run": run.id}
        )
    return Finding(
        code="superheat beside its chart",
        standing=read.standing,
        figures={"superheat": read.value, "target": target},
        names={"when": run.when, "run": run.id},
    )
