"""Calculations of airflow: by strips, through openings, by traverse."""

from drawthrough.cli.calculations.air import HANDBOOK, state
from drawthrough.cli.calculations.table import Calculation, CalculationError, Key, Results, Values, whole
from drawthrough.physics import airflow, moist_air, opening, traverse

CRACK = "Baker, Sharples and Ward 1987, Air flow through cracks, Building and Environment 22(4)"
INCOMPRESSIBLE = "incompressible flow"


def _strip_airflow(values: Values) -> Results:
    names = (
        "volts", "amps", "rise", "rise_off", "blower_power", "heat_loss", "dry_bulb", "relative_humidity", "altitude",
        "pressure",
    )  # fmt: skip
    found = airflow.strip_airflow(**{name: values[name] for name in names if name in values})
    return {
        "airflow": found.airflow,
        "standard_airflow": found.standard_airflow,
        "mass_flow": found.mass_flow,
    }


def _air(values: Values) -> dict[str, float]:
    """Return density and viscosity of the air in an opening, where its state is given; else the standard ones hold."""
    if "dry_bulb" not in values:
        told = {key: float(values[key]) for key in ("density", "viscosity") if key in values}
        surplus = [key for key in ("relative_humidity", "pressure", "altitude") if key in values]
        if surplus:
            raise CalculationError(f"{surplus[0]} needs dry_bulb beside it: the state of the air is wanted whole.")
        return told
    for key in ("density", "viscosity"):
        if key in values:
            raise CalculationError(f"{key} follows from dry_bulb: give the one or the other.")
    air = state({"relative_humidity": 0.0, **values})
    return {
        "density": moist_air.density(air.dry_bulb, air.humidity_ratio, air.pressure),
        "viscosity": moist_air.viscosity(air.dry_bulb),
    }


def _orifice(values: Values) -> Results:
    coefficient = values.get("coefficient", opening.EDGE_COEFFICIENT)
    air = _air(values)
    air.pop("viscosity", None)
    return {"airflow": opening.orifice_airflow(values["area"], values["pressure_drop"], coefficient, **air)}


def _crack(values: Values) -> Results:
    return {
        "airflow": opening.crack_airflow(
            values["width"],
            values["length"],
            values["depth"],
            values.get("bends", 0.0),
            values["pressure_drop"],
            **_air(values),
        )
    }


def _rectangle(values: Values) -> Results:
    width, length = values["width"], values["length"]
    return {
        "positions_width": traverse.rectangular_positions(width),
        "positions_length": traverse.rectangular_positions(length),
        "area": width * length,
    }


def _circle(values: Values) -> Results:
    points = whole("points", values) if "points" in values else 6
    return {"positions": traverse.circular_positions(values["diameter"], points, values.get("rule", "log-linear"))}


def _air_velocity(values: Values) -> Results:
    density = _air(values).get("density", opening.STANDARD_DENSITY)
    return {"velocity": traverse.average_velocity(values["velocity_pressure"], density)}


DENSITY = Key("density", optional=True, default="0.075 lb/ft3, or that of dry_bulb")
VISCOSITY = Key("viscosity", optional=True, default="that of 20 C, or of dry_bulb")
STATE = (
    Key("dry_bulb", optional=True, default="standard air"),
    Key("relative_humidity", optional=True, default="dry air"),
    Key("pressure"),
    Key("altitude"),
)

