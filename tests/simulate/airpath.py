"""The true operating point of one run: mass flows, leaks and the static at each place.

Draw-through: return duct, filter, coil, blower, heater, supply duct. Each part has a law of its own; leaks follow the
static of the compartment that they open into, half as an orifice and half as a crack.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from tests.simulate.fans import STANDARD_DENSITY, Blower, Wheel, turning

REFERENCE = 0.47194745  # 1000 cfm [m3/s]


class Duct(NamedTuple):
    """A part that follows one power of the airflow: its drop at 1000 cfm of standard air [Pa], and the power."""

    drop: float
    exponent: float

    def at(self, airflow: float, density: float) -> float:
        """Drop at a volume flow; the density acts as the power's share of inertia gives it."""
        relative = density / STANDARD_DENSITY
        return (
            self.drop
            * math.copysign((abs(airflow) / REFERENCE) ** self.exponent, airflow)
            * (relative ** (self.exponent - 1.0))
        )


class Filter(NamedTuple):
    """A medium: one part linear in the airflow (viscous), one square (its frame and pleats)."""

    linear: float  # at 1000 cfm [Pa]
    square: float  # at 1000 cfm of standard air [Pa]
    load: float = 1.0  # what dust has done to the linear part

    def at(self, airflow: float, density: float) -> float:
        """Drop at a volume flow."""
        q = airflow / REFERENCE
        return self.linear * self.load * q + self.square * q * abs(q) * density / STANDARD_DENSITY


class Opening(NamedTuple):
    """A leak: what it lets in at 25 Pa, half of it by an orifice (0.5), half by a crack (its own power) [m3/s]."""

    airflow: float
    crack: float

    def at(self, suction: float) -> float:
        """Volume flow inwards at a suction; outwards, so negative, at an overpressure."""
        p = abs(suction) / 25.0
        return math.copysign(self.airflow * 0.5 * (math.sqrt(p) + p**self.crack), suction)


class Path(NamedTuple):
    """All that resists and all that leaks, in one state of the system."""

    return_duct: Duct
    filter: Filter
    coil: Duct
    heater: Duct
    supply_duct: Duct
    return_leak: Opening  # into the return plenum, before the filter
    coil_leak: Opening  # between filter and coil
    blower_leak: Opening  # between coil and blower
    supply_leak: Opening  # out of the supply plenum


class Densities(NamedTuple):
    """Density of the air on its way [kg/m3]: return, around the cabinet, in the coil, at the blower, supply."""

    back: float
    around: float
    coil: float
    blower: float
    supply: float


class Point(NamedTuple):
    """A solved operating point; pressures against the room [Pa]."""

    mass: float  # through the blower [kg/s]
    airflow: float  # through the blower, at its own density [m3/s]
    rise: float  # of the blower [Pa]
    return_plenum: float
    after_filter: float
    after_coil: float
    after_blower: float
    supply_plenum: float
    leaks: tuple[float, float, float]  # mass entering: return plenum, coil and blower compartment [kg/s]
    filter_mass: float  # through the filter [kg/s]
    supply_mass: float  # through the supply duct [kg/s]
    speed: float  # over the blower's full speed


def _along(path: Path, densities: Densities, wet: float, entering: float) -> tuple[float, ...]:
    """Follow the air from a mass that enters the return duct: each static tells the next leak."""
    d = densities
    plenum = -path.return_duct.at(entering / d.back, d.back)
    first = path.return_leak.at(-plenum) * d.around
    mass = entering + first
    filtered = plenum - path.filter.at(mass / d.back, d.back)
    second = path.coil_leak.at(-filtered) * d.around
    mass += second
    cooled = filtered - wet * path.coil.at(mass / d.coil, d.coil)
    third = path.blower_leak.at(-cooled) * d.around
    mass += third
    lost = ahead = 0.0
    for _ in range(6):  # a small leak out of the plenum that itself makes the static
        ahead = path.supply_duct.at((mass - lost) / d.supply, d.supply)
        lost = path.supply_leak.at(ahead) * d.supply
    behind = ahead + path.heater.at(mass / d.supply, d.supply)
    return plenum, filtered, cooled, behind, ahead, first, second, third, lost, mass


def solve(blower: Blower, wheel: Wheel, path: Path, densities: Densities, wet: float = 1.0) -> Point:
    """Return where an induction or constant-torque blower settles: its curve meets what the path asks for."""

    def excess(entering: float) -> float:
        _, _, cooled, behind, *_, mass = _along(path, densities, wet, entering)
        airflow = mass / densities.blower
        return blower.airflow(behind - cooled, densities.blower, wheel, airflow / blower.design) - airflow

    entering = _crossing(excess, 0.5 * blower.design * densities.blower)
    there = point(path, densities, wet, entering, 1.0)
    return there._replace(speed=turning(wheel, there.airflow / blower.design))


def solve_held(
    blower: Blower, wheel: Wheel, path: Path, densities: Densities, wet: float, held: float, limit: float, rate: float
) -> Point:
    """Return where a blower settles that holds its (standard) airflow, up to the most speed that its motor has.

    `rate` is by how much the held airflow moves, relative, per pascal of rise about 250 Pa.
    """

    def short(entering: float) -> float:
        _, _, cooled, behind, *_, mass = _along(path, densities, wet, entering)
        return held * STANDARD_DENSITY * (1.0 + rate * (behind - cooled - 250.0)) - mass

    there = point(path, densities, wet, _crossing(short, 0.7 * held * STANDARD_DENSITY), 1.0)

    def slow(speed: float) -> float:
        work = there.rise * STANDARD_DENSITY / densities.blower / (speed * speed * wheel.pressure)
        return there.airflow - speed * wheel.airflow * blower.at_rise(work)

    if slow(limit) > 0.0:
        return solve(blower, wheel._replace(speed=limit), path, densities, wet)
    return there._replace(speed=root(slow, 0.2, limit))


def point(path: Path, densities: Densities, wet: float, entering: float, speed: float) -> Point:
    """Return everything along the path at a mass that enters the return duct."""
    plenum, filtered, cooled, behind, ahead, first, second, third, lost, mass = _along(path, densities, wet, entering)
    return Point(
        mass, mass / densities.blower, behind - cooled, plenum, filtered, cooled, behind, ahead,
        (first, second, third), entering + first, mass - lost, speed,
    )  # fmt: skip


def _crossing(falling: Callable[[float], float], start: float) -> float:
    """Return where a falling function of a mass flow crosses zero, searched from a start outwards."""
    low = high = start
    while falling(low) <= 0.0:
        low *= 0.6
        if low < 1e-4 * start:
            raise ArithmeticError("not even a breath of air gets through")
    while falling(high) >= 0.0:
        high *= 1.25
    return root(falling, low, high)


def root(falling: Callable[[float], float], low: float, high: float) -> float:
    """Return where a falling function crosses zero: false position with halving (Illinois)."""
    at_low, at_high = falling(low), falling(high)
    if at_low <= 0.0 or at_high >= 0.0:
        raise ArithmeticError(f"no crossing between {low} and {high}: {at_low}, {at_high}")
    side = 0
    for _ in range(60):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        value = falling(middle)
        if abs(value) < 1e-9 or high - low < 1e-10:
            break
        if value > 0.0:
            low, at_low = middle, value
            if side == 1:
                at_high *= 0.5
            side = 1
        else:
            high, at_high = middle, value
            if side == -1:
                at_low *= 0.5
            side = -1
    return middle
