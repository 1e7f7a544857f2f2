"""Ways to know the airflow, and the three bases on which it is said: mass, actual volume, standard volume."""

from collections.abc import Sequence
from math import fsum
from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.physics import moist_air
from drawthrough.physics.opening import STANDARD_DENSITY
from drawthrough.units import RANKINE

# Standard air of the trade, where a state was not read: dry, 70 F, sea level. House air at 50 % holds 1.4 % more heat.
STANDARD_DRY_BULB = 529.67 * RANKINE  # 70 F [K]
STANDARD_RELATIVE_HUMIDITY = 0.0
SEA_LEVEL = 0.0  # [m]


class Airflow(NamedTuple):
    """One airflow on its three bases: at the return state [m3/s], at 0.075 lb/ft3 [m3/s], dry air [kg/s]."""

    airflow: float
    standard_airflow: float
    mass_flow: float


def airflow_of_mass_flow(mass_flow: float, specific_volume: float) -> Airflow:
    """Return a mass flow on all three bases.

    Parameters
    ----------
    mass_flow : float
        Mass flow of dry air. [kg/s]
    specific_volume : float
        Volume per mass of dry air where the actual airflow is wanted. [m3/kg]

    Returns
    -------
    Airflow
        `airflow` [m3/s], `standard_airflow` [m3/s] and `mass_flow` [kg/s].

    Raises
    ------
    OutOfRange
        A mass flow outside 0 to 60 kg/s or a specific volume outside 0.3 to 4 m3/kg.

    Notes
    -----
    Q = m v; Q_0 = m / (0.075 lb/ft3). Dry air is what passes every section unchanged.

    Examples
    --------
    >>> round(airflow_of_mass_flow(0.68, 0.85).airflow, 3)
    0.578

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1; standard air 0.075 lb/ft3.
    """
    if not 0.0 <= mass_flow <= 60.0:
        raise OutOfRange("mass_flow", mass_flow, (0.0, 60.0), "plausible range")
    if not 0.3 <= specific_volume <= 4.0:
        raise OutOfRange("specific_volume", specific_volume, (0.3, 4.0), "plausible range")
    return Airflow(mass_flow * specific_volume, mass_flow / STANDARD_DENSITY, mass_flow)


def airflow_of_volume(airflow: float, specific_volume: float) -> Airflow:
    """Return an actual airflow on all three bases.

    Parameters
    ----------
    airflow : float
        Volume flow at the local state. [m3/s]
    specific_volume : float
        Volume per mass of dry air at that state. [m3/kg]

    Returns
    -------
    Airflow
        `airflow` [m3/s], `standard_airflow` [m3/s] and `mass_flow` [kg/s].

    Raises
    ------
    OutOfRange
        An airflow outside 0 to 50 m3/s or a specific volume outside 0.3 to 4 m3/kg.

    Notes
    -----
    m = Q / v. A traverse, a hood and a flow plate give actual volume; a fan table says itself which it gives.

    Examples
    --------
    >>> round(airflow_of_volume(0.578, 0.85).mass_flow, 2)
    0.68

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not 0.0 <= airflow <= 50.0:
        raise OutOfRange("airflow", airflow, (0.0, 50.0), "plausible range")
    if not 0.3 <= specific_volume <= 4.0:
        raise OutOfRange("specific_volume", specific_volume, (0.3, 4.0), "plausible range")
    return airflow_of_mass_flow(airflow / specific_volume, specific_volume)


def airflow_of_heat(
    power: float,
    rise: float,
    dry_bulb: float = STANDARD_DRY_BULB,
    relative_humidity: float = STANDARD_RELATIVE_HUMIDITY,
    altitude: float | None = None,
    pressure: float | None = None,
) -> Airflow:
    """Return the airflow that a known heat warms by a known rise.

    Parameters
    ----------
    power : float
        Heat into the air between the two probes. [W]
    rise : float
        Temperature rise that this heat alone made. [K]
    dry_bulb : float
        Return dry bulb; without it that of standard air, 70 F. [K]
    relative_humidity : float
        Return relative humidity; without it dry air. [1]
    altitude : float, optional
        Altitude of the site; without it and a pressure, sea level. [m]
    pressure : float, optional
        Station pressure, not reduced to sea level; without it the standard atmosphere at the altitude. [Pa]

    Returns
    -------
    Airflow
        `airflow` at the return state [m3/s], `standard_airflow` [m3/s] and `mass_flow` [kg/s].

    Raises
    ------
    OutOfRange
        A power or a rise that is not positive, above 100 kW or 120 K; a pressure more than 5 % from the standard
        atmosphere at an altitude that is given; a state outside the range of moist air.

    Notes
    -----
    m = P / ((cp_a + W cp_v) dT). Where the state is left out the answer is that of dry standard air: at 50 % relative
    humidity and 70 F the mass flow is 1.4 % lower.

    Examples
    --------
    >>> round(airflow_of_heat(9600.0, 13.0).mass_flow, 3)
    0.734

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not 0.0 < power <= 1e5:
        raise OutOfRange("power", power, (0.0, 1e5), "a rise needs heat")
    if not 0.0 < rise <= 120.0:
        raise OutOfRange("rise", rise, (0.0, 120.0), "the heat must have warmed the air")
    if pressure is None:
        pressure = moist_air.standard_pressure(SEA_LEVEL if altitude is None else altitude)
    elif altitude is not None:
        moist_air.check_station_pressure(pressure, altitude)
    humidity_ratio = moist_air.humidity_ratio_from_relative_humidity(dry_bulb, relative_humidity, pressure)
    mass_flow = power / (moist_air.humid_heat(humidity_ratio) * rise)
    return airflow_of_mass_flow(mass_flow, moist_air.specific_volume(dry_bulb, humidity_ratio, pressure))


