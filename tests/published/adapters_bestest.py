"""HVAC BESTEST E100 to E200: a steady zone cooled by the E100 unit, worked out as the standard's analysts did.

Inputs are the published loads of the envelope, as heat flows. What the engine adds, and what the published results
therefore check independently of those inputs: the wet bulb at which the unit's map meets the loads (zone humidity),
how long it runs (fan and compressor energy), what the coil carries (load plus fan heat), and the efficiency. The
sensible and the latent load of the coil repeat the input but for the fan's heat.
"""

from typing import NamedTuple

from drawthrough.physics import cooling, moist_air
from drawthrough.physics.performance_map import Performance, dry_coil_wet_bulb, performance_by_map
from tests.published import e100

PRESSURE = 101325.0
DURATION = 672.0 * 3600.0  # February
DEGRADATION = 0.229  # CDF = 1 - 0.229 (1 - PLR), the standard's part-load curve
MARGIN = 1.5  # K below 15 C wet bulb: the dry cases of the standard need 1.2 K
UNIT = e100.unit(MARGIN)


class Zone(NamedTuple):
    """Mean powers over the month [W], and the zone's humidity ratio [kg/kg]."""

    total_power: float
    compressor_power: float
    supply_fan_power: float
    condenser_fan_power: float
    coil_total: float
    coil_sensible: float
    coil_latent: float
    coefficient_of_performance: float
    humidity_ratio: float


def zone(dry_bulb: float, outdoor: float, sensible_capacity: float, latent_capacity: float = 0.0) -> Zone:
    """Return the steady state of a zone whose loads are given, at its set point."""
    performance, wet_bulb = _operating(dry_bulb, outdoor, sensible_capacity, latent_capacity)
    load = sensible_capacity + latent_capacity
    part_load = load / cooling.net_capacity(performance.total_capacity, e100.INDOOR_FAN)
    running = part_load / (1.0 - DEGRADATION * (1.0 - part_load))
    fan, condenser = running * e100.INDOOR_FAN, running * e100.OUTDOOR_FAN
    compressor = running * performance.power
    electric = compressor + fan + condenser
    return Zone(
        electric,
        compressor,
        fan,
        condenser,
        cooling.gross_capacity(load, fan),
        cooling.gross_capacity(sensible_capacity, fan),
        latent_capacity,
        cooling.coefficient_of_performance(load, electric),
        moist_air.humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, PRESSURE),
    )


def _operating(dry_bulb: float, outdoor: float, sensible: float, latent: float) -> tuple[Performance, float]:
    """Return the unit's performance and the entering wet bulb at which it meets both loads."""
    turns_dry = dry_coil_wet_bulb(UNIT, outdoor, dry_bulb)
    if latent == 0.0:
        # The zone dries until the coil does: it stays at the edge.
        return performance_by_map(UNIT, outdoor, turns_dry, dry_bulb), turns_dry
    wanted = sensible / (sensible + latent)
    low, high = turns_dry, UNIT.wet_bulb[-1]
    for _ in range(60):
        middle = (low + high) / 2.0
        found = performance_by_map(UNIT, outdoor, middle, dry_bulb)
        net = cooling.net_capacity(found.sensible_capacity, e100.INDOOR_FAN) / cooling.net_capacity(
            found.total_capacity, e100.INDOOR_FAN
        )
        low, high = (middle, high) if net > wanted else (low, middle)
    return found, middle
