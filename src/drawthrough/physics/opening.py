"""Openings: what flows through a hole, a gap or a leak, and the pressure that a flow needs."""

from math import sqrt
from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.units import FOOT, POUND

STANDARD_DENSITY = 0.075 * POUND / FOOT**3  # standard air of the trade, 0.075 lb/ft3 [kg/m3]
STANDARD_VISCOSITY = 1.81e-5  # air at 20 C [Pa.s]
EDGE_COEFFICIENT = 0.61  # sharp edge at high Reynolds number
EDGE_RATIO = 2.0  # depth over width up to which a gap is a sheet-metal edge
CHANNEL_RATIO = 6.0  # depth over width from which the crack law holds

_CRACK = "Baker, Sharples & Ward 1987"
_PRESSURE_LIMITS = (0.0, 5000.0)  # 5 % of the station pressure: beyond it air does not flow as if incompressible


class OpeningLaw(NamedTuple):
    """Pressure of an opening: dp = linear * Q + quadratic * Q^2, in Pa/(m3/s) and Pa/(m3/s)^2."""

    linear: float
    quadratic: float


def _refuse(name: str, value: float, limits: tuple[float, float], source: str) -> None:
    if not limits[0] <= value <= limits[1]:
        raise OutOfRange(name, value, limits, source)


def _refuse_air(density: float, viscosity: float) -> None:
    _refuse("density", density, (0.2, 2.0), "plausible range")
    _refuse("viscosity", viscosity, (5e-6, 5e-5), "plausible range")


def orifice_airflow(
    area: float, pressure_drop: float, coefficient: float = EDGE_COEFFICIENT, density: float = STANDARD_DENSITY
) -> float:
    """Return the airflow through a hole with a sharp edge.

    Parameters
    ----------
    area : float
        Open area. [m2]
    pressure_drop : float
        Pressure across the hole. [Pa]
    coefficient : float
        Discharge coefficient. [1]
    density : float
        Density of the air ahead of the hole; without it 0.075 lb/ft3. [kg/m3]

    Returns
    -------
    float
        Airflow, at the density given. [m3/s]

    Raises
    ------
    OutOfRange
        A pressure below 0 or above 5000 Pa, or an area, coefficient or density outside its plausible range.

    Notes
    -----
    Q = C_d A sqrt(2 dp / rho), incompressible. A sharp edge has 0.61 at high Reynolds number, round holes and grilles
    0.60 to 0.65. The trade's 2610 A sqrt(dp) (cfm, ft2, in. w.c.) already holds 0.65: it is not multiplied again.

    Examples
    --------
    >>> round(orifice_airflow(6.4516e-4, 248.84, 0.60), 6)
    0.007879

    References
    ----------
    .. [1] ISO 5167-2, orifice plates (limit of the discharge coefficient at high Reynolds number).
    """
    _refuse("area", area, (0.0, 100.0), "plausible range")
    _refuse("pressure_drop", pressure_drop, _PRESSURE_LIMITS, "incompressible flow")
    _refuse("coefficient", coefficient, (0.05, 1.2), "plausible range")
    _refuse("density", density, (0.2, 2.0), "plausible range")
    return coefficient * area * sqrt(2.0 * pressure_drop / density)


def gap_law(
    width: float,
    length: float,
    depth: float,
    bends: float,
    density: float = STANDARD_DENSITY,
    viscosity: float = STANDARD_VISCOSITY,
    coefficient: float = EDGE_COEFFICIENT,
) -> OpeningLaw:
    """Return the pressure law of a gap: a sheet-metal edge, a channel, or what lies between.

    Parameters
    ----------
    width : float
        Width of the gap, across the flow. [m]
    length : float
        Length of the gap, at least its width. [m]
    depth : float
        Depth along the flow; 0 for an edge. [m]
    bends : float
        Right-angle bends on the way: 0 straight, 1 L, 2 U. [1]
    density : float
        Density of the air in the gap; without it 0.075 lb/ft3. [kg/m3]
    viscosity : float
        Viscosity of the air in the gap; without it that of 20 C. [Pa.s]
    coefficient : float
        Discharge coefficient of the edge. [1]

    Returns
    -------
    OpeningLaw
        `linear` [Pa/(m3/s)] and `quadratic` [Pa/(m3/s)^2].

    Raises
    ------
    OutOfRange
        A width that is not positive or greater than the length, or another value outside its plausible range.

    Notes
    -----
    Depth z, width H, length L, bends n. For z/H of 6 and more the crack law of [1]_:
    dp = 12 mu z / (L H^3) Q + rho (1.5 + n) / (2 L^2 H^2) Q^2.
    For z/H of 2 and less an edge, dp = rho / (2 (C_d L H)^2) Q^2, in which bends do not count.
    Between the two both coefficients are blended with the weight 3 t^2 - 2 t^3, t = (z/H - 2) / 4, so that airflow has
    no step and no kink in any dimension. The blend is a choice, not a measurement. An open channel passes more than an
    edge of the same area (its jet attaches again: 0.82 against 0.61), so flow may rise a little as depth grows there.

    Examples
    --------
    >>> gap_law(0.002, 1.0, 0.025, 2, 1.204, 1.81e-5)
    OpeningLaw(linear=678.75, quadratic=526750.0)

    References
    ----------
    .. [1] Baker, P. H., Sharples, S., Ward, I. C., 1987. Air flow through cracks. Building and Environment 22(4).
    """
    if not 0.0 < width <= length:
        raise OutOfRange("width", width, (0.0, length), "a gap is no wider than it is long")
    _refuse("length", length, (0.0, 100.0), "plausible range")
    _refuse("depth", depth, (0.0, 5.0), "plausible range")
    _refuse("bends", bends, (0.0, 10.0), "plausible range")
    _refuse("coefficient", coefficient, (0.05, 1.2), "plausible range")
    _refuse_air(density, viscosity)
    area = width * length
    step = min(max((depth / width - EDGE_RATIO) / (CHANNEL_RATIO - EDGE_RATIO), 0.0), 1.0)
    channel = step * step * (3.0 - 2.0 * step)
    velocity_term = density / (2.0 * area * area)
    return OpeningLaw(
        channel * 12.0 * viscosity * depth / (length * width**3),
        velocity_term * (channel * (1.5 + bends) + (1.0 - channel) / coefficient**2),
    )


