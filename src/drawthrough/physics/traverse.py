"""Traverse: where to hold the probe in a duct, and the airflow that its readings make."""

from collections.abc import Sequence
from math import fsum, sqrt
from typing import Literal

from drawthrough.errors import OutOfRange, Unresolvable

Rule = Literal["log-linear", "log-Tchebycheff"]

# Positions from one wall up to the middle, as fractions of the side or diameter; the other half mirrors them.
# ISO 3966 and ASHRAE 111. The circular rules are from memory.
RECTANGULAR: dict[int, tuple[float, ...]] = {
    5: (0.074, 0.288, 0.500),
    6: (0.061, 0.235, 0.437),
    7: (0.053, 0.203, 0.366, 0.500),
}
CIRCULAR: dict[Rule, dict[int, tuple[float, ...]]] = {
    "log-linear": {
        4: (0.043, 0.290),
        6: (0.032, 0.135, 0.321),
        8: (0.021, 0.117, 0.184, 0.345),
        10: (0.019, 0.077, 0.153, 0.217, 0.361),
    },
    "log-Tchebycheff": {
        6: (0.032, 0.138, 0.312),
        8: (0.024, 0.100, 0.194, 0.334),
        10: (0.019, 0.076, 0.155, 0.215, 0.357),
    },
}
FIVE_POINTS_BELOW = 0.760  # side length [m]
SEVEN_POINTS_ABOVE = 0.915  # side length [m]

_SOURCE = "ISO 3966 and ASHRAE 111"


