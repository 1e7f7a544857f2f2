"""Leaks: from a test's pressure to the running one, as a hole, and as what tape or a thermometer says of them."""

from math import log

from drawthrough.errors import OutOfRange
from drawthrough.physics.opening import EDGE_COEFFICIENT, STANDARD_DENSITY, orifice_airflow
from drawthrough.units import RANKINE

LEAK_EXPONENT = 0.6  # of ducts and cabinets: between a sharp hole (0.5) and a laminar crack (1.0)
MIXING_DIFFERENCE = 20 * RANKINE  # least difference between surroundings and return in the mixing test [K]

# Rise of ln filter airflow per leak fraction sealed, least and most by motor [computed on fitted paths]. The fitted
# path of the system at hand gives its own.
TAPE_GAIN = {"psc": (0.65, 0.81), "constant torque": (0.73, 0.82), "constant airflow": (0.95, 1.0)}

_LIMITS = (0.0, 5000.0)
_SOURCE = "incompressible flow, and a leak needs a pressure"


def _refuse(leak_exponent: float, **pressures: float) -> None:
    for name, value in pressures.items():
        if not 0.0 < value <= _LIMITS[1]:
            raise OutOfRange(name, value, _LIMITS, _SOURCE)
    if not 0.5 <= leak_exponent <= 1.0:
        raise OutOfRange("leak_exponent", leak_exponent, (0.5, 1.0), "sharp hole to laminar crack")


def leak_airflow(
    airflow_reference: float,
    pressure_drop_reference: float,
    pressure_drop: float,
    leak_exponent: float = LEAK_EXPONENT,
) -> float:
    """Return what a leak lets through at another pressure than that of its test.

    Parameters
    ----------
    airflow_reference : float
        Airflow of the leak in the test. [m3/s]
    pressure_drop_reference : float
        Pressure of the test, often 25 Pa. [Pa]
    pressure_drop : float
        Pressure across the leak while the system runs. [Pa]
    leak_exponent : float
        Exponent of pressure: 0.5 for a sharp hole, 0.6 for ducts, 1.0 for a laminar crack. [1]

    Returns
    -------
    float
        Airflow of the leak at the running pressure. [m3/s]

    Raises
    ------
    OutOfRange
        A pressure outside 0 to 5000 Pa, an exponent outside 0.5 to 1, or a negative airflow.

    Notes
    -----
    Q = Q_ref (dp / dp_ref)^n. From 25 Pa to 150 Pa an exponent that is 0.05 wrong is 9 % in the airflow.

    Examples
    --------
    >>> round(leak_airflow(0.010, 25.0, 150.0), 5)
    0.0293

    References
    ----------
    .. [1] ANSI/ASHRAE 152 and ANSI/RESNET/ICC 380: exponent 0.6 for ducts (from memory).
    """
    if not 0.0 <= airflow_reference <= 50.0:
        raise OutOfRange("airflow_reference", airflow_reference, (0.0, 50.0), "plausible range")
    _refuse(leak_exponent, pressure_drop_reference=pressure_drop_reference, pressure_drop=pressure_drop)
    airflow: float = airflow_reference * (pressure_drop / pressure_drop_reference) ** leak_exponent
    return airflow


def leak_pressure_drop(
    airflow: float,
    airflow_reference: float,
    pressure_drop_reference: float,
    leak_exponent: float = LEAK_EXPONENT,
) -> float:
    """Return the pressure at which a leak of known test result lets an airflow through.

    Parameters
    ----------
    airflow : float
        Airflow of the leak while the system runs. [m3/s]
    airflow_reference : float
        Airflow of the leak in the test. [m3/s]
    pressure_drop_reference : float
        Pressure of the test, often 25 Pa. [Pa]
    leak_exponent : float
        Exponent of pressure: 0.5 for a sharp hole, 0.6 for ducts, 1.0 for a laminar crack. [1]

    Returns
    -------
    float
        Pressure across the leak. [Pa]

    Raises
    ------
    OutOfRange
        An airflow or pressure that is not positive, an answer above 5000 Pa, or an exponent outside 0.5 to 1.

    Notes
    -----
    The inverse of `leak_airflow`.

    Examples
    --------
    >>> round(leak_pressure_drop(0.0293, 0.010, 25.0))
    150

    References
    ----------
    .. [1] ANSI/ASHRAE 152 and ANSI/RESNET/ICC 380: exponent 0.6 for ducts (from memory).
    """
    for name, value in (("airflow", airflow), ("airflow_reference", airflow_reference)):
        if not 0.0 < value <= 50.0:
            raise OutOfRange(name, value, (0.0, 50.0), "plausible range")
    _refuse(leak_exponent, pressure_drop_reference=pressure_drop_reference)
    pressure_drop: float = pressure_drop_reference * (airflow / airflow_reference) ** (1.0 / leak_exponent)
    _refuse(leak_exponent, pressure_drop=pressure_drop)
    return pressure_drop


