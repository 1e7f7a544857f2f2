"""The coil by its bypass factor: a share of the air leaves as it came, the rest at the apparatus dew point."""

from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics import cooling, moist_air
from drawthrough.physics._root import bracketed

_COLDEST = 263.15  # an apparatus dew point below it is a block of ice, not a coil
_STEP = 1e-3
_VAPORISATION = 2.45e6  # J/kg, only the size of a correction step


class Apparatus(NamedTuple):
    """The state that a coil pulls the air towards, and the share of air that it misses."""

    dew_point: float
    bypass_factor: float


def _saturated(temperature: float, pressure: float) -> float:
    return moist_air.humidity_ratio_from_relative_humidity(temperature, 1.0, pressure)


def apparatus(
    dry_bulb_before: float,
    humidity_ratio_before: float,
    dry_bulb_after: float,
    humidity_ratio_after: float,
    pressure: float,
) -> Apparatus:
    """Return the apparatus dew point and the bypass factor of a wet coil.

    Parameters
    ----------
    dry_bulb_before : float
        Dry bulb of the air that enters the coil. [K]
    humidity_ratio_before : float
        Humidity ratio of the air that enters the coil. [kg/kg]
    dry_bulb_after : float
        Dry bulb of the air that leaves the coil, before the blower has heated it. [K]
    humidity_ratio_after : float
        Humidity ratio of the air that leaves the coil. [kg/kg]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    Apparatus
        `dew_point`, where the line through both states meets saturation [K]; `bypass_factor`, the share of the
        distance to it that the air did not go [1].

    Raises
    ------
    OutOfRange
        A state outside the range of `moist_air`.
    Unresolvable
        The coil is dry (no moisture was removed) or heats, the air leaves supersaturated, or the line through both
        states misses saturation above -10 C: then the states do not belong to one coil, or the reading is too rough.

    Notes
    -----
    The line is straight in dry bulb and humidity ratio, so both give the same bypass factor [1]_. The
    bypass factor is sensitive: at rating conditions 0.5 K in the leaving air moves it by half of itself.

    Examples
    --------
    >>> state = apparatus(299.85, 0.01117, 287.71, 0.00976, 101325.0)
    >>> round(state.bypass_factor, 2)
    0.09

    References
    ----------
    .. [1] EnergyPlus Engineering Reference, DX cooling coil, bypass factor, from memory (its ratio is of enthalpies).
    """
    cooled = dry_bulb_before - dry_bulb_after
    dried = humidity_ratio_before - humidity_ratio_after
    if not cooled > 0.0 or not dried > 0.0:
        raise Unresolvable("A coil that does not both cool and dry the air has no apparatus dew point.")
    slope = dried / cooled
    temperature = dry_bulb_after
    line = humidity_ratio_after
    if _saturated(temperature, pressure) < line * (1.0 - 1e-9):
        raise Unresolvable("The air that leaves the coil is supersaturated; its readings do not belong together.")
    while temperature > _COLDEST:
        saturated = _saturated(temperature, pressure)
        steeper = (_saturated(temperature + _STEP, pressure) - saturated) / _STEP - slope
        if not steeper > 0.0:
            break
        # Saturation is convex, so from above each step falls short of the meeting point and never passes it.
        step = (saturated - line - slope * (temperature - dry_bulb_after)) / steeper
        temperature -= step
        if abs(step) < 1e-7:
            return Apparatus(temperature, (dry_bulb_after - temperature) / (dry_bulb_before - temperature))
    raise Unresolvable(
        "The line through the states before and after the coil misses saturation; they do not belong to one coil."
    )