CALCULATIONS = (
    Calculation(
        name="strip-airflow",
        says="the airflow from the temperature rise over electric strips, with or without a zero",
        keys=(
            Key("volts"),
            Key("amps"),
            Key("rise"),
            Key(
                "rise_off", "rise", optional=True, default="no zero was read", limits=(-60.0, 60.0), source="plausible"
            ),
            Key("blower_power", optional=True, default="0 W; not used with rise_off, which contains it"),
            Key("heat_loss", optional=True, default="0 W"),
            Key("dry_bulb", optional=True, default="70 F"),
            Key("relative_humidity", optional=True, default="dry air"),
            Key("altitude"),
            Key("pressure"),
        ),
        at_most_one=(("altitude", "pressure"),),
        work=_strip_airflow,
        results=("airflow", "standard_airflow", "mass_flow"),
        equation="m = V I / ((cp_a + W cp_v) (rise - rise_off)); without a zero V I + blower_power over rise",
        sources=(f"{HANDBOOK}: energy balance of moist air",),
        example="volts=240V amps=40A rise=24.6F rise_off=1.2F altitude=1000ft",
        notes=(
            "airflow is at the return's own state; standard_airflow is the dry air's mass at 0.075 lb/ft3.",
            "Without a zero a coil that still evaporates reads 5 to 18 % too much air.",
            "Count the elements first (element-count), and make sure that nothing else heats.",
        ),
    ),
    Calculation(
        name="orifice",
        says="the airflow through a hole with a sharp edge",
        keys=(
            Key("area"),
            Key("pressure_drop", limits=(0.0, 5000.0), source=INCOMPRESSIBLE),
            Key("coefficient", optional=True, default="0.61, a sharp edge"),
            DENSITY,
            *STATE,
        ),
        at_most_one=(("pressure", "altitude"),),
        work=_orifice,
        results=("airflow",),
        equation="Q = C_d A sqrt(2 dp / rho)",
        sources=("ISO 5167-2, orifice plates (the coefficient's limit at high Reynolds number)",),
        example="area=1in2 pressure_drop=1inwc coefficient=0.6",
        notes=("The trade's 2610 A sqrt(dp) already holds a coefficient of 0.65.",),
    ),
    Calculation(
        name="crack",
        says="the airflow through a gap: an edge, a channel, or what lies between",
        keys=(
            Key("width"),
            Key("length"),
            Key("depth"),
            Key("bends", optional=True, default="0, straight"),
            Key("pressure_drop", limits=(0.0, 5000.0), source=INCOMPRESSIBLE),
            DENSITY,
            VISCOSITY,
            *STATE,
        ),
        at_most_one=(("pressure", "altitude"),),
        work=_crack,
        results=("airflow",),
        equation=(
            "depth/width >= 6: dp = 12 mu z / (L H^3) Q + rho (1.5 + n) / (2 L^2 H^2) Q^2; "
            "<= 2: an edge, C_d 0.61; between the two a smooth blend"
        ),
        sources=(CRACK, "the blend is a choice, not a measurement"),
        example="width=1mm length=1m depth=25mm bends=1 pressure_drop=0.1inwc",
        notes=("Flow goes with the cube of a narrow gap's width: measure it well.",),
    ),
    Calculation(
        name="traverse-rectangle",
        says="where to read a rectangular duct: the distances from one wall along both sides",
        keys=(Key("width", "length"), Key("length")),
        work=_rectangle,
        results=("positions_width", "positions_length", "area"),
        units_of={"positions_width": "length", "positions_length": "length"},
        equation="log-Tchebycheff positions, the number by the length of the side",
        sources=("ASHRAE Standard 111; ISO 3966",),
        example="width=20in length=24in",
    ),
    Calculation(
        name="traverse-round",
        says="where to read a round duct: the distances from the wall along one diameter",
        keys=(
            Key("diameter"),
            Key("points", optional=True, default="6 on a diameter"),
            Key("rule", choices=("log-linear", "log-Tchebycheff"), optional=True, default="log-linear"),
        ),
        work=_circle,
        results=("positions",),
        units_of={"positions": "length"},
        equation="log-linear or log-Tchebycheff positions on a diameter",
        sources=("ISO 3966",),
        example="diameter=14in points=6",
    ),
    Calculation(
        name="air-velocity",
        says="the mean velocity from the velocity pressures of a traverse",
        keys=(Key("velocity_pressure", listed=True), DENSITY, *STATE),
        at_most_one=(("pressure", "altitude"),),
        work=_air_velocity,
        results=("velocity",),
        equation="u = mean of sqrt(2 p_v / rho), not sqrt of the mean",
        sources=("ISO 3966; ASHRAE Standard 111",),
        example="velocity_pressure=0.04inwc,0.05inwc,0.06inwc",
    ),
)
