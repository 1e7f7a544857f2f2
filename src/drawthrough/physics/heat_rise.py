"""Heat rise: what heat does to an airflow's temperature, and what spoils a reading of it."""

from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.physics import moist_air


class CorrectedRise(NamedTuple):
    """A rise freed from drift, and what the correction itself may be wrong."""

    rise: float
    rise_uncertainty: float


def sensible_heat(mass_flow: float, humidity_ratio: float, rise: float) -> float:
    """Return the heat that an airflow takes up over a temperature rise.

    Parameters
    ----------
    mass_flow : float
        Mass flow of dry air. [kg/s]
    humidity_ratio : float
        Humidity ratio, which the heater does not change. [kg/kg]
    rise : float
        Dry bulb after less dry bulb before. [K]

    Returns
    -------
    float
        Heat taken up; negative where the air cools. [W]

    Raises
    ------
    OutOfRange
        A mass flow outside 0 to 60 kg/s or a rise outside -60 to 120 K.

    Notes
    -----
    q = m (cp_a + W cp_v) dT. Between two places of a duct it is the loss through the walls. The trade's 1.08 is dry
    standard air only; at 1524 m (5,000 ft) it is 0.90.

    Examples
    --------
    >>> round(sensible_heat(0.68, 0.0, 10.0))
    6843

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    _refuse_mass_flow(mass_flow)
    if not -60.0 <= rise <= 120.0:
        raise OutOfRange("rise", rise, (-60.0, 120.0), "plausible range")
    return mass_flow * moist_air.humid_heat(humidity_ratio) * rise


def heat_rise(power: float, mass_flow: float, humidity_ratio: float) -> float:
    """Return the temperature rise that a heat makes in an airflow.

    Parameters
    ----------
    power : float
        Heat into the air; for a blower its true electric power. [W]
    mass_flow : float
        Mass flow of dry air. [kg/s]
    humidity_ratio : float
        Humidity ratio of the air. [kg/kg]

    Returns
    -------
    float
        Temperature rise. [K]

    Raises
    ------
    OutOfRange
        A power outside 0 to 100 kW, a mass flow that is not positive or above 60 kg/s.

    Notes
    -----
    dT = P / (m (cp_a + W cp_v)). With the blower's power it is the rise expected of a zero, strips off: about 0.7 K
    (1.3 F) for 500 W at 1,200 cfm. A zero below it: the coil still evaporates, or cold air leaks in; above it: hot air
    leaks in. Watts are true watts, not volts times amps of the motor.

    Examples
    --------
    >>> round(heat_rise(500.0, 0.68, 0.008), 3)
    0.72

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 1.
    """
    if not 0.0 <= power <= 1e5:
        raise OutOfRange("power", power, (0.0, 1e5), "plausible range")
    _refuse_mass_flow(mass_flow)
    if mass_flow == 0.0:
        raise OutOfRange("mass_flow", mass_flow, (0.0, 60.0), "a rise needs moving air")
    return power / (mass_flow * moist_air.humid_heat(humidity_ratio))


def rise_without_drift(
    rise: float, dry_bulb_before: float, dry_bulb_after: float, duration: float, lag: float
) -> CorrectedRise:
    """Return a rise as if supply and return had been read at one moment.

    Parameters
    ----------
    rise : float
        Supply less return as read. [K]
    dry_bulb_before : float
        A temperature that drifts as the supply does, at the start of a span: the supply itself, or the return. [K]
    dry_bulb_after : float
        The same temperature at the end of the span. [K]
    duration : float
        Length of the span. [s]
    lag : float
        Time by which the supply was read after the return; negative where it was read first. [s]

    Returns
    -------
    CorrectedRise
        `rise` [K] and its `rise_uncertainty` by the correction, half of it [K].

    Raises
    ------
    OutOfRange
        A span that is not positive, a lag above an hour, a lag longer than the span, or a rise outside -60 to 120 K.

    Notes
    -----
    Drift times lag is subtracted, drift = (after - before) / duration. A house that warms by 0.1 K/min and a lag of
    three minutes fake 0.3 K. Half of the correction as its standard uncertainty is judgement.

    Examples
    --------
    >>> corrected = rise_without_drift(13.3, 294.0, 295.0, 600.0, 180.0)
    >>> round(corrected.rise, 3), round(corrected.rise_uncertainty, 3)
    (13.0, 0.15)

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 4.3: a correction and its uncertainty (the half is judgement).
    """
    if not -60.0 <= rise <= 120.0:
        raise OutOfRange("rise", rise, (-60.0, 120.0), "plausible range")
    for name, value in (("dry_bulb_before", dry_bulb_before), ("dry_bulb_after", dry_bulb_after)):
        if not 200.0 <= value <= 400.0:
            raise OutOfRange(name, value, (200.0, 400.0), "plausible range")
    if not 0.0 < duration <= 1e5:
        raise OutOfRange("duration", duration, (0.0, 1e5), "a drift needs a span")
    limit = min(duration, 3600.0)
    if not -limit <= lag <= limit:
        raise OutOfRange("lag", lag, (-limit, limit), "no longer than the span in which the drift was seen")
    correction = (dry_bulb_after - dry_bulb_before) / duration * lag
    return CorrectedRise(rise - correction, abs(correction) / 2.0)


def _refuse_mass_flow(mass_flow: float) -> None:
    if not 0.0 <= mass_flow <= 60.0:
        raise OutOfRange("mass_flow", mass_flow, (0.0, 60.0), "plausible range")
