"""Composites for the rows on airflow: moist air by its state, and the constants of standard air."""

from drawthrough.physics import moist_air
from drawthrough.physics.airflow import airflow_of_mass_flow, airflow_of_volume
from drawthrough.physics.heat_rise import heat_rise, sensible_heat
from drawthrough.physics.opening import STANDARD_DENSITY
from drawthrough.units import CFM, RANKINE


def mass_flow_of_volume(airflow: float, dry_bulb: float, relative_humidity: float, altitude: float = 0.0) -> float:
    """Return the mass flow of dry air in an airflow of moist air."""
    pressure = moist_air.standard_pressure(altitude)
    ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative_humidity, pressure)
    return airflow_of_volume(airflow, moist_air.specific_volume(dry_bulb, ratio, pressure)).mass_flow


def sensible_factor(dry_bulb: float, altitude: float) -> float:
    """Return the heat of one cubic foot a minute of dry air over one degree Fahrenheit."""
    return sensible_heat(mass_flow_of_volume(CFM, dry_bulb, 0.0, altitude), 0.0, RANKINE)


def rise_in_standard_air(power: float, standard_airflow: float) -> float:
    """Return the rise of a standard airflow of dry air."""
    air = airflow_of_mass_flow(standard_airflow * STANDARD_DENSITY, 1.0 / STANDARD_DENSITY)
    return heat_rise(power, air.mass_flow, 0.0)