def _mirrored(half: tuple[float, ...], points: int) -> tuple[float, ...]:
    return half + tuple(round(1.0 - position, 3) for position in reversed(half[: points // 2]))


def points_per_side(length: float) -> int:
    """Return how many points a side of a rectangular duct needs.

    Parameters
    ----------
    length : float
        Length of the side, inside. [m]

    Returns
    -------
    int
        5, 6 or 7.

    Raises
    ------
    OutOfRange
        A side that is not positive or longer than 5 m.

    Notes
    -----
    5 points below 760 mm (30 in), 6 up to 915 mm (36 in), 7 above. Each side has its own number: 5 by 5 is the least.

    Examples
    --------
    >>> points_per_side(0.508), points_per_side(0.760), points_per_side(0.92)
    (5, 6, 7)

    References
    ----------
    .. [1] ANSI/ASHRAE 111, duct traverse; ISO 3966.
    """
    if not 0.0 < length <= 5.0:
        raise OutOfRange("length", length, (0.0, 5.0), "plausible range")
    if length < FIVE_POINTS_BELOW:
        return 5
    return 6 if length <= SEVEN_POINTS_ABOVE else 7


def rectangular_positions(length: float) -> tuple[float, ...]:
    """Return where the probe is held along one side of a rectangular duct.

    Parameters
    ----------
    length : float
        Length of the side, inside. [m]

    Returns
    -------
    tuple of float
        Distances from one wall, rising. [m]

    Raises
    ------
    OutOfRange
        A side that is not positive or longer than 5 m.

    Notes
    -----
    Log-Tchebycheff rule: near a wall velocity falls as the logarithm of the distance, and these points let the plain
    mean account for it. Five by five equally spaced points read 3.4 % too much on a 1/7 power law. Laboratory grade
    needs about 7.5 diameters of straight duct before and 3 after the plane; a plenum never has them.

    Examples
    --------
    >>> [round(position, 4) for position in rectangular_positions(0.5)]
    [0.037, 0.144, 0.25, 0.356, 0.463]

    References
    ----------
    .. [1] ISO 3966, log-Tchebycheff rule; ANSI/ASHRAE 111.
    """
    points = points_per_side(length)
    return tuple(length * fraction for fraction in _mirrored(RECTANGULAR[points], points))


def circular_positions(diameter: float, points: int, rule: Rule = "log-linear") -> tuple[float, ...]:
    """Return where the probe is held along one diameter of a round duct.

    Parameters
    ----------
    diameter : float
        Inside diameter. [m]
    points : int
        Points on the diameter: 4, 6, 8 or 10; the log-Tchebycheff rule has no 4.
    rule : str
        "log-linear" or "log-Tchebycheff".

    Returns
    -------
    tuple of float
        Distances from one wall, rising. [m]

    Raises
    ------
    OutOfRange
        A diameter that is not positive or above 5 m, or fewer or more points than the rule has.
    Unresolvable
        A number of points between those that the rule has.

    Notes
    -----
    Three diameters 60 degrees apart [1]_ or two at 90. The points stand for equal areas: the plain mean needs no
    weights.

    Examples
    --------
    >>> [round(position, 4) for position in circular_positions(0.2, 4)]
    [0.0086, 0.058, 0.142, 0.1914]

    References
    ----------
    .. [1] ANSI/ASHRAE 111; ISO 3966 (circular rules from memory).
    """
    if not 0.0 < diameter <= 5.0:
        raise OutOfRange("diameter", diameter, (0.0, 5.0), "plausible range")
    rows = CIRCULAR[rule]
    if points not in rows:
        if not min(rows) <= points <= max(rows):
            raise OutOfRange("points", points, (min(rows), max(rows)), _SOURCE)
        has = ", ".join(str(number) for number in rows)
        raise Unresolvable(f"The {rule} rule has {has} points on a diameter, not {points}.")
    return tuple(diameter * fraction for fraction in _mirrored(rows[points], points))


def velocity(velocity_pressure: float, density: float) -> float:
    """Return the velocity that a Pitot tube's velocity pressure means.

    Parameters
    ----------
    velocity_pressure : float
        Total less static pressure. [Pa]
    density : float
        Density of the air in the duct. [kg/m3]

    Returns
    -------
    float
        Air velocity. [m/s]

    Raises
    ------
    OutOfRange
        A negative velocity pressure (the air runs backwards there, or the hoses are swapped), or one above 5000 Pa, or
        a density outside 0.2 to 2 kg/m3.

    Notes
    -----
    u = sqrt(2 p_v / rho). The 4005 of the trade (fpm, in. w.c.) is standard air only.

    Examples
    --------
    >>> round(velocity(248.84, 1.2014), 2)
    20.35

    References
    ----------
    .. [1] ANSI/ASHRAE 111; ISO 3966.
    """
    if not 0.0 <= velocity_pressure <= 5000.0:
        raise OutOfRange("velocity_pressure", velocity_pressure, (0.0, 5000.0), "forward, incompressible flow")
    if not 0.2 <= density <= 2.0:
        raise OutOfRange("density", density, (0.2, 2.0), "plausible range")
    return sqrt(2.0 * velocity_pressure / density)


def average_velocity(velocity_pressure: Sequence[float], density: float) -> float:
    """Return the mean velocity of a traverse from its velocity pressures.

    Parameters
    ----------
    velocity_pressure : sequence of float
        Velocity pressure at each point. [Pa]
    density : float
        Density of the air in the duct. [kg/m3]

    Returns
    -------
    float
        Mean air velocity. [m/s]

    Raises
    ------
    OutOfRange
        A negative velocity pressure or one above 5000 Pa, no point at all, or a density outside 0.2 to 2 kg/m3.

    Notes
    -----
    Velocities are averaged, never velocity pressures: the root of the mean is never less than the mean of the roots
    [pressures of 10 and 40 Pa: 5.4 % too much].

    Examples
    --------
    >>> round(average_velocity([10.0, 40.0], 1.2), 3)
    6.124

    References
    ----------
    .. [1] ANSI/ASHRAE 111; ISO 3966.
    """
    return _mean([velocity(one, density) for one in velocity_pressure])


def traverse_airflow(velocity: Sequence[float], area: float) -> float:
    """Return the airflow of a traverse from the velocity at each point.

    Parameters
    ----------
    velocity : sequence of float
        Velocity at each point of one of the rules. [m/s]
    area : float
        Inside area of the duct in the plane of the traverse. [m2]

    Returns
    -------
    float
        Airflow at the state of the air in the duct. [m3/s]

    Raises
    ------
    OutOfRange
        A velocity outside 0 to 100 m/s, no point at all, or an area that is not positive or above 100 m2.

    Notes
    -----
    Q = A times the plain mean. A point that reads backwards makes the plane unfit; it is refused, not counted as zero.
    A good straight duct gives 3 to 5 %, a short residential plenum 10 % or worse.

    Examples
    --------
    >>> round(traverse_airflow([3.0, 4.0, 5.0, 4.0, 3.0], 0.1), 3)
    0.38

    References
    ----------
    .. [1] ANSI/ASHRAE 111; ISO 3966.
    """
    if not 0.0 < area <= 100.0:
        raise OutOfRange("area", area, (0.0, 100.0), "plausible range")
    for one in velocity:
        if not 0.0 <= one <= 100.0:
            raise OutOfRange("velocity", one, (0.0, 100.0), "plausible range")
    return area * _mean(velocity)


def _mean(velocities: Sequence[float]) -> float:
    if not velocities:
        raise OutOfRange("points", 0.0, (1.0, 1000.0), _SOURCE)
    return fsum(velocities) / len(velocities)
