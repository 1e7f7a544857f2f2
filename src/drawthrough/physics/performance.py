"""What a unit of its kind should do, by published curves: wide, and only where there is no map of its own."""

from functools import cache, lru_cache
from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import coil, moist_air
from drawthrough.physics._root import bracketed
from drawthrough.physics.curve_sets import CURVE_SETS, DEFAULT_SET, REPORT, CurveSet
from drawthrough.physics.performance_map import Performance
from drawthrough.units import to_si

WET_BULB_LIMITS = (to_si(57.0, "F", "temperature"), to_si(75.0, "F", "temperature"))
OUTDOOR_LIMITS = (to_si(65.0, "F", "temperature"), to_si(125.0, "F", "temperature"))
FLOW_FRACTION_LIMITS = (0.75, 1.25)
RATING_DRY_BULB = to_si(80.0, "F", "temperature")
RATING_WET_BULB = to_si(67.0, "F", "temperature")
RATING_OUTDOOR = to_si(95.0, "F", "temperature")
RATING_PRESSURE = 101325.0
# Standard uncertainty of one unit about the curves of its kind, as a share (judgement).
CURVE_UNCERTAINTY = {"total_capacity": 0.05, "sensible_capacity": 0.07, "power": 0.08}
# Exponents of airflow in total and sensible capacity: least (expansion valve) and most (fixed orifice). They restate
# "a quarter less air costs 4 to 13 % of the total and 10 to 20 % of the sensible capacity" (judgement).
AIRFLOW_EXPONENTS = {"total_capacity": (0.142, 0.484), "sensible_capacity": (0.366, 0.776)}

_SLACK = 1e-9


def _set(curves: str) -> CurveSet:
    found = CURVE_SETS.get(curves)
    if found is None:
        raise Unresolvable(f"There is no set of curves {curves!r}; there are: {', '.join(CURVE_SETS)}.")
    return found


def _biquadratic(c: tuple[float, ...], wet_bulb: float, outdoor: float, unit: str) -> float:
    e = wet_bulb * 1.8 - 459.67 if unit == "F" else wet_bulb - 273.15
    o = outdoor * 1.8 - 459.67 if unit == "F" else outdoor - 273.15
    return c[0] + e * (c[1] + c[2] * e + c[5] * o) + o * (c[3] + c[4] * o)


@cache
def _rating(curves: str) -> tuple[float, float]:
    chosen = _set(curves)
    if not chosen.renormalised:
        return 1.0, 1.0
    return (
        _biquadratic(chosen.capacity, RATING_WET_BULB, RATING_OUTDOOR, chosen.unit),
        _biquadratic(chosen.eir, RATING_WET_BULB, RATING_OUTDOOR, chosen.unit),
    )


def _check(wet_bulb: float, outdoor: float, flow_fraction: float) -> None:
    for quantity, value, (low, high) in (
        ("wet_bulb", wet_bulb, WET_BULB_LIMITS),
        ("outdoor", outdoor, OUTDOOR_LIMITS),
        ("flow_fraction", flow_fraction, FLOW_FRACTION_LIMITS),
    ):
        if not low - _SLACK <= value <= high + _SLACK:
            raise OutOfRange(quantity, value, (low, high), REPORT)


def curve_capacity_ratio(
    wet_bulb: float, outdoor: float, flow_fraction: float = 1.0, curves: str = DEFAULT_SET
) -> float:
    """Return the gross total capacity over its rated value, by published curves.

    Parameters
    ----------
    wet_bulb : float
        Wet bulb of the air that enters the coil. [K]
    outdoor : float
        Outdoor dry bulb. [K]
    flow_fraction : float
        Actual over rated mass flow of air. [1]
    curves : str
        Name of a set in `curve_sets.CURVE_SETS`.

    Returns
    -------
    float
        Capacity over its rated value. [1]

    Raises
    ------
    OutOfRange
        Wet bulb outside 57 to 75 F, outdoors outside 65 to 125 F, or flow fraction outside 0.75 to 1.25.
    Unresolvable
        No set of that name.

    Notes
    -----
    The product of a biquadratic in both temperatures and a quadratic in airflow [1]_. The set of 2013 gives 0.994 at
    its own rating point, 67 F and 95 F; the default is that set over its own value there.

    **Airflow moves total capacity little**: a quarter less air costs 5 % by these curves, and between 4 and 13 % by the
    metering device (`airflow_effect`). A cleaning is not proved by total capacity.

    Examples
    --------
    >>> round(curve_capacity_ratio(292.5944, 308.15, 0.8), 3)
    0.964

    References
    ----------
    .. [1] Cutler et al., Improved Modeling of Residential Air Conditioners and Heat Pumps, NREL/TP-5500-56354, 2013.
    """
    _check(wet_bulb, outdoor, flow_fraction)
    chosen = _set(curves)
    a, b, c = chosen.capacity_flow
    flow = a + flow_fraction * (b + c * flow_fraction)
    return _biquadratic(chosen.capacity, wet_bulb, outdoor, chosen.unit) / _rating(curves)[0] * flow


