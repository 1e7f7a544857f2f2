"""Calculations of moist air."""

from drawthrough.cli.calculations.table import Calculation, Key, Results, Values
from drawthrough.physics import humidity, moist_air, saturation

HANDBOOK = "ASHRAE Handbook - Fundamentals, 2017, ch. 1"


def station_pressure(values: Values) -> float:
    """Return the pressure given, or the standard atmosphere's at the altitude given, or at sea level."""
    if "pressure" in values:
        return float(values["pressure"])
    return moist_air.standard_pressure(values.get("altitude", 0.0))


def state(values: Values) -> moist_air.MoistAir:
    """Return the state of air from the dry bulb and the one measure of moisture that was given."""
    dry_bulb, pressure = values["dry_bulb"], station_pressure(values)
    if "wet_bulb" in values:
        return moist_air.state_from_wet_bulb(dry_bulb, values["wet_bulb"], pressure)
    if "dew_point" in values:
        return moist_air.state_from_dew_point(dry_bulb, values["dew_point"], pressure)
    if "humidity_ratio" in values:
        return moist_air.state_from_humidity_ratio(dry_bulb, values["humidity_ratio"], pressure)
    return moist_air.state_from_relative_humidity(dry_bulb, values["relative_humidity"], pressure)


def _moist_air(values: Values) -> Results:
    found = state(values)
    return {
        "humidity_ratio": found.humidity_ratio,
        "enthalpy": found.enthalpy,
        "specific_volume": found.specific_volume,
        "wet_bulb": found.wet_bulb,
        "dew_point": found.dew_point,
        "relative_humidity": found.relative_humidity,
        "density": moist_air.density(found.dry_bulb, found.humidity_ratio, found.pressure),
        "pressure": found.pressure,
    }


CALCULATIONS = (
    Calculation(
        name="moist-air",
        says="the full state of moist air from its dry bulb and one measure of its moisture",
        keys=(
            Key("dry_bulb", limits=humidity.DRY_BULB, source=saturation.FIT),
            Key("relative_humidity"),
            Key("wet_bulb", limits=humidity.DRY_BULB, source="no wet bulb lies above its dry bulb; " + saturation.FIT),
            Key("dew_point", limits=saturation.SATURATED_AIR, source=saturation.FIT),
            Key("humidity_ratio"),
            Key("pressure", limits=saturation.STATION_PRESSURE, source=saturation.FIT),
            Key("altitude"),
        ),
        one_of=(("relative_humidity", "wet_bulb", "dew_point", "humidity_ratio"), ("pressure", "altitude")),
        work=_moist_air,
        results=(
            "humidity_ratio",
            "enthalpy",
            "specific_volume",
            "wet_bulb",
            "dew_point",
            "relative_humidity",
            "density",
            "pressure",
        ),
        equation="W = 0.621945 phi f p_ws / (p - phi f p_ws), f the enhancement factor; thermodynamic wet bulb",
        sources=(
            f"{HANDBOOK}, eqs 5, 6, 20, 26, 30, 33 and 36",
            "Herrmann, Kretzschmar and Gatley 2009, RP-1485: real gas",
        ),
        example="dry_bulb=80F wet_bulb=67F pressure=14.696psia",
        notes=(
            "The pressure is the station's own. A weather report is reduced to sea level: give the altitude instead.",
            "Enthalpy is per mass of dry air; dry air and liquid water are 0 at 0 C. Tables in Btu/lb begin at 0 F.",
        ),
    ),
)
