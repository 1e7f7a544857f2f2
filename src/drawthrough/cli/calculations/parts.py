"""Calculations of single parts: capacitor, strips, drain trap, motor."""

from drawthrough.cli.calculations.table import Calculation, CalculationError, Key, Results, Values, whole
from drawthrough.physics import drain, electrical, strips

OHM = "Ohm's law"


def _capacitor(values: Values) -> Results:
    return {"capacitance": electrical.capacitance(values["amps"], values["volts"], values["frequency"])}


def _element_count(values: Values) -> Results:
    power_rated, volts_rated, fitted = values["power_rated"], values["volts_rated"], whole("elements", values)
    if "resistance" in values:
        working = strips.elements_by_resistance(values["resistance"], power_rated, volts_rated, fitted)
    else:
        if "volts" not in values:
            raise CalculationError("amps needs volts beside it: both are read at one moment.")
        working = strips.elements_by_amps(values["volts"], values["amps"], power_rated, volts_rated, fitted)
    return {
        "elements": working.elements,
        "resistance": strips.element_resistance(power_rated, volts_rated, fitted),
    }


def _strip_power(values: Values) -> Results:
    return {"power": strips.power_at_voltage(values["power_rated"], values["volts"], values["volts_rated"])}


def _trap_depth(values: Values) -> Results:
    found = drain.trap(values["static"], values.get("trap_margin", drain.TRAP_MARGIN))
    return {"trap_drop": found.trap_drop, "trap_seal": found.trap_seal}


def _motor_speed(values: Values) -> Results:
    return {"speed": electrical.synchronous_speed(values["frequency"], whole("poles", values))}


CALCULATIONS = (
    Calculation(
        name="capacitor",
        says="the capacitance of a run capacitor from its current and the voltage across it, while it runs",
        keys=(
            Key("amps", limits=(0.0, 500.0), source="a reading above zero"),
            Key("volts", limits=(0.0, 1000.0), source="a reading above zero"),
            Key("frequency", limits=(40.0, 70.0), source="line frequencies of 50 and 60 Hz"),
        ),
        work=_capacitor,
        results=("capacitance",),
        equation="C = I / (2 pi f V)",
        sources=("Reactance of a capacitor, any text on alternating current",),
        example="amps=2A volts=330V frequency=60Hz",
        notes=("Volts across the capacitor itself, not of the line: it usually stands above it.",),
    ),
    Calculation(
        name="element-count",
        says="how many elements of a strip-heat kit work, by amps or by resistance",
        keys=(
            Key("power_rated", "power"),
            Key("volts_rated", "volts"),
            Key("elements", limits=(1.0, 12.0), source="elements of a strip-heat kit"),
            Key("amps"),
            Key("resistance"),
            Key("volts", optional=True, default="needed beside amps"),
        ),
        one_of=(("amps", "resistance"),),
        work=_element_count,
        results=("elements", "resistance"),
        equation="elements = reading / that of one element; R of one = n V_rated^2 / P_rated",
        sources=(OHM,),
        example="power_rated=10kW volts_rated=240V elements=2 resistance=11.5ohm",
        notes=("Elements of unlike power make the count meaningless.",),
    ),
    Calculation(
        name="strip-power",
        says="what strips take at another voltage than their nameplate's",
        keys=(Key("power_rated", "power"), Key("volts_rated", "volts"), Key("volts")),
        work=_strip_power,
        results=("power",),
        equation="P = P_rated (V / V_rated)^2",
        sources=(OHM,),
        example="power_rated=10kW volts_rated=240V volts=231V",
    ),
    Calculation(
        name="trap-depth",
        says="the heights that a drain trap needs against the pressure at the pan",
        keys=(
            Key("static", limits=(-2500.0, 2500.0), source="pressures of air handlers"),
            Key("trap_margin", optional=True, default="1 in"),
        ),
        work=_trap_depth,
        results=("trap_drop", "trap_seal"),
        equation="suction: drop = h + margin, seal = (h + margin) / 2; pressure: seal = h + margin; h = |P| / (rho g)",
        sources=("Makers' installation instructions; see the function's references in the documentation",),
        example="static=-0.6inwc",
        notes=("The pressure at the pan against the space at the trap's outlet; suction is negative.",),
    ),
    Calculation(
        name="motor-speed",
        says="the synchronous speed of an induction motor",
        keys=(Key("frequency", limits=(40.0, 70.0), source="line frequencies of 50 and 60 Hz"), Key("poles")),
        work=_motor_speed,
        results=("speed",),
        equation="N = 2 f / p",
        sources=("Any text on electric machines",),
        example="frequency=60Hz poles=6",
    ),
)
