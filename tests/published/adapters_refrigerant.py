"""Charts give gauge pressures at sea level; the engine takes absolute ones."""

from drawthrough.physics import refrigerant
from drawthrough.physics.refrigerant import Phase

SEA_LEVEL = 14.696 * 0.45359237 * 9.80665 / 0.0254**2  # 14.696 psi, as the charts take it [Pa]


def saturation_temperature(refrigerant_name: str, phase: Phase, gauge_pressure: float) -> float:
    """Return the saturation temperature at a gauge pressure at sea level. [K]"""
    return refrigerant.saturation_temperature_of(refrigerant_name, phase, gauge_pressure + SEA_LEVEL)


def gauge_pressure(refrigerant_name: str, phase: Phase, temperature: float) -> float:
    """Return the gauge pressure at sea level at a saturation temperature. [Pa]"""
    return refrigerant.saturation_pressure_of(refrigerant_name, phase, temperature) - SEA_LEVEL
