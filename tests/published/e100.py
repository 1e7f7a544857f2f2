"""The performance map of the HVAC BESTEST unit, restated once for the rows and the tests that use it.

ANSI/ASHRAE Standard 140-2011, table 26c (NREL/TP-550-30152, table 1-6c): gross of the indoor fan, compressor power
alone. The table is in whole watts, but its figures are multiples of 0.1 kBtu/h (29.3 W) apart: each is good to 15 W.
Where the sensible figure is not below the total, the standard marks the coil as apparently dry.
"""

from drawthrough.physics.performance_map import PerformanceMap

SOURCE = "ANSI/ASHRAE Standard 140-2011, table 26c"
INDOOR_FAN = 230.0  # W
OUTDOOR_FAN = 108.0  # W
AIRFLOW = 0.425  # m3/s of dry air at 20 C and 101325 Pa
WET_BULB = (15.0, 17.2, 19.4, 21.7)
DRY_BULB = (22.2, 23.3, 24.4, 25.6, 26.7)

# Outdoor dry bulb [C]: one line for each wet bulb: total [W], compressor [W], sensible [W] for each dry bulb.
# fmt: off
LISTED: dict[float, tuple[tuple[float, ...], ...]] = {
    29.4: (
        (7420, 1620, 6541, 7097, 7507, 7713, 7888),
        (8006, 1660, 5486, 6042, 6599, 7127, 7683),
        (8650, 1710, 4343, 4900, 5456, 5984, 6541),
        (9295, 1760, 3200, 3728, 4284, 4812, 5369),
    ),
    32.2: (
        (7244, 1690, 6453, 7009, 7361, 7537, 7742),
        (7800, 1740, 5427, 5955, 6511, 7039, 7595),
        (8416, 1790, 4255, 4812, 5369, 5896, 6453),
        (9031, 1840, 3083, 3640, 4197, 4724, 5281),
    ),
    35.0: (
        (7039, 1770, 6394, 6921, 7214, 7390, 7566),
        (7595, 1810, 5339, 5867, 6423, 6951, 7507),
        (8181, 1858, 4167, 4724, 5281, 5808, 6365),
        (8797, 1910, 2995, 3552, 4079, 4636, 5193),
    ),
    37.8: (
        (6863, 1850, 6306, 6863, 7039, 7214, 7390),
        (7390, 1890, 5251, 5779, 6335, 6863, 7390),
        (7947, 1940, 4079, 4636, 5163, 5720, 6277),
        (8504, 1980, 2907, 3464, 3991, 4548, 5076),
    ),
    40.6: (
        (6658, 1940, 6218, 6716, 6863, 7039, 7214),
        (7156, 1980, 5163, 5691, 6248, 6775, 7214),
        (7683, 2020, 3991, 4548, 5076, 5632, 6160),
        (8240, 2060, 2819, 3347, 3904, 4460, 4988),
    ),
    46.1: (
        (6248, 2110, 6042, 6365, 6541, 6687, 6834),
        (6716, 2140, 4988, 5515, 6072, 6599, 6834),
        (7214, 2180, 3816, 4372, 4900, 5456, 5984),
        (7713, 2210, 2644, 3171, 3728, 4255, 4812),
    ),
}
# fmt: on


def unit(margin: float = 0.0) -> PerformanceMap:
    """Return the map; the standard itself lets its lines be carried a little below 15 C wet bulb (`margin`, in K)."""
    return PerformanceMap(
        name="HVAC BESTEST E100",
        source=SOURCE,
        outdoor=tuple(outdoor + 273.15 for outdoor in LISTED),
        wet_bulb=tuple(wet_bulb + 273.15 for wet_bulb in WET_BULB),
        dry_bulb=tuple(dry_bulb + 273.15 for dry_bulb in DRY_BULB),
        total_capacity=tuple(tuple(row[0] for row in sheet) for sheet in LISTED.values()),
        sensible_capacity=tuple(tuple(row[2:] for row in sheet) for sheet in LISTED.values()),
        power=tuple(tuple(row[1] for row in sheet) for sheet in LISTED.values()),
        basis="gross",
        power_counts="compressor",
        wet_bulb_margin=margin,
    )


def dry_cells() -> list[tuple[float, float, float, float]]:
    """Return outdoor, wet and dry bulb [C] and the listed capacity [W] of each cell whose coil is apparently dry."""
    return [
        (outdoor, wet_bulb, dry_bulb, sensible)
        for outdoor, sheet in LISTED.items()
        for wet_bulb, row in zip(WET_BULB, sheet, strict=True)
        for dry_bulb, sensible in zip(DRY_BULB, row[2:], strict=True)
        if sensible >= row[0]
    ]
