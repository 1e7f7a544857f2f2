"""Composites for the rows on strip heat: what a kit does to a standard airflow, with a maker's table beside it."""

from drawthrough.physics.airflow import airflow_of_heat
from drawthrough.physics.heat_rise import heat_rise
from drawthrough.physics.strips import power_at_voltage, strip_power
from drawthrough.units import FOOT, POUND


def kit_rise(power: float, standard_airflow: float) -> float:
    """Return the rise that a kit's nameplate power makes in a standard airflow of dry air."""
    return heat_rise(power_at_voltage(power, 240.0, 240.0), 0.075 * POUND / FOOT**3 * standard_airflow, 0.0)


def standard_airflow(volts: float, amps: float, rise: float) -> float:
    """Return the standard airflow of dry air from the strips' power and their rise."""
    return airflow_of_heat(strip_power(volts, amps), rise).standard_airflow
