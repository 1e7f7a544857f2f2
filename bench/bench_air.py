"""Moist air and refrigerant saturation against the reference libraries."""

from collections.abc import Callable
from functools import partial

import psychrolib
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from bench.case import Case
from drawthrough.physics.moist_air import state_from_relative_humidity, state_from_wet_bulb
from drawthrough.physics.refrigerant import saturation_pressure_of, saturation_temperature_of

DRY_BULB, RELATIVE_HUMIDITY, PRESSURE = 299.8, 0.5, 101325.0
HOT, DRY, HIGH = 318.15, 0.12, 84307.0
OUTPUTS = ("W", "H", "V", "Twb", "Tdp")

psychrolib.SetUnitSystem(psychrolib.SI)


def _psychrolib(dry_bulb: float, relative_humidity: float, pressure: float) -> Callable[[], object]:
    """Humidity ratio, enthalpy, volume, wet bulb and dew point by the library's single functions."""
    celsius = dry_bulb - 273.15

    def work() -> object:
        ratio = psychrolib.GetHumRatioFromRelHum(celsius, relative_humidity, pressure)
        return (
            ratio,
            psychrolib.GetMoistAirEnthalpy(celsius, ratio),
            psychrolib.GetMoistAirVolume(celsius, ratio, pressure),
            psychrolib.GetTWetBulbFromHumRatio(celsius, ratio, pressure),
            psychrolib.GetTDewPointFromHumRatio(celsius, ratio, pressure),
        )

    return work


def _coolprop(dry_bulb: float, relative_humidity: float, pressure: float) -> Callable[[], object]:
    """The same five by one call each, as its interface has it."""

    def work() -> object:
        return [HAPropsSI(name, "T", dry_bulb, "R", relative_humidity, "P", pressure) for name in OUTPUTS]

    return work


NO_FACTOR = "the reference leaves out the enhancement factor (W 0.4 to 0.5 % low)"
FIVE = "five calls, one for each output"
PLAIN = "the limit is the call itself with one exponential or logarithm"

CASES = [
    Case(
        "full moist-air state, dry bulb and rh, against five functions",
        partial(state_from_relative_humidity, DRY_BULB, RELATIVE_HUMIDITY, PRESSURE),
        _psychrolib(DRY_BULB, RELATIVE_HUMIDITY, PRESSURE),
        "psychrolib, five functions",
        3.0,
        NO_FACTOR,
    ),
    Case(
        "full moist-air state, dry bulb and rh, against one call",
        partial(state_from_relative_humidity, DRY_BULB, RELATIVE_HUMIDITY, PRESSURE),
        partial(psychrolib.CalcPsychrometricsFromRelHum, DRY_BULB - 273.15, RELATIVE_HUMIDITY, PRESSURE),
        "psychrolib, CalcPsychrometricsFromRelHum",
        3.0,
        NO_FACTOR,
    ),
    Case(
        "full moist-air state, dry bulb and rh, against CoolProp",
        partial(state_from_relative_humidity, DRY_BULB, RELATIVE_HUMIDITY, PRESSURE),
        _coolprop(DRY_BULB, RELATIVE_HUMIDITY, PRESSURE),
        "CoolProp HAPropsSI",
        20.0,
        FIVE,
    ),
    Case(
        "full moist-air state, hot and dry at 5,000 ft, against five functions",
        partial(state_from_relative_humidity, HOT, DRY, HIGH),
        _psychrolib(HOT, DRY, HIGH),
        "psychrolib, five functions",
        3.0,
        NO_FACTOR,
    ),
    Case(
        "full moist-air state, hot and dry at 5,000 ft, against CoolProp",
        partial(state_from_relative_humidity, HOT, DRY, HIGH),
        _coolprop(HOT, DRY, HIGH),
        "CoolProp HAPropsSI",
        20.0,
        FIVE,
    ),
    Case(
        "full moist-air state, dry and wet bulb",
        partial(state_from_wet_bulb, DRY_BULB, 292.5, PRESSURE),
        partial(psychrolib.CalcPsychrometricsFromTWetBulb, DRY_BULB - 273.15, 19.35, PRESSURE),
        "psychrolib, CalcPsychrometricsFromTWetBulb",
        None,
        NO_FACTOR,
    ),
    Case(
        "saturation pressure, R-410A dew",
        partial(saturation_pressure_of, "R-410A", "dew", 280.0),
        partial(PropsSI, "P", "T", 280.0, "Q", 1, "R410A"),
        "CoolProp PropsSI",
        20.0,
        PLAIN,
    ),
    Case(
        "saturation temperature, R-410A dew",
        partial(saturation_temperature_of, "R-410A", "dew", 9.5e5),
        partial(PropsSI, "T", "P", 9.5e5, "Q", 1, "R410A"),
        "CoolProp PropsSI",
        20.0,
        PLAIN,
    ),
    Case(
        "saturation temperature, R-22",
        partial(saturation_temperature_of, "R-22", "dew", 6e5),
        partial(PropsSI, "T", "P", 6e5, "Q", 1, "R22"),
        "CoolProp PropsSI",
        20.0,
        PLAIN,
    ),
    Case(
        "saturation temperature, R-454B bubble",
        partial(saturation_temperature_of, "R-454B", "bubble", 2.2e6),
        partial(PropsSI, "T", "P", 2.2e6, "Q", 0, "R454B.mix"),
        "CoolProp PropsSI, a mixture",
        20.0,
        "the reference flashes a mixture each time",
    ),
]