def state_behind(
    dry_bulb_before: float,
    humidity_ratio_before: float,
    total_capacity: float,
    sensible_capacity: float,
    mass_flow: float,
) -> tuple[float, float]:
    """Return the state of the air behind a coil whose capacities are known.

    Parameters
    ----------
    dry_bulb_before : float
        Dry bulb of the air that enters the coil. [K]
    humidity_ratio_before : float
        Humidity ratio of the air that enters the coil. [kg/kg]
    total_capacity : float
        Total cooling of the coil, condensate taken off at the leaving dry bulb. [W]
    sensible_capacity : float
        Sensible cooling of the coil. [W]
    mass_flow : float
        Mass flow of dry air. [kg/s]

    Returns
    -------
    tuple[float, float]
        Dry bulb [K] and humidity ratio [kg/kg] of the air that leaves the coil.

    Raises
    ------
    OutOfRange
        A mass flow that is not above zero, or a leaving state below 0 C or outside the range of `moist_air`.
    Unresolvable
        More moisture would be taken out than the air holds.

    Notes
    -----
    The inverse of `cooling.capacity`, by correction: each round leaves about a fiftieth of the error.

    Examples
    --------
    >>> dry_bulb, humidity_ratio = state_behind(299.85, 0.01117, 8181.0, 6365.0, 0.512)
    >>> round(dry_bulb - 273.15, 1), round(humidity_ratio, 4)
    (14.6, 0.0097)

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1, moist air cooling and dehumidification.
    """
    dry_bulb, humidity_ratio = dry_bulb_before, humidity_ratio_before
    for _ in range(60):
        found = cooling.capacity(mass_flow, dry_bulb_before, humidity_ratio_before, dry_bulb, humidity_ratio, 283.15)
        at_leaving = found.condensate_heat * (dry_bulb - 273.15) / 10.0
        latent = found.latent_capacity + found.condensate_heat - at_leaving
        hot = (found.sensible_capacity - sensible_capacity) / (mass_flow * moist_air.humid_heat(humidity_ratio))
        moist = (latent - (total_capacity - sensible_capacity)) / (mass_flow * _VAPORISATION)
        dry_bulb, humidity_ratio = dry_bulb + hot, humidity_ratio + moist
        if humidity_ratio < 0.0:
            raise Unresolvable("The latent capacity takes more moisture than the air holds.")
        if abs(hot) < 1e-9 and abs(moist) < 1e-12:
            return dry_bulb, humidity_ratio
    raise Unresolvable("No state behind the coil answers to these capacities.")


def leaving_state(
    dry_bulb_before: float, humidity_ratio_before: float, dew_point_coil: float, bypass_factor: float, pressure: float
) -> tuple[float, float]:
    """Return the state of the air behind a coil.

    Parameters
    ----------
    dry_bulb_before : float
        Dry bulb of the air that enters the coil. [K]
    humidity_ratio_before : float
        Humidity ratio of the air that enters the coil. [kg/kg]
    dew_point_coil : float
        Apparatus dew point of the coil. [K]
    bypass_factor : float
        Share of the air that leaves as it came. [1]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    tuple[float, float]
        Dry bulb [K] and humidity ratio [kg/kg] of the air that leaves the coil.

    Raises
    ------
    OutOfRange
        A bypass factor outside 0 to 1, or a state outside the range of `moist_air`.

    Notes
    -----
    A coil whose dew point lies above the air's stays dry: it cools the air and leaves its moisture.

    Examples
    --------
    >>> dry_bulb, humidity_ratio = leaving_state(299.85, 0.01117, 286.6, 0.087, 101325.0)
    >>> round(dry_bulb - 273.15, 1)
    14.6

    References
    ----------
    .. [1] EnergyPlus Engineering Reference, DX cooling coil, bypass factor, from memory.
    """
    if not 0.0 <= bypass_factor <= 1.0:
        raise OutOfRange("bypass_factor", bypass_factor, (0.0, 1.0), "a share")
    surface = min(_saturated(dew_point_coil, pressure), humidity_ratio_before)
    return (
        dew_point_coil + bypass_factor * (dry_bulb_before - dew_point_coil),
        surface + bypass_factor * (humidity_ratio_before - surface),
    )


