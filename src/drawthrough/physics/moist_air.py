"""The state of moist air, from its dry bulb and any one reading of its humidity, and what mixing makes of two states.

This module also hands out the single functions of moist air, so that one import is enough.
"""

from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.air_properties import _enthalpy, _specific_volume
from drawthrough.physics.air_properties import density as density
from drawthrough.physics.air_properties import dry_bulb_from_enthalpy as dry_bulb_from_enthalpy
from drawthrough.physics.air_properties import enthalpy as enthalpy
from drawthrough.physics.air_properties import humid_heat as humid_heat
from drawthrough.physics.air_properties import specific_volume as specific_volume
from drawthrough.physics.atmosphere import check_station_pressure as check_station_pressure
from drawthrough.physics.atmosphere import standard_pressure as standard_pressure
from drawthrough.physics.atmosphere import viscosity as viscosity
from drawthrough.physics.humidity import _check, _dew_point_of
from drawthrough.physics.humidity import dew_point as dew_point
from drawthrough.physics.humidity import humidity_ratio_from_dew_point as humidity_ratio_from_dew_point
from drawthrough.physics.humidity import humidity_ratio_from_relative_humidity as humidity_ratio_from_relative_humidity
from drawthrough.physics.humidity import relative_humidity as relative_humidity
from drawthrough.physics.moist_air_coefficients import RATIO_OF_MASSES as _EPS
from drawthrough.physics.psychrometer import _wet_bulb_from
from drawthrough.physics.psychrometer import humidity_ratio_from_wet_bulb as humidity_ratio_from_wet_bulb
from drawthrough.physics.psychrometer import wet_bulb as wet_bulb
from drawthrough.physics.saturation import _saturated
from drawthrough.physics.saturation import enhancement_factor as enhancement_factor
from drawthrough.physics.saturation import saturation_pressure as saturation_pressure

SAME_PRESSURE = 1000.0  # [Pa] by which two streams may differ and still be mixed at one pressure (judgement)


class MoistAir(NamedTuple):
    """One state of moist air, in SI."""

    dry_bulb: float  # [K]
    wet_bulb: float  # thermodynamic [K]
    dew_point: float  # below 0 C: frost point [K]
    relative_humidity: float  # 0 to 1
    humidity_ratio: float  # [kg/kg]
    enthalpy: float  # per mass of dry air; dry air and liquid water 0 at 0 C [J/kg]
    specific_volume: float  # per mass of dry air [m3/kg]
    pressure: float  # station pressure, absolute [Pa]


def state_from_relative_humidity(dry_bulb: float, relative_humidity: float, pressure: float) -> MoistAir:
    """Return the state of air from its dry bulb and its relative humidity, 0 to 1.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]
    relative_humidity : float
        Relative humidity, 0 to 1. [1]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    MoistAir
        dry_bulb [K], wet_bulb [K], dew_point [K], relative_humidity [1], humidity_ratio [kg/kg], enthalpy [J/kg],
        specific_volume [m3/kg], pressure [Pa].

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K, 60 to 110 kPa or 0 to 1; a dew point below 173.15 K or a humidity ratio above 0.2.

    Notes
    -----
    [1]_ eqs 12, 20, 26, 30, 33 and 36, as a real gas ([2]_). Against the full formulation over 20 to 130 F, 5 to 100 %
    and -1,000 to 10,000 ft: humidity ratio within 0.021 %, volume 0.006 %, a cooling difference of enthalpy 0.031 %,
    dew point 0.009 F, wet bulb 0.003 F (except in the last 0.06 K below freezing, where the wick may be wet or iced).

    Examples
    --------
    >>> air = state_from_relative_humidity(299.8167, 0.5, 101325.0)
    >>> round(air.wet_bulb, 2), round(air.dew_point, 2), round(air.humidity_ratio, 5)
    (292.4, 288.55, 0.01097)

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    .. [2] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    _check(dry_bulb, pressure)
    if not 0.0 <= relative_humidity <= 1.0:
        raise OutOfRange("relative_humidity", relative_humidity, (0.0, 1.0), "definition")
    saturated = _saturated(dry_bulb, pressure)
    vapour = relative_humidity * saturated
    w = _EPS * vapour / (pressure - vapour)
    dew = _dew_point_of(w, pressure)
    h = _enthalpy(dry_bulb, w, pressure)
    wet = _wet_bulb_from(dry_bulb, w, pressure, dew, saturated, h)
    v = _specific_volume(dry_bulb, w, pressure)
    return MoistAir(dry_bulb, wet, dew, relative_humidity, w, h, v, pressure)


def state_from_humidity_ratio(dry_bulb: float, humidity_ratio: float, pressure: float) -> MoistAir:
    """Return the state of air from its dry bulb and its humidity ratio.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]
    humidity_ratio : float
        Humidity ratio. [kg/kg]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    MoistAir
        dry_bulb [K], wet_bulb [K], dew_point [K], relative_humidity [1], humidity_ratio [kg/kg], enthalpy [J/kg],
        specific_volume [m3/kg], pressure [Pa].

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K or 60 to 110 kPa; a dew point below 173.15 K; more vapour than saturated air holds.

    Notes
    -----
    As `state_from_relative_humidity` ([1]_, [2]_), with the relative humidity from the humidity ratio.

    Examples
    --------
    >>> round(state_from_humidity_ratio(299.8167, 0.01, 101325.0).relative_humidity, 4)
    0.4564

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    .. [2] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    share = relative_humidity(dry_bulb, humidity_ratio, pressure)
    dew = _dew_point_of(humidity_ratio, pressure)
    h = _enthalpy(dry_bulb, humidity_ratio, pressure)
    wet = _wet_bulb_from(dry_bulb, humidity_ratio, pressure, dew, _saturated(dry_bulb, pressure), h)
    v = _specific_volume(dry_bulb, humidity_ratio, pressure)
    return MoistAir(dry_bulb, wet, dew, share, humidity_ratio, h, v, pressure)


