"""The drain trap: how much water it needs to hold against the pressure at the pan."""

from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.units import GRAVITY, INCH

WATER_DENSITY = 1000.0  # kg/m3; condensate between 5 and 25 C lies within 0.3 % of it
TRAP_MARGIN = INCH  # one inch beyond the largest pressure: a maker's instruction, see `trap`


class Trap(NamedTuple):
    """The two heights of a drain trap."""

    trap_drop: float
    trap_seal: float


def trap(static: float, trap_margin: float = TRAP_MARGIN) -> Trap:
    """Return the heights that a drain trap needs against the pressure at the pan.

    Parameters
    ----------
    static : float
        Pressure at the drain pan against the space at the trap's outlet; suction is negative. [Pa]
    trap_margin : float
        Height of water kept in reserve. [m]

    Returns
    -------
    Trap
        `trap_drop`, from the pan's outlet down to the trap's outlet [m]; `trap_seal`, from the trap's outlet down to
        the top of the bend below it [m].

    Raises
    ------
    OutOfRange
        A pressure beyond 2500 Pa, or a margin outside 0 to 0.2 m.

    Notes
    -----
    With h = |static| / (rho g). Under suction the water in the leg of the pan stands h above the trap's outlet, so the
    drop must exceed h or the pan never empties; and a trap filled with the blower off must give up h/2 from its other
    leg when the blower starts, so the seal is half the drop: drop = h + margin, seal = (h + margin) / 2 [1]_. Under
    pressure the water is pushed down in the leg of the pan: seal = h + margin, and any drop empties the pan.

    The static is that at the pan, not the external static; with a blower that moves more air after a cleaning the
    suction may have grown. The space at the outlet matters: a drain that ends in a return plenum sees no suction.

    Examples
    --------
    >>> needed = trap(-149.3)
    >>> round(needed.trap_drop / 0.0254, 2), round(needed.trap_seal / 0.0254, 2)
    (1.6, 0.8)

    References
    ----------
    .. [1] Carrier, 39T installation instructions, fig. 56 and 57: P1 = largest negative static + 1 in., least 1/2 P1.
    """
    if not -2500.0 <= static <= 2500.0:
        raise OutOfRange("static", static, (-2500.0, 2500.0), "static pressures of residential air handlers")
    if not 0.0 <= trap_margin <= 0.2:
        raise OutOfRange("trap_margin", trap_margin, (0.0, 0.2), "a reserve that fits under an air handler")
    height = abs(static) / (WATER_DENSITY * GRAVITY) + trap_margin
    return Trap(height, height / 2.0) if static <= 0.0 else Trap(0.0, height)


def suction_held(trap_drop: float, trap_seal: float) -> float:
    """Return the largest suction at the pan against which a trap still drains and stays filled.

    Parameters
    ----------
    trap_drop : float
        Height from the pan's outlet down to the trap's outlet. [m]
    trap_seal : float
        Height from the trap's outlet down to the top of the bend below it. [m]

    Returns
    -------
    float
        The suction, as a negative static at the pan against the space at the trap's outlet. [Pa]

    Raises
    ------
    OutOfRange
        A height outside 0 to 2 m.

    Notes
    -----
    -rho g min(drop, 2 seal), without reserve: the inverse of `trap`.

    Examples
    --------
    >>> round(suction_held(0.0254, 0.0254), 1)
    -249.1

    References
    ----------
    .. [1] Hydrostatics.
    """
    for name, value in (("trap_drop", trap_drop), ("trap_seal", trap_seal)):
        if not 0.0 <= value <= 2.0:
            raise OutOfRange(name, value, (0.0, 2.0), "heights under an air handler")
    return -WATER_DENSITY * GRAVITY * min(trap_drop, 2.0 * trap_seal)
