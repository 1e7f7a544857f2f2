"""The wet bulb: the energy balance of a wet or iced wick, solved either way."""

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.air_properties import HUMIDITY, _check_humidity, _enthalpy, _water
from drawthrough.physics.humidity import _check, relative_humidity
from drawthrough.physics.moist_air_coefficients import ENTHALPY, ICE, LIQUID, RATIO_OF_MASSES
from drawthrough.physics.saturation import FIT, TRIPLE_POINT, _dew_point, _saturated, _saturated_and_slope

_SOURCE = "no wet bulb lies above its dry bulb, nor below that of dry air"
_ICE_BELOW = TRIPLE_POINT - 1e-9

_C0, _C1, _C2, _C3, _C4, _C5, _C6, _C7, _C8, _C9, _C10 = ENTHALPY
_L1, _L2 = LIQUID
_H0, _H1, _H2 = ICE
_EPS = RATIO_OF_MASSES


def humidity_ratio_from_wet_bulb(dry_bulb: float, wet_bulb: float, pressure: float) -> float:
    """Return the humidity ratio of air of a thermodynamic wet bulb.

    Parameters
    ----------
    dry_bulb : float
        Dry-bulb temperature. [K]
    wet_bulb : float
        Thermodynamic wet-bulb temperature; below 273.16 K that of an iced wick. [K]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Humidity ratio. [kg/kg]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K or 60 to 110 kPa; a wet bulb above the dry bulb, or below that of dry air.

    Notes
    -----
    Solves h(t, W) + (W_s - W) h_w = h(t*, W_s) for W ([1]_ eq. 33) with real-gas enthalpies in place of the constant
    heat capacities of eqs 35 and 37. A psychrometer with little draught reads higher than this.

    Examples
    --------
    >>> round(humidity_ratio_from_wet_bulb(299.8167, 292.5944, 101325.0), 6)
    0.011222

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    _check(dry_bulb, pressure)
    if not 213.15 <= wet_bulb <= dry_bulb:
        raise OutOfRange("wet_bulb", wet_bulb, (213.15, dry_bulb), _SOURCE)
    vapour = _saturated(wet_bulb, pressure)
    saturated = _EPS * vapour / (pressure - vapour)
    if wet_bulb == dry_bulb:
        return _check_humidity(saturated)
    water = _water(wet_bulb)
    wanted = _enthalpy(wet_bulb, saturated, pressure) - saturated * water
    x = 0.01 * dry_bulb - 2.7315
    wanted -= x * (_C0 + x * (_C1 + _C10 * x) + _C2 * pressure)
    vapour_heat = _C3 + x * (_C4 + _C5 * x) - water
    m, n = pressure * (_C6 + _C7 * x), pressure * (_C8 + _C9 * x)
    w = wanted / vapour_heat
    for _ in range(3):  # the real-gas term is a thousandth of the vapour's heat: each pass gains three digits
        w = wanted / (vapour_heat + (m + n * w) / (1.0 + w / _EPS))
    if not 0.0 <= w <= 0.2:
        if w > 0.2:
            raise OutOfRange("humidity_ratio", w, HUMIDITY, FIT)
        dry = _enthalpy(dry_bulb, 0.0, pressure)  # of the same wick in dry air, the lowest that it can read
        wick = (TRIPLE_POINT, 400.0) if wet_bulb >= TRIPLE_POINT else (0.0, _ICE_BELOW)
        raise OutOfRange("wet_bulb", wet_bulb, (_newton(wet_bulb, 0.0, pressure, dry, *wick), dry_bulb), _SOURCE)
    return w


def wet_bulb(dry_bulb: float, humidity_ratio: float, pressure: float) -> float:
    """Return the thermodynamic wet bulb of air of a humidity ratio.

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
        Thermodynamic wet-bulb temperature; below 273.16 K that of an iced wick. [K]

    Raises
    ------
    OutOfRange
        Outside 213.15 to 353.15 K or 60 to 110 kPa; a humidity ratio above that of saturated air.
    Unresolvable
        The iteration does not settle; not seen within the range.

    Notes
    -----
    Solves h(t, W) + (W_s(t*) - W) h_w(t*) = h(t*, W_s(t*)) by Newton with the exact derivative ([1]_ eq. 33), to
    1e-6 K. About 0 C two wet bulbs may solve it, one with a wet and one with an iced wick, up to 0.8 K apart: the iced
    one, which is the lower, is given as long as there is one.

    Examples
    --------
    >>> round(wet_bulb(299.8167, 0.01126, 101325.0), 2)
    292.62

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    relative_humidity(dry_bulb, humidity_ratio, pressure)
    return _wet_bulb(dry_bulb, humidity_ratio, pressure)


