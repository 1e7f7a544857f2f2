"""Reference shapes of residential blowers: what an ordinary one does, where no maker's table is at hand.

They are for comparison and for judging plausibility; a unit's own table always comes first. All are of new, clean fans.
"""

from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.units import CFM, INWC

STATIC_LIMITS = (0.0, 1.0 * INWC)  # of all the fits, roughly [Pa]
_DOE = "U.S. DOE, EERE-2014-BT-STD-0048-0098, appendix 7-C"


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


def _refuse_static(static: float) -> None:
    if not STATIC_LIMITS[0] <= static <= STATIC_LIMITS[1]:
        raise OutOfRange("static", static, STATIC_LIMITS, _DOE)


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
       copy).
    """
    fan = _reference(kind)
    _refuse_static(static)
    _refuse_static(static_reference)
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
       copy).
    """
    fan = _reference(kind)
    _refuse_static(static)
    low, high = REFERENCE_SIZES[0], REFERENCE_SIZES[-1]
    if not low * (1 - 1e-9) <= airflow_rated <= high * (1 + 1e-9):
        raise OutOfRange("airflow_rated", airflow_rated, (low, high), _DOE)
    step = (high - low) / (len(REFERENCE_SIZES) - 1)
    k = min(max(int((airflow_rated - low) / step), 0), len(REFERENCE_SIZES) - 2)
    part = (airflow_rated - REFERENCE_SIZES[k]) / step
    base = fan.base[k] + (fan.base[k + 1] - fan.base[k]) * part
    return base + (fan.power_linear + fan.power_square * static) * static
