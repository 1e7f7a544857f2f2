"""What a section of the air path costs: pressure drop, airflow and resistance, each from the other two."""

from typing import Literal, NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.units import CFM

# The state to which a resistance coefficient refers.
REFERENCE_AIRFLOW = 1000 * CFM  # 0.47194744 [m3/s]
REFERENCE_DENSITY = 1.2041  # dry air at 20 C and 101325 Pa [kg/m3]
REFERENCE_VISCOSITY = 1.8134e-5  # air at 20 C [Pa.s]

SectionName = Literal["return duct", "filter", "coil", "blower", "heater", "supply duct"]

_REAL_AIR = "plausible range of air"


class Exponent(NamedTuple):
    """What is believed of a section's exponent before it is measured: mean and standard deviation, and whence."""

    mean: float
    sd: float
    source: str


EXPONENTS: dict[SectionName, Exponent] = {
    "filter": Exponent(
        1.25,
        0.12,
        "1.18 = 1/0.85, Li et al. 2022, Sep. Purif. Technol. 284:120209; 1.0-1.5 for fibrous media (from memory)",
    ),
    "coil": Exponent(1.7, 0.05, "1.6-1.8, friction of fin-and-tube coils as Re^-0.2 to Re^-0.4 (from memory)"),
    "return duct": Exponent(1.9, 0.05, "1.8-2.0, ASHRAE Handbook - Fundamentals, duct design (from memory)"),
    "heater": Exponent(1.9, 0.05, "taken as a duct (judgement)"),
    "supply duct": Exponent(1.9, 0.05, "1.8-2.0, ASHRAE Handbook - Fundamentals, duct design (from memory)"),
}


def _state(exponent: float, density: float, viscosity: float) -> float:
    """Return the factor of the drop for air that is not the reference air, after refusing what is not air."""
    if not 0.5 <= exponent <= 2.5:
        raise OutOfRange("exponent", exponent, (0.5, 2.5), "plausible range; 1 is laminar, 2 fully turbulent")
    if not 0.2 <= density <= 2.0:
        raise OutOfRange("density", density, (0.2, 2.0), _REAL_AIR)
    if not 5e-6 <= viscosity <= 5e-5:
        raise OutOfRange("viscosity", viscosity, (5e-6, 5e-5), _REAL_AIR)
    heavier, thicker = density / REFERENCE_DENSITY, viscosity / REFERENCE_VISCOSITY
    factor: float = heavier ** (exponent - 1.0) * thicker ** (2.0 - exponent)
    return factor


def pressure_drop(
    resistance_coefficient: float,
    exponent: float,
    airflow_local: float,
    density: float = REFERENCE_DENSITY,
    viscosity: float = REFERENCE_VISCOSITY,
) -> float:
    """Return what a section of the air path costs.

    Parameters
    ----------
    resistance_coefficient : float
        Drop of the section at 1000 cfm of reference air. [Pa]
    exponent : float
        Exponent of airflow. [1]
    airflow_local : float
        Airflow at the state that it has in the section. [m3/s]
    density : float
        Density in the section; without it that of the reference air. [kg/m3]
    viscosity : float
        Viscosity in the section; without it that of the reference air. [Pa.s]

    Returns
    -------
    float
        Pressure drop. [Pa]

    Raises
    ------
    OutOfRange
        A resistance outside 0 to 5000 Pa, an exponent outside 0.5 to 2.5, an airflow outside 0 to 50 m3/s, or no air.

    Notes
    -----
    dp = K (Q/Q0)^n (rho/rho0)^(n-1) (mu/mu0)^(2-n): a friction factor that goes as Re^(n-2). Q0 is 1000 cfm,
    rho0 1.2041 kg/m3, mu0 that at 20 C. For n = 2 viscosity plays no part, for n = 1 density none. One mass flow
    passes all sections, so each has its own airflow: Q = m / rho. At equal mass flow dp goes as 1/rho: supply air of
    95 F costs 8 % more than that of 55 F.

    Examples
    --------
    >>> pressure_drop(55.0, 1.7, REFERENCE_AIRFLOW)
    55.0
    >>> round(pressure_drop(55.0, 1.7, 0.55), 2)
    71.34

    References
    ----------
    .. [1] Dimensional analysis of a section with f ~ Re^(n-2); exponents of ducts: ASHRAE Handbook - Fundamentals, duct
       design (from memory).
    """
    if not 0.0 <= resistance_coefficient <= 5000.0:
        raise OutOfRange("resistance_coefficient", resistance_coefficient, (0.0, 5000.0), "plausible range")
    if not 0.0 <= airflow_local <= 50.0:
        raise OutOfRange("airflow_local", airflow_local, (0.0, 50.0), "plausible range")
    relative: float = (airflow_local / REFERENCE_AIRFLOW) ** exponent if airflow_local else 0.0
    return resistance_coefficient * _state(exponent, density, viscosity) * relative