def orifice_area(
    airflow: float, pressure_drop: float, coefficient: float = EDGE_COEFFICIENT, density: float = STANDARD_DENSITY
) -> float:
    """Return the area of the hole that would pass an airflow: the size of a leak.

    Parameters
    ----------
    airflow : float
        Airflow at the density given. [m3/s]
    pressure_drop : float
        Pressure across the hole. [Pa]
    coefficient : float
        Discharge coefficient that the hole is thought to have. [1]
    density : float
        Density of the air ahead of the hole; without it 0.075 lb/ft3. [kg/m3]

    Returns
    -------
    float
        Equivalent area. [m2]

    Raises
    ------
    OutOfRange
        A pressure of 0 or less or above 5000 Pa, or another value outside its plausible range.

    Notes
    -----
    The inverse of `orifice_airflow`. The area goes with the pressure and the coefficient at which it was computed.

    Examples
    --------
    >>> round(orifice_area(0.007879, 248.84, 0.60), 7)
    0.0006452

    References
    ----------
    .. [1] ISO 5167-2, orifice plates.
    """
    if not 0.0 <= airflow <= 50.0:
        raise OutOfRange("airflow", airflow, (0.0, 50.0), "plausible range")
    if not 0.0 < pressure_drop <= _LIMITS[1]:
        raise OutOfRange("pressure_drop", pressure_drop, _LIMITS, _SOURCE)
    return airflow / orifice_airflow(1.0, pressure_drop, coefficient, density)


def tape_leak_fraction(
    pressure_drop_before: float, pressure_drop_after: float, exponent: float, tape_gain: float
) -> float:
    """Return the leak that tape on the seams after the filter has closed.

    Parameters
    ----------
    pressure_drop_before : float
        Pressure drop of the filter, seams open. [Pa]
    pressure_drop_after : float
        The same by the same holes at the same speed, seams taped. [Pa]
    exponent : float
        Exponent of airflow in the filter's pressure drop. [1]
    tape_gain : float
        Rise of ln filter airflow per leak fraction sealed, from the fitted path. [1]

    Returns
    -------
    float
        Share of the blower's air that the tape has closed off; noise may make it slightly negative. [1]

    Raises
    ------
    OutOfRange
        A pressure drop that is not positive, an exponent outside 1 to 2, a gain outside 0.1 to 1.5, or an answer
        outside -1 to 1.

    Notes
    -----
    f = ln(dp_after / dp_before) / (n g). It sees leaks above 4 to 6 % and says nothing of air that goes around the
    filter.

    Examples
    --------
    >>> round(tape_leak_fraction(50.0, 53.0, 1.25, 0.75), 3)
    0.062

    References
    ----------
    .. [1] Derived from the power law of the filter; the gain from the fitted air path.
    """
    for name, value in (("pressure_drop_before", pressure_drop_before), ("pressure_drop_after", pressure_drop_after)):
        if not 0.0 < value <= _LIMITS[1]:
            raise OutOfRange(name, value, _LIMITS, "plausible range")
    if not 1.0 <= exponent <= 2.0:
        raise OutOfRange("exponent", exponent, (1.0, 2.0), "laminar media to fully turbulent flow")
    if not 0.1 <= tape_gain <= 1.5:
        raise OutOfRange("tape_gain", tape_gain, (0.1, 1.5), "plausible range")
    return _a_share(log(pressure_drop_after / pressure_drop_before) / (exponent * tape_gain))


def mixing_leak_fraction(dry_bulb_mixed: float, dry_bulb_return: float, dry_bulb_surround: float, rise: float) -> float:
    """Return the leak that the temperature of the mixed air betrays.

    Parameters
    ----------
    dry_bulb_mixed : float
        Dry bulb after the blower, fan only, coil dry. [K]
    dry_bulb_return : float
        Dry bulb of the return air. [K]
    dry_bulb_surround : float
        Dry bulb around the cabinet, where the leak draws from. [K]
    rise : float
        Rise that the blower's heat and the gain through the cabinet make without any leak. [K]

    Returns
    -------
    float
        Share of the blower's air that leaked in; noise may make it slightly negative. [1]

    Raises
    ------
    OutOfRange
        A temperature outside 200 to 400 K, surroundings less than 20 F from the return, a rise outside -60 to 120 K,
        or an answer outside -1 to 1.

    Notes
    -----
    f = (T_mixed - rise - T_return) / (T_surround - T_return), of mass, with one heat capacity for both airs. Its
    uncertainty is about 1.4 u(T) / (T_surround - T_return): thermometers of 0.5 F and 20 F apart make 0.035. A coil
    that still evaporates cools the air and fakes a leak of cold air.

    Examples
    --------
    >>> round(mixing_leak_fraction(299.0, 296.15, 318.15, 0.75), 3)
    0.095

    References
    ----------
    .. [1] Energy balance (derived).
    """
    for name, value in (
        ("dry_bulb_mixed", dry_bulb_mixed),
        ("dry_bulb_return", dry_bulb_return),
        ("dry_bulb_surround", dry_bulb_surround),
    ):
        if not 200.0 <= value <= 400.0:
            raise OutOfRange(name, value, (200.0, 400.0), "plausible range")
    if not -60.0 <= rise <= 120.0:
        raise OutOfRange("rise", rise, (-60.0, 120.0), "plausible range")
    apart = dry_bulb_surround - dry_bulb_return
    if abs(apart) < MIXING_DIFFERENCE:
        warmer, colder = (dry_bulb_return + MIXING_DIFFERENCE, 400.0), (200.0, dry_bulb_return - MIXING_DIFFERENCE)
        limits = warmer if apart >= 0.0 else colder
        raise OutOfRange(
            "dry_bulb_surround", dry_bulb_surround, limits, "the mixing test: 20 F from the return or more"
        )
    return _a_share((dry_bulb_mixed - rise - dry_bulb_return) / apart)


def _a_share(leak_fraction: float) -> float:
    if not -1.0 <= leak_fraction <= 1.0:
        raise OutOfRange(
            "leak_fraction", leak_fraction, (-1.0, 1.0), "a leak is a share of the air: a reading is wrong"
        )
    return leak_fraction
