"""Properties of moist air per mass of dry air: enthalpy, volume, density, heat capacity."""

from drawthrough.errors import OutOfRange
from drawthrough.physics.moist_air_coefficients import (
    ENTHALPY,
    GAS_CONSTANT,
    HUMID_HEAT,
    ICE,
    LIQUID,
    RATIO_OF_MASSES,
    VOLUME,
)
from drawthrough.physics.saturation import FIT, STATION_PRESSURE, TRIPLE_POINT

HUMIDITY = (0.0, 0.2)  # [kg/kg]
DRY_BULB = (213.15, 373.15)  # [K]

_R = GAS_CONSTANT
_B0, _B1, _B2, _B3, _B4, _B5 = VOLUME
_C0, _C1, _C2, _C3, _C4, _C5, _C6, _C7, _C8, _C9, _C10 = ENTHALPY
_L1, _L2 = LIQUID
_H0, _H1, _H2 = ICE
_EPS = RATIO_OF_MASSES
_DRY_HEAT, _VAPOUR_HEAT = HUMID_HEAT


def enthalpy(dry_bulb: float, humidity_ratio: float, pressure: float = 101325.0) -> float:
    """Return the enthalpy of moist air per mass of dry air.

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
        Enthalpy; dry air and liquid water are 0 at 0 C. [J/kg]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 373.15 K, 60 to 110 kPa or 0 to 0.2.

    Notes
    -----
    Real gas ([2]_), in the shape that the virial equation gives it; fitted by `tools/moist_air_coefficients.py` to
    6 J/kg between -8 and 56 C. The common h = 1006 t + W (2 501 000 + 1860 t) of [1]_ eq. 30 is up to 0.25 %
    off in a difference. The pressure matters little: taken as standard at 3,000 m, a difference is up to 0.08 % high.

    Examples
    --------
    >>> round(enthalpy(299.8167, 0.01126))
    55532

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    .. [2] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    _check(dry_bulb, humidity_ratio, pressure)
    return _enthalpy(dry_bulb, humidity_ratio, pressure)


def dry_bulb_from_enthalpy(enthalpy: float, humidity_ratio: float, pressure: float = 101325.0) -> float:
    """Return the dry bulb at which air of a humidity ratio has an enthalpy.

    Parameters
    ----------
    enthalpy : float
        Enthalpy; dry air and liquid water are 0 at 0 C. [J/kg]
    humidity_ratio : float
        Humidity ratio. [kg/kg]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Dry-bulb temperature. [K]

    Raises
    ------
    OutOfRange
        Outside 60 to 110 kPa or 0 to 0.2, or a result outside 213.15 to 373.15 K.

    Notes
    -----
    Inverse of `enthalpy` ([1]_ eq. 30, real gas) by Newton with the exact derivative; the curve is almost a line.

    Examples
    --------
    >>> round(dry_bulb_from_enthalpy(enthalpy(300.0, 0.01), 0.01), 6)
    300.0

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    _check(273.15, humidity_ratio, pressure)
    w = humidity_ratio
    share = pressure / (1.0 + w / _EPS)
    t = 273.15 + (enthalpy - 2501e3 * w) / (_DRY_HEAT + _VAPOUR_HEAT * w)
    if not 200.0 <= t <= 390.0:
        raise OutOfRange("dry_bulb", t, DRY_BULB, FIT)
    for _ in range(3):
        x = 0.01 * t - 2.7315
        slope = (
            _C0
            + x * (2.0 * _C1 + 3.0 * _C10 * x)
            + _C2 * pressure
            + w * (_C4 + 2.0 * _C5 * x + share * (_C7 + w * _C9))
        )
        t -= 100.0 * (_enthalpy(t, w, pressure) - enthalpy) / slope
    if not 213.15 <= t <= 373.15:
        raise OutOfRange("dry_bulb", t, DRY_BULB, FIT)
    return t


