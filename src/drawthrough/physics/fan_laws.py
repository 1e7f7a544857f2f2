"""The fan laws, and what a blower's power is worth."""

from drawthrough.errors import OutOfRange

_SAME_WHEEL = "a wheel that turns, up to 6000 rpm"
_AIR = "plausible range of air"


def _refuse_airflow(airflow: float) -> None:
    if not 0.0 < airflow <= 50.0:
        raise OutOfRange("airflow", airflow, (0.0, 50.0), "plausible range, above zero")


def _speed_ratio(speed_first: float, speed_second: float) -> float:
    for name, value in (("speed_first", speed_first), ("speed_second", speed_second)):
        if not 0.0 < value <= 100.0:
            raise OutOfRange(name, value, (0.0, 100.0), _SAME_WHEEL)
    return speed_second / speed_first


def _density_ratio(density_first: float, density_second: float) -> float:
    for name, value in (("density_first", density_first), ("density_second", density_second)):
        if not 0.2 <= value <= 2.0:
            raise OutOfRange(name, value, (0.2, 2.0), _AIR)
    return density_second / density_first


def airflow_at_speed(airflow_first: float, speed_first: float, speed_second: float) -> float:
    """Return the airflow of the same wheel on the same duct at another speed.

    Parameters
    ----------
    airflow_first : float
        Airflow at the first speed. [m3/s]
    speed_first : float
        First rotational speed. [Hz]
    speed_second : float
        Second rotational speed. [Hz]

    Returns
    -------
    float
        Airflow at the second speed. [m3/s]

    Raises
    ------
    OutOfRange
        A speed that is not above zero or above 100 Hz, or an airflow that is not above zero.

    Notes
    -----
    Q2 = Q1 (N2 / N1), along a duct whose pressure goes with the airflow squared. Only for the same geometry: a fouled
    wheel is another one, so the law does not connect dirty and clean.

    Examples
    --------
    >>> round(airflow_at_speed(0.50, 1075 / 60, 860 / 60), 3)
    0.4

    References
    ----------
    .. [1] ANSI/AMCA 210-16 / ASHRAE 51-16, fan laws (from memory).
    """
    _refuse_airflow(airflow_first)
    return airflow_first * _speed_ratio(speed_first, speed_second)


def static_at_speed(
    static_first: float,
    speed_first: float,
    speed_second: float,
    density_first: float = 1.2,
    density_second: float = 1.2,
) -> float:
    """Return the static of the same wheel on the same duct at another speed and density.

    Parameters
    ----------
    static_first : float
        Static at the first speed. [Pa]
    speed_first : float
        First rotational speed. [Hz]
    speed_second : float
        Second rotational speed. [Hz]
    density_first : float
        Density at the first speed; without both they are taken as equal. [kg/m3]
    density_second : float
        Density at the second speed. [kg/m3]

    Returns
    -------
    float
        Static at the second speed. [Pa]

    Raises
    ------
    OutOfRange
        A speed that is not above zero or above 100 Hz, a static beyond 5000 Pa, or no air.

    Notes
    -----
    P2 = P1 (N2 / N1)^2 (rho2 / rho1). Only for the same geometry.

    Examples
    --------
    >>> round(static_at_speed(125.0, 1075 / 60, 860 / 60), 3)
    80.0

    References
    ----------
    .. [1] ANSI/AMCA 210-16 / ASHRAE 51-16, fan laws (from memory).
    """
    if not -5000.0 <= static_first <= 5000.0:
        raise OutOfRange("static_first", static_first, (-5000.0, 5000.0), "plausible range")
    return static_first * _speed_ratio(speed_first, speed_second) ** 2 * _density_ratio(density_first, density_second)


def power_at_speed(
    power_first: float,
    speed_first: float,
    speed_second: float,
    density_first: float = 1.2,
    density_second: float = 1.2,
) -> float:
    """Return the shaft power of the same wheel on the same duct at another speed and density.

    Parameters
    ----------
    power_first : float
        Power at the shaft at the first speed. [W]
    speed_first : float
        First rotational speed. [Hz]
    speed_second : float
        Second rotational speed. [Hz]
    density_first : float
        Density at the first speed; without both they are taken as equal. [kg/m3]
    density_second : float
        Density at the second speed. [kg/m3]

    Returns
    -------
    float
        Power at the shaft at the second speed. [W]

    Raises
    ------
    OutOfRange
        A speed that is not above zero or above 100 Hz, a power that is not above zero, or no air.

    Notes
    -----
    H2 = H1 (N2 / N1)^3 (rho2 / rho1). The law is the shaft's; what a motor draws follows it only as far as its
    efficiency stays, which that of a PSC motor on a lower speed does not.

    Examples
    --------
    >>> round(power_at_speed(250.0, 1075 / 60, 860 / 60), 3)
    128.0

    References
    ----------
    .. [1] ANSI/AMCA 210-16 / ASHRAE 51-16, fan laws (from memory).
    """
    if not 0.0 < power_first <= 1e5:
        raise OutOfRange("power_first", power_first, (0.0, 1e5), "plausible range, above zero")
    return power_first * _speed_ratio(speed_first, speed_second) ** 3 * _density_ratio(density_first, density_second)