def law_airflow(law: OpeningLaw, pressure_drop: float) -> float:
    """Return the airflow that a pressure drives through an opening.

    Parameters
    ----------
    law : OpeningLaw
        Pressure law of the opening.
    pressure_drop : float
        Pressure across it. [Pa]

    Returns
    -------
    float
        Airflow at the density of the law. [m3/s]

    Raises
    ------
    OutOfRange
        A pressure below 0 or above 5000 Pa.

    Notes
    -----
    The positive root of the quadratic, in the form that loses no digits where one of the terms is small.

    Examples
    --------
    >>> round(law_airflow(OpeningLaw(678.75, 526750.0), 24.884), 6)
    0.006259

    References
    ----------
    .. [1] Baker, Sharples, Ward, 1987. Building and Environment 22(4).
    """
    _refuse("pressure_drop", pressure_drop, _PRESSURE_LIMITS, "incompressible flow")
    if pressure_drop == 0.0:
        return 0.0
    return 2.0 * pressure_drop / (law.linear + sqrt(law.linear * law.linear + 4.0 * law.quadratic * pressure_drop))


def law_pressure_drop(law: OpeningLaw, airflow: float) -> float:
    """Return the pressure that an airflow needs to pass an opening.

    Parameters
    ----------
    law : OpeningLaw
        Pressure law of the opening.
    airflow : float
        Airflow at the density of the law. [m3/s]

    Returns
    -------
    float
        Pressure across it. [Pa]

    Raises
    ------
    OutOfRange
        A negative airflow, or one that would need more than 5000 Pa.

    Notes
    -----
    dp = linear Q + quadratic Q^2: the exact inverse of `law_airflow`.

    Examples
    --------
    >>> round(law_pressure_drop(OpeningLaw(678.75, 526750.0), 0.006259), 2)
    24.88

    References
    ----------
    .. [1] Baker, Sharples, Ward, 1987. Building and Environment 22(4).
    """
    _refuse("airflow", airflow, (0.0, 50.0), "plausible range")
    pressure_drop = (law.linear + law.quadratic * airflow) * airflow
    _refuse("pressure_drop", pressure_drop, _PRESSURE_LIMITS, "incompressible flow")
    return pressure_drop


def crack_airflow(
    width: float,
    length: float,
    depth: float,
    bends: float,
    pressure_drop: float,
    density: float = STANDARD_DENSITY,
    viscosity: float = STANDARD_VISCOSITY,
) -> float:
    """Return the airflow through a gap.

    Parameters
    ----------
    width : float
        Width of the gap, across the flow. [m]
    length : float
        Length of the gap, at least its width. [m]
    depth : float
        Depth along the flow; 0 for an edge. [m]
    bends : float
        Right-angle bends on the way: 0 straight, 1 L, 2 U. [1]
    pressure_drop : float
        Pressure across the gap: that of the compartment against the space around it. [Pa]
    density : float
        Density of the air in the gap; without it 0.075 lb/ft3. [kg/m3]
    viscosity : float
        Viscosity of the air in the gap; without it that of 20 C. [Pa.s]

    Returns
    -------
    float
        Airflow at the density given. [m3/s]

    Raises
    ------
    OutOfRange
        As `gap_law` and `law_airflow` do.

    Notes
    -----
    `gap_law` solved for the airflow. Flow goes with the cube of the width in a narrow gap: measure the width well.

    Examples
    --------
    >>> round(crack_airflow(0.001, 1.0, 0.025, 1, 24.884, 1.204, 1.81e-5), 6)
    0.002644

    References
    ----------
    .. [1] Baker, Sharples, Ward, 1987. Building and Environment 22(4).
    """
    return law_airflow(gap_law(width, length, depth, bends, density, viscosity), pressure_drop)
