"""Measured cooling: sensible, total and latent capacity of an air stream between two states, and their ratios.

Two measurands share these equations. Between the mixed state at the coil's face and the state behind it they give the
capacity of the coil; between the return grille and the register, the capacity delivered. Sealing a leak moves the
second at an equal first.
"""

from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import moist_air
from drawthrough.units import CFM

WATER_HEAT_CAPACITY = 4186.0  # J/(kg K) of liquid water, within 0.3 % from 0 to 40 C
RATING_FAN_POWER = 0.365 / CFM  # W per m3/s of standard air: the fan heat that a rating without a fan takes off

_FREEZING = 273.15


class Cooling(NamedTuple):
    """The capacities of one air stream between two states."""

    total_capacity: float
    sensible_capacity: float
    latent_capacity: float
    condensate_heat: float


def capacity(
    mass_flow: float,
    dry_bulb_return: float,
    humidity_ratio_return: float,
    dry_bulb_supply: float,
    humidity_ratio_supply: float,
    temperature_coil: float | None = None,
) -> Cooling:
    """Return the cooling of an air stream between two states, condensate taken off.

    Parameters
    ----------
    mass_flow : float
        Mass flow of dry air. [kg/s]
    dry_bulb_return : float
        Dry bulb of the air that enters. [K]
    humidity_ratio_return : float
        Humidity ratio of the air that enters. [kg/kg]
    dry_bulb_supply : float
        Dry bulb of the air that leaves. [K]
    humidity_ratio_supply : float
        Humidity ratio of the air that leaves. [kg/kg]
    temperature_coil : float, optional
        Temperature at which the condensate leaves; the supply dry bulb unless given. [K]

    Returns
    -------
    Cooling
        `total_capacity`, m (h_r - h_s) less what the condensate carries off [W]; `sensible_capacity`,
        m (cp_a + W_s cp_v) (t_r - t_s) [W]; `latent_capacity`, the rest [W]; `condensate_heat`, what the condensate
        carries off [W]: a total on the basis of the air's enthalpy alone is `total_capacity + condensate_heat`.

    Raises
    ------
    OutOfRange
        A mass flow that is not above zero, a condensate outside 0 to 50 C, or a state outside the range of
        `moist_air`.

    Notes
    -----
    Steady flow energy balance of moist air [1]_. The total stands on a difference of enthalpies whose humidity part is
    the small difference of two large readings: with field sensors of relative humidity it is known to 10 to 15 %.
    A negative latent capacity is a coil from which water evaporates. The enthalpies are those at sea level: at 1,500 m
    their difference is 0.02 % smaller. A constant heat capacity leaves a dry coil a latent share of up to 0.1 %.

    A supply state that was read after the blower of a draw-through system is net of the blower's heat; `gross_capacity`
    puts it back.

    Examples
    --------
    >>> cooling = capacity(0.55, 299.8, 0.0112, 286.5, 0.0089)
    >>> round(cooling.total_capacity / cooling.sensible_capacity, 2)
    1.42

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1, moist air cooling and dehumidification.
    """
    if not 0.0 < mass_flow <= 60.0:
        raise OutOfRange("mass_flow", mass_flow, (0.0, 60.0), "air that moves")
    drained = dry_bulb_supply if temperature_coil is None else temperature_coil
    if not _FREEZING <= drained <= _FREEZING + 50.0:
        raise OutOfRange("temperature_coil", drained, (_FREEZING, _FREEZING + 50.0), "liquid condensate")
    water = mass_flow * (humidity_ratio_return - humidity_ratio_supply)
    condensate_heat = water * WATER_HEAT_CAPACITY * (drained - _FREEZING)
    difference = moist_air.enthalpy(dry_bulb_return, humidity_ratio_return) - moist_air.enthalpy(
        dry_bulb_supply, humidity_ratio_supply
    )
    total = mass_flow * difference - condensate_heat
    sensible = mass_flow * moist_air.humid_heat(humidity_ratio_supply) * (dry_bulb_return - dry_bulb_supply)
    return Cooling(total, sensible, total - sensible, condensate_heat)


