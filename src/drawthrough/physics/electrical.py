"""Electrical checks at the blower: capacitor, speed leads, line voltage, motor speed. No verdicts here."""

import math
from collections.abc import Mapping
from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable

VOLTAGE_TOLERANCE = 0.10  # share of the nameplate voltage; NEMA MG 1, from memory
LEAD_TOLERANCE = 0.02  # (judgement) two windings closer than this share cannot be told apart by a hand-held ohmmeter

_MAXIMUM_VOLTS = 1000.0
_MAXIMUM_AMPS = 500.0
_SOURCE = "a reading that is above zero and plausible"


def _positive(quantity: str, value: float, high: float) -> None:
    if not 0.0 < value <= high:
        raise OutOfRange(quantity, value, (0.0, high), _SOURCE)


def capacitance(amps: float, volts: float, frequency: float) -> float:
    """Return the capacitance of a run capacitor from the current in its lead and the voltage across it.

    Parameters
    ----------
    amps : float
        Current in the capacitor's lead, running, true root mean square. [A]
    volts : float
        Voltage across the capacitor itself, running, true root mean square. [V]
    frequency : float
        Line frequency. [Hz]

    Returns
    -------
    float
        Capacitance. [F]

    Raises
    ------
    OutOfRange
        A reading that is not above zero, above 500 A or 1000 V, or a frequency outside 40 to 70 Hz.

    Notes
    -----
    C = I / (2 pi f V) of a lossless capacitor in a sinusoidal voltage. The voltage across a run capacitor usually
    stands above the line's: the line voltage in its place reads too much capacitance.

    Examples
    --------
    >>> round(capacitance(2.0, 330.0, 60.0) * 1e6, 3)
    16.076

    References
    ----------
    .. [1] Reactance of a capacitor, any text on alternating current.
    """
    _positive("amps", amps, _MAXIMUM_AMPS)
    _positive("volts", volts, _MAXIMUM_VOLTS)
    if not 40.0 <= frequency <= 70.0:
        raise OutOfRange("frequency", frequency, (40.0, 70.0), "line frequencies of 50 and 60 Hz")
    return amps / (2.0 * math.pi * frequency * volts)


class CapacitanceCheck(NamedTuple):
    """A measured capacitance against what is printed on the part."""

    capacitance_ratio: float
    excess: float
    z: float


def capacitance_check(
    capacitance: float, capacitance_rated: float, tolerance: float, relative_uncertainty: float
) -> CapacitanceCheck:
    """Return how far a measured capacitance lies outside the tolerance printed on the part.

    Parameters
    ----------
    capacitance : float
        Measured capacitance. [F]
    capacitance_rated : float
        Capacitance printed on the part. [F]
    tolerance : float
        Tolerance printed on the part, 0.05 for 5 % either way. [1]
    relative_uncertainty : float
        Standard uncertainty (k = 1) of the measured capacitance, as a share of it. [1]

    Returns
    -------
    CapacitanceCheck
        `capacitance_ratio`, measured over printed [1]; `excess`, the ratio's distance beyond the nearer limit of the
        tolerance, negative inside it [1]; `z`, that excess in standard uncertainties of the ratio [1].

    Raises
    ------
    OutOfRange
        A capacitance that is not above zero, a tolerance outside 0 to 0.5, or an uncertainty that is not above zero.

    Notes
    -----
    No verdict: |z| below about 2 says that the reading's own uncertainty bridges the limit. The tolerance is the one
    on the part; the trade's 6 and 10 % are common practice without a source. The part's own reading at the last visit
    tells more than its limit does.

    Examples
    --------
    >>> check = capacitance_check(8.6e-6, 10e-6, 0.05, 0.022)
    >>> round(check.capacitance_ratio, 3), round(check.excess, 3), round(check.z, 2)
    (0.86, 0.09, 4.76)

    References
    ----------
    .. [1] Letter codes of capacitor tolerance (J 5 %, K 10 %), from memory; the print on the part decides.
    """
    _positive("capacitance", capacitance, 1e-3)
    _positive("capacitance_rated", capacitance_rated, 1e-3)
    if not 0.0 <= tolerance <= 0.5:
        raise OutOfRange("tolerance", tolerance, (0.0, 0.5), "tolerances that are printed on run capacitors")
    _positive("relative_uncertainty", relative_uncertainty, 1.0)
    ratio = capacitance / capacitance_rated
    excess = abs(ratio - 1.0) - tolerance
    return CapacitanceCheck(ratio, excess, excess / (ratio * relative_uncertainty))


