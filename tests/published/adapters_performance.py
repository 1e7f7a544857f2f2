"""Composites for the rows on expected performance: the E100 unit's map, and all that the curves give at once."""

from drawthrough.physics.performance import performance_by_curves
from drawthrough.physics.performance_map import Performance, dry_coil_wet_bulb, performance_by_map
from tests.published import e100

UNIT = e100.unit(1.5)


def by_map(outdoor: float, wet_bulb: float, dry_bulb: float) -> Performance:
    """Return the E100 unit's performance by its own map."""
    return performance_by_map(UNIT, outdoor, wet_bulb, dry_bulb)


def by_map_alone(outdoor: float, wet_bulb: float, dry_bulb: float) -> Performance:
    """Return the E100 unit's performance by its own map, with no line carried below the map."""
    return performance_by_map(e100.unit(), outdoor, wet_bulb, dry_bulb)


def turns_dry(outdoor: float, dry_bulb: float) -> float:
    """Return the wet bulb at which the E100 unit's coil turns dry."""
    return dry_coil_wet_bulb(UNIT, outdoor, dry_bulb)


def by_curves(outdoor: float, wet_bulb: float, dry_bulb: float) -> Performance:
    """Return what published curves expect of the E100 unit from its rating alone."""
    return performance_by_curves(8181.0, 6365.0 / 8181.0, 1966.0, 0.5117, outdoor, wet_bulb, dry_bulb, 101325.0)
