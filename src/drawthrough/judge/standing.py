"""Whether each reading can be believed: rules known before the fit, and what the fit then says of it."""

import math
from collections.abc import Mapping

from drawthrough.judge.accuracy import PRESSURES, accuracy_of, noise_of
from drawthrough.judge.air import HUMIDITY, mean_reading, water
from drawthrough.judge.electrical import elements_finding, strip_reason
from drawthrough.judge.heat import POINTS_AGREE, apart, zero_of
from drawthrough.judge.joint import COVERAGE, Joint
from drawthrough.judge.judgement import ReadingStanding, Reason, Standing
from drawthrough.judge.meant import written
from drawthrough.judge.priors import Priors
from drawthrough.judge.recheck import IGNORED, UNCHECKED, Accused, Checked, checked
from drawthrough.judge.rules import reason, standing_of, worse
from drawthrough.judge.sift import workable
from drawthrough.judge.unknowns import touched
from drawthrough.measure.fit import Fitted
from drawthrough.physics.atmosphere import standard_pressure
from drawthrough.visit.state import Reading, Run, Visit
from drawthrough.vocabulary import quantity_of

_COLD_OUTDOORS = 285.928  # 55 F
CHARGE = ("gauge_pressure", "temperature")


def rules_for(visit: Visit, run: Run, reading: Reading, priors: Priors) -> tuple[Standing, list[Reason]]:
    """Return what is known of a reading before any fit.

    Each rule names its reason and whose rule it is.
    """
    standing: Standing = "it stands"
    reasons: list[Reason] = []

    def say(code: str, makes: Standing | None = None, /, **figures: float) -> None:
        nonlocal standing
        one = reason(code, **figures)
        standing = worse(standing, makes or standing_of([one]))
        reasons.append(one)

    if not workable(run, reading):
        say("beyond what can be worked with")
        return standing, reasons
    if not accuracy_of(visit, reading).described:
        say("instrument assumed")
    if reading.what in PRESSURES and not run.doors_on:
        say("door off")
    if reading.what in HUMIDITY and _no_such_air(visit, run, reading):
        say("no such air")
    heat = reading.what == "dry_bulb" and reading.at in ("supply", "supply far", "return")
    if run.mode == "strips" and (heat or reading.at == "strips"):
        if run.also_heats:
            say("something else heats")
        elements = strip_reason(elements_finding(visit, run))
        if elements is not None:
            say(elements.code, **elements.figures)
    if run.mode == "strips" and heat:
        distance = apart(run)
        if distance is not None:
            probes = _probes_apart(visit, run, priors)
            if distance > POINTS_AGREE + probes:
                say("supply points disagree", apart=distance, probes=probes)
        if zero_of(visit, run, priors) is None:
            # After a rinse or a sealing the air that enters and the water that leaves are no longer the same.
            say("no zero", "in doubt" if touched(visit, "coil", "seams", "cabinet") else None)
    if reading.what in CHARGE and reading.at in ("suction line", "liquid line"):
        outdoor = mean_reading(run, "dry_bulb", "outdoor")
        if outdoor is None:
            say("no outdoor temperature")
        elif outdoor < _COLD_OUTDOORS:
            say("too cold outdoors", outdoor=outdoor)
    return standing, reasons


def _probes_apart(visit: Visit, run: Run, priors: Priors) -> float:
    """Return by how much the probes of two supply points may differ in the same air, by their data sheets, 95 % [K].

    One probe carried from point to point has the same offset at both.
    """
    variance = 0.0
    offsets: dict[str, float] = {}
    for place in ("supply", "supply far"):
        taken = [r for r in run.reading if (r.what, r.at) == ("dry_bulb", place)]
        variance += sum(noise_of(visit, r, priors) ** 2 for r in taken) / len(taken) ** 2
        accuracy = accuracy_of(visit, taken[0], priors.shared_variance)
        offsets[accuracy.key] = accuracy.offset()
    if len(offsets) > 1:
        variance += sum(offset**2 for offset in offsets.values())
    return COVERAGE * math.sqrt(variance)


