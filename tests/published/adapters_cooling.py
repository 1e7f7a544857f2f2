"""Composites for the rows on measured cooling: states from readings, then the engine's capacities."""

from typing import NamedTuple

from drawthrough.physics import coil, cooling, moist_air
from drawthrough.units import BTU, FOOT, HOUR, POUND

STANDARD_DENSITY = 0.075 * POUND / FOOT**3  # of dry air, the basis of standard airflow


class Window(NamedTuple):
    """What the laboratory's table derives from one steady window, on its basis: the air's enthalpy alone."""

    total_capacity: float
    sensible_capacity: float
    energy_efficiency_ratio: float  # Btu/(W h)


def window(
    dry_bulb_return: float,
    dew_point_return: float,
    dry_bulb_supply: float,
    dew_point_supply: float,
    standard_airflow: float,
    pressure: float,
    power: float,
) -> Window:
    """Return the capacities and the efficiency of one window."""
    found = cooling.capacity(
        STANDARD_DENSITY * standard_airflow,
        dry_bulb_return,
        moist_air.humidity_ratio_from_dew_point(dew_point_return, pressure),
        dry_bulb_supply,
        moist_air.humidity_ratio_from_dew_point(dew_point_supply, pressure),
    )
    total = found.total_capacity + found.condensate_heat
    ratio = cooling.coefficient_of_performance(total, power) * HOUR / BTU
    return Window(total, found.sensible_capacity, ratio)


def coil_load(airflow: float, dry_bulb: float, relative_humidity: float, dry_bulb_supply: float) -> cooling.Cooling:
    """Return the load of a coil that takes moist air to saturation, condensate at the leaving temperature."""
    humidity_ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative_humidity, 101325.0)
    return cooling.capacity(
        airflow / moist_air.specific_volume(dry_bulb, humidity_ratio, 101325.0),
        dry_bulb,
        humidity_ratio,
        dry_bulb_supply,
        moist_air.humidity_ratio_from_relative_humidity(dry_bulb_supply, 1.0, 101325.0),
    )


class Behind(NamedTuple):
    """The state behind a coil and its apparatus."""

    dry_bulb: float
    humidity_ratio: float
    dew_point: float
    bypass_factor: float


def coil_at_rating(
    dry_bulb: float, wet_bulb: float, total_capacity: float, sensible_capacity: float, mass_flow: float
) -> Behind:
    """Return the state behind a coil and its apparatus dew point, from rated capacities at sea level."""
    humidity_ratio = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, 101325.0)
    behind = coil.state_behind(dry_bulb, humidity_ratio, total_capacity, sensible_capacity, mass_flow)
    return Behind(*behind, *coil.apparatus(dry_bulb, humidity_ratio, *behind, 101325.0))