def strip_airflow(
    volts: float,
    amps: float,
    rise: float,
    rise_off: float | None = None,
    blower_power: float = 0.0,
    heat_loss: float = 0.0,
    dry_bulb: float = STANDARD_DRY_BULB,
    relative_humidity: float = STANDARD_RELATIVE_HUMIDITY,
    altitude: float | None = None,
    pressure: float | None = None,
) -> Airflow:
    """Return the airflow from the rise over electric strips.

    Parameters
    ----------
    volts : float
        Voltage at the strips, while they heat. [V]
    amps : float
        Current of the strips alone, all elements. [A]
    rise : float
        Supply less return dry bulb, strips on. [K]
    rise_off : float, optional
        The same at the same speed by the same probes, strips off: the zero. [K]
    blower_power : float
        True watts of the blower; they enter only where there is no zero, in which they are contained. [W]
    heat_loss : float
        Heat lost before the supply probe (gained: negative); with a zero only what the strips add to it. [W]
    dry_bulb : float
        Return dry bulb; without it that of standard air, 70 F. [K]
    relative_humidity : float
        Return relative humidity; without it dry air. [1]
    altitude : float, optional
        Altitude of the site; without it and a pressure, sea level. [m]
    pressure : float, optional
        Station pressure, not reduced to sea level; without it the standard atmosphere at the altitude. [Pa]

    Returns
    -------
    Airflow
        `airflow` at the return state [m3/s], `standard_airflow` [m3/s] and `mass_flow` [kg/s].

    Raises
    ------
    OutOfRange
        A reading outside its plausible range, a rise no greater than its zero, a state outside the range of moist air.

    Notes
    -----
    m = V I / ((cp_a + W cp_v) (rise_on - rise_off)). The difference cancels probe offsets, blower heat, leaks, duct
    gain and evaporation as far as they stay as they were. Without a zero m = (V I + W_blower) / ((cp_a + W cp_v) rise),
    and a rinsed coil that still evaporates reads 5 to 18 % too much air [computed]. V I is true power because strips
    are resistances. Radiation acts only while they heat, so the zero does not cancel it: keep the probe out of their
    sight. A dead element is counted by its amps; a heat pump that also runs makes the answer meaningless.

    Examples
    --------
    >>> round(strip_airflow(240.0, 40.0, 13.7, rise_off=0.7).mass_flow, 3)
    0.734

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1: energy balance of moist air.
    """
    for name, value, low, high in (
        ("volts", volts, 0.0, 1000.0),
        ("amps", amps, 0.0, 500.0),
        ("blower_power", blower_power, 0.0, 5000.0),
        ("heat_loss", heat_loss, -5000.0, 5000.0),
        ("rise", rise, -60.0, 120.0),
        ("rise_off", rise_off or 0.0, -60.0, 60.0),
    ):
        if not low <= value <= high:
            raise OutOfRange(name, value, (low, high), "plausible range")
    power, by_strips = volts * amps - heat_loss, rise
    if rise_off is None:
        power += blower_power
    else:
        by_strips -= rise_off
    return airflow_of_heat(power, by_strips, dry_bulb, relative_humidity, altitude, pressure)


def register_airflow(airflow: Sequence[float], specific_volume: float) -> Airflow:
    """Return the sum of what the registers deliver.

    Parameters
    ----------
    airflow : sequence of float
        Airflow of each register by hood, at the state of the supply air. [m3/s]
    specific_volume : float
        Volume per mass of dry air of the supply air. [m3/kg]

    Returns
    -------
    Airflow
        `airflow` at the supply state [m3/s], `standard_airflow` [m3/s] and `mass_flow` [kg/s].

    Raises
    ------
    OutOfRange
        A negative register, a sum above 50 m3/s, or a specific volume outside 0.3 to 4 m3/kg.

    Notes
    -----
    Delivered air: the blower moves what leaks from the supply ducts besides. A hood without pressure compensation can
    be 20 to 30 % off at a residential register, and throttles each register while it stands on it.

    Examples
    --------
    >>> round(register_airflow([0.05, 0.07, 0.06], 0.85).airflow, 2)
    0.18

    References
    ----------
    .. [1] Walker and Wray, 2003, LBNL-51550 (the percentages from memory).
    """
    for one in airflow:
        if not 0.0 <= one <= 50.0:
            raise OutOfRange("airflow", one, (0.0, 50.0), "plausible range")
    return airflow_of_volume(fsum(airflow), specific_volume)
