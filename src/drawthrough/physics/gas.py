"""Gas heat: what the clocked meter says of the heat, and what the heat says of the airflow."""

from drawthrough.errors import OutOfRange
from drawthrough.physics import moist_air
from drawthrough.physics.airflow import (
    SEA_LEVEL,
    STANDARD_DRY_BULB,
    STANDARD_RELATIVE_HUMIDITY,
    Airflow,
    airflow_of_heat,
)
from drawthrough.units import PSI, RANKINE

GAS_PRESSURE_REFERENCE = 14.73 * PSI  # 14.73 psia, base pressure of gas sold in the United States [Pa]
GAS_TEMPERATURE_REFERENCE = 519.67 * RANKINE  # 60 F, its base temperature [K]
JACKET_LOSS = 0.01  # of the heat input (judgement)


def clocked_gas_flow(volume: float, duration: float) -> float:
    """Return the gas flow of a clocked meter.

    Parameters
    ----------
    volume : float
        Volume counted by the meter, whole turns of its test dial. [m3]
    duration : float
        Time that it took, with no other appliance drawing gas. [s]

    Returns
    -------
    float
        Gas flow at the meter's pressure and temperature. [m3/s]

    Raises
    ------
    OutOfRange
        A volume or a time that is not positive, or a flow above 0.1 m3/s.

    Notes
    -----
    V' = V / t. A second of the hand on a turn of 60 s is 1.7 %: clock several turns.

    Examples
    --------
    >>> round(clocked_gas_flow(0.0566337, 87.0), 6)
    0.000651

    References
    ----------
    .. [1] Common practice of the trade.
    """
    if not 0.0 < volume <= 100.0:
        raise OutOfRange("volume", volume, (0.0, 100.0), "plausible range")
    if not 0.0 < duration <= 86400.0:
        raise OutOfRange("duration", duration, (0.0, 86400.0), "plausible range")
    gas_flow = volume / duration
    if not gas_flow <= 0.1:
        raise OutOfRange("gas_flow", gas_flow, (0.0, 0.1), "plausible range")
    return gas_flow


def gas_heat(
    gas_flow: float,
    heating_value: float,
    combustion_efficiency: float,
    jacket_loss: float,
    pressure: float,
    temperature: float,
    pressure_reference: float = GAS_PRESSURE_REFERENCE,
    temperature_reference: float = GAS_TEMPERATURE_REFERENCE,
) -> float:
    """Return the heat that a gas furnace gives to its air, by the clocked meter.

    Parameters
    ----------
    gas_flow : float
        Volume counted over the time it took, at the meter's state. [m3/s]
    heating_value : float
        Higher heating value per volume at the reference state, as the supplier delivers it. [J/m3]
    combustion_efficiency : float
        Steady efficiency by flue-gas analysis, on the higher heating value; not the AFUE. [1]
    jacket_loss : float
        Share of the heat input lost through the jacket. [1]
    pressure : float
        Absolute pressure of the gas at the meter: station pressure and gauge together. [Pa]
    temperature : float
        Temperature of the gas at the meter. [K]
    pressure_reference : float
        Absolute pressure to which the heating value belongs; without it 14.73 psia. [Pa]
    temperature_reference : float
        Temperature to which the heating value belongs; without it 60 F. [K]

    Returns
    -------
    float
        Heat into the air, without the blower's. [W]

    Raises
    ------
    OutOfRange
        A value outside its plausible range.

    Notes
    -----
    q = V' H (eta - jacket) (p / p_ref) (T_ref / T). At 1524 m (5,000 ft) a cubic foot at the meter holds a sixth less
    gas than at sea level. A meter that corrects for temperature already is read with `temperature` at the reference.

    Examples
    --------
    >>> round(gas_heat(6.5e-4, 38.6e6, 0.80, 0.01, 103000.0, 288.706))
    20102

    References
    ----------
    .. [1] ANSI/ASHRAE 103 (steady-state and jacket loss, from memory); ideal gas law.
    """
    for name, value, low, high in (
        ("gas_flow", gas_flow, 0.0, 0.1),
        ("heating_value", heating_value, 1e6, 2e8),
        ("combustion_efficiency", combustion_efficiency, 0.5, 1.0),
        ("jacket_loss", jacket_loss, 0.0, 0.1),
        ("pressure", pressure, 2e4, 3e5),
        ("temperature", temperature, 230.0, 330.0),
        ("pressure_reference", pressure_reference, 2e4, 1.2e5),
        ("temperature_reference", temperature_reference, 270.0, 300.0),
    ):
        if not low <= value <= high:
            raise OutOfRange(name, value, (low, high), "plausible range")
    delivered = gas_flow * heating_value * (pressure / pressure_reference) * (temperature_reference / temperature)
    return delivered * (combustion_efficiency - jacket_loss)


