"""The state of the air in each section during one run."""

from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.physics import moist_air
from drawthrough.physics.atmosphere import standard_pressure
from drawthrough.units import RANKINE
from drawthrough.visit.state import Run, Site, System

HUMIDITY = ("wet_bulb", "dew_point", "relative_humidity")
# Where nothing was read: an ordinary house (judgement). They enter densities only: 5 K are 1.7 %.
_RETURN_DRY_BULB = 297.0
_RETURN_RELATIVE_HUMIDITY = 0.45
_SUPPLY_RELATIVE_HUMIDITY = 0.90
_CHANGE = {"cooling": -20 * RANKINE, "strips": 27 * RANKINE, "gas": 50 * RANKINE, "fan": 0.0, "zero": 0.0}


class Air(NamedTuple):
    """Air of one place: specific volume [m3 per kg dry air], density [kg/m3] and viscosity [Pa.s]."""

    volume: float
    density: float
    viscosity: float


class RunAir(NamedTuple):
    """Air of one run: station pressure, return and supply states, and the air of each section."""

    pressure: float
    dry_bulb_return: float
    humidity_ratio_return: float
    dry_bulb_supply: float
    humidity_ratio_supply: float
    section: dict[str, Air]
    assumed: tuple[str, ...]  # what was not read and had to be assumed


def mean_reading(run: Run, what: str, at: str) -> float | None:
    """Return the mean of a run's readings of one quantity at one place, or None."""
    values = [r.value for r in run.reading if r.what == what and r.at == at]
    return sum(values) / len(values) if values else None


def humidity_ratio(run: Run, at: str, dry_bulb: float, pressure: float) -> float | None:
    """Return the humidity ratio at a place from whichever humidity was read there, or None."""
    for what in HUMIDITY:
        value = mean_reading(run, what, at)
        if value is not None:
            return water(what, value, dry_bulb, pressure)
    return None


def water(what: str, value: float, dry_bulb: float, pressure: float) -> float | None:
    """Return the humidity ratio by one kind of reading, or None where no air could read so."""
    try:
        if what == "wet_bulb":
            found = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, value, pressure)
        elif what == "dew_point":
            found = moist_air.humidity_ratio_from_dew_point(value, pressure)
        else:
            found = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, value, pressure)
        moist_air.specific_volume(dry_bulb, found, pressure)  # also refused: wetter than the fit of moist air goes
        return found
    except OutOfRange:
        return None


def air_of(run: Run, site: Site, system: System) -> RunAir:
    """Return the air of each section of a run, from its readings where there are any."""
    pressure = run.station_pressure or standard_pressure(site.altitude)
    assumed = []
    warm = mean_reading(run, "dry_bulb", "return")
    if warm is None:
        warm = _RETURN_DRY_BULB
        assumed.append("return dry bulb")
    moist = humidity_ratio(run, "return", warm, pressure)
    if moist is None:
        moist = moist_air.humidity_ratio_from_relative_humidity(warm, _RETURN_RELATIVE_HUMIDITY, pressure)
        assumed.append("return humidity")
    supply = mean_reading(run, "dry_bulb", "supply")
    if supply is None:
        supply = warm + _CHANGE[run.mode]
        assumed.append("supply dry bulb")
    dried = moist
    if run.mode == "cooling":
        read = humidity_ratio(run, "supply", supply, pressure)
        if read is None:
            # Supply air that is not colder was not dried; what it would hold nearly saturated says nothing of it.
            cold = min(supply, warm)
            read = moist_air.humidity_ratio_from_relative_humidity(cold, _SUPPLY_RELATIVE_HUMIDITY, pressure)
            assumed.append("supply humidity")
        dried = min(moist, read)

    def state(temperature: float, water: float) -> Air:
        volume = moist_air.specific_volume(temperature, water, pressure)
        return Air(volume, (1.0 + water) / volume, moist_air.viscosity(temperature))

    before, after = state(warm, moist), state(supply, dried)
    middle = state((warm + supply) / 2, (moist + dried) / 2)
    cooling = run.mode == "cooling"
    coil_first = system.arrangement == "draw-through"
    section = {
        "return duct": before,
        "filter": before,
        "coil": middle if cooling else (before if coil_first else after),
        "blower": after if cooling and coil_first else before,
        "heater": middle if run.mode in ("strips", "gas") else (after if coil_first else before),
        "supply duct": after,
    }
    return RunAir(pressure, warm, moist, supply, dried, section, tuple(assumed))
