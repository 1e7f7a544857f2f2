"""Shapes of residential blowers that others fitted: what an ordinary blower does, where no maker's table is at hand.

They are for comparison and for judging plausibility; a unit's own table always comes first. All are of new, clean fans.
"""

from math import exp, log, sqrt
from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.units import CFM, INWC

STATIC_LIMITS = (0.0, 1.0 * INWC)  # of all the fits, roughly [Pa]
_DOE = "U.S. DOE, EERE-2014-BT-STD-0048-0098, appendix 7-C"
_MEASURED = "Proctor Engineering's measured fans as fitted in bigladder/resdx"


class ReferenceFan(NamedTuple):
    """A kind of fan, in SI: Q = Q0 + linear P + square P^2, SFP = base(size) + power_linear P + power_square P^2."""

    airflow_linear: float
    airflow_square: float
    base: tuple[float, float, float, float]  # at 800, 1200, 1600 and 2000 cfm of rated airflow
    power_linear: float
    power_square: float


def _fan(airflow: tuple[float, float], base: tuple[float, ...], power: tuple[float, float]) -> ReferenceFan:
    """Turn a row printed in cfm, in. w.c. and W/cfm into SI."""
    two, three, four, five = (value / CFM for value in base)
    return ReferenceFan(
        airflow[0] * CFM / INWC,
        airflow[1] * CFM / INWC**2,
        (two, three, four, five),
        power[0] / CFM / INWC,
        power[1] / CFM / INWC**2,
    )


# U.S. DOE, technical support document EERE-2014-BT-STD-0048-0098, appendix 7-C, eq. 7-C.4 and its airflow fit; read in
# bigladder/resdx, fan.py (BSD-3), not in the document itself. 0.16 at 5 tons of the multi-stage constant-torque fan
# lies below its 0.17 at 4 tons: as coded there, perhaps a slip of theirs.
REFERENCE_SIZES = (800 * CFM, 1200 * CFM, 1600 * CFM, 2000 * CFM)  # 2 to 5 tons at 400 cfm/ton
REFERENCE_FANS: dict[str, ReferenceFan] = {
    "psc": _fan((49, -570), (0.49, 0.52, 0.55, 0.57), (-0.2, 0.19)),
    "psc improved": _fan((49, -570), (0.44, 0.47, 0.49, 0.52), (-0.2, 0.19)),
    "psc with controls": _fan((267, -338), (0.25, 0.27, 0.29, 0.31), (0.14, 0.06)),
    "constant torque single stage": _fan((-456, 8), (0.18, 0.19, 0.21, 0.23), (0.12, 0.07)),
    "constant torque multi stage": _fan((-456, 8), (0.14, 0.15, 0.17, 0.16), (0.12, 0.07)),
    "constant airflow multi stage": _fan((99, -103), (0.11, 0.12, 0.13, 0.15), (0.25, -0.01)),
    "constant airflow backward curved": _fan((99, -103), (0.09, 0.10, 0.11, 0.12), (0.25, -0.01)),
}

# The fits to measured fans, in the source's units turned into SI.
_FITTED_AT = 0.5 * INWC
_PSC_DROP, _PSC_RATE = 10 * CFM, 5.35 / INWC
_PSC_FREE_SPEED, _PSC_BLOCKED_SPEED = 1040 / 60, 1100 / 60
_PSC_POWER_SLOPE = 0.3
_ECM_POWER_RATE = 0.235 / CFM / INWC
_ECM_SPEED, _ECM_SPEED_RATE = 1100 / 60, 463.5 / 60 / INWC


def _refuse_static(static: float, source: str) -> None:
    if not STATIC_LIMITS[0] <= static <= STATIC_LIMITS[1]:
        raise OutOfRange("static", static, STATIC_LIMITS, source)


def _refuse_airflow(**airflows: float) -> None:
    for name, value in airflows.items():
        if not 0.0 < value <= 2.0:
            raise OutOfRange(name, value, (0.0, 2.0), "residential blowers, above zero")


def _reference(kind: str) -> ReferenceFan:
    found = REFERENCE_FANS.get(kind)
    if found is None:
        raise Unresolvable(f"{kind!r} is no kind of reference fan; use {', '.join(REFERENCE_FANS)}.")
    return found


