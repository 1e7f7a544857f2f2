"""Airflow from a known heat: which readings make one rise, and what it rests on."""

import math
import re
from typing import NamedTuple, Protocol

from drawthrough.judge.accuracy import accuracy_of, day_of, noise_of
from drawthrough.judge.air import RunAir, mean_reading
from drawthrough.judge.priors import Belief, Priors
from drawthrough.judge.rows import Expectation, HeatRow, Source
from drawthrough.judge.stream import REFERENCE_MASS_FLOW, Stream
from drawthrough.judge.unknowns import Unknowns
from drawthrough.physics import moist_air
from drawthrough.units import RANKINE
from drawthrough.visit.state import Reading, Run, Visit

STRIP_TOLERANCE = 0.08  # power of the working elements may differ from the kit's nameplate by this much (judgement)
_SUPPLY = ("supply", "supply far")
_CLOCK = re.compile(r"(?:^|T|\s)(\d{1,2}):(\d{2})(?::(\d{2}))?")  # of a bare time of day, or of one behind its date


class Builder(Protocol):
    """The part of the model builder that this file needs."""

    unknowns: Unknowns
    streams: dict[str, Stream]
    airs: dict[str, RunAir]
    notes: list[tuple[str, str]]

    def add(self, label: str, value: float, sd: float, heavy: bool, row: Expectation, source: Source) -> None:
        """Add one observation."""


class Rise(NamedTuple):
    """A supply-minus-return temperature difference: value, its own variance, the probes and where it was read."""

    value: float
    variance: float
    probes: tuple[str, str]
    readings: tuple[int, ...]


def rise_of(visit: Visit, run: Run, priors: Priors) -> Rise | None:
    """Return the temperature rise of a run, several readings at one end averaged; None where an end is missing."""
    supply = [(k, r) for k, r in enumerate(run.reading) if r.what == "dry_bulb" and r.at in _SUPPLY]
    back = [(k, r) for k, r in enumerate(run.reading) if r.what == "dry_bulb" and r.at == "return"]
    if not supply or not back:
        return None

    def mean(pairs: list[tuple[int, Reading]]) -> tuple[float, float]:
        values = [r.value for _, r in pairs]
        variance = sum(noise_of(visit, r, priors) ** 2 for _, r in pairs) / len(pairs) ** 2
        return sum(values) / len(values), variance

    (warm, warm_variance), (cool, cool_variance) = mean(supply), mean(back)
    probes = (accuracy_of(visit, supply[0][1]).key, accuracy_of(visit, back[0][1]).key)
    return Rise(warm - cool, warm_variance + cool_variance, probes, tuple(k for k, _ in (*supply, *back)))


def zero_of(visit: Visit, run: Run, priors: Priors) -> Rise | None:
    """Return the rise that the strips run would have had without its strips, by the zeros that belong to it, or None.

    A zero wanders: the return air drifts, and what a rinse left evaporates ever more slowly. Between zeros before and
    zeros after the run a straight line in time is drawn to it; where the clock says nothing, they are averaged.
    """
    zeros = [
        (_minutes(zero), rise)
        for zero in visit.run
        if zero.mode == "zero" and zero.zero_for == run.id and (rise := rise_of(visit, zero, priors)) is not None
    ]
    if not zeros:
        return None
    moment = _minutes(run)
    before = [(t, rise) for t, rise in zeros if t is not None and moment is not None and t < moment]
    after = [(t, rise) for t, rise in zeros if t is not None and moment is not None and t > moment]
    if not before or not after or len(before) + len(after) < len(zeros):
        return _mean([rise for _, rise in zeros])
    assert moment is not None
    first, second = _mean([rise for _, rise in before]), _mean([rise for _, rise in after])
    early, late = (sum(t for t, _ in side) / len(side) for side in (before, after))
    weight = (moment - early) / (late - early)
    variance = (1.0 - weight) ** 2 * first.variance + weight**2 * second.variance
    moved = second.value - first.value
    return Rise(first.value + weight * moved, variance + (priors.zero_bend * moved) ** 2, first.probes, ())


def _mean(rises: list[Rise]) -> Rise:
    variance = sum(rise.variance for rise in rises) / len(rises) ** 2
    return Rise(sum(rise.value for rise in rises) / len(rises), variance, rises[0].probes, ())


def _minutes(run: Run) -> float | None:
    """Return the minute of its day in which the temperatures of a run were read, or None where no clock was read."""
    read = next((r.time for r in run.reading if r.what == "dry_bulb" and r.time), run.end or run.start)
    clock = _CLOCK.search(read or "")
    return None if clock is None else 60.0 * int(clock[1]) + int(clock[2]) + int(clock[3] or 0) / 60.0


def heat_of_strips(visit: Visit, run: Run) -> tuple[float, float] | None:
    """Return the strips' power [W] and its relative standard uncertainty, or None."""
    power = [r for r in run.reading if r.what == "power" and r.at == "strips"]
    if power:
        return sum(r.value for r in power) / len(power), accuracy_of(visit, power[0]).relative(power[0].value)
    volts, amps = (mean_reading(run, what, "strips") for what in ("volts", "amps"))
    if volts is None or amps is None:
        return None
    relative = 0.0
    for reading in run.reading:
        if reading.at == "strips" and reading.what in ("volts", "amps"):
            relative += accuracy_of(visit, reading).relative(reading.value) ** 2
    return volts * amps, math.sqrt(relative)