def gas_airflow(
    gas_flow: float,
    heating_value: float,
    combustion_efficiency: float,
    rise: float,
    temperature: float,
    gauge_pressure: float,
    blower_power: float = 0.0,
    rise_off: float | None = None,
    jacket_loss: float = JACKET_LOSS,
    dry_bulb: float = STANDARD_DRY_BULB,
    relative_humidity: float = STANDARD_RELATIVE_HUMIDITY,
    altitude: float | None = None,
    pressure: float | None = None,
) -> Airflow:
    """Return the airflow from the rise over a gas furnace.

    Parameters
    ----------
    gas_flow : float
        Gas flow at the meter. [m3/s]
    heating_value : float
        Higher heating value per volume at 14.73 psia and 60 F. [J/m3]
    combustion_efficiency : float
        Steady efficiency by flue-gas analysis, on the higher heating value; not the AFUE. [1]
    rise : float
        Supply less return dry bulb, burner on. [K]
    temperature : float
        Temperature of the gas at the meter. [K]
    gauge_pressure : float
        Pressure of the gas at the meter, above the station pressure. [Pa]
    blower_power : float
        True watts of the blower; they enter only where there is no zero. [W]
    rise_off : float, optional
        Supply less return dry bulb at the same speed, burner off and heat exchanger cold: the zero. [K]
    jacket_loss : float
        Share of the heat input lost through the jacket. [1]
    dry_bulb : float
        Return dry bulb; without it that of standard air, 70 F. [K]
    relative_humidity : float
        Return relative humidity; without it dry air. [1]
    altitude : float, optional
        Altitude of the site; without it and a pressure, sea level. [m]
    pressure : float, optional
        Station pressure, not reduced to sea level; without it the standard atmosphere at the altitude. [Pa]

    Returns
    -------
    Airflow
        `airflow` at the return state [m3/s], `standard_airflow` [m3/s] and `mass_flow` [kg/s].

    Raises
    ------
    OutOfRange
        A reading outside its plausible range, a rise no greater than its zero, a state outside the range of moist air.

    Notes
    -----
    m = (gas heat + W_blower) / ((cp_a + W cp_v) rise). The supply plenum of a furnace is so stratified that one probe
    can be 10 % off and more; several points, and the same ones as found and as left, are what makes a ratio of it.

    Examples
    --------
    >>> round(gas_airflow(6.5e-4, 38.6e6, 0.80, 30.0, 288.706, 1744.0, blower_power=400.0).standard_airflow, 3)
    0.566

    References
    ----------
    .. [1] Energy balance; ANSI/ASHRAE 103 (steady-state and jacket loss, from memory).
    """
    for name, value, low, high in (
        ("rise", rise, -60.0, 120.0),
        ("rise_off", rise_off or 0.0, -60.0, 60.0),
        ("blower_power", blower_power, 0.0, 5000.0),
        ("gauge_pressure", gauge_pressure, 0.0, 1e5),
    ):
        if not low <= value <= high:
            raise OutOfRange(name, value, (low, high), "plausible range")
    station = pressure
    if station is None:
        station = moist_air.standard_pressure(SEA_LEVEL if altitude is None else altitude)
    power = gas_heat(gas_flow, heating_value, combustion_efficiency, jacket_loss, station + gauge_pressure, temperature)
    by_burner = rise
    if rise_off is None:
        power += blower_power
    else:
        by_burner -= rise_off
    return airflow_of_heat(power, by_burner, dry_bulb, relative_humidity, altitude, pressure)