def reference_airflow(kind: str, static: float, airflow_reference: float, static_reference: float) -> float:
    """Return the airflow of a reference fan at an external static, through one known point of it.

    Parameters
    ----------
    kind : str
        A key of `REFERENCE_FANS`: "psc", "constant torque multi stage", ...
    static : float
        External static asked for. [Pa]
    airflow_reference : float
        Airflow at the known point. [m3/s]
    static_reference : float
        External static at the known point. [Pa]

    Returns
    -------
    float
        Airflow. [m3/s]

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c., an airflow that is not above zero or above 2 m3/s, or none left there.
    Unresolvable
        Another kind of fan.

    Notes
    -----
    Q = Q0 + a1 P + a2 P^2 with Q0 such that the curve passes the known point. a1 and a2 do not scale with size as the
    source has them: for a small fan the curve is relatively steeper. Of clean new fans, for roughly 0 to 1 in. w.c.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(reference_airflow("psc", 0.8 * INWC, 1200 * CFM, 0.5 * INWC) / CFM, 1)
    992.4

    References
    ----------
    .. [1] U.S. DOE, technical support document EERE-2014-BT-STD-0048-0098, appendix 7-C (coefficients from a
       transcription).
    """
    fan = _reference(kind)
    _refuse_static(static, _DOE)
    _refuse_static(static_reference, _DOE)
    _refuse_airflow(airflow_reference=airflow_reference)
    rate = fan.airflow_linear + fan.airflow_square * (static + static_reference)
    airflow = airflow_reference + rate * (static - static_reference)
    _refuse_airflow(airflow=airflow)
    return airflow


def reference_specific_fan_power(kind: str, static: float, airflow_rated: float) -> float:
    """Return the power per airflow of a reference fan at an external static.

    Parameters
    ----------
    kind : str
        A key of `REFERENCE_FANS`: "psc", "constant torque multi stage", ...
    static : float
        External static. [Pa]
    airflow_rated : float
        Rated airflow, by which the size is told: 400 cfm are one ton. [m3/s]

    Returns
    -------
    float
        Blower power per airflow. [W/(m3/s)]

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c., or a rated airflow outside 800 to 2000 cfm.
    Unresolvable
        Another kind of fan.

    Notes
    -----
    SFP = c0(size) + c1 P + c2 P^2, c0 linear between the four sizes of the source.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(reference_specific_fan_power("psc", 0.5 * INWC, 1200 * CFM) * CFM, 4)
    0.4675

    References
    ----------
    .. [1] U.S. DOE, technical support document EERE-2014-BT-STD-0048-0098, appendix 7-C, eq. 7-C.4 (coefficients from a
       transcription).
    """
    fan = _reference(kind)
    _refuse_static(static, _DOE)
    low, high = REFERENCE_SIZES[0], REFERENCE_SIZES[-1]
    if not low * (1 - 1e-9) <= airflow_rated <= high * (1 + 1e-9):
        raise OutOfRange("airflow_rated", airflow_rated, (low, high), _DOE)
    step = (high - low) / (len(REFERENCE_SIZES) - 1)
    k = min(max(int((airflow_rated - low) / step), 0), len(REFERENCE_SIZES) - 2)
    part = (airflow_rated - REFERENCE_SIZES[k]) / step
    base = fan.base[k] + (fan.base[k + 1] - fan.base[k]) * part
    return base + (fan.power_linear + fan.power_square * static) * static


def _psc_fall(static: float) -> float:
    return _PSC_DROP * (exp(_PSC_RATE * static) - 1.0)