def specific_volume(dry_bulb: float, humidity_ratio: float, pressure: float) -> float:
    """Return the volume of moist air per mass of dry air.

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
        Specific volume. [m3/kg]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 373.15 K, 60 to 110 kPa or 0 to 0.2.

    Notes
    -----
    Ideal gas ([1]_ eq. 26) and a second virial coefficient that `tools/moist_air_coefficients.py` fits to [2]_, to
    0.01 %.
    The correction is -0.03 % at room conditions and -0.1 % in hot saturated air.

    Examples
    --------
    >>> round(specific_volume(298.15, 0.01, 101325.0), 5)
    0.85788

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    .. [2] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    _check(dry_bulb, humidity_ratio, pressure)
    return _specific_volume(dry_bulb, humidity_ratio, pressure)


def density(dry_bulb: float, humidity_ratio: float, pressure: float) -> float:
    """Return the mass of moist air per volume.

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
        Density of the moist air, vapour included. [kg/m3]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 373.15 K, 60 to 110 kPa or 0 to 0.2.

    Notes
    -----
    (1 + W) / v ([1]_ eq. 9b). Fan laws and pressure drops take this; a mass flow of dry air takes 1 / v.

    Examples
    --------
    >>> round(density(294.26, 0.0, 101325.0), 4)
    1.2

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    _check(dry_bulb, humidity_ratio, pressure)
    return (1.0 + humidity_ratio) / _specific_volume(dry_bulb, humidity_ratio, pressure)


def humid_heat(humidity_ratio: float) -> float:
    """Return the heat capacity of moist air per mass of dry air.

    Parameters
    ----------
    humidity_ratio : float
        Humidity ratio. [kg/kg]

    Returns
    -------
    float
        Isobaric heat capacity cp_a + W cp_v per mass of dry air. [J/(kg.K)]

    Raises
    ------
    OutOfRange
        A humidity ratio outside 0 to 0.2.

    Notes
    -----
    The slopes of the enthalpy of dry air and of the vapour in it at 30 C and 95 kPa, the middle of a heater's rise:
    within 0.1 % for a rise that begins at room temperature and ends below 60 C. [1]_ eq. 30 rounds them to 1006
    and 1860.

    Examples
    --------
    >>> round(humid_heat(0.008), 1)
    1021.4

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not 0.0 <= humidity_ratio <= 0.2:
        raise OutOfRange("humidity_ratio", humidity_ratio, HUMIDITY, FIT)
    return _DRY_HEAT + _VAPOUR_HEAT * humidity_ratio


def _check(t: float, w: float, p: float) -> None:
    if not 213.15 <= t <= 373.15:
        raise OutOfRange("dry_bulb", t, DRY_BULB, FIT)
    if not 60e3 <= p <= 110e3:
        raise OutOfRange("pressure", p, STATION_PRESSURE, FIT)
    if not 0.0 <= w <= 0.2:
        raise OutOfRange("humidity_ratio", w, HUMIDITY, FIT)


def _check_humidity(w: float) -> float:
    if not 0.0 <= w <= 0.2:
        raise OutOfRange("humidity_ratio", w, HUMIDITY, FIT)
    return w


# The next three serve the hot paths of moist air: they check nothing.


def _specific_volume(t: float, w: float, p: float) -> float:
    x = 0.01 * t - 2.7315
    return _R * t * (1.0 + w / _EPS) / p + _B0 + x * (_B1 + x * _B2) + w * (_B3 + x * _B4 + w * _B5)


def _enthalpy(t: float, w: float, p: float) -> float:
    x = 0.01 * t - 2.7315
    return x * (_C0 + x * (_C1 + _C10 * x) + _C2 * p) + w * (
        _C3 + x * (_C4 + _C5 * x) + p * (_C6 + _C7 * x + w * (_C8 + _C9 * x)) / (1.0 + w / _EPS)
    )


def _water(t: float) -> float:
    """Enthalpy of the water or the ice on a wet bulb."""
    c = t - 273.15
    return c * (_L1 + _L2 * c) if t >= TRIPLE_POINT else _H0 + c * (_H1 + _H2 * c)
