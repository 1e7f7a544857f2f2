"""The one table of quantities: engine, forms, report and documentation all take their names and units from here.

A parameter of a physics function is named after a quantity, or after a quantity followed by one suffix that says
where or when (`dry_bulb_return`, `airflow_found`): `quantity_of` splits the two.
"""

from typing import NamedTuple

from drawthrough import units
from drawthrough.errors import DrawthroughError, OutOfRange


class Quantity(NamedTuple):
    """One quantity: its name, symbol, dimension (a key of `units.UNITS`), meaning and plausible range in SI."""

    name: str
    symbol: str
    dimension: str
    meaning: str
    low: float
    high: float

    @property
    def unit(self) -> str:
        """The SI unit in which the quantity is computed."""
        return units.si_unit(self.dimension)


SUFFIXES = (
    "return", "supply", "outdoor", "found", "left", "on", "off", "rated", "before", "after", "first", "second",
    "coil", "filter", "surround", "mixed", "reference", "table", "total", "local", "low", "high",
)  # fmt: skip

_ROWS: tuple[tuple[str, str, str, str, float, float], ...] = (
    # --- air ---
    ("dry_bulb", "t", "temperature", "dry-bulb temperature of moist air", 200.0, 400.0),
    ("wet_bulb", "t*", "temperature", "thermodynamic wet-bulb temperature of moist air", 200.0, 400.0),
    ("dew_point", "t_d", "temperature", "dew-point temperature of moist air", 140.0, 400.0),
    ("temperature", "T", "temperature", "temperature", 100.0, 1500.0),
    ("outdoor", "t_o", "temperature", "outdoor dry-bulb temperature at the condenser inlet", 220.0, 340.0),
    ("relative_humidity", "phi", "dimensionless", "relative humidity, 0 to 1", 0.0, 1.0),
    ("humidity_ratio", "W", "humidity_ratio", "mass of water vapour per mass of dry air", 0.0, 0.2),
    ("enthalpy", "h", "specific_energy", "enthalpy per mass of dry air; dry air and liquid water 0 at 0 C", -1e5, 6e5),
    ("specific_volume", "v", "specific_volume", "volume of moist air per mass of dry air", 0.3, 4.0),
    ("density", "rho", "density", "mass of moist air per volume", 0.2, 2.0),
    ("viscosity", "mu", "viscosity", "dynamic viscosity of air", 5e-6, 5e-5),
    ("heat_capacity", "cp", "heat_capacity", "isobaric heat capacity per mass of dry air", 500.0, 5000.0),
    ("pressure", "p", "pressure", "absolute station pressure", 2e4, 1.2e5),
    ("altitude", "z", "length", "altitude above sea level", -500.0, 6000.0),
    # --- refrigerant ---
    ("saturation_pressure", "p_s", "pressure", "absolute saturation pressure", 1.0, 6e6),
    ("gauge_pressure", "p_g", "pressure", "pressure above the local station pressure", -1.1e5, 6e6),
    ("superheat", "dT_sh", "temperature_difference", "vapour temperature above dew at its pressure", -30.0, 60.0),
    ("subcooling", "dT_sc", "temperature_difference", "liquid temperature below bubble at its pressure", -30.0, 60.0),
    # --- air path and blower ---
    ("pressure_drop", "dp", "pressure", "pressure lost across a part, or held between two places", -5000.0, 5000.0),
    ("static", "P", "pressure", "static pressure against another place or the room", -5000.0, 5000.0),
    ("airflow", "Q", "airflow", "volume flow of moist air at its local state", 0.0, 50.0),
    ("standard_airflow", "Q_0", "airflow", "mass flow of dry air expressed at 0.075 lb/ft3", 0.0, 50.0),
    ("mass_flow", "m", "mass_flow", "mass flow of dry air", 0.0, 60.0),
    ("resistance_coefficient", "K", "pressure", "pressure drop of a part at reference airflow", 0.0, 5000.0),
    ("exponent", "n", "dimensionless", "exponent of airflow in a part's pressure drop", 0.5, 2.5),
    ("exponent_uncertainty", "u(n)", "dimensionless", "standard uncertainty of an exponent", 0.0, 1.0),
    ("speed", "N", "frequency", "rotational speed of the blower wheel", 0.0, 100.0),
    ("strength", "s", "dimensionless", "blower against clean: airflow scale of the whole blower", 0.05, 1.5),
    ("density_ratio", "rho_t/rho", "dimensionless", "density of a fan table over that at the blower inlet", 0.3, 3.0),
    ("airflow_limit_static", "P_l", "pressure", "external static up to which a motor holds its airflow", 0.0, 5000.0),
    ("power", "W", "power", "true electric power", 0.0, 1e5),
    ("blower_power", "W_b", "power", "true electric power of the blower motor", 0.0, 5000.0),
    ("specific_fan_power", "SFP", "fan_power", "blower power per airflow", 0.0, 1e4),
    ("velocity", "u", "velocity", "air velocity", 0.0, 100.0),
    ("velocity_pressure", "p_v", "pressure", "total less static pressure at one point of a traverse", 0.0, 5000.0),
    ("flow_fraction", "FF", "dimensionless", "actual over rated air mass flow", 0.0, 3.0),
    # --- heat ---
    ("rise", "dT", "temperature_difference", "supply minus return dry bulb", -60.0, 120.0),
    ("rise_uncertainty", "u(dT)", "temperature_difference", "standard uncertainty of a rise", 0.0, 60.0),
    ("lag", "t_l", "time", "time by which the supply was read after the return", -3600.0, 3600.0),
    ("split", "dT_s", "temperature_difference", "return minus supply dry bulb in cooling", -60.0, 60.0),
    ("total_capacity", "q_t", "power", "total cooling", -1e5, 1e5),
    ("sensible_capacity", "q_s", "power", "sensible cooling", -1e5, 1e5),
    ("latent_capacity", "q_l", "power", "latent cooling", -1e5, 1e5),
    ("condensate_heat", "q_c", "power", "enthalpy flow that leaves with the condensate", -1e4, 1e4),
    ("sensible_heat_ratio", "SHR", "dimensionless", "sensible over total cooling", 0.0, 1.2),
    ("capacity_ratio", "CAP", "dimensionless", "capacity over its rated value", 0.0, 3.0),
    ("eir_ratio", "EIR", "dimensionless", "energy input ratio over its rated value", 0.0, 5.0),
    ("power_ratio", "Y_W", "dimensionless", "power over its rated or unfaulted value", 0.0, 5.0),
    ("cop_ratio", "Y_COP", "dimensionless", "coefficient of performance over its unfaulted value", 0.0, 5.0),
    ("shr_ratio", "Y_SHR", "dimensionless", "sensible heat ratio over its unfaulted value", 0.0, 3.0),
    ("coefficient_of_performance", "COP", "dimensionless", "cooling over electric power", 0.0, 20.0),
    ("bypass_factor", "BF", "dimensionless", "share of air that leaves a coil as it entered", 0.0, 1.0),
    ("heating_value", "H", "heating_value", "heat of combustion per volume of gas as delivered", 0.0, 2e8),
    ("volume", "V", "volume", "volume of gas that a meter counted", 0.0, 100.0),
    ("gas_flow", "Q_g", "airflow", "volume flow of gas at the meter", 0.0, 0.1),
    ("combustion_efficiency", "eta_c", "dimensionless", "share of the heat input that reaches the air", 0.0, 1.1),
    ("jacket_loss", "L_j", "dimensionless", "share of the heat input lost through a furnace's jacket", 0.0, 0.1),
    ("heat_loss", "q_w", "power", "heat lost through walls between the heater and the supply probe", -5000.0, 5000.0),
    ("charge_deviation", "F_ch", "dimensionless", "charge over nominal, minus one", -1.0, 1.0),
    ("airflow_deviation", "F_af", "dimensionless", "airflow over nominal, minus one", -1.0, 1.0),
    # --- electrical and water ---
    ("volts", "V", "voltage", "root-mean-square voltage", 0.0, 1000.0),
    ("amps", "I", "current", "root-mean-square current", 0.0, 500.0),
    ("frequency", "f", "frequency", "line frequency", 1.0, 1000.0),
    ("capacitance", "C", "capacitance", "capacitance", 0.0, 1e-3),
    ("resistance", "R", "resistance", "electric resistance", 0.0, 1e7),
    ("tolerance", "tol", "dimensionless", "tolerance printed on a part", 0.0, 1.0),
    ("capacitance_ratio", "C/C_0", "dimensionless", "capacitance over what is printed on the part", 0.0, 10.0),
    ("relative_uncertainty", "u/x", "dimensionless", "standard uncertainty over the value", 0.0, 1.0),
    ("elements", "n_e", "dimensionless", "number of heating elements", 0.0, 12.0),
    ("poles", "p", "dimensionless", "number of magnetic poles of a motor", 2.0, 24.0),
    ("slip", "s", "dimensionless", "lag of a motor behind its synchronous speed", -0.2, 1.0),
    ("voltage_deviation", "dV/V", "dimensionless", "voltage over the nameplate's, minus one", -1.0, 1.0),
    ("depth_of_water", "d_w", "length", "height of a column of water", 0.0, 2.0),
    ("trap_margin", "d_m", "length", "height of water that a trap holds in reserve", 0.0, 0.2),
    ("trap_drop", "d_t", "length", "height from the drain pan's outlet down to the trap's outlet", 0.0, 2.0),
    ("trap_seal", "d_s", "length", "height from the trap's outlet down to the bend below it", 0.0, 2.0),
    ("clearance", "c", "length", "gap between wheel and housing", 0.0, 0.2),
    ("run_out", "r", "length", "distance by which a rim wobbles in one turn", 0.0, 0.1),
    ("dwell", "t_d", "time", "time that a cleaner stays where it was sprayed", 0.0, 86400.0),
    ("liquid_volume", "V_l", "volume", "volume of a liquid", 1e-5, 1.0),
    ("water_parts", "w", "dimensionless", "parts of water to one part of cleaner", 0.0, 200.0),
    # --- openings and dust ---
    ("area", "A", "area", "area of an opening or section", 0.0, 100.0),
    ("width", "H", "length", "width of a gap, across the flow", 0.0, 1.0),
    ("length", "L", "length", "length of a gap or side", 0.0, 100.0),
    ("depth", "z", "length", "depth of a gap along the flow", 0.0, 5.0),
    ("bends", "n_b", "dimensionless", "right-angle bends in a gap", 0.0, 10.0),
    ("coefficient", "C_d", "dimensionless", "discharge coefficient of an opening", 0.05, 1.2),
    ("leak_exponent", "n_l", "dimensionless", "exponent of pressure in a leak's airflow", 0.5, 1.0),
    ("points", "n_p", "dimensionless", "number of readings along one line of a traverse", 1.0, 100.0),
    ("diameter", "D", "length", "inside diameter of a round duct", 0.0, 5.0),
    ("efficiency", "eta", "dimensionless", "share of particles that a filter keeps", 0.0, 1.0),
    ("leak_fraction", "f_l", "dimensionless", "share of blower air that enters by leaks after the filter", 0.0, 1.0),
    ("bypass_fraction", "f_b", "dimensionless", "share of blower air that passes around the filter", 0.0, 1.0),
    ("air_share", "x", "dimensionless", "share of blower air that enters by one path", 0.0, 1.0),
    ("tape_gain", "g", "dimensionless", "rise of ln filter airflow per leak fraction sealed", 0.1, 1.5),
    ("concentration_ratio", "R", "dimensionless", "dust concentration at a leak over that of the return air", 0.0, 1e4),
    ("share_leak", "S_l", "dimensionless", "share of the dust that came by leaks", 0.0, 1.0),
    ("share_bypass", "S_b", "dimensionless", "share of the dust that came around the filter", 0.0, 1.0),
    ("share_filter", "S_f", "dimensionless", "share of the dust that came through the filter", 0.0, 1.0),
    ("downstream_ratio", "C_d/C_r", "dimensionless", "dust after the filter over that of the return air", 0.0, 1e4),
    ("dust_index", "M", "dimensionless", "dust that reaches the wheel after a mend over that before it", 0.0, 1e6),
    ("penetration", "P", "dimensionless", "share of particles that pass an opening", 0.0, 1.0),
    ("deposition", "D", "dimensionless", "share of particles that a coil keeps", 0.0, 1.0),
    ("loading", "l", "dimensionless", "pressure drop of a filter over its clean one at equal airflow", 0.5, 100.0),
    ("particle_diameter", "d", "length", "aerodynamic particle diameter", 0.0, 1e-2),
    # --- measurement ---
    ("reading", "x", "dimensionless", "a reading in its own unit", -1e9, 1e9),
    ("standard_uncertainty", "u", "dimensionless", "standard uncertainty, in the unit of its reading", 0.0, 1e9),
    ("offset", "b", "dimensionless", "what an instrument adds to each of its readings, in their unit", -1e9, 1e9),
    ("correlation", "r", "dimensionless", "correlation of two errors", -1.0, 1.0),
    ("probability", "P", "dimensionless", "probability that an interval holds the value", 0.0, 1.0),
    ("degrees_of_freedom", "nu", "dimensionless", "degrees of freedom of a standard uncertainty", 0.0, 1e9),
    ("duration", "t", "time", "length of a time span", 0.0, 1e9),
    ("electricity_price", "c", "energy_price", "price of electric energy, in a currency", 0.0, 1e-3),
)  # fmt: skip

