"""The operating point: where the blower meets the air path, for each of the three kinds of motor."""

from collections.abc import Callable, Hashable, Sequence
from itertools import combinations
from math import factorial, sqrt
from typing import NamedTuple, TypeVar

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics._root import bracketed
from drawthrough.physics.fan import MOTORS, FanCurve
from drawthrough.physics.resistance import REFERENCE_DENSITY, REFERENCE_VISCOSITY, pressure_drop
from drawthrough.units import FOOT, INWC, POUND

TABLE_DENSITY = 0.075 * POUND / FOOT**3  # the standard air of makers' tables [kg/m3]

# Beyond its limit a constant-airflow motor runs at full power, and its airflow goes as 1/sqrt(c + P): the fit to
# measured motors (0.3665 W/cfm at 0.5 in. w.c., 0.235 W/cfm per in. w.c.), quoted in bigladder/resdx, fan.py (BSD-3).
FULL_POWER_STATIC = (0.3665 / 0.235 - 0.5) * INWC

_TOLERANCE = 1e-13


class Section(NamedTuple):
    """A section that resists: its resistance [Pa], exponent, and the air in it.

    `share` is the part of the blower's mass flow that passes it: less than 1 where air leaks in behind it.
    """

    resistance_coefficient: float
    exponent: float
    density: float = REFERENCE_DENSITY
    viscosity: float = REFERENCE_VISCOSITY
    share: float = 1.0


class RatedPart(NamedTuple):
    """A part inside the cabinet for which the table was printed, as it was then: resistance [Pa] and exponent.

    It is not the part as it is now: a coil as left may resist more, or less, than the one in the maker's laboratory.
    """

    resistance_coefficient: float
    exponent: float


class OperatingPoint(NamedTuple):
    """Where blower and path meet."""

    airflow: float  # at the blower's inlet [m3/s]
    static_table: float  # external static at which the table is entered [Pa]
    rise: float  # of the blower, the sum of all drops [Pa]
    drops: tuple[float, ...]  # of each section [Pa]
    held: bool  # a constant-airflow motor below its limit