def airflow_through(
    pressure_drop: float,
    resistance_coefficient: float,
    exponent: float,
    density: float = REFERENCE_DENSITY,
    viscosity: float = REFERENCE_VISCOSITY,
) -> float:
    """Return the airflow that makes a section cost a given pressure.

    Parameters
    ----------
    pressure_drop : float
        Pressure drop of the section. [Pa]
    resistance_coefficient : float
        Drop of the section at 1000 cfm of reference air. [Pa]
    exponent : float
        Exponent of airflow. [1]
    density : float
        Density in the section; without it that of the reference air. [kg/m3]
    viscosity : float
        Viscosity in the section; without it that of the reference air. [Pa.s]

    Returns
    -------
    float
        Airflow at the state that it has in the section. [m3/s]

    Raises
    ------
    OutOfRange
        A drop outside 0 to 5000 Pa, a resistance that is not above zero, an exponent outside 0.5 to 2.5, or no air.

    Notes
    -----
    The inverse of `pressure_drop` by airflow.

    Examples
    --------
    >>> round(airflow_through(71.34, 55.0, 1.7), 4)
    0.55

    References
    ----------
    .. [1] As for `pressure_drop`.
    """
    if not 0.0 <= pressure_drop <= 5000.0:
        raise OutOfRange("pressure_drop", pressure_drop, (0.0, 5000.0), "the magnitude of a drop")
    if not 0.0 < resistance_coefficient <= 5000.0:
        raise OutOfRange("resistance_coefficient", resistance_coefficient, (0.0, 5000.0), "plausible range, above zero")
    relative = pressure_drop / (resistance_coefficient * _state(exponent, density, viscosity))
    airflow: float = REFERENCE_AIRFLOW * relative ** (1.0 / exponent)
    return airflow


def resistance_from_drop(
    pressure_drop: float,
    exponent: float,
    airflow_local: float,
    density: float = REFERENCE_DENSITY,
    viscosity: float = REFERENCE_VISCOSITY,
) -> float:
    """Return the resistance of a section from its drop at an airflow.

    Parameters
    ----------
    pressure_drop : float
        Pressure drop of the section. [Pa]
    exponent : float
        Exponent of airflow. [1]
    airflow_local : float
        Airflow at the state that it has in the section. [m3/s]
    density : float
        Density in the section; without it that of the reference air. [kg/m3]
    viscosity : float
        Viscosity in the section; without it that of the reference air. [Pa.s]

    Returns
    -------
    float
        Drop of the section at 1000 cfm of reference air. [Pa]

    Raises
    ------
    OutOfRange
        A drop outside 0 to 5000 Pa, an airflow that is not above zero, an exponent outside 0.5 to 2.5, or no air.

    Notes
    -----
    The inverse of `pressure_drop` by resistance. An untouched duct must give the same K before and after: that is the
    invariant by which two airflows are held against each other.

    Examples
    --------
    >>> round(resistance_from_drop(71.34, 1.7, 0.55), 2)
    55.0

    References
    ----------
    .. [1] As for `pressure_drop`.
    """
    if not 0.0 <= pressure_drop <= 5000.0:
        raise OutOfRange("pressure_drop", pressure_drop, (0.0, 5000.0), "the magnitude of a drop")
    if not 0.0 < airflow_local <= 50.0:
        raise OutOfRange("airflow_local", airflow_local, (0.0, 50.0), "plausible range, above zero")
    relative: float = (airflow_local / REFERENCE_AIRFLOW) ** exponent
    return pressure_drop / (_state(exponent, density, viscosity) * relative)