def sensible_heat_ratio(sensible_capacity: float, total_capacity: float) -> float:
    """Return the share of a cooling capacity that lowers the temperature.

    Parameters
    ----------
    sensible_capacity : float
        Sensible cooling. [W]
    total_capacity : float
        Total cooling on the same basis. [W]

    Returns
    -------
    float
        Sensible over total cooling; above 1 while water evaporates from the coil. [1]

    Raises
    ------
    Unresolvable
        A total that is not above zero.

    Notes
    -----
    Take both gross or both net of the fan: the fan's heat is sensible, so the net ratio is the lower one.

    Examples
    --------
    >>> round(sensible_heat_ratio(6365.0, 8181.0), 3)
    0.778

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not total_capacity > 0.0:
        raise Unresolvable(f"A total cooling of {total_capacity:.6g} W has no sensible share.")
    return sensible_capacity / total_capacity


def net_capacity(total_capacity: float, blower_power: float) -> float:
    """Return a capacity net of the blower's heat, from the coil's.

    Parameters
    ----------
    total_capacity : float
        Cooling of the coil, gross of the blower; a sensible capacity is treated alike. [W]
    blower_power : float
        True electric power of the blower in the air stream. [W]

    Returns
    -------
    float
        Cooling that the room gets. [W]

    Raises
    ------
    OutOfRange
        A blower power outside 0 to 5000 W.

    Notes
    -----
    The motor stands in the air stream, so all of its power ends as sensible heat there.

    Examples
    --------
    >>> net_capacity(8181.0, 230.0)
    7951.0

    References
    ----------
    .. [1] ANSI/ASHRAE Standard 140, case E100, unit data.
    """
    if not 0.0 <= blower_power <= 5000.0:
        raise OutOfRange("blower_power", blower_power, (0.0, 5000.0), "residential blowers")
    return total_capacity - blower_power


def gross_capacity(total_capacity: float, blower_power: float) -> float:
    """Return the coil's capacity, from one that is net of the blower's heat.

    Parameters
    ----------
    total_capacity : float
        Cooling net of the blower; a sensible capacity is treated alike. [W]
    blower_power : float
        True electric power of the blower in the air stream. [W]

    Returns
    -------
    float
        Cooling of the coil. [W]

    Raises
    ------
    OutOfRange
        A blower power outside 0 to 5000 W.

    Notes
    -----
    Only where the supply state lies after the blower. Behind a coil that follows the blower the blower's heat is in the
    entering air instead.

    Examples
    --------
    >>> gross_capacity(7951.0, 230.0)
    8181.0

    References
    ----------
    .. [1] ANSI/ASHRAE Standard 140, case E100, unit data.
    """
    if not 0.0 <= blower_power <= 5000.0:
        raise OutOfRange("blower_power", blower_power, (0.0, 5000.0), "residential blowers")
    return total_capacity + blower_power


def rating_net_capacity(
    total_capacity: float, standard_airflow: float, specific_fan_power: float = RATING_FAN_POWER
) -> float:
    """Return the net capacity on a rating's own fan heat, which stands for a fan that was not there.

    Parameters
    ----------
    total_capacity : float
        Cooling of the coil, gross of the fan. [W]
    standard_airflow : float
        Rated airflow of standard air. [m3/s]
    specific_fan_power : float
        Fan power per airflow that the rating assumes. [W/(m3/s)]

    Returns
    -------
    float
        Net capacity as rated. [W]

    Raises
    ------
    OutOfRange
        An airflow outside 0 to 50 m3/s, or a fan power per airflow outside 0 to 10 000 W/(m3/s).

    Notes
    -----
    0.365 W/cfm is the default of coil-only ratings. Fans in houses take more (0.51 W/cfm in the mean of one review), so
    a rated net capacity flatters the house.

    Examples
    --------
    >>> round(rating_net_capacity(8181.0, 0.425), 1)
    7852.3

    References
    ----------
    .. [1] ANSI/ASHRAE Standard 140, case E100, unit data at AHRI conditions.
    """
    if not 0.0 <= standard_airflow <= 50.0:
        raise OutOfRange("standard_airflow", standard_airflow, (0.0, 50.0), "residential units")
    if not 0.0 <= specific_fan_power <= 1e4:
        raise OutOfRange("specific_fan_power", specific_fan_power, (0.0, 1e4), "residential units")
    return total_capacity - specific_fan_power * standard_airflow


def coefficient_of_performance(total_capacity: float, power: float) -> float:
    """Return cooling over electric power; times 3.412 it is the energy efficiency ratio in Btu/(W h).

    Parameters
    ----------
    total_capacity : float
        Cooling, net of the blower if the blower's power is counted. [W]
    power : float
        True electric power of all that is counted: outdoor unit, blower. [W]

    Returns
    -------
    float
        Cooling over power. [1]

    Raises
    ------
    OutOfRange
        A power that is not above zero, or above 100 kW.

    Notes
    -----
    Say what the power counts: compressor alone, outdoor unit, or the whole system.

    Examples
    --------
    >>> round(coefficient_of_performance(7951.0, 1858.0 + 108.0 + 230.0), 2)
    3.62

    References
    ----------
    .. [1] ANSI/ASHRAE Standard 140, case E100, unit data at AHRI conditions.
    """
    if not 0.0 < power <= 1e5:
        raise OutOfRange("power", power, (0.0, 1e5), "a unit that runs")
    return total_capacity / power
