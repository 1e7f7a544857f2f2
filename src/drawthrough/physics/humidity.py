"""Humidity of air: humidity ratio, relative humidity and dew point, each from the others."""

from drawthrough.errors import OutOfRange
from drawthrough.physics.air_properties import _check_humidity
from drawthrough.physics.moist_air_coefficients import RATIO_OF_MASSES
from drawthrough.physics.saturation import FIT, SATURATED_AIR, STATION_PRESSURE, _dew_point, _saturated

DRY_BULB = (213.15, 353.15)  # [K] of all that needs the saturated state
_EPS = RATIO_OF_MASSES


def _check(t: float, p: float) -> None:
    if not 213.15 <= t <= 353.15:
        raise OutOfRange("dry_bulb", t, DRY_BULB, FIT)
    if not 60e3 <= p <= 110e3:
        raise OutOfRange("pressure", p, STATION_PRESSURE, FIT)


def humidity_ratio_from_relative_humidity(dry_bulb: float, relative_humidity: float, pressure: float) -> float:
    """Return the humidity ratio of air of a relative humidity.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]
    relative_humidity : float
        Relative humidity, 0 to 1: share of the vapour that saturated air holds, by moles. [1]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Humidity ratio. [kg/kg]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K, 60 to 110 kPa, 0 to 1, or a result above 0.2.

    Notes
    -----
    W = 0.621945 e / (p - e) with e = phi f p_s ([1]_ eqs 20 and 22, with the enhancement factor f). Below 0 C the
    saturation is that over ice. Capacitive sensors below 0 C mostly report against liquid water: 10 % apart at -10 C.

    Examples
    --------
    >>> round(humidity_ratio_from_relative_humidity(298.15, 1.0, 101325.0), 6)
    0.02017

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    _check(dry_bulb, pressure)
    if not 0.0 <= relative_humidity <= 1.0:
        raise OutOfRange("relative_humidity", relative_humidity, (0.0, 1.0), "definition")
    vapour = relative_humidity * _saturated(dry_bulb, pressure)
    return _check_humidity(_EPS * vapour / (pressure - vapour))


def humidity_ratio_from_dew_point(dew_point: float, pressure: float) -> float:
    """Return the humidity ratio of air of a dew point (below 0 C: frost point).

    Parameters
    ----------
    dew_point : float
        Dew-point temperature. [K]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Humidity ratio. [kg/kg]

    Raises
    ------
    OutOfRange
        Outside 173.15 to 353.15 K, 60 to 110 kPa, or a result above 0.2.

    Notes
    -----
    The humidity ratio of saturated air at the dew point ([1]_ eq. 36). Below 0 C it is the frost point.

    Examples
    --------
    >>> round(humidity_ratio_from_dew_point(283.15, 101325.0), 6)
    0.007661

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not 173.15 <= dew_point <= 353.15:
        raise OutOfRange("dew_point", dew_point, SATURATED_AIR, FIT)
    if not 60e3 <= pressure <= 110e3:
        raise OutOfRange("pressure", pressure, STATION_PRESSURE, FIT)
    vapour = _saturated(dew_point, pressure)
    return _check_humidity(_EPS * vapour / (pressure - vapour))


def relative_humidity(dry_bulb: float, humidity_ratio: float, pressure: float) -> float:
    """Return the relative humidity of air of a humidity ratio.

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
    float
        Relative humidity, 0 to 1. [1]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K or 60 to 110 kPa; a humidity ratio above that of saturated air.

    Notes
    -----
    Vapour pressure over that of saturated air, f p_s ([1]_ eq. 12, with the enhancement factor). An excess over 1 by
    less than 1e-9 is rounding and is taken as 1; any more is fog and is refused.

    Examples
    --------
    >>> round(relative_humidity(298.15, 0.01, 101325.0), 4)
    0.5038

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    _check(dry_bulb, pressure)
    _check_humidity(humidity_ratio)
    vapour = humidity_ratio / (_EPS + humidity_ratio) * pressure
    saturated = _saturated(dry_bulb, pressure)
    share = vapour / saturated
    if share > 1.0:
        if share > 1.0 + 1e-9:
            limits = (0.0, _EPS * saturated / (pressure - saturated))
            raise OutOfRange("humidity_ratio", humidity_ratio, limits, "saturated air at this dry bulb holds no more")
        return 1.0
    return share


def dew_point(humidity_ratio: float, pressure: float) -> float:
    """Return the dew point of air of a humidity ratio (below 0 C: frost point).

    Parameters
    ----------
    humidity_ratio : float
        Humidity ratio. [kg/kg]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Dew-point temperature. [K]

    Raises
    ------
    OutOfRange
        Outside 60 to 110 kPa; a humidity ratio whose dew point lies outside 173.15 to 353.15 K.

    Notes
    -----
    Inverse of `humidity_ratio_from_dew_point` to 2e-6 K (1e-5 K above 50 C): a fitted guess and one Newton step with
    the exact derivative ([1]_ eq. 36). Air without any vapour has no dew point and is refused.

    Examples
    --------
    >>> round(dew_point(0.01, 101325.0), 2)
    287.13

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not 60e3 <= pressure <= 110e3:
        raise OutOfRange("pressure", pressure, STATION_PRESSURE, FIT)
    return _dew_point_of(humidity_ratio, pressure)


def _dew_point_of(w: float, p: float) -> float:
    if not 1e-8 <= w <= 0.2:
        raise OutOfRange("humidity_ratio", w, (1e-8, 0.2), "dew points from 173.15 K on; " + FIT)
    found = _dew_point(w / (_EPS + w) * p, p)
    if not 173.15 <= found <= 353.15:
        raise OutOfRange("dew_point", found, SATURATED_AIR, FIT)
    return found