def measured_psc_airflow(static: float, airflow_reference: float) -> float:
    """Return the airflow of a PSC blower by a fit to measured ones.

    Parameters
    ----------
    static : float
        External static asked for. [Pa]
    airflow_reference : float
        Airflow of the same speed at 0.5 in. w.c. [m3/s]

    Returns
    -------
    float
        Airflow. [m3/s]

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c. or beyond the static at which the fit has no airflow left, or an airflow that
        is not above zero or above 2 m3/s.

    Notes
    -----
    Q = Q_free - 10 cfm (exp(5.35 P) - 1), P in in. w.c. Its authors say that more data are needed.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(measured_psc_airflow(0.3 * INWC, 740 * CFM) / CFM)
    835

    References
    ----------
    .. [1] Fit to Proctor Engineering's measurements in bigladder/resdx, fan.py (BSD-3).
    """
    _refuse_static(static, _MEASURED)
    _refuse_airflow(airflow_reference=airflow_reference)
    airflow = airflow_reference + _psc_fall(_FITTED_AT) - _psc_fall(static)
    _refuse_airflow(airflow=airflow)
    return airflow


def measured_psc_speed(static: float, airflow_reference: float, airflow_high: float) -> float:
    """Return the rotational speed of a PSC blower by a fit to measured ones.

    Parameters
    ----------
    static : float
        External static. [Pa]
    airflow_reference : float
        Airflow of the speed that runs, at 0.5 in. w.c. [m3/s]
    airflow_high : float
        Airflow of the highest speed, at 0.5 in. w.c. [m3/s]

    Returns
    -------
    float
        Rotational speed. [Hz]

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c. or above that of a blocked outlet, or an airflow that is not above zero.

    Notes
    -----
    From 1040 rpm times Q_free / Q_free,high with a free outlet it rises linearly to 1100 rpm with a blocked one:
    choked, a PSC motor unloads and speeds up toward its synchronous 1200 rpm.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(measured_psc_speed(0.5 * INWC, 1179 * CFM, 1179 * CFM) * 60)
    1073

    References
    ----------
    .. [1] Fit to Proctor Engineering's measurements in bigladder/resdx, fan.py (BSD-3).
    """
    _refuse_static(static, _MEASURED)
    _refuse_airflow(airflow_reference=airflow_reference, airflow_high=airflow_high)
    free = airflow_reference + _psc_fall(_FITTED_AT)
    blocked = log(free / _PSC_DROP + 1.0) / _PSC_RATE
    if static > blocked:
        raise OutOfRange("static", static, (0.0, blocked), "blocked outlet by the fit")
    free_speed = _PSC_FREE_SPEED * free / (airflow_high + _psc_fall(_FITTED_AT))
    return free_speed + (_PSC_BLOCKED_SPEED - free_speed) * static / blocked


def measured_psc_power(
    static: float, airflow_reference: float, airflow_high: float, specific_fan_power_reference: float
) -> float:
    """Return the electric power of a PSC blower by a fit to measured ones.

    Parameters
    ----------
    static : float
        External static. [Pa]
    airflow_reference : float
        Airflow of the speed that runs, at 0.5 in. w.c. [m3/s]
    airflow_high : float
        Airflow of the highest speed, at 0.5 in. w.c. [m3/s]
    specific_fan_power_reference : float
        Blower power per airflow of the highest speed. [W/(m3/s)]

    Returns
    -------
    float
        Electric power. [W]

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c., an airflow that is not above zero, or a power per airflow outside its range.

    Notes
    -----
    W = SFP_high (1 + 0.3 (Q_free / Q_free,high - 1)) Q: on one speed power goes with airflow, so a PSC blower that is
    choked draws less. The source calls its own data on the 0.3 inconsistent.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(measured_psc_power(0.3 * INWC, 740 * CFM, 1179 * CFM, 0.33 / CFM))
    248

    References
    ----------
    .. [1] Fit to Proctor Engineering's measurements in bigladder/resdx, fan.py (BSD-3).
    """
    airflow = measured_psc_airflow(static, airflow_reference)
    _refuse_airflow(airflow_high=airflow_high)
    if not 0.0 < specific_fan_power_reference <= 1e4:
        raise OutOfRange("specific_fan_power_reference", specific_fan_power_reference, (0.0, 1e4), "plausible range")
    fall = _psc_fall(_FITTED_AT)
    relative = (airflow_reference + fall) / (airflow_high + fall)
    return specific_fan_power_reference * (1.0 + _PSC_POWER_SLOPE * (relative - 1.0)) * airflow