def lead_order(resistances: Mapping[str, float], tolerance: float = LEAD_TOLERANCE) -> tuple[tuple[str, ...], ...]:
    """Return a PSC motor's speed leads from the highest speed to the lowest, by resistance to common.

    Parameters
    ----------
    resistances : Mapping[str, float]
        Resistance from each speed lead to common, by the lead's name. [ohm]
    tolerance : float
        Share of a resistance within which two leads cannot be told apart (judgement). [1]

    Returns
    -------
    tuple[tuple[str, ...], ...]
        Groups of leads, the highest speed first; leads that cannot be told apart stand in one group.

    Raises
    ------
    OutOfRange
        A resistance that is not above zero, or a tolerance outside 0 to 1.
    Unresolvable
        Fewer than two leads.

    Notes
    -----
    Lower speeds have more turns in series, so the highest speed reads lowest to common. The start winding reads
    higher still and is not a speed lead. Colours are common practice only: the diagram on the unit decides.

    Examples
    --------
    >>> lead_order({"red": 17.1, "black": 9.8, "blue": 12.4})
    (('black',), ('blue',), ('red',))

    References
    ----------
    .. [1] Tapped windings of permanent-split-capacitor motors, from memory.
    """
    if len(resistances) < 2:
        raise Unresolvable("An order needs the resistances of at least two leads.")
    if not 0.0 <= tolerance <= 1.0:
        raise OutOfRange("tolerance", tolerance, (0.0, 1.0), "a share")
    for value in resistances.values():
        _positive("resistance", value, 1e7)
    groups: list[list[str]] = []
    last = 0.0
    for lead, value in sorted(resistances.items(), key=lambda item: (item[1], item[0])):
        if groups and value <= last * (1.0 + tolerance):
            groups[-1].append(lead)
        else:
            groups.append([lead])
        last = value
    return tuple(tuple(group) for group in groups)


def voltage_deviation(volts: float, volts_rated: float) -> float:
    """Return how far a voltage lies from the nameplate's.

    Parameters
    ----------
    volts : float
        Voltage at the motor or the strips, under load. [V]
    volts_rated : float
        Voltage on the nameplate. [V]

    Returns
    -------
    float
        Voltage over the nameplate's, minus one. [1]

    Raises
    ------
    OutOfRange
        A voltage that is not above zero, or above 1000 V.

    Notes
    -----
    Motors are made for 10 % either way (`VOLTAGE_TOLERANCE`). A PSC blower slows well within that, since its torque
    goes with the square of the voltage: compare airflow only at voltages that were both read.

    Examples
    --------
    >>> round(voltage_deviation(219.0, 230.0), 4)
    -0.0478

    References
    ----------
    .. [1] NEMA MG 1, variation from rated voltage, from memory.
    """
    _positive("volts", volts, _MAXIMUM_VOLTS)
    _positive("volts_rated", volts_rated, _MAXIMUM_VOLTS)
    return volts / volts_rated - 1.0


def synchronous_speed(frequency: float, poles: int) -> float:
    """Return the speed of a motor's rotating field.

    Parameters
    ----------
    frequency : float
        Line frequency. [Hz]
    poles : int
        Number of magnetic poles, even. [1]

    Returns
    -------
    float
        Synchronous speed, in revolutions per second. [Hz]

    Raises
    ------
    OutOfRange
        A frequency outside 40 to 70 Hz, or a number of poles outside 2 to 24.
    Unresolvable
        An odd number of poles.

    Notes
    -----
    N = 2 f / p. An induction motor on the line never runs faster: a reading above it is a bad reading or another
    motor. A blower that moves less air drifts up towards it.

    Examples
    --------
    >>> synchronous_speed(60.0, 6) * 60.0
    1200.0

    References
    ----------
    .. [1] Any text on induction motors.
    """
    if not 40.0 <= frequency <= 70.0:
        raise OutOfRange("frequency", frequency, (40.0, 70.0), "line frequencies of 50 and 60 Hz")
    if not 2 <= poles <= 24:
        raise OutOfRange("poles", poles, (2.0, 24.0), "blower motors")
    if poles % 2:
        raise Unresolvable(f"A motor has an even number of poles, not {poles}.")
    return 2.0 * frequency / poles
