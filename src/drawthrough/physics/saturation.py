"""Saturated air: vapour pressure over ice and liquid water, and what the presence of air adds to it."""

from math import exp, log

from drawthrough.errors import OutOfRange
from drawthrough.physics.moist_air_coefficients import DEW_GUESS, FACTOR_OVER_ICE, FACTOR_OVER_WATER, FROST_GUESS

TRIPLE_POINT = 273.16  # [K]: ice below, liquid water from here on; the two equations meet here
STATION_PRESSURE = (60e3, 110e3)  # [Pa]
SATURATED_AIR = (173.15, 353.15)  # [K]
EQUATIONS = "Hyland-Wexler, ASHRAE Fundamentals 2017 ch. 1 eqs 5 and 6"
FIT = "fit to ASHRAE RP-1485"

_G0, _G1, _G2, _K0, _K1, _K2 = FACTOR_OVER_WATER
_I0, _I1, _I2, _I3, _J0, _J1 = FACTOR_OVER_ICE
_D0, _D1, _D2, _D3, _D4, _D5 = DEW_GUESS
_F0, _F1, _F2, _F3, _F4, _F5 = FROST_GUESS


def saturation_pressure(temperature: float) -> float:
    """Return the saturation pressure of pure water vapour over ice or liquid water.

    Parameters
    ----------
    temperature : float
        Temperature of the ice or the water. [K]

    Returns
    -------
    float
        Saturation pressure. [Pa]

    Raises
    ------
    OutOfRange
        Outside 173.15 to 473.15 K.

    Notes
    -----
    Equations 5 (ice) and 6 (liquid) of [1]_, which claims 300 ppm. The handbook changes over at 273.15 K; here it is
    the triple point, 273.16 K, where the two equations meet without a step. Moist air holds 0.2 to 0.7 % more vapour
    than this: see `enhancement_factor`.

    Examples
    --------
    >>> round(saturation_pressure(298.15), 1)
    3169.2

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1, eqs 5 and 6, table 3.
    """
    if not 173.15 <= temperature <= 473.15:
        raise OutOfRange("temperature", temperature, (173.15, 473.15), EQUATIONS)
    t = temperature
    return exp(_ln_over_ice(t) if t < TRIPLE_POINT else _ln_over_water(t))


def enhancement_factor(temperature: float, pressure: float) -> float:
    """Return by how much air raises the vapour pressure at saturation above that of pure water.

    Parameters
    ----------
    temperature : float
        Temperature of the saturated air. [K]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Enhancement factor f: the vapour pressure of saturated air over that of pure water. [1]

    Raises
    ------
    OutOfRange
        Outside 173.15 to 353.15 K or 60 to 110 kPa.

    Notes
    -----
    The real-gas formulation of [1]_ in the shape that its virial equation gives to ln f: over water (p - p_s) times a
    polynomial of the temperature and of the share of air; over ice linear in p. Fitted by
    `tools/moist_air_coefficients.py`; off by at most 0.008 % over water, 0.007 % over ice above -50 C and 0.03 % below.
    The two meet at the triple point, where the original steps by 0.01 %. Left out, it would make the humidity
    ratio 0.5 % low at sea level.

    Examples
    --------
    >>> round(enhancement_factor(298.15, 101325.0), 4)
    1.0043

    References
    ----------
    .. [1] Herrmann, Kretzschmar, Gatley: Thermodynamic properties of real moist air, ASHRAE RP-1485 (2009).
    """
    if not 173.15 <= temperature <= 353.15:
        raise OutOfRange("temperature", temperature, SATURATED_AIR, FIT)
    if not 60e3 <= pressure <= 110e3:
        raise OutOfRange("pressure", pressure, STATION_PRESSURE, FIT)
    return _saturated(temperature, pressure) / saturation_pressure(temperature)


def _ln_over_ice(t: float) -> float:
    return (
        -5674.5359 / t
        + 6.3925247
        + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - 9.484024e-13 * t)))
        + 4.1635019 * log(t)
    )


def _ln_over_water(t: float) -> float:
    return -5800.2206 / t + 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - 1.4452093e-8 * t)) + 6.5459673 * log(t)


# The next three serve the hot paths of moist air: they check nothing.


def _saturated(t: float, p: float) -> float:
    """Vapour pressure in saturated moist air, f * p_s."""
    x = 0.01 * t - 2.7315
    if t < TRIPLE_POINT:
        return exp(_ln_over_ice(t) + p * (_I0 + x * (_I1 + x * (_I2 + x * _I3))) + _J0 + _J1 * x)
    pure = exp(_ln_over_water(t))
    air = p - pure
    return pure * exp(air * (_G0 + x * (_G1 + x * _G2) + air / p * (_K0 + x * (_K1 + x * _K2))))


def _saturated_and_slope(t: float, p: float) -> tuple[float, float]:
    """Vapour pressure in saturated moist air, and the derivative of its logarithm by temperature."""
    x = 0.01 * t - 2.7315
    if t < TRIPLE_POINT:
        vapour = exp(
            -5674.5359 / t
            + 6.3925247
            + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - 9.484024e-13 * t)))
            + 4.1635019 * log(t)
            + p * (_I0 + x * (_I1 + x * (_I2 + x * _I3)))
            + _J0
            + _J1 * x
        )
        return vapour, (
            (5674.5359 / t + 4.1635019) / t
            - 9.677843e-3
            + t * (1.24431402e-6 + t * (6.2243475e-9 - 3.7936096e-12 * t))
            + 0.01 * (p * (_I1 + x * (2.0 * _I2 + x * 3.0 * _I3)) + _J1)
        )
    pure = exp(
        -5800.2206 / t + 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - 1.4452093e-8 * t)) + 6.5459673 * log(t)
    )
    slope = (5800.2206 / t + 6.5459673) / t - 4.8640239e-2 + t * (8.3529536e-5 - 4.3356279e-8 * t)
    air = p - pure
    share = air / p
    k = _K0 + x * (_K1 + x * _K2)
    lean = _G0 + x * (_G1 + x * _G2) + share * k
    slope_of_factor = 0.01 * air * (_G1 + 2.0 * _G2 * x + share * (_K1 + 2.0 * _K2 * x)) - slope * pure * (
        lean + share * k
    )
    return pure * exp(air * lean), slope + slope_of_factor


def _dew_point(vapour: float, p: float) -> float:
    """Temperature at which saturated moist air holds a vapour pressure: a guess within 0.04 K, then one Newton step."""
    y = log(vapour)
    t = _D0 + y * (_D1 + y * (_D2 + y * (_D3 + y * (_D4 + y * _D5))))
    if t > TRIPLE_POINT - 0.1:
        t = max(t, TRIPLE_POINT)
        held, slope = _saturated_and_slope(t, p)
        t += log(vapour / held) / slope
        if t >= TRIPLE_POINT:
            return t
    t = min(_F0 + y * (_F1 + y * (_F2 + y * (_F3 + y * (_F4 + y * _F5)))), TRIPLE_POINT - 1e-9)
    held, slope = _saturated_and_slope(t, p)
    return t + log(vapour / held) / slope
