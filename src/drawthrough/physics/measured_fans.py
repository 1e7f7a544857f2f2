"""Fits to measured residential blowers: a PSC blower, and one that holds its airflow up to its motor's power.

For comparison and for judging plausibility; a unit's own table always comes first. They are of clean fans.
"""

from math import exp, log, sqrt
from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.units import CFM, INWC

STATIC_LIMITS = (0.0, 1.0 * INWC)  # of the fits, roughly [Pa]
_MEASURED = "Proctor Engineering's measured fans as fitted in bigladder/resdx"

# The fits to measured fans, in the source's units turned into SI.
_FITTED_AT = 0.5 * INWC
_PSC_DROP, _PSC_RATE = 10 * CFM, 5.35 / INWC
_PSC_FREE_SPEED, _PSC_BLOCKED_SPEED = 1040 / 60, 1100 / 60
_PSC_POWER_SLOPE = 0.3
_ECM_POWER_RATE = 0.235 / CFM / INWC
_ECM_SPEED, _ECM_SPEED_RATE = 1100 / 60, 463.5 / 60 / INWC


def _refuse_static(static: float) -> None:
    if not STATIC_LIMITS[0] <= static <= STATIC_LIMITS[1]:
        raise OutOfRange("static", static, STATIC_LIMITS, _MEASURED)


def _refuse_airflow(**airflows: float) -> None:
    for name, value in airflows.items():
        if not 0.0 < value <= 2.0:
            raise OutOfRange(name, value, (0.0, 2.0), "residential blowers, above zero")


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
    _refuse_static(static)
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
    _refuse_static(static)
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
    _refuse_static(static)
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
    _refuse_static(static)
    _refuse_airflow(airflow_reference=airflow_reference, airflow_high=airflow_high)
    return (_ECM_SPEED - _ECM_SPEED_RATE * (_FITTED_AT - static)) * airflow_reference / airflow_high