def blower_power_of(run: Run, priors: Priors) -> Belief:
    """Return the blower's true watts in a run, as read or as commonly met [W]."""
    read = mean_reading(run, "blower_power", "blower")
    return Belief(read, priors.blower_power_read * read) if read is not None else priors.blower_power_unknown


def heat_rows(visit: Visit, priors: Priors, builder: Builder) -> dict[int, float]:
    """Add a row for each run whose heat is known; return good first values of the airflows."""
    starts: dict[int, float] = {}
    for run in visit.run:
        if run.id not in builder.streams or run.mode not in ("strips", "gas"):
            continue
        if run.also_heats:
            builder.notes.append((run.id, "something else heats"))
            continue
        rise = rise_of(visit, run, priors)
        if rise is None:
            continue
        if run.mode == "strips":
            _strips(visit, run, rise, priors, builder, starts)
        else:
            _gas(visit, run, rise, priors, builder, starts)
    return starts


def _strips(visit: Visit, run: Run, rise: Rise, priors: Priors, builder: Builder, starts: dict[int, float]) -> None:
    heat = heat_of_strips(visit, run)
    if heat is None:
        return
    power, relative = heat
    get, shared = builder.unknowns.get, priors.shared_variance
    stream, air = builder.streams[run.id], builder.airs[run.id]
    capacity = moist_air.humid_heat(air.humidity_ratio_return)
    gain = get("gain strip power", Belief(0.0, relative * math.sqrt(shared)))
    factors = [get("strip probe", Belief(0.0, priors.strip_probe_sd))]
    zero = zero_of(visit, run, priors)
    value, variance = rise.value, rise.variance + (relative * rise.value) ** 2 * (1.0 - shared)
    shifts: list[int] = []
    other = 0.0
    if zero is not None:
        value -= zero.value
        variance += zero.variance + priors.drift_sd**2
    else:
        blower = blower_power_of(run, priors)
        other = blower.mean
        variance += (blower.sd * rise.value / (power + other)) ** 2
        shifts.append(get(f"no zero {run.when}", Belief(0.0, priors.no_zero_sd)))
        shifts.extend(_probe_offsets(visit, run, rise, priors, builder))
    if value <= 0.0:
        builder.notes.append((run.id, "strips on without a rise"))
        return
    starts[stream.flow] = math.log((power + other) / (capacity * value) / REFERENCE_MASS_FLOW)
    row = HeatRow(stream, power, other, capacity, gain, factors, shifts)
    builder.add(f"{run.id}: strip rise", value, math.sqrt(variance), True, row, Source(run.id, rise.readings))


def _gas(visit: Visit, run: Run, rise: Rise, priors: Priors, builder: Builder, starts: dict[int, float]) -> None:
    flow, value, efficiency = (
        mean_reading(run, what, "gas meter") for what in ("gas_flow", "heating_value", "combustion_efficiency")
    )
    if flow is None or value is None or efficiency is None:
        return
    relative = math.sqrt(
        sum(accuracy_of(visit, r).relative(r.value) ** 2 for r in run.reading if r.at == "gas meter" and r.value)
    )
    get, shared = builder.unknowns.get, priors.shared_variance
    stream, air = builder.streams[run.id], builder.airs[run.id]
    capacity = moist_air.humid_heat(air.humidity_ratio_return)
    heat = flow * value * efficiency
    blower = blower_power_of(run, priors)
    gain = get("gain gas heat", Belief(0.0, relative * math.sqrt(shared)))
    factors = [get("gas probe", Belief(0.0, priors.gas_probe_sd))]
    shifts = [get(f"no zero {run.when}", Belief(0.0, priors.no_zero_sd))]
    shifts.extend(_probe_offsets(visit, run, rise, priors, builder))
    own = math.hypot(relative * math.sqrt(1.0 - shared), priors.gas_probe_own_sd) * rise.value
    variance = rise.variance + own**2 + (blower.sd * rise.value / (heat + blower.mean)) ** 2
    starts[stream.flow] = math.log((heat + blower.mean) / (capacity * max(rise.value, 1.0)) / REFERENCE_MASS_FLOW)
    row = HeatRow(stream, heat, blower.mean, capacity, gain, factors, shifts)
    builder.add(f"{run.id}: gas rise", rise.value, math.sqrt(variance), True, row, Source(run.id, rise.readings))


def _probe_offsets(visit: Visit, run: Run, rise: Rise, priors: Priors, builder: Builder) -> list[int]:
    """Unknown offset of one probe against the other: one part stays for good, one holds for the day."""
    if rise.probes[0] == rise.probes[1]:
        return []  # one probe moved between both ends has no offset in their difference
    variance = sum(
        accuracy_of(visit, run.reading[k], priors.shared_variance).offset() ** 2
        for k in (rise.readings[0], rise.readings[-1])
    )
    sd = math.sqrt(variance)
    lasting = math.sqrt(priors.other_day_correlation)
    daily = math.sqrt(1.0 - priors.other_day_correlation)
    pair = f"{rise.probes[0]} against {rise.probes[1]}"
    get = builder.unknowns.get
    return [
        get(f"offset {pair}", Belief(0.0, sd * lasting)),
        get(f"offset {pair} {day_of(run)}", Belief(0.0, sd * daily)),
    ]


def apart(run: Run) -> float | None:
    """Return how far two supply points of one run disagree [K], or None if there is only one."""
    near, far = mean_reading(run, "dry_bulb", "supply"), mean_reading(run, "dry_bulb", "supply far")
    return None if near is None or far is None else abs(near - far)


POINTS_AGREE = 1.0 * RANKINE  # two supply points at different distances must agree within this
