"""The standard atmosphere: station pressure, the trap of a barometer reduced to sea level, viscosity of air."""

from math import pow, sqrt

from drawthrough.errors import OutOfRange

_SOURCE = "ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1, eq. 3"
DEVIATION_ALLOWED = 0.05  # of the standard pressure at the site; weather moves it by 3 % (judgement)


def standard_pressure(altitude: float) -> float:
    """Return the station pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : float
        Altitude above sea level. [m]

    Returns
    -------
    float
        Absolute station pressure. [Pa]

    Raises
    ------
    OutOfRange
        Outside -500 to 6000 m.

    Notes
    -----
    Equation 3 of [1]_: p = 101 325 (1 - 2.25577e-5 z)^5.2559, which holds from -5000 to 11 000 m.

    Examples
    --------
    >>> round(standard_pressure(1524.0))
    84307

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1, eq. 3 and table 1.
    """
    if not -500.0 <= altitude <= 6000.0:
        raise OutOfRange("altitude", altitude, (-500.0, 6000.0), _SOURCE)
    return 101325.0 * pow(1.0 - 2.25577e-5 * altitude, 5.2559)


def check_station_pressure(pressure: float, altitude: float) -> float:
    """Return a station pressure if the site's altitude makes it possible, else refuse it.

    Parameters
    ----------
    pressure : float
        Absolute station pressure as read. [Pa]
    altitude : float
        Altitude of the site above sea level. [m]

    Returns
    -------
    float
        The same pressure. [Pa]

    Raises
    ------
    OutOfRange
        More than 5 % from the standard atmosphere at that altitude.

    Notes
    -----
    A weather report gives the barometer reduced to sea level: at 1524 m (5,000 ft) it says 29.9 in. Hg where 24.9 stand
    in the room, and density would be 20 % wrong. The 5 % are judgement: weather moves the pressure by about 3 %, and
    5 % are the reduction of some 400 m, so that a reduced barometer passes unseen on lower sites, its error below 5 %.

    Examples
    --------
    >>> round(check_station_pressure(84000.0, 1524.0))
    84000

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1, eq. 3.
    """
    expected = standard_pressure(altitude)
    limits = (expected * (1.0 - DEVIATION_ALLOWED), expected * (1.0 + DEVIATION_ALLOWED))
    if not limits[0] <= pressure <= limits[1]:
        raise OutOfRange("pressure", pressure, limits, "5 % about the standard atmosphere at the site's altitude")
    return pressure


def viscosity(dry_bulb: float) -> float:
    """Return the dynamic viscosity of air.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]

    Returns
    -------
    float
        Dynamic viscosity. [Pa.s]

    Raises
    ------
    OutOfRange
        Outside 200 to 400 K.

    Notes
    -----
    Sutherland's formula with the constants of [1]_ eq. 51: 1.458e-6 T^1.5 / (T + 110.4), dry air, 0.7 % below newer
    formulations at most. Vapour lowers it by less than 1 % in room air, which is left out.

    Examples
    --------
    >>> round(viscosity(288.15) * 1e5, 4)
    1.7894

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562, eq. 51.
    """
    if not 200.0 <= dry_bulb <= 400.0:
        raise OutOfRange("dry_bulb", dry_bulb, (200.0, 400.0), "Sutherland's formula")
    return 1.458e-6 * dry_bulb * sqrt(dry_bulb) / (dry_bulb + 110.4)
