"""Strip heat: its power, and how many of its elements work."""

from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable

_MAXIMUM_VOLTS = 1000.0
_MAXIMUM_AMPS = 500.0
_SOURCE = "a reading that is above zero and plausible"


def _positive(quantity: str, value: float, high: float) -> None:
    if not 0.0 < value <= high:
        raise OutOfRange(quantity, value, (0.0, high), _SOURCE)


def strip_power(volts: float, amps: float) -> float:
    """Return the electric power of strip heat.

    Parameters
    ----------
    volts : float
        Voltage at the strips, under load. [V]
    amps : float
        Current of the strips alone, without the blower's. [A]

    Returns
    -------
    float
        Power, all of it heat. [W]

    Raises
    ------
    OutOfRange
        A reading that is not above zero, or above 500 A or 1000 V.

    Notes
    -----
    P = V I. A resistance has a power factor of 1; the blower has not, so its amps must not be in the reading.

    Examples
    --------
    >>> strip_power(231.0, 40.0)
    9240.0

    References
    ----------
    .. [1] Joule's law.
    """
    _positive("volts", volts, _MAXIMUM_VOLTS)
    _positive("amps", amps, _MAXIMUM_AMPS)
    return volts * amps


def power_at_voltage(power_rated: float, volts: float, volts_rated: float) -> float:
    """Return what a resistance takes at another voltage than its nameplate's.

    Parameters
    ----------
    power_rated : float
        Power on the nameplate. [W]
    volts : float
        Voltage at the strips, under load. [V]
    volts_rated : float
        Voltage on the nameplate. [V]

    Returns
    -------
    float
        Power at that voltage. [W]

    Raises
    ------
    OutOfRange
        A power or a voltage that is not above zero, a voltage above 1000 V, a nameplate below 1 V, a power above
        100 kW.

    Notes
    -----
    P = P_rated (V / V_rated)^2: the resistance of the wire hardly changes with its temperature in that range.

    Examples
    --------
    >>> round(power_at_voltage(10000.0, 231.0, 240.0), 1)
    9264.1

    References
    ----------
    .. [1] Ohm's law.
    """
    _positive("power_rated", power_rated, 1e5)
    _positive("volts", volts, _MAXIMUM_VOLTS)
    if not 1.0 <= volts_rated <= _MAXIMUM_VOLTS:
        raise OutOfRange("volts_rated", volts_rated, (1.0, _MAXIMUM_VOLTS), "nameplates of strip-heat kits")
    return power_rated * (volts / volts_rated) ** 2


def element_resistance(power_rated: float, volts_rated: float, elements: int = 1) -> float:
    """Return the resistance of one element of a strip-heat kit whose equal elements lie in parallel.

    Parameters
    ----------
    power_rated : float
        Power of the whole kit on its nameplate. [W]
    volts_rated : float
        Voltage on the nameplate. [V]
    elements : int
        Number of elements that share the power equally. [1]

    Returns
    -------
    float
        Resistance of one element. With one element, that of the whole kit. [ohm]

    Raises
    ------
    OutOfRange
        A power or a voltage that is not above zero, or a count outside 1 to 12.

    Notes
    -----
    R = n V^2 / P. Read it with the power locked out and one side of the element lifted, or the others read along.

    Examples
    --------
    >>> element_resistance(10000.0, 240.0), element_resistance(10000.0, 240.0, 2)
    (5.76, 11.52)

    References
    ----------
    .. [1] Ohm's law.
    """
    _positive("power_rated", power_rated, 1e5)
    _positive("volts_rated", volts_rated, _MAXIMUM_VOLTS)
    if not 1 <= elements <= 12:
        raise OutOfRange("elements", elements, (1.0, 12.0), "elements of a strip-heat kit")
    return elements * volts_rated**2 / power_rated


class WorkingElements(NamedTuple):
    """How many elements of a kit a reading answers for."""

    elements: float
    nearest: int
    remainder: float


def _working(elements: float, fitted: int) -> WorkingElements:
    nearest = round(elements)
    if not 0 <= nearest <= fitted:
        raise Unresolvable(
            f"The reading answers for {elements:.2f} elements, but the kit's nameplate gives {fitted}: "
            "the kit, the reading or the nameplate is another one."
        )
    return WorkingElements(elements, nearest, elements - nearest)


def elements_by_amps(
    volts: float, amps: float, power_rated: float, volts_rated: float, elements: int
) -> WorkingElements:
    """Return how many elements of a strip-heat kit carry current.

    Parameters
    ----------
    volts : float
        Voltage at the strips, under load. [V]
    amps : float
        Current of the strips alone. [A]
    power_rated : float
        Power of the whole kit on its nameplate. [W]
    volts_rated : float
        Voltage on the nameplate. [V]
    elements : int
        Number of elements that share the power equally. [1]

    Returns
    -------
    WorkingElements
        `elements`, the reading's answer, not rounded [1]; `nearest`, the nearest whole number [1]; `remainder`,
        their difference [1]: the larger it is, the less the count can be trusted.

    Raises
    ------
    OutOfRange
        A reading or a nameplate value that is not above zero.
    Unresolvable
        The nearest number is above that of the nameplate.

    Notes
    -----
    Each element takes V / R with R from `element_resistance`. Elements of unlike power make the count meaningless.

    Examples
    --------
    >>> count = elements_by_amps(238.0, 20.7, 10000.0, 240.0, 2)
    >>> round(count.elements, 3), count.nearest
    (1.002, 1)

    References
    ----------
    .. [1] Ohm's law.
    """
    _positive("volts", volts, _MAXIMUM_VOLTS)
    if not 0.0 <= amps <= _MAXIMUM_AMPS:
        raise OutOfRange("amps", amps, (0.0, _MAXIMUM_AMPS), _SOURCE)
    return _working(amps * element_resistance(power_rated, volts_rated, elements) / volts, elements)


def elements_by_resistance(resistance: float, power_rated: float, volts_rated: float, elements: int) -> WorkingElements:
    """Return how many parallel elements of a strip-heat kit are whole, from the resistance of the dead kit.

    Parameters
    ----------
    resistance : float
        Resistance of the whole kit, locked out and lifted from the line. [ohm]
    power_rated : float
        Power of the whole kit on its nameplate. [W]
    volts_rated : float
        Voltage on the nameplate. [V]
    elements : int
        Number of elements that share the power equally. [1]

    Returns
    -------
    WorkingElements
        `elements`, the reading's answer, not rounded [1]; `nearest`, the nearest whole number [1]; `remainder`,
        their difference [1].

    Raises
    ------
    OutOfRange
        A resistance or a nameplate value that is not above zero.
    Unresolvable
        The nearest number is above that of the nameplate.

    Notes
    -----
    n equal resistances in parallel read R / n. A kit whose contactors are open shows only the elements on this side.

    Examples
    --------
    >>> elements_by_resistance(11.5, 10000.0, 240.0, 2).nearest
    1

    References
    ----------
    .. [1] Ohm's law.
    """
    _positive("resistance", resistance, 1e7)
    return _working(element_resistance(power_rated, volts_rated, elements) / resistance, elements)
