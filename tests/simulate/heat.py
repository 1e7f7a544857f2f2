"""True temperatures of one run: mixing of leaks, coil, blower heat, strips, evaporation, gain and stratification.

Only moist-air properties come from the house; everything else is this file's own.
"""

import math
from typing import NamedTuple

from drawthrough.physics import moist_air

VAPORISATION = 2.45e6  # [J/kg]


class Air(NamedTuple):
    """Dry bulb [K] and humidity ratio [kg/kg]."""

    dry_bulb: float
    water: float


class Coil(NamedTuple):
    """A direct-expansion coil and its machine: what it does at the rating point, and how that moves."""

    capacity: float  # gross, at rating, of this very unit [W]
    airflow: float  # at rating [m3/s standard]
    bypass: float  # bypass factor at the rated airflow
    bypass_power: float  # of the airflow, in the transfer units
    airflow_power: float  # of total capacity in the airflow: small with a valve, larger with a fixed orifice
    per_wet_bulb: float  # relative, per kelvin of entering wet bulb
    per_outdoor: float  # relative, per kelvin outdoors
    charge: float = 1.0  # what a wrong charge leaves of the capacity
    fouling: float = 1.0  # what dirt on the coil leaves of its transfer units


RATED_WET_BULB, RATED_OUTDOOR = 292.59, 308.15  # 67 F and 95 F
RATED_DENSITY = 1.2014


def density(air: Air, pressure: float) -> float:
    """Density of moist air [kg/m3]."""
    return moist_air.density(air.dry_bulb, air.water, pressure)


def mixed(streams: list[tuple[float, Air]]) -> Air:
    """Air of several masses of nearly the same temperature, by their shares."""
    total = sum(mass for mass, _ in streams)
    water = sum(mass * air.water for mass, air in streams) / total
    heat = sum(mass * moist_air.humid_heat(air.water) * air.dry_bulb for mass, air in streams)
    return Air(heat / sum(mass * moist_air.humid_heat(air.water) for mass, air in streams), water)


def warmed(air: Air, mass: float, heat: float) -> Air:
    """Air after a heat [W] has entered a moist mass flow [kg/s]."""
    return Air(air.dry_bulb + heat * (1.0 + air.water) / (mass * moist_air.humid_heat(air.water)), air.water)


def evaporated(air: Air, mass: float, water: float) -> Air:
    """Air after water [kg/s] has evaporated into it: cooler by the heat that this took."""
    cooled = warmed(air, mass, -water * VAPORISATION)
    return Air(cooled.dry_bulb, air.water + water * (1.0 + air.water) / mass)


def evaporation(start: float, lasting: float, moment: float, airflow: float, reference: float) -> float:
    """Water that a rinsed coil still gives off [kg/s], some time after it was rinsed [s]; more air takes more."""
    return start * math.exp(-moment / lasting) * math.sqrt(airflow / reference)


def cooled(coil: Coil, entering: Air, mass: float, outdoor: float, pressure: float) -> tuple[Air, float, float]:
    """Air behind the coil, total gross capacity [W] and the share of it that is sensible.

    Total capacity by powers and slopes; the split by bypass: the air leaves on the line from its state to a
    saturated one, as far along as the transfer units at this airflow carry it.
    """
    dry = mass / (1.0 + entering.water)
    relative = mass / RATED_DENSITY / coil.airflow
    wet_bulb = moist_air.wet_bulb(entering.dry_bulb, entering.water, pressure)
    total = coil.capacity * relative**coil.airflow_power * coil.charge * coil.fouling**0.2
    total *= 1.0 + coil.per_wet_bulb * (wet_bulb - RATED_WET_BULB)
    total *= 1.0 - coil.per_outdoor * (outdoor - RATED_OUTDOOR)
    units = -math.log(coil.bypass) * relative ** (-coil.bypass_power) * coil.fouling
    reached = 1.0 - math.exp(-units)
    drop = total / dry / reached  # of enthalpy, from entering to the saturated state
    heat = moist_air.humid_heat(entering.water)
    # The surface: saturated at its temperature, where the enthalpy of the line is met. Falling in temperature.
    low, high = entering.dry_bulb - drop / heat, entering.dry_bulb
    start = moist_air.enthalpy(entering.dry_bulb, entering.water, pressure)
    for _ in range(30):
        middle = 0.5 * (low + high)
        held = min(moist_air.humidity_ratio_from_relative_humidity(middle, 1.0, pressure), entering.water)
        if start - moist_air.enthalpy(middle, held, pressure) > drop:
            low = middle
        else:
            high = middle
    surface = 0.5 * (low + high)
    held = min(moist_air.humidity_ratio_from_relative_humidity(surface, 1.0, pressure), entering.water)
    behind = Air(
        entering.dry_bulb - reached * (entering.dry_bulb - surface), entering.water - reached * (entering.water - held)
    )
    return behind, total, heat * (entering.dry_bulb - behind.dry_bulb) * dry / total


class Stratification(NamedTuple):
    """What a supply probe sees of a rise: more or less than the mean, and moving a little with the airflow."""

    share: float  # relative error of the rise at the reference airflow
    moving: float  # its change per unit of ln(airflow)
    reference: float  # [kg/s]

    def seen(self, rise: float, mass: float) -> float:
        """The rise that the probe sees [K]."""
        return rise * (1.0 + self.share + self.moving * math.log(mass / self.reference))
