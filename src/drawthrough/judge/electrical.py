"""Electrical checks of a visit: capacitor, strip elements, voltage."""

import math
from typing import Literal

from drawthrough import vocabulary
from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.judge.accuracy import accuracy_of
from drawthrough.judge.air import mean_reading
from drawthrough.judge.heat import STRIP_TOLERANCE
from drawthrough.judge.joint import COVERAGE
from drawthrough.judge.judgement import Contribution, Finding, Reason, Result, Standing
from drawthrough.judge.rules import reason
from drawthrough.physics import electrical, strips
from drawthrough.visit.state import Run, Visit

_LINE_FREQUENCY = 60.0  # where none was written
_CAPACITOR = "EIA-456-A letter codes; the tolerance printed on the part decides"


def capacitance_of(visit: Visit, run: Run) -> Result | None:
    """Return the capacitance read in a run, straight from a meter or from volts and amps while running."""
    direct = [r for r in run.reading if r.what == "capacitance" and r.at == "capacitor"]
    if direct:
        value = sum(r.value for r in direct) / len(direct)
        accuracy = accuracy_of(visit, direct[0])
        relative = accuracy.relative(value)
        budget: tuple[Contribution, ...] = (Contribution(label="capacitance meter", share=1.0),)
        basis = "meter, part isolated and discharged"
    else:
        volts, amps = (mean_reading(run, what, "capacitor") for what in ("volts", "amps"))
        if volts is None or amps is None:
            return None
        frequency = mean_reading(run, "frequency", "line") or _LINE_FREQUENCY
        try:
            value = vocabulary.check("capacitance", electrical.capacitance(amps, volts, frequency))
        except OutOfRange:
            return None  # no capacitor of a blower is that large: one of the two was misread
        parts = {}
        for what, read in (("volts", volts), ("amps", amps)):
            accuracy = accuracy_of(visit, next(r for r in run.reading if r.what == what and r.at == "capacitor"))
            parts[what] = accuracy.relative(read) ** 2
        relative = math.sqrt(sum(parts.values()))
        ranked = sorted(parts.items(), key=lambda item: -item[1])
        total = sum(parts.values()) or 1.0
        budget = tuple(Contribution(label=f"capacitor {name}", share=v / total) for name, v in ranked)
        basis = "volts across it and amps in its lead, running"
    half = COVERAGE * relative * value
    return Result(
        name="capacitance",
        when=run.when,
        unit="F",
        value=value,
        low=value - half,
        high=value + half,
        standing="it stands",
        budget=budget,
        basis=f"{basis}; {run.id}",
    )


def capacitor_finding(visit: Visit, result: Result) -> Finding | None:
    """Return how a capacitance stands against the tolerance printed on the part, or None where nothing is printed."""
    printed = visit.system.capacitor
    if printed is None or printed.tolerance is None:
        return None
    relative = (result.high - result.low) / (2 * COVERAGE * result.value)
    check = electrical.capacitance_check(result.value, printed.capacitance, printed.tolerance, relative)
    low = printed.capacitance * (1 - printed.tolerance)
    high = printed.capacitance * (1 + printed.tolerance)
    code = "capacitor not resolved"
    standing: Standing = "not resolved"
    if result.low >= low and result.high <= high:
        code, standing = "capacitor within its print", "it stands"
    elif result.high < low or result.low > high:
        code, standing = "capacitor outside its print", "it stands"
    return Finding(
        code=code,
        standing=standing,
        figures={
            "capacitance": result.value,
            "capacitance_low": result.low,
            "capacitance_high": result.high,
            "capacitance_rated": printed.capacitance,
            "tolerance": printed.tolerance,
            "capacitance_ratio": check.capacitance_ratio,
        },
        names={"when": result.when},
    )


def elements_finding(visit: Visit, run: Run) -> Finding | None:
    """Return how many strip elements work, by amps, or None where kit or readings are missing."""
    kit = visit.system.strips
    volts, amps = (mean_reading(run, what, "strips") for what in ("volts", "amps"))
    if kit is None or volts is None or amps is None or run.mode != "strips":
        return None
    names = {"run": run.id, "when": run.when}
    try:
        working = strips.elements_by_amps(volts, amps, kit.power, kit.volts, kit.elements)
    except OutOfRange:
        return None  # nothing was read of what runs
    except Unresolvable:
        each = kit.power / kit.elements * (volts / kit.volts) ** 2
        figures = {"elements": volts * amps / each, "fitted": float(kit.elements), "power": volts * amps}
        return Finding(code="strip power does not fit the kit", standing="in doubt", figures=figures, names=names)
    share = working.elements / max(working.nearest, 1) - 1.0
    code = "all elements work"
    standing: Standing = "it stands"
    if working.nearest < kit.elements:
        code = "elements missing"
    if working.nearest == 0 or abs(share) > STRIP_TOLERANCE:
        code, standing = "strip power does not fit the kit", "in doubt"
    return Finding(
        code=code,
        standing=standing,
        figures={
            "elements": working.elements,
            "nearest": float(working.nearest),
            "fitted": float(kit.elements),
            "power": volts * amps,
        },
        names=names,
    )


def volts_of(run: Run, *places: str) -> float | None:
    """Return the voltage of a run at the first of some places where it was read, or None."""
    return next((volts for at in places if (volts := mean_reading(run, "volts", at)) is not None), None)


def voltage_finding(visit: Visit, run: Run) -> Finding | None:
    """Return a finding where the line voltage leaves the nameplate's +-10 %, else None."""
    rated = visit.system.volts_rated
    volts = volts_of(run, "line", "blower")
    if rated is None or volts is None:
        return None
    deviation = electrical.voltage_deviation(volts, rated)
    if abs(deviation) <= 0.10:
        return None
    side: Literal["low", "high"] = "low" if deviation < 0 else "high"
    return Finding(
        code=f"line voltage {side}",
        standing="it stands",
        figures={"volts": volts, "volts_rated": rated, "deviation": deviation},
        names={"run": run.id, "source": "NEMA MG 1: nameplate +-10 %"},
    )


def strip_reason(finding: Finding | None) -> Reason | None:
    """Return why a strip airflow must be doubted, given what the elements say."""
    if finding is None or finding.code != "strip power does not fit the kit":
        return None
    return reason(finding.code, **finding.figures)