def operating_point(
    curve: FanCurve,
    motor: str,
    sections: Sequence[Section],
    strength: float = 1.0,
    density: float = TABLE_DENSITY,
    rated: Sequence[RatedPart] = (),
    density_table: float = TABLE_DENSITY,
    airflow_limit_static: float | None = None,
) -> OperatingPoint:
    """Return where a blower meets an air path.

    Parameters
    ----------
    curve : FanCurve
        The table of the speed that runs: external static against airflow.
    motor : str
        "psc", "constant torque" or "constant airflow".
    sections : sequence of Section
        All sections that resist, in any order, those inside the rated cabinet too.
    strength : float
        Blower against clean. [1]
    density : float
        Density at the blower's inlet. [kg/m3]
    rated : sequence of RatedPart
        The parts between blower and taps for which the table was printed.
    density_table : float
        Density for which the table stands. [kg/m3]
    airflow_limit_static : float | None
        Constant airflow only: external static up to which the clean blower holds its airflow; without it, all over the
        table. [Pa]

    Returns
    -------
    OperatingPoint
        `airflow` at the blower's inlet [m3/s]; `static_table`, the external static at which the table was entered [Pa];
        `rise` of the blower [Pa]; `drops` of the sections in the order given [Pa]; `held`, whether a constant-airflow
        motor holds its airflow there.

    Raises
    ------
    OutOfRange
        A strength, density or share outside its plausible range, or a section refused by `pressure_drop`.
    Unresolvable
        No section, an unknown motor, or no crossing, or more than one, inside the table: the text says on which side.

    Notes
    -----
    The table gives external static, so the blower's own rise is ESP_table(Q) + sum of K_rated Q^n over the parts
    inside. A blower of strength s gives airflow s Q' and rise s^2 (rho/rho_table) times that of the table at Q'; the
    path asks for the sum of its drops D at one mass flow. Solved for the static p at which the table is entered: with
    Q = s Q_table(p),

        p = D(Q) rho_table / (rho s^2) - sum of K_rated (Q/s)^n.

    A constant-airflow motor holds the table's airflow at the static it meets, whatever s and density (the controls of
    some hold mass flow: over the densities of one house the difference is below what a table is worth). At full effort,
    beyond the limit, it is a blower of strength s like any other: on the table where that reaches beyond the limit, and
    ahead of the limit on the power limit Q = Q_limit sqrt((c + P_limit)/(c + p)). It delivers the smaller of the two: a
    dirty wheel reaches its limit earlier. That the power limit moves with s in this way is a description, not a
    measurement.

    Examples
    --------
    >>> curve = FanCurve([25.0, 75.0, 125.0, 175.0], [0.64, 0.60, 0.54, 0.45])
    >>> path = [Section(50.0, 1.9), Section(35.0, 1.25), Section(55.0, 1.7), Section(50.0, 1.9)]
    >>> clean = operating_point(curve, "psc", path, rated=[RatedPart(55.0, 1.7)])
    >>> dirty = operating_point(curve, "psc", path, strength=0.9, rated=[RatedPart(55.0, 1.7)])
    >>> round(clean.airflow, 3), round(dirty.airflow, 3)
    (0.501, 0.446)

    References
    ----------
    .. [1] Fan laws of ANSI/AMCA 210-16 (from memory).
    .. [2] Power of a constant-airflow motor: measured fits quoted in bigladder/resdx, fan.py (BSD-3).
    """
    if motor not in MOTORS:
        raise Unresolvable(f"{motor!r} is no kind of motor; use {', '.join(MOTORS)}.")
    if not sections:
        raise Unresolvable("The air path has no section that resists: there is nothing to meet.")
    if not 0.05 <= strength <= 1.5:
        raise OutOfRange("strength", strength, (0.05, 1.5), "plausible range")
    for name, value in (("density", density), ("density_table", density_table)):
        if not 0.2 <= value <= 2.0:
            raise OutOfRange(name, value, (0.2, 2.0), "plausible range of air")
    for part in sections:
        if not 0.0 < part.share <= 1.0:
            raise OutOfRange("air_share", part.share, (0.0, 1.0), "part of the blower's air, above zero")

    def drops(airflow: float) -> tuple[float, ...]:
        mass_flow = airflow * density
        return tuple(
            pressure_drop(p.resistance_coefficient, p.exponent, mass_flow * p.share / p.density, p.density, p.viscosity)
            for p in sections
        )

    def static_for(airflow: float, effort: float, ratio: float) -> float:
        """External static of the table that the path asks for, the blower being of strength `effort`."""
        inside = sum(
            pressure_drop(p.resistance_coefficient, p.exponent, airflow / effort, density_table) for p in rated
        )
        return sum(drops(airflow)) * ratio / effort**2 - inside

    def point(static: float, airflow: float, held: bool) -> OperatingPoint:
        each = drops(airflow)
        return OperatingPoint(airflow, static, sum(each), each, held)

    ratio = density_table / density
    if motor != "constant airflow":
        static = _meet(curve, lambda p: static_for(strength * curve.airflow(p), strength, ratio) - p)
        return point(static, strength * curve.airflow(static), False)

    held_static = _meet(curve, lambda p: static_for(curve.airflow(p), 1.0, 1.0) - p)
    held_airflow = curve.airflow(held_static)
    if airflow_limit_static is None:
        return point(held_static, held_airflow, True)
    limit = airflow_limit_static
    if not curve.limits[0] <= limit <= 5000.0:
        raise OutOfRange("airflow_limit_static", limit, (curve.limits[0], 5000.0), "from the table's lowest static")
    airflow_at_limit = curve.airflow(min(limit, curve.limits[1]))

    def at_full_effort(p: float) -> float:
        if p > limit:
            return strength * curve.airflow(p)
        return strength * airflow_at_limit * sqrt((FULL_POWER_STATIC + limit) / (FULL_POWER_STATIC + p))

    def asked(p: float) -> float:
        return static_for(at_full_effort(p), strength, ratio) - p

    if asked(curve.limits[0]) <= 0.0:  # full effort would move more air than even the table's lowest static takes
        return point(held_static, held_airflow, held_static <= limit)
    static = _meet(curve, asked)
    airflow = at_full_effort(static)
    if airflow >= held_airflow:
        return point(held_static, held_airflow, held_static <= limit)
    return point(static, airflow, False)


