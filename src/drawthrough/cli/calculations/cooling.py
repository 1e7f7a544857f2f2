"""Calculations of the cooling side: charge targets, split, curves."""

from drawthrough.cli.calculations.table import Calculation, Key, Results, Values
from drawthrough.physics import charge, charge_tables, curve_sets, performance


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


CALCULATIONS = (
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
