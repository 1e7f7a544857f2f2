"""Calculations of the cooling side: saturation, charge readings and targets, split, curves."""

from drawthrough.cli.calculations.air import station_pressure
from drawthrough.cli.calculations.table import Calculation, CalculationError, Key, Results, Values
from drawthrough.physics import charge, charge_tables, curve_sets, moist_air, performance, refrigerant
from drawthrough.units import to_si

NODES = "nodes of the equations of state, -40 to 150 F"
SATURATION_LIMITS = (to_si(-40.0, "F", "temperature"), to_si(150.0, "F", "temperature"))
STATES = (
    "CoolProp 8.0.0: Lemmon 2003 (R-410A, R-407C), Kamei 1995 (R-22), Tillner-Roth and Baehr 1994 (R-134a), "
    "Tillner-Roth and Yokozeki 1997 (R-32), Bell 2023 (R-454B)"
)
LICENSED = "Reading is free; work on the charge belongs to those certified for it."


def _saturation(values: Values) -> Results:
    name, phase = values["refrigerant"], values["phase"]
    if "altitude" in values and "gauge_pressure" not in values:
        raise CalculationError("altitude belongs to gauge_pressure; pressure is absolute already.")
    if "temperature" in values:
        temperature = float(values["temperature"])
        return {
            "pressure": refrigerant.saturation_pressure_of(name, phase, temperature),
            "temperature": temperature,
        }
    if "pressure" in values:
        pressure = float(values["pressure"])
    else:
        pressure = values["gauge_pressure"] + moist_air.standard_pressure(values.get("altitude", 0.0))
    return {"pressure": pressure, "temperature": refrigerant.saturation_temperature_of(name, phase, pressure)}


def _line(values: Values) -> tuple[str, float, float, float]:
    return values["refrigerant"], values["temperature"], values["gauge_pressure"], station_pressure(values)


def _superheat(values: Values) -> Results:
    return {"superheat": refrigerant.superheat(*_line(values))}


def _subcooling(values: Values) -> Results:
    return {"subcooling": refrigerant.subcooling(*_line(values))}


def _target_superheat(values: Values) -> Results:
    return {"superheat": charge.target_superheat(values["wet_bulb"], values["outdoor"])}


def _temperature_split(values: Values) -> Results:
    return {"split": charge.target_split(values["dry_bulb"], values["wet_bulb"])}


def _cooling_curves(values: Values) -> Results:
    given = (values["wet_bulb"], values["outdoor"], values["flow_fraction"])
    return {
        "capacity_ratio": performance.curve_capacity_ratio(*given),
        "eir_ratio": performance.curve_eir_ratio(*given),
    }


LINE_KEYS = (
    Key("refrigerant", choices=refrigerant.REFRIGERANTS),
    Key("temperature"),
    Key("gauge_pressure"),
    Key("pressure"),
    Key("altitude"),
)

CALCULATIONS = (
    Calculation(
        name="saturation",
        says="the saturation pressure of a refrigerant at a temperature, or the temperature at a pressure",
        keys=(
            Key("refrigerant", choices=refrigerant.REFRIGERANTS),
            Key("phase", choices=("bubble", "dew")),
            Key("temperature", limits=SATURATION_LIMITS, source=NODES),
            Key("pressure", "saturation_pressure"),
            Key("gauge_pressure"),
            Key("altitude", optional=True, default="sea level; only with gauge_pressure"),
        ),
        one_of=(("temperature", "pressure", "gauge_pressure"),),
        work=_saturation,
        results=("pressure", "temperature"),
        units_of={"pressure": "saturation_pressure"},
        equation="between nodes each 10 F ln p is a cubic in 1/T with the nodes' values and slopes",
        sources=(STATES,),
        example="refrigerant=R-410A phase=dew temperature=40F",
        notes=(
            "pressure is absolute. Bubble for liquid lines and subcooling, dew for suction lines and superheat.",
            "Published charts of R-410A scatter by 0.8 F among themselves.",
        ),
    ),
    Calculation(
        name="superheat",
        says="by how much the vapour of a suction line is hotter than dew at its pressure",
        keys=LINE_KEYS,
        one_of=(("pressure", "altitude"),),
        work=_superheat,
        results=("superheat",),
        equation="T - T_dew(gauge_pressure + station pressure)",
        sources=(STATES,),
        example="refrigerant=R-410A temperature=55F gauge_pressure=118psig altitude=0ft",
        notes=(LICENSED,),
    ),
    Calculation(
        name="subcooling",
        says="by how much the liquid of a liquid line is colder than bubble at its pressure",
        keys=LINE_KEYS,
        one_of=(("pressure", "altitude"),),
        work=_subcooling,
        results=("subcooling",),
        equation="T_bubble(gauge_pressure + station pressure) - T",
        sources=(STATES,),
        example="refrigerant=R-410A temperature=95F gauge_pressure=335psig altitude=0ft",
        notes=(LICENSED,),
    ),
    Calculation(
        name="target-superheat",
        says="the superheat that a full charge gives behind a fixed orifice, from the published charts",
        keys=(Key("wet_bulb"), Key("outdoor")),
        work=_target_superheat,
        results=("superheat",),
        equation="bilinear between the cells of the charts",
        sources=(charge_tables.CARRIER, charge_tables.LENNOX),
        example="wet_bulb=67F outdoor=95F",
        notes=(
            "Where the chart is blank there is no target. A chart of the unit's own maker goes before this one.",
            "Charge readings stand only once the airflow stands, outdoors is 55 F or more, and the unit is steady.",
        ),
    ),
    Calculation(
        name="temperature-split",
        says="the drop of dry bulb that the California table expects across a system with enough air",
        keys=(Key("dry_bulb"), Key("wet_bulb")),
        work=_temperature_split,
        results=("split",),
        equation="bilinear between the cells of the table",
        sources=(charge_tables.SPLIT_SOURCE,),
        example="dry_bulb=75F wet_bulb=63F",
        notes=(
            "The table is from memory. A large split says little air; a small one low capacity or, seldom, much air.",
        ),
    ),
    Calculation(
        name="cooling-curves",
        says="capacity and energy input over their rated values, by published curves of residential units",
        keys=(
            Key("wet_bulb", limits=performance.WET_BULB_LIMITS, source=curve_sets.REPORT),
            Key("outdoor", limits=performance.OUTDOOR_LIMITS, source=curve_sets.REPORT),
            Key("flow_fraction", limits=performance.FLOW_FRACTION_LIMITS, source=curve_sets.REPORT),
        ),
        work=_cooling_curves,
        results=("capacity_ratio", "eir_ratio"),
        equation="biquadratic in both temperatures, over its own value at 67 F and 95 F, times a quadratic in airflow",
        sources=("Cutler et al. 2013, NREL/TP-5500-56354",),
        example="wet_bulb=67F outdoor=95F flow_fraction=0.8",
        notes=("Gross of the blower's heat. Airflow moves total capacity little: a cleaning is not proved by it.",),
    ),
)
