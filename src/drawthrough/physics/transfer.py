"""Transfer: from the airflow of one run to that of another, through a section that nobody touched between them."""

from math import hypot, log

from drawthrough.errors import OutOfRange
from drawthrough.physics.opening import STANDARD_DENSITY, STANDARD_VISCOSITY

DUCT_EXPONENT = 1.9  # of a duct system: friction 1.8, fittings 2.0


def transfer_airflow(
    airflow_first: float,
    pressure_drop_first: float,
    pressure_drop_second: float,
    exponent: float,
    density_first: float = STANDARD_DENSITY,
    density_second: float = STANDARD_DENSITY,
    viscosity_first: float = STANDARD_VISCOSITY,
    viscosity_second: float = STANDARD_VISCOSITY,
) -> float:
    """Return the airflow of a second run, from that of a first and the pressure drops of one untouched section.

    Parameters
    ----------
    airflow_first : float
        Airflow of the first run, at the local state in the section. [m3/s]
    pressure_drop_first : float
        Pressure drop of the section in the first run. [Pa]
    pressure_drop_second : float
        Pressure drop of the same section by the same holes in the second run. [Pa]
    exponent : float
        Exponent of airflow in the section's pressure drop. [1]
    density_first : float
        Density in the section in the first run; without both densities they are taken as equal. [kg/m3]
    density_second : float
        Density in the section in the second run. [kg/m3]
    viscosity_first : float
        Viscosity in the section in the first run; without both they are taken as equal. [Pa.s]
    viscosity_second : float
        Viscosity in the section in the second run. [Pa.s]

    Returns
    -------
    float
        Airflow of the second run, at the local state in the section. [m3/s]

    Raises
    ------
    OutOfRange
        A pressure drop that is not positive, an exponent outside 1 to 2, or another value outside its plausible range.

    Notes
    -----
    dp = K Q^n (rho/rho0)^(n-1) (mu/mu0)^(2-n) with one K gives
    Q2 = Q1 [(dp2/dp1) (rho1/rho2)^(n-1) (mu1/mu2)^(2-n)]^(1/n). The blower speed may differ between the runs: that is
    the use of it. What must not differ are the holes, the registers and doors, the wetness, and the filter if the
    section holds it. Both pressures may be given as magnitudes of a suction.

    Examples
    --------
    >>> round(transfer_airflow(0.50, 40.0, 50.0, 1.9), 4)
    0.5623

    References
    ----------
    .. [1] Power law of a section with fluid terms: ASHRAE Handbook - Fundamentals, duct design (from memory).
    """
    _refuse(exponent, airflow_first=airflow_first)
    for name, value, low, high in (
        ("pressure_drop_first", pressure_drop_first, 0.0, 5000.0),
        ("pressure_drop_second", pressure_drop_second, 0.0, 5000.0),
        ("density_first", density_first, 0.2, 2.0),
        ("density_second", density_second, 0.2, 2.0),
        ("viscosity_first", viscosity_first, 5e-6, 5e-5),
        ("viscosity_second", viscosity_second, 5e-6, 5e-5),
    ):
        if not low < value <= high:
            raise OutOfRange(name, value, (low, high), "the magnitude of a pressure drop, and a real fluid")
    fluid = (density_first / density_second) ** (exponent - 1.0) * (viscosity_first / viscosity_second) ** (
        2.0 - exponent
    )
    airflow_second: float = airflow_first * (pressure_drop_second / pressure_drop_first * fluid) ** (1.0 / exponent)
    _refuse(exponent, airflow_second=airflow_second)
    return airflow_second


def transfer_uncertainty(
    airflow_first: float,
    airflow_second: float,
    exponent: float,
    exponent_uncertainty: float,
    relative_uncertainty: float,
) -> float:
    """Return what a transfer adds to the relative uncertainty of the airflow.

    Parameters
    ----------
    airflow_first : float
        Airflow of the first run. [m3/s]
    airflow_second : float
        Airflow of the second run as transferred. [m3/s]
    exponent : float
        Exponent of airflow in the section's pressure drop. [1]
    exponent_uncertainty : float
        Standard uncertainty of the exponent. [1]
    relative_uncertainty : float
        Standard uncertainty of the ratio of the two pressure drops, relative; what both share counts only as far as it
        does not cancel. [1]

    Returns
    -------
    float
        Standard uncertainty of ln(Q2/Q1), k = 1. [1]

    Raises
    ------
    OutOfRange
        An airflow that is not positive, an exponent outside 1 to 2, or an uncertainty outside 0 to 1.

    Notes
    -----
    u(ln Q)^2 = (u(ln dp1/dp2) / n)^2 + (ln(Q1/Q2) u(n) / n)^2, the first order of `transfer_airflow` at equal density
    and viscosity. The second term vanishes for equal airflows: an exponent matters only over a distance. The airflow of
    the first run brings its own uncertainty besides.

    Examples
    --------
    >>> round(transfer_uncertainty(0.50, 0.5623, 1.9, 0.05, 0.02), 4)
    0.011

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1.
    """
    _refuse(exponent, airflow_first=airflow_first, airflow_second=airflow_second)
    for name, value in (("exponent_uncertainty", exponent_uncertainty), ("relative_uncertainty", relative_uncertainty)):
        if not 0.0 <= value <= 1.0:
            raise OutOfRange(name, value, (0.0, 1.0), "plausible range")
    return hypot(relative_uncertainty / exponent, log(airflow_first / airflow_second) * exponent_uncertainty / exponent)


def plate_airflow(
    airflow_reference: float,
    static_reference: float,
    static: float,
    exponent: float = DUCT_EXPONENT,
    density_reference: float = STANDARD_DENSITY,
    density: float = STANDARD_DENSITY,
) -> float:
    """Return the airflow with the filter in its place, from a flow plate that stood there instead.

    Parameters
    ----------
    airflow_reference : float
        Airflow through the plate by its own calibration, corrected to the density in the duct. [m3/s]
    static_reference : float
        Static pressure of the supply plenum against the room, with the plate. [Pa]
    static : float
        The same by the same hole, with the filter back and the plate out. [Pa]
    exponent : float
        Exponent of airflow in the pressure drop of the supply ducts; 1.9 unless known. [1]
    density_reference : float
        Density in the supply plenum with the plate. [kg/m3]
    density : float
        Density in the supply plenum with the filter back. [kg/m3]

    Returns
    -------
    float
        Airflow with the filter back. [m3/s]

    Raises
    ------
    OutOfRange
        A static that is not positive, an exponent outside 1 to 2, or another value outside its plausible range.

    Notes
    -----
    Q = Q_plate (P / P_plate)^(1/n) with the ducts' own exponent: the supply ducts carry the airflow from one to the
    other. The square root of a plate's instructions is n = 2; against 1.9 it differs by 0.5 % for a static that changed
    by a fifth. The plate is said to hold 7 % (from memory).

    Examples
    --------
    >>> round(plate_airflow(0.50, 30.0, 33.0), 4)
    0.5257

    References
    ----------
    .. [1] Francisco and Palmiter, 2003. ASHRAE Transactions, KC-03-1-4 (form from memory).
    """
    return transfer_airflow(airflow_reference, static_reference, static, exponent, density_reference, density)


def _refuse(exponent: float, **airflows: float) -> None:
    if not 1.0 <= exponent <= 2.0:
        raise OutOfRange("exponent", exponent, (1.0, 2.0), "laminar media to fully turbulent flow")
    for name, value in airflows.items():
        if not 0.0 < value <= 50.0:
            raise OutOfRange(name, value, (0.0, 50.0), "plausible range")
