"""Composites for the rows on the air path: readings added along it, and what dirt on a coil costs."""

from drawthrough.physics.airpath import AirPath
from drawthrough.physics.fan import FanCurve
from drawthrough.physics.fan_shapes import reference_airflow
from drawthrough.physics.operating_point import TABLE_DENSITY, RatedPart, Section, operating_point
from drawthrough.physics.performance import RATING_OUTDOOR, RATING_WET_BULB, curve_capacity_ratio
from drawthrough.physics.resistance import EXPONENTS, pressure_drop, resistance_from_drop
from drawthrough.units import CFM, INWC


def exponent_of(section: str) -> float:
    """Return the mean that is believed of a section's exponent."""
    return EXPONENTS[section].mean


def external_static(static_supply: float, static_return: float) -> float:
    """Return a furnace's external static from the two plenums, each read against the room."""
    path = AirPath("blow-through")
    drops: dict[str, float] = {}
    for place, reading in (("supply plenum", static_supply), ("return plenum", static_return)):
        ((section, sign),) = path.span(place, "room")
        drops[section] = sign * reading
    return sum(sign * drops[section] for section, sign in path.span("supply plenum", "return plenum"))


def static_before_coil(pressure_drop_coil: float, static_supply: float) -> float:
    """Return the static between a furnace and its coil, from the coil's drop and the static after it."""
    drops = {"coil": pressure_drop_coil, "supply duct": static_supply}
    return sum(sign * drops[section] for section, sign in AirPath("blow-through").span("before coil", "room"))


def capacity_loss(section: str, ratio: float) -> float:
    """Return the share of cooling capacity that a section's higher resistance costs an ordinary PSC system.

    Three tons, DOE's PSC fan at 1200 cfm and 0.5 in. w.c. external, a coil of 0.2 in. w.c. inside its cabinet; ducts
    take 0.38 and the filter 0.12 in. w.c. (an invented system); capacity by the published curves.
    """
    rated = 1200 * CFM
    static = [0.1 * k * INWC for k in range(11)]
    curve = FanCurve(static, [reference_airflow("psc", p, rated, 0.5 * INWC) for p in static])
    drops = {"return duct": 0.19, "filter": 0.12, "coil": 0.2, "supply duct": 0.19}
    clean = {n: resistance_from_drop(p * INWC, EXPONENTS[n].mean, rated, TABLE_DENSITY) for n, p in drops.items()}
    coil = [RatedPart(clean["coil"], EXPONENTS["coil"].mean)]

    def airflow(factor: float) -> float:
        parts = [
            Section(k * (factor if n == section else 1.0), EXPONENTS[n].mean, TABLE_DENSITY) for n, k in clean.items()
        ]
        return operating_point(curve, "psc", parts, rated=coil).airflow

    def capacity(flow_fraction: float) -> float:
        return curve_capacity_ratio(RATING_WET_BULB, RATING_OUTDOOR, flow_fraction)

    return 1.0 - capacity(airflow(ratio) / airflow(1.0)) / capacity(1.0)


def drop_ratio(exponent: float, density_first: float, density_second: float) -> float:
    """Return what a section costs in air of a second density over that in air of a first, at equal mass flow."""
    first = pressure_drop(50.0, exponent, 0.55 / density_first, density_first)
    return pressure_drop(50.0, exponent, 0.55 / density_second, density_second) / first