def curve_eir_ratio(wet_bulb: float, outdoor: float, flow_fraction: float = 1.0, curves: str = DEFAULT_SET) -> float:
    """Return the energy input ratio of the outdoor unit over its rated value, by published curves.

    Parameters
    ----------
    wet_bulb : float
        Wet bulb of the air that enters the coil. [K]
    outdoor : float
        Outdoor dry bulb. [K]
    flow_fraction : float
        Actual over rated mass flow of air. [1]
    curves : str
        Name of a set in `curve_sets.CURVE_SETS`.

    Returns
    -------
    float
        Energy input ratio (power over gross capacity) over its rated value. [1]

    Raises
    ------
    OutOfRange
        Wet bulb outside 57 to 75 F, outdoors outside 65 to 125 F, or flow fraction outside 0.75 to 1.25.
    Unresolvable
        No set of that name.

    Notes
    -----
    Times the capacity ratio it is the ratio of powers. The power is that of compressor and outdoor fan, not of the
    blower. The set of 2013 gives 1.009 at its own rating point; the default is that set over its own value there.

    Examples
    --------
    >>> round(curve_eir_ratio(292.5944, 308.15, 0.8), 3)
    1.04

    References
    ----------
    .. [1] Cutler et al., Improved Modeling of Residential Air Conditioners and Heat Pumps, NREL/TP-5500-56354, 2013.
    """
    _check(wet_bulb, outdoor, flow_fraction)
    chosen = _set(curves)
    a, b, c = chosen.eir_flow
    flow = a + flow_fraction * (b + c * flow_fraction)
    return _biquadratic(chosen.eir, wet_bulb, outdoor, chosen.unit) / _rating(curves)[1] * flow


class AirflowEffect(NamedTuple):
    """What another airflow may do to a capacity: the least and the most, over the value at rated airflow."""

    total_least: float
    total_most: float
    sensible_least: float
    sensible_most: float


def airflow_effect(flow_fraction: float) -> AirflowEffect:
    """Return the range in which another airflow may move total and sensible capacity.

    Parameters
    ----------
    flow_fraction : float
        Actual over rated mass flow of air. [1]

    Returns
    -------
    AirflowEffect
        Ratios to the capacity at rated airflow: `total_least` and `total_most`, the smallest effect (expansion valve)
        and the largest (fixed orifice) [1]; `sensible_least` and `sensible_most` likewise [1].

    Raises
    ------
    OutOfRange
        Flow fraction outside 0.75 to 1.25; with ice on the coil nothing of this holds.

    Notes
    -----
    Powers of the flow fraction whose exponents (`AIRFLOW_EXPONENTS`, judgement) give -4 to -13 % total and -10 to
    -20 % sensible at a quarter less air.

    Examples
    --------
    >>> effect = airflow_effect(0.75)
    >>> round(effect.total_least, 2), round(effect.total_most, 2)
    (0.96, 0.87)

    References
    ----------
    .. [1] `curve_capacity_ratio` at 0.75: 0.954, between the two.
    """
    low, high = FLOW_FRACTION_LIMITS
    if not low - _SLACK <= flow_fraction <= high + _SLACK:
        raise OutOfRange("flow_fraction", flow_fraction, (low, high), REPORT)
    total, sensible = AIRFLOW_EXPONENTS["total_capacity"], AIRFLOW_EXPONENTS["sensible_capacity"]
    return AirflowEffect(
        flow_fraction ** total[0], flow_fraction ** total[1], flow_fraction ** sensible[0], flow_fraction ** sensible[1]
    )


@lru_cache(maxsize=64)
def _rated_bypass(total: float, sensible_share: float, mass_flow: float) -> float:
    humidity_ratio = moist_air.humidity_ratio_from_wet_bulb(RATING_DRY_BULB, RATING_WET_BULB, RATING_PRESSURE)
    behind = coil.state_behind(RATING_DRY_BULB, humidity_ratio, total, sensible_share * total, mass_flow)
    return coil.apparatus(RATING_DRY_BULB, humidity_ratio, *behind, RATING_PRESSURE).bypass_factor