def _no_such_air(visit: Visit, run: Run, reading: Reading) -> bool:
    """Whether no air at the dry bulb read beside it could give this humidity."""
    dry_bulb = mean_reading(run, "dry_bulb", reading.at)
    pressure = run.station_pressure or standard_pressure(visit.site.altitude)
    return dry_bulb is not None and water(reading.what, reading.value, dry_bulb, pressure) is None


def readings_of(
    visit: Visit,
    worked: Visit,
    joint: Joint | None,
    priors: Priors,
    place: Mapping[str, tuple[int, ...]],
    found: Checked | None = None,
) -> tuple[ReadingStanding, ...]:
    """Return the standing of every reading of a visit.

    Parameters
    ----------
    visit : Visit
        The visit as it was written down.
    worked : Visit
        The same without the readings that no equation can take.
    joint : Joint, optional
        The fit, of the readings that can be worked with.
    priors : Priors
        What was believed beforehand.
    place : mapping of str to tuple of int
        By run: where each reading of the fit stands in the visit.
    found : Checked, optional
        What the readings say of each other, where that was worked out already.
    """
    found = found or checked(worked, joint, priors)
    entered = _weights(joint)
    inside = {run.id: run for run in worked.run}
    standings = []
    for run in visit.run:
        for index, reading in enumerate(run.reading):
            standing, reasons = rules_for(worked, inside[run.id], reading, priors)
            key = (run.id, place[run.id].index(index)) if index in place[run.id] else (run.id, -1)
            fit = found.fitted.get(key)
            accused = found.accused.get(key)
            own = reading.what in PRESSURES and fit is not None
            if accused is not None:
                reasons.append(_why(visit, reading, accused, fit))
                let_go = entered.get(key, 0.0) < IGNORED
                standing = worse(standing, "set aside" if let_go else "in doubt")
            elif fit is not None and fit.redundancy < UNCHECKED and fit.weight >= IGNORED:
                # What is left over of such a reading is rounding of the fit, and its share of nearly nothing.
                reasons.append(reason("nothing checks it"))
            standings.append(
                ReadingStanding(
                    run=run.id,
                    when=run.when,
                    index=index,
                    what=reading.what,
                    at=reading.at,
                    against=reading.against,
                    typed=reading.typed,
                    standing=standing,
                    reasons=tuple(reasons),
                    used=key in entered,
                    unit=quantity_of(reading.what).unit,
                    value=reading.value,
                    # A rise is made of several readings: what is expected of it is not what is expected of each.
                    expected=fit.expected_without if fit is not None and own else None,
                    expected_sd=fit.sd_without if fit is not None and own and fit.redundancy > 1e-6 else None,
                    redundancy=fit.redundancy if fit is not None else None,
                    standardised=fit.standardised if fit is not None else None,
                    smallest_detectable=found.detectable.get(key),
                )
            )
    return tuple(standings)


def _weights(joint: Joint | None) -> dict[tuple[str, int], float]:
    """Return by reading how much weight the fit left it."""
    if joint is None:
        return {}
    return {
        (source.run, index): fitted.weight
        for source, fitted in zip(joint.model.sources, joint.solution.fitted, strict=True)
        for index in source.readings
    }


def _why(visit: Visit, reading: Reading, accused: Accused, fit: Fitted | None) -> Reason:
    """Return why a reading is accused: by the slip that would explain it, or only by how far out it lies."""
    figures = {} if fit is None else {"standardised": fit.standardised, "expected": fit.expected_without}
    names = {"count": str(len(accused.among))} if len(accused.among) > 1 else {}
    kind = accused.kind
    if kind is None or kind.kind == "otherwise":
        return reason("contradicts the others", names, **figures)
    names["slip"] = kind.kind
    figures["probability"] = accused.probability
    if kind.at:
        names["hole"] = kind.at
    if kind.value is not None:
        figures["as_meant"] = kind.value
        meant = written(visit, reading, kind.value)
        if meant:
            names["meant"] = meant
    return reason("looks like a slip", names, **figures)