def bypass_factor_at(bypass_factor_rated: float, flow_fraction: float) -> float:
    """Return a coil's bypass factor at another airflow.

    Parameters
    ----------
    bypass_factor_rated : float
        Bypass factor at rated airflow. [1]
    flow_fraction : float
        Actual over rated mass flow of air. [1]

    Returns
    -------
    float
        Bypass factor at that airflow. [1]

    Raises
    ------
    OutOfRange
        A bypass factor outside 0 to 1, or a flow fraction outside 0.4 to 1.5 (judgement).

    Notes
    -----
    BF = exp(-A0 / m) with A0 from the rating, so BF = BF_rated^(1 / FF) [1]_. A0 stays only as long as the coil is
    clean and without ice: a matted coil has another one.

    Examples
    --------
    >>> round(bypass_factor_at(0.1, 0.8), 4)
    0.0562

    References
    ----------
    .. [1] EnergyPlus Engineering Reference, DX cooling coil, sensible heat ratio, from memory.
    """
    if not 0.0 <= bypass_factor_rated <= 1.0:
        raise OutOfRange("bypass_factor_rated", bypass_factor_rated, (0.0, 1.0), "a share")
    if not 0.4 <= flow_fraction <= 1.5:
        raise OutOfRange(
            "flow_fraction", flow_fraction, (0.4, 1.5), "a coil that is neither starved nor flooded of air"
        )
    return float(bypass_factor_rated ** (1.0 / flow_fraction))


def sensible_of_total(
    dry_bulb_before: float,
    humidity_ratio_before: float,
    total_capacity: float,
    mass_flow: float,
    bypass_factor: float,
    pressure: float,
) -> float:
    """Return the sensible part of a coil's capacity from its bypass factor.

    Parameters
    ----------
    dry_bulb_before : float
        Dry bulb of the air that enters the coil. [K]
    humidity_ratio_before : float
        Humidity ratio of the air that enters the coil. [kg/kg]
    total_capacity : float
        Total cooling of the coil, condensate taken off at the leaving dry bulb. [W]
    mass_flow : float
        Mass flow of dry air. [kg/s]
    bypass_factor : float
        Share of the air that leaves as it came, at this airflow. [1]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Sensible cooling of the coil; the total itself where the coil stays dry. [W]

    Raises
    ------
    OutOfRange
        A bypass factor outside 0 to 0.95, a capacity or mass flow that is not above zero, or a state outside the range
        of `moist_air`.
    Unresolvable
        The capacity is more than the coil can take from this air above -10 C.

    Notes
    -----
    The apparatus dew point is sought whose `leaving_state` carries off the total. Where the coil stays dry the total
    belongs to a more humid air; `performance` looks for that limit itself.

    Examples
    --------
    >>> round(sensible_of_total(299.85, 0.01117, 8181.0, 0.512, 0.087, 101325.0), -2)
    6400.0

    References
    ----------
    .. [1] EnergyPlus Engineering Reference, DX cooling coil, sensible heat ratio, from memory.
    """
    if not 0.0 <= bypass_factor <= 0.95:
        raise OutOfRange("bypass_factor", bypass_factor, (0.0, 0.95), "a coil that meets some of the air")
    if not 0.0 < total_capacity <= 1e5:
        raise OutOfRange("total_capacity", total_capacity, (0.0, 1e5), "a unit that cools")

    def cooled(dew_point: float) -> cooling.Cooling:
        leaving = leaving_state(dry_bulb_before, humidity_ratio_before, dew_point, bypass_factor, pressure)
        return cooling.capacity(mass_flow, dry_bulb_before, humidity_ratio_before, *leaving, max(leaving[0], 273.15))

    if cooled(_COLDEST).total_capacity < total_capacity:
        raise Unresolvable(f"No coil above -10 C takes {total_capacity:.6g} W from this air.")
    dew_point = bracketed(lambda t: cooled(t).total_capacity - total_capacity, _COLDEST, dry_bulb_before, 1e-12)
    if _saturated(dew_point, pressure) >= humidity_ratio_before:
        return total_capacity
    return min(cooled(dew_point).sensible_capacity, total_capacity)