def performance_by_curves(
    total_capacity_rated: float,
    sensible_heat_ratio_rated: float,
    power_rated: float,
    mass_flow_rated: float,
    outdoor: float,
    wet_bulb: float,
    dry_bulb: float,
    pressure: float,
    flow_fraction: float = 1.0,
    curves: str = DEFAULT_SET,
) -> Performance:
    """Return what a unit of its kind should do, from its rating and published curves.

    Parameters
    ----------
    total_capacity_rated : float
        Rated total cooling, gross of the fan. [W]
    sensible_heat_ratio_rated : float
        Rated sensible share of it, gross of the fan. [1]
    power_rated : float
        Rated power of compressor and outdoor fan. [W]
    mass_flow_rated : float
        Rated mass flow of dry air. [kg/s]
    outdoor : float
        Outdoor dry bulb. [K]
    wet_bulb : float
        Wet bulb of the air that enters the coil. [K]
    dry_bulb : float
        Dry bulb of the air that enters the coil. [K]
    pressure : float
        Absolute station pressure. [Pa]
    flow_fraction : float
        Actual over rated mass flow of air. [1]
    curves : str
        Name of a set in `curve_sets.CURVE_SETS`.

    Returns
    -------
    Performance
        `total_capacity` [W], `sensible_capacity` [W] gross of the fan, `sensible_heat_ratio` [1], `power` of the
        outdoor unit [W], and `dry`, whether the coil stays dry.

    Raises
    ------
    OutOfRange
        A temperature or flow fraction outside the curves' range, or a wet bulb above the dry bulb.
    Unresolvable
        The rating has no apparatus dew point, or the coil would be dry even at 75 F wet bulb.

    Notes
    -----
    Total and power by the curves [1]_; the sensible part by the bypass factor of the rating, carried to the airflow.
    Where the coil stays dry the total is taken at the wet bulb at which that begins. One unit scatters about the
    curves of its kind by `CURVE_UNCERTAINTY` (judgement). Over the map of the HVAC BESTEST E100 unit the total is off
    by 3.1 % root mean square (most: 9.3 %), the sensible part by 2.3 % (6.8 %), the power by 6.5 % (14 %).

    Examples
    --------
    >>> at_rating = performance_by_curves(8181.0, 0.778, 1966.0, 0.512, 308.15, 292.5944, 299.8167, 101325.0)
    >>> round(at_rating.total_capacity), round(at_rating.power), round(at_rating.sensible_heat_ratio, 3)
    (8181, 1966, 0.778)

    References
    ----------
    .. [1] Cutler et al., Improved Modeling of Residential Air Conditioners and Heat Pumps, NREL/TP-5500-56354, 2013.
    """
    if wet_bulb > dry_bulb:
        raise OutOfRange("wet_bulb", wet_bulb, (WET_BULB_LIMITS[0], dry_bulb), "a wet bulb is not above its dry bulb")
    if not 0.0 < power_rated <= 1e5:
        raise OutOfRange("power_rated", power_rated, (0.0, 1e5), "a unit that runs")
    rated_bypass = _rated_bypass(total_capacity_rated, sensible_heat_ratio_rated, mass_flow_rated)
    bypass = coil.bypass_factor_at(rated_bypass, flow_fraction)
    mass_flow = mass_flow_rated * flow_fraction

    def state(entering: float) -> tuple[float, float]:
        total = total_capacity_rated * curve_capacity_ratio(entering, outdoor, flow_fraction, curves)
        return total, moist_air.humidity_ratio_from_wet_bulb(dry_bulb, entering, pressure)

    def moisture_to_spare(entering: float) -> float:
        """Humidity ratio above that of a saturated surface which would take the total from dry air."""
        total, humidity_ratio = state(entering)
        after = moist_air.enthalpy(dry_bulb, humidity_ratio) - total / mass_flow
        surface = (moist_air.dry_bulb_from_enthalpy(after, humidity_ratio) - bypass * dry_bulb) / (1.0 - bypass)
        return humidity_ratio - moist_air.humidity_ratio_from_relative_humidity(surface, 1.0, pressure)

    dry = moisture_to_spare(wet_bulb) <= 0.0
    if dry:
        highest = min(WET_BULB_LIMITS[1], dry_bulb)
        if moisture_to_spare(highest) <= 0.0:
            raise Unresolvable("The coil stays dry even in the most humid air of the curves' range.")
        wet_bulb = bracketed(moisture_to_spare, wet_bulb, highest, 1e-10)
    total, humidity_ratio = state(wet_bulb)
    sensible = total if dry else coil.sensible_of_total(dry_bulb, humidity_ratio, total, mass_flow, bypass, pressure)
    power = power_rated * total / total_capacity_rated * curve_eir_ratio(wet_bulb, outdoor, flow_fraction, curves)
    return Performance(total, sensible, sensible / total, power, dry)