def _wet_bulb(t: float, w: float, p: float) -> float:
    dew = _dew_point(max(w, 1e-8) / (_EPS + w) * p, p)
    return _wet_bulb_from(t, w, p, dew, _saturated(t, p), _enthalpy(t, w, p))


def _wet_bulb_from(t: float, w: float, p: float, dew: float, saturated: float, h: float) -> float:
    """Wet bulb where dew point, vapour pressure at saturation and enthalpy are known already."""
    # Guess: between dew point and dry bulb the saturation curve is taken as a parabola through both, with its slope at
    # the dew point; the psychrometric line e = e_s(t*) - g (t - t*) cuts it.
    span = t - dew
    vapour = w / (_EPS + w) * p
    g = 6.6e-4 * p
    slope = vapour * 4217.0 / (dew - 32.2) ** 2
    guess = t
    if span > 1e-6:
        bend = ((saturated - vapour) / span - slope) / span
        lean = slope + g
        guess = dew + 2.0 * g * span / (lean + (lean * lean + 4.0 * bend * g * span) ** 0.5)
    if guess < 277.0:
        found = _newton(min(guess, _ICE_BELOW), w, p, h, 0.0, _ICE_BELOW)
        if found:
            return found
    return _newton(max(guess, TRIPLE_POINT), w, p, h, TRIPLE_POINT, 400.0)


def _newton(t: float, w: float, p: float, h: float, low: float, high: float) -> float:
    """Root of the energy balance between two limits (water from the triple point on, ice below), or 0.0 if none."""
    base = _C0 + _C2 * p
    for _ in range(12):
        vapour, rate = _saturated_and_slope(t, p)
        air = p - vapour
        ws = _EPS * vapour / air
        x = 0.01 * t - 2.7315
        c = t - 273.15
        if t >= TRIPLE_POINT:
            water, water_heat = c * (_L1 + _L2 * c), _L1 + 2.0 * _L2 * c
        else:
            water, water_heat = _H0 + c * (_H1 + _H2 * c), _H1 + 2.0 * _H2 * c
        m, n = _C6 + _C7 * x, _C8 + _C9 * x
        latent = _C3 + x * (_C4 + _C5 * x) - water
        more = ws - w
        miss = x * (base + x * (_C1 + _C10 * x)) + ws * (latent + air * (m + n * ws)) + w * water - h
        slope = (
            0.01 * (base + x * (2.0 * _C1 + 3.0 * _C10 * x) + ws * (_C4 + 2.0 * _C5 * x + air * (_C7 + _C9 * ws)))
            + (latent + air * air / p * (m + n * ws * (2.0 + ws / _EPS))) * ws * rate * p / air
            - more * water_heat
        )
        step = miss / slope
        if (t == low and step > 0.0) or (t == high and step < 0.0):
            return 0.0
        t -= step
        if -1e-3 < step < 1e-3:  # the next step would be a millionth of this one
            return t
        t = low if t < low else high if t > high else t
    raise Unresolvable(f"No wet bulb was found for a humidity ratio of {w:.6g} at {p:.6g} Pa.")