def state_from_wet_bulb(dry_bulb: float, wet_bulb: float, pressure: float) -> MoistAir:
    """Return the state of air from its dry bulb and its thermodynamic wet-bulb temperature.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]
    wet_bulb : float
        Thermodynamic wet-bulb temperature. [K]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    MoistAir
        dry_bulb [K], wet_bulb [K], dew_point [K], relative_humidity [1], humidity_ratio [kg/kg], enthalpy [J/kg],
        specific_volume [m3/kg], pressure [Pa].

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K or 60 to 110 kPa; a wet bulb above the dry bulb, or at or below that of dry air.

    Notes
    -----
    The humidity ratio comes from the energy balance of the wet bulb ([1]_ eq. 33, real gas as in [2]_); the wet bulb
    is handed back as it was given. Below 273.16 K it is that of an iced wick.

    Examples
    --------
    >>> air = state_from_wet_bulb(299.8167, 292.5944, 101325.0)
    >>> round(air.relative_humidity, 4), round(air.enthalpy)
    (0.5112, 55435)

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    .. [2] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    w = humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, pressure)
    share = relative_humidity(dry_bulb, w, pressure)
    dew = _dew_point_of(w, pressure)
    h, v = _enthalpy(dry_bulb, w, pressure), _specific_volume(dry_bulb, w, pressure)
    return MoistAir(dry_bulb, wet_bulb, dew, share, w, h, v, pressure)


def state_from_dew_point(dry_bulb: float, dew_point: float, pressure: float) -> MoistAir:
    """Return the state of air from its dry bulb and its dew-point temperature.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]
    dew_point : float
        Dew-point temperature. [K]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    MoistAir
        dry_bulb [K], wet_bulb [K], dew_point [K], relative_humidity [1], humidity_ratio [kg/kg], enthalpy [J/kg],
        specific_volume [m3/kg], pressure [Pa].

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K or 60 to 110 kPa; a dew point below 173.15 K or above the dry bulb.

    Notes
    -----
    The humidity ratio is that of saturated air at the dew point ([1]_ eq. 36, real gas as in [2]_); the dew point is
    handed back as it was given. Below 273.16 K it is the frost point.

    Examples
    --------
    >>> round(state_from_dew_point(299.8167, 287.15, 101325.0).wet_bulb, 2)
    291.66

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    .. [2] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    _check(dry_bulb, pressure)
    if not 173.15 <= dew_point <= dry_bulb:
        raise OutOfRange("dew_point", dew_point, (173.15, dry_bulb), "no dew point lies above its dry bulb")
    w = humidity_ratio_from_dew_point(dew_point, pressure)
    share = relative_humidity(dry_bulb, w, pressure)
    h = _enthalpy(dry_bulb, w, pressure)
    wet = _wet_bulb_from(dry_bulb, w, pressure, dew_point, _saturated(dry_bulb, pressure), h)
    v = _specific_volume(dry_bulb, w, pressure)
    return MoistAir(dry_bulb, wet, dew_point, share, w, h, v, pressure)


def adiabatic_mixture(first: MoistAir, second: MoistAir, mass_flow_first: float, mass_flow_second: float) -> MoistAir:
    """Return the state of two streams of moist air mixed without loss of heat.

    Parameters
    ----------
    first : MoistAir
        State of the first stream.
    second : MoistAir
        State of the second stream.
    mass_flow_first : float
        Mass flow of dry air of the first stream. [kg/s]
    mass_flow_second : float
        Mass flow of dry air of the second stream. [kg/s]

    Returns
    -------
    MoistAir
        dry_bulb [K], wet_bulb [K], dew_point [K], relative_humidity [1], humidity_ratio [kg/kg], enthalpy [J/kg],
        specific_volume [m3/kg], pressure [Pa].

    Raises
    ------
    OutOfRange
        A mass flow below 0, or a mixture that would be fog.
    Unresolvable
        Both mass flows are 0, or the two pressures differ by more than 1 kPa.

    Notes
    -----
    Enthalpy and humidity ratio are weighted by dry mass ([1]_ eqs 42 and 43). Weighting dry bulbs is up to 0.2 K off.
    Two cold or very unlike streams may mix to fog, which is refused.

    Examples
    --------
    >>> warm = state_from_relative_humidity(300.0, 0.5, 101325.0)
    >>> cold = state_from_relative_humidity(280.0, 0.8, 101325.0)
    >>> round(adiabatic_mixture(warm, cold, 3.0, 1.0).dry_bulb, 2)
    295.04

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    for name, flow in (("mass_flow_first", mass_flow_first), ("mass_flow_second", mass_flow_second)):
        if not flow >= 0.0:
            raise OutOfRange(name, flow, (0.0, 60.0), "a stream flows one way")
    total = mass_flow_first + mass_flow_second
    if total == 0.0:
        raise Unresolvable("Nothing flows, so there is no mixture.")
    if abs(first.pressure - second.pressure) > SAME_PRESSURE:
        raise Unresolvable(
            f"The two streams stand at {first.pressure:.6g} and {second.pressure:.6g} Pa: not one place."
        )
    a, b = mass_flow_first / total, mass_flow_second / total
    pressure = a * first.pressure + b * second.pressure
    w = a * first.humidity_ratio + b * second.humidity_ratio
    h = a * first.enthalpy + b * second.enthalpy
    return state_from_humidity_ratio(dry_bulb_from_enthalpy(h, w, pressure), w, pressure)