def _meet(curve: FanCurve, excess: Callable[[float], float]) -> float:
    """Return the static of the table at which the path asks for as much as the blower gives, stretch by stretch."""
    at = [excess(static) for static in curve.statics]
    low, high = curve.limits
    if at[0] < 0.0:
        raise Unresolvable(
            f"The path resists too little for this table: at its lowest static, {low:.4g} Pa, it asks for "
            f"{low + at[0]:.4g} Pa. The table says nothing there."
        )
    if at[-1] > 0.0:
        raise Unresolvable(
            f"The path resists too much for this table: at its highest static, {high:.4g} Pa, it asks for "
            f"{high + at[-1]:.4g} Pa. The table says nothing there."
        )
    crossings = [k for k in range(len(at) - 1) if (at[k] > 0.0) != (at[k + 1] > 0.0)]
    if not crossings:  # the path asks for exactly the table's lowest static
        return low
    if len(crossings) > 1:
        raise Unresolvable(
            "The blower meets the path at more than one airflow: the table rises more steeply than the path."
        )
    k = crossings[0]
    return bracketed(excess, curve.statics[k], curve.statics[k + 1], _TOLERANCE)


Change = TypeVar("Change", bound=Hashable)


def shared_gain(solve: Callable[[frozenset[Change]], float], changes: Sequence[Change]) -> dict[Change, float]:
    """Return how a gain divides among the changes that made it.

    Parameters
    ----------
    solve : callable
        From a set of changes to the result with these made and the others not: ln(airflow) of the operating point.
    changes : sequence
        The changes, each once: "wheel", "coil", "filter", "motor".

    Returns
    -------
    dict
        The share of each change; together they are `solve(all) - solve(none)`.

    Raises
    ------
    OutOfRange
        More than ten changes, for which 1024 operating points would be solved.
    Unresolvable
        One change named twice.

    Notes
    -----
    What a change brings depends on what was changed before it. For two changes the share is the mean of bringing it in
    alone and bringing it in last; for more it is the mean over all orders (the Shapley value), the only division that
    adds up, treats like changes alike, gives nothing to a change without effect, and is linear in `solve`. Each set is
    solved once.

    Examples
    --------
    >>> flow = {frozenset(): 0.0, frozenset({"coil"}): 0.02, frozenset({"wheel"}): 0.10}
    >>> flow[frozenset({"coil", "wheel"})] = 0.13
    >>> {part: round(share, 4) for part, share in shared_gain(flow.__getitem__, ["coil", "wheel"]).items()}
    {'coil': 0.025, 'wheel': 0.105}

    References
    ----------
    .. [1] Shapley, L.S., 1953. A value for n-person games. Contributions to the Theory of Games II.
    """
    count = len(changes)
    if count > 10:
        raise OutOfRange("changes", float(count), (0.0, 10.0), "number of sets to be solved")
    if len(set(changes)) != count:
        raise Unresolvable("One change is named twice: its share would be counted twice.")
    known = {
        made: solve(made) for size in range(count + 1) for made in map(frozenset[Change], combinations(changes, size))
    }
    shares = {}
    for change in changes:
        others = [one for one in changes if one != change]
        share = 0.0
        for size in range(count):
            weight = factorial(size) * factorial(count - size - 1) / factorial(count)
            for before in map(frozenset[Change], combinations(others, size)):
                share += weight * (known[before | {change}] - known[before])
        shares[change] = share
    return shares
