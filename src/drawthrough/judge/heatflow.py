"""Cooling of one run as a logarithm: the fit's airflow times what the probes say of each kilogram of air."""

import math
from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.judge.accuracy import accuracy_of, day_of, noise_of
from drawthrough.judge.air import HUMIDITY, mean_reading, water
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.priors import Priors
from drawthrough.judge.stream import REFERENCE_MASS_FLOW
from drawthrough.physics import cooling, moist_air
from drawthrough.physics.atmosphere import standard_pressure
from drawthrough.visit.state import Run, Site, Visit

_STEP = {"dry_bulb": 0.01, "wet_bulb": 0.01, "dew_point": 0.01, "relative_humidity": 1e-4}

Key = tuple[str, str]


class Probe(NamedTuple):
    """How one probed quantity moves a logarithm: slope per SI unit, own noise, shared offset and whose it is."""

    slope: float
    noise: float
    shared: float
    instrument: str


class HeatFlow(NamedTuple):
    """Cooling of one run: its logarithm per kilogram of dry air, and how each probe moves it."""

    run: Run
    logarithm: float
    probes: dict[Key, Probe]


def probed(run: Run) -> dict[Key, float] | None:
    """Return the means of dry bulb and one humidity at return and supply, or None where one is missing."""
    found: dict[Key, float] = {}
    for at in ("return", "supply"):
        dry_bulb = mean_reading(run, "dry_bulb", at)
        if dry_bulb is None:
            return None
        found["dry_bulb", at] = dry_bulb
        for what in HUMIDITY:
            value = mean_reading(run, what, at)
            if value is not None:
                found[what, at] = value
                break
    return found


def _water(values: dict[Key, float], at: str, pressure: float) -> float | None:
    for what in HUMIDITY:
        value = values.get((what, at))
        if value is not None:
            return water(what, value, values["dry_bulb", at], pressure)
    return None


def _per_kilogram(values: dict[Key, float], pressure: float, total: bool) -> float | None:
    """Return ln of total or sensible cooling per kg of dry air, or None where it is not positive or not known."""
    warm, cool = values["dry_bulb", "return"], values["dry_bulb", "supply"]
    moist, dried = _water(values, "return", pressure), _water(values, "supply", pressure)
    if total:
        if moist is None or dried is None:
            return None
        try:
            found = cooling.capacity(1.0, warm, moist, cool, min(dried, moist)).total_capacity
        except OutOfRange:
            return None  # supply air below freezing: what leaves the coil is ice, and no enthalpy balance holds
    else:
        found = moist_air.humid_heat(dried if dried is not None else 0.009) * (warm - cool)
    return math.log(found) if found > 0.0 else None


def heat_flow(visit: Visit, site: Site, run: Run, priors: Priors, total: bool) -> HeatFlow | None:
    """Return the total or sensible cooling of a run per kilogram of dry air, or None where a probe is missing."""
    values = probed(run)
    if values is None:
        return None
    pressure = run.station_pressure or standard_pressure(site.altitude)
    here = _per_kilogram(values, pressure, total)
    if here is None:
        return None
    probes: dict[Key, Probe] = {}
    for key, value in values.items():
        what, at = key
        readings = [r for r in run.reading if r.what == what and r.at == at]
        step = _STEP[what]
        # A humidity probe that reads saturated can only be moved down.
        moved = _per_kilogram({**values, key: value - step}, pressure, total)
        if moved is None:
            continue
        accuracy = accuracy_of(visit, readings[0], priors.shared_variance)
        noise = math.sqrt(sum(noise_of(visit, r, priors) ** 2 for r in readings)) / len(readings)
        probes[key] = Probe((here - moved) / step, noise, accuracy.offset(), f"{accuracy.key} {what}")
    return HeatFlow(run, here, probes)


def capacity_of(joint: Joint, flow: HeatFlow) -> Derived:
    """Return ln of the cooling of a run [W] with its own variances."""
    stream = joint.model.streams[flow.run.id]
    offsets: dict[str, float] = {}
    extra: list[tuple[str, float]] = []
    for (what, at), probe in flow.probes.items():
        extra.append((f"{flow.run.id}: {what.replace('_', ' ')} {at}", (probe.slope * probe.noise) ** 2))
        # One probe moved between both ends shifts them alike: slopes of one instrument add before they are squared.
        offsets[probe.instrument] = offsets.get(probe.instrument, 0.0) + probe.slope * probe.shared
    extra.extend((f"offset of {name}", pull * pull) for name, pull in offsets.items())
    return joint.linear({stream.flow: 1.0}, flow.logarithm + math.log(REFERENCE_MASS_FLOW), tuple(extra))


def capacity_ratio(joint: Joint, found: HeatFlow, left: HeatFlow, priors: Priors, repeat: float) -> Derived:
    """Return ln of cooling as left over as found: shared offsets cancel as far as the slopes are alike.

    `repeat` is the relative repeatability of an unfaulted machine at one condition, for each of the two.
    """
    extra: list[tuple[str, float]] = [("repeatability of the machine", 2 * repeat * repeat)]
    same_day = day_of(found.run) == day_of(left.run) or found.run.start is None or left.run.start is None
    correlation = 1.0 if same_day else priors.other_day_correlation
    pulls: dict[str, list[float]] = {}
    for k, flow in enumerate((found, left)):
        for (what, at), probe in flow.probes.items():
            extra.append((f"{flow.run.id}: {what.replace('_', ' ')} {at}", (probe.slope * probe.noise) ** 2))
            pulls.setdefault(probe.instrument, [0.0, 0.0])[k] += probe.slope * probe.shared
    for name, (first, second) in pulls.items():
        extra.append((f"offset of {name}", first * first + second * second - 2 * correlation * first * second))
    streams = joint.model.streams
    return joint.linear(
        {streams[left.run.id].flow: 1.0, streams[found.run.id].flow: -1.0},
        left.logarithm - found.logarithm,
        tuple(extra),
    )