class HeldAirflow(NamedTuple):
    """What a constant-airflow blower does: airflow [m3/s], electric power [W], and whether it holds its airflow."""

    airflow: float
    blower_power: float
    held: bool


def measured_ecm(
    static: float,
    airflow_reference: float,
    airflow_high: float,
    specific_fan_power_reference: float,
    blower_power_high: float,
) -> HeldAirflow:
    """Return airflow and power of a constant-airflow blower by a fit to measured ones.

    Parameters
    ----------
    static : float
        External static. [Pa]
    airflow_reference : float
        Airflow to which the setting that runs is set. [m3/s]
    airflow_high : float
        Airflow of the highest setting. [m3/s]
    specific_fan_power_reference : float
        Blower power per airflow of the highest setting at 0.5 in. w.c. [W/(m3/s)]
    blower_power_high : float
        Power at which the motor gives no more. [W]

    Returns
    -------
    HeldAirflow
        `airflow` [m3/s], `blower_power` [W], and `held`: is the motor below its limit?

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c., an airflow, a power or a power per airflow that is not above zero, or a power
        per airflow below the part of it that the static takes.

    Notes
    -----
    SFP = SFP_free (Q/Q_high)^2 + 0.235 P (W/cfm, in. w.c.) while the airflow is held. At the limit power stays and
    airflow falls as the square root of limit over unlimited power. Another version of the source replaces the square
    by 0.0981 - 0.293 x + 1.2 x^2 of x = Q/Q_high: at its own check points the two differ by up to 0.9 % of power.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(measured_ecm(0.5 * INWC, 2405 * CFM, 2405 * CFM, 0.3665 / CFM, 1000.0).blower_power, 1)
    881.4

    References
    ----------
    .. [1] Fit to Proctor Engineering's measurements in bigladder/resdx, fan.py (BSD-3).
    """
    _refuse_static(static, _MEASURED)
    _refuse_airflow(airflow_reference=airflow_reference, airflow_high=airflow_high)
    if not 0.0 < blower_power_high <= 5000.0:
        raise OutOfRange("blower_power_high", blower_power_high, (0.0, 5000.0), "plausible range, above zero")
    least = _ECM_POWER_RATE * _FITTED_AT
    if not least < specific_fan_power_reference <= 1e4:
        raise OutOfRange("specific_fan_power_reference", specific_fan_power_reference, (least, 1e4), _MEASURED)
    free = (specific_fan_power_reference - least) * (airflow_reference / airflow_high) ** 2
    unlimited = airflow_reference * (free + _ECM_POWER_RATE * static)
    if unlimited <= blower_power_high:
        return HeldAirflow(airflow_reference, unlimited, True)
    return HeldAirflow(airflow_reference * sqrt(blower_power_high / unlimited), blower_power_high, False)


def measured_ecm_speed(static: float, airflow_reference: float, airflow_high: float) -> float:
    """Return the rotational speed of a constant-airflow blower below its limit by a fit to measured ones.

    Parameters
    ----------
    static : float
        External static. [Pa]
    airflow_reference : float
        Airflow that the motor holds. [m3/s]
    airflow_high : float
        Airflow of the highest setting. [m3/s]

    Returns
    -------
    float
        Rotational speed. [Hz]

    Raises
    ------
    OutOfRange
        A static outside 0 to 1 in. w.c., or an airflow that is not above zero or above 2 m3/s.

    Notes
    -----
    N = (1100 - 463.5 (0.5 - P)) Q/Q_high rpm, P in in. w.c. The speed shows what the held airflow hides: 0.1 in. w.c.
    more static is 46 rpm.

    Examples
    --------
    >>> from drawthrough.units import CFM, INWC
    >>> round(measured_ecm_speed(0.6 * INWC, 2405 * CFM, 2405 * CFM) * 60, 2)
    1146.35

    References
    ----------
    .. [1] Fit to Proctor Engineering's measurements in bigladder/resdx, fan.py (BSD-3).
    """
    _refuse_static(static, _MEASURED)
    _refuse_airflow(airflow_reference=airflow_reference, airflow_high=airflow_high)
    return (_ECM_SPEED - _ECM_SPEED_RATE * (_FITTED_AT - static)) * airflow_reference / airflow_high