def system_static(static_first: float, airflow_first: float, airflow_second: float, exponent: float = 2.0) -> float:
    """Return the static of a fixed duct system at another airflow.

    Parameters
    ----------
    static_first : float
        Static at the first airflow. [Pa]
    airflow_first : float
        First airflow. [m3/s]
    airflow_second : float
        Second airflow. [m3/s]
    exponent : float
        Exponent of airflow in the system's pressure drop. [1]

    Returns
    -------
    float
        Static at the second airflow. [Pa]

    Raises
    ------
    OutOfRange
        An airflow that is not above zero, an exponent outside 1 to 2, or a static beyond 5000 Pa.

    Notes
    -----
    P2 = P1 (Q2 / Q1)^n, n = 2 for the fully turbulent system of test procedures, 1.8 to 2.0 for real ducts. The
    furnace-fan test sets its restriction once, at the highest setting, and runs all others on that curve.

    Examples
    --------
    >>> round(system_static(125.0, 0.50, 0.40), 3)
    80.0

    References
    ----------
    .. [1] 10 CFR 430 subpart B, appendix AA: K_ref = ESP_ref / Q_max^2.
    """
    _refuse_airflow(airflow_first)
    _refuse_airflow(airflow_second)
    if not -5000.0 <= static_first <= 5000.0:
        raise OutOfRange("static_first", static_first, (-5000.0, 5000.0), "plausible range")
    if not 1.0 <= exponent <= 2.0:
        raise OutOfRange("exponent", exponent, (1.0, 2.0), "laminar media to fully turbulent flow")
    second: float = static_first * (airflow_second / airflow_first) ** exponent
    return second


def air_power(airflow: float, static: float) -> float:
    """Return the power that moving air against a static takes at the least.

    Parameters
    ----------
    airflow : float
        Airflow. [m3/s]
    static : float
        Static that the blower holds. [Pa]

    Returns
    -------
    float
        Air power. [W]

    Raises
    ------
    OutOfRange
        An airflow that is not above zero, or a static below 0 or above 5000 Pa.

    Notes
    -----
    Q P, which for the trade is 0.1176 W per cfm and in. w.c. With external static it is what reaches the ducts; coil
    and filter inside the cabinet take their part before.

    Examples
    --------
    >>> air_power(0.50, 125.0)
    62.5

    References
    ----------
    .. [1] ANSI/AMCA 210-16 / ASHRAE 51-16, fan output power without compressibility (from memory).
    """
    _refuse_airflow(airflow)
    if not 0.0 <= static <= 5000.0:
        raise OutOfRange("static", static, (0.0, 5000.0), "incompressible flow")
    return airflow * static


def specific_fan_power(blower_power: float, airflow: float) -> float:
    """Return the electric power of a blower per airflow, its fan efficacy.

    Parameters
    ----------
    blower_power : float
        True electric power of the blower motor. [W]
    airflow : float
        Airflow. [m3/s]

    Returns
    -------
    float
        Blower power per airflow. [W/(m3/s)]

    Raises
    ------
    OutOfRange
        A power below 0 or above 5000 W, or an airflow that is not above zero.

    Notes
    -----
    W/Q; volts times amps are not the watts of a motor. 0.5 W/cfm is an ordinary PSC blower, 0.3 a good ECM one.

    Examples
    --------
    >>> specific_fan_power(450.0, 0.50)
    900.0

    References
    ----------
    .. [1] ANSI/RESNET/ICC 301 uses it in W/cfm as fan efficacy.
    """
    if not 0.0 <= blower_power <= 5000.0:
        raise OutOfRange("blower_power", blower_power, (0.0, 5000.0), "plausible range")
    _refuse_airflow(airflow)
    return blower_power / airflow


def static_efficiency(static: float, specific_fan_power: float) -> float:
    """Return the share of a blower's electric power that reaches the ducts as external static and airflow.

    Parameters
    ----------
    static : float
        External static. [Pa]
    specific_fan_power : float
        Blower power per airflow. [W/(m3/s)]

    Returns
    -------
    float
        External static efficiency of wheel, motor and cabinet together. [1]

    Raises
    ------
    OutOfRange
        A static below 0 or above 5000 Pa, a power per airflow that is not above zero, or an efficiency above 1.

    Notes
    -----
    P Q / W = P / SFP. 10 to 15 % is what PSC furnace blowers were found to have (from memory). Not to be compared
    between a cabinet with and one without its coil inside.

    Examples
    --------
    >>> round(static_efficiency(124.54, 0.50 / 4.7194745e-4), 4)
    0.1176

    References
    ----------
    .. [1] ANSI/AMCA 210-16 / ASHRAE 51-16, fan static efficiency, with electric instead of shaft power.
    """
    if not 0.0 <= static <= 5000.0:
        raise OutOfRange("static", static, (0.0, 5000.0), "incompressible flow")
    if not 0.0 < specific_fan_power <= 1e4:
        raise OutOfRange("specific_fan_power", specific_fan_power, (0.0, 1e4), "plausible range, above zero")
    efficiency = static / specific_fan_power
    if efficiency > 1.0:
        raise OutOfRange("efficiency", efficiency, (0.0, 1.0), "a blower gives no more power than it takes")
    return efficiency