QUANTITIES: dict[str, Quantity] = {row[0]: Quantity(*row) for row in _ROWS}


class UnknownQuantity(DrawthroughError):
    """A name that the vocabulary does not hold."""


def quantity_of(name: str) -> Quantity:
    """Return the quantity that a name stands for, its suffix of place or time taken off.

    Raises
    ------
    UnknownQuantity
        Neither the name nor the name without a known suffix is in the vocabulary.
    """
    if name in QUANTITIES:
        return QUANTITIES[name]
    stem, _, suffix = name.rpartition("_")
    if suffix in SUFFIXES and stem in QUANTITIES:
        return QUANTITIES[stem]
    raise UnknownQuantity(f"{name!r} is not in the vocabulary.")


def check(name: str, value: float, source: str = "plausible range") -> float:
    """Return the value if it lies within the quantity's plausible range, else refuse it.

    Parameters
    ----------
    name : str
        Vocabulary name, with or without a suffix.
    value : float
        Value in SI.
    source : str
        Whose limits are named in the refusal.

    Raises
    ------
    OutOfRange
        Outside the range, or not a finite number.
    """
    quantity = quantity_of(name)
    if not quantity.low <= value <= quantity.high:
        raise OutOfRange(name, value, (quantity.low, quantity.high), source)
    return value


def read(name: str, text: str) -> float:
    """Read what was typed for a quantity: its unit is demanded, converted, and its range is checked.

    Raises
    ------
    units.UnitError
        The unit is missing, unknown, or belongs to another quantity.
    OutOfRange
        The value lies outside the plausible range.
    """
    return check(name, units.parse(text, quantity_of(name).dimension))
