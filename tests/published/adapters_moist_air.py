"""What the published rows of moist air compare where no single function of the engine gives it."""

from drawthrough.physics import moist_air


def enthalpy_above_zero_fahrenheit(
    dry_bulb: float, pressure: float, relative_humidity: float | None = None, humidity_ratio: float | None = None
) -> float:
    """Return the enthalpy as the I-P tables count it: dry air 0 at 0 F, liquid water 0 at 32 F. [J/kg]"""
    if humidity_ratio is None:
        assert relative_humidity is not None
        humidity_ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative_humidity, pressure)
    at_zero = moist_air.enthalpy(459.67 / 1.8, 0.0, pressure)
    return moist_air.enthalpy(dry_bulb, humidity_ratio, pressure) - at_zero


def enthalpy_above_zero_fahrenheit_from_wet_bulb(dry_bulb: float, wet_bulb: float, pressure: float) -> float:
    """Return the same from a wet bulb. [J/kg]"""
    humidity_ratio = moist_air.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, pressure)
    return enthalpy_above_zero_fahrenheit(dry_bulb, pressure, humidity_ratio=humidity_ratio)


def enthalpy_at_saturation(dry_bulb: float, pressure: float) -> float:
    """Return the enthalpy of saturated air as the SI tables count it. [J/kg]"""
    humidity_ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, 1.0, pressure)
    return moist_air.enthalpy(dry_bulb, humidity_ratio, pressure)


def volume_of_humidity(dry_bulb: float, relative_humidity: float, pressure: float) -> float:
    """Return the specific volume of air of a relative humidity. [m3/kg]"""
    return moist_air.state_from_relative_humidity(dry_bulb, relative_humidity, pressure).specific_volume


def heating_load(dry_bulb_first: float, dry_bulb_second: float, airflow: float, pressure: float) -> float:
    """Return the heat that warms saturated air from one dry bulb to another at its own humidity. [W]"""
    cold = moist_air.state_from_relative_humidity(dry_bulb_first, 1.0, pressure)
    warm = moist_air.enthalpy(dry_bulb_second, cold.humidity_ratio, pressure)
    return airflow / cold.specific_volume * (warm - cold.enthalpy)


def mixture(
    dry_bulb_first: float,
    wet_bulb_first: float,
    airflow_first: float,
    dry_bulb_second: float,
    relative_humidity_second: float,
    airflow_second: float,
    pressure: float,
) -> moist_air.MoistAir:
    """Return the mixture of two streams given as a chart's example gives them."""
    first = moist_air.state_from_wet_bulb(dry_bulb_first, wet_bulb_first, pressure)
    second = moist_air.state_from_relative_humidity(dry_bulb_second, relative_humidity_second, pressure)
    return moist_air.adiabatic_mixture(
        first, second, airflow_first / first.specific_volume, airflow_second / second.specific_volume
    )
