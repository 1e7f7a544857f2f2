"""Published forms of what a wrong charge or a wrong airflow does to a cooling unit, and their combination."""

from typing import NamedTuple

from drawthrough.errors import OutOfRange
from drawthrough.units import to_si

REPORT = "NIST TN 1848 (Domanski, Henderson, Payne 2014), cooling"
# The laboratory's own conditions; their ends are from memory. The combination is used in design at one of them.
DRY_BULB_LIMITS = (to_si(21.0, "C", "temperature"), to_si(27.0, "C", "temperature"))
OUTDOOR_LIMITS = (to_si(21.0, "C", "temperature"), to_si(38.0, "C", "temperature"))
CHARGE_LIMITS = (-0.30, 0.30)
AIRFLOW_LIMITS = (-0.36, 0.0)
COMBINED_AIRFLOW_LIMITS = (-0.40, 0.25)


class Form(NamedTuple):
    """Y = 1 + (a1 + a2 t_indoor + a3 t_outdoor + a4 F) F, temperatures in C."""

    a: tuple[float, float, float, float]
    source: str
    word: str

    def at(self, deviation: float, dry_bulb: float, outdoor: float) -> float:
        """Return the faulty over the unfaulted value."""
        a1, a2, a3, a4 = self.a
        return 1.0 + (a1 + a2 * (dry_bulb - 273.15) + a3 * (outdoor - 273.15) + a4 * deviation) * deviation


UNDERCHARGE = {
    "capacity": Form((-0.946, 0.0493, -0.00118, -1.15), REPORT, "published"),
    "power": Form((-0.313, 0.0115, 0.00266, -0.116), REPORT, "published"),
}
OVERCHARGE = {
    "capacity": Form((-0.163, 0.0114, -0.00021, -0.14), REPORT, "published"),
    "power": Form((0.219, -0.00501, 0.000989, 0.284), REPORT, "published"),
}
AIRFLOW = {
    "capacity": Form((0.295, -0.00117, -0.00157, 0.0692), REPORT, "from memory"),
    "cop": Form((0.185, 0.00177, -0.00064, -0.277), REPORT, "from memory"),
    "shr": Form((0.0593, 0.00516, 0.00181, -0.289), REPORT, "from memory"),
}
# Curves of airflow on which the combination of RESNET 310 stands: single-speed heat pump, cooling.
COMBINATION_CAPACITY = (0.718664047, 0.41797409, -0.136638137)
COMBINATION_EIR = (1.143487507, -0.13943972, -0.004047787)
COMBINATION_DRY_BULB = to_si(26.67, "C", "temperature")
COMBINATION_OUTDOOR = to_si(35.0, "C", "temperature")


class ChargeEffect(NamedTuple):
    """Faulty over unfaulted values of a unit whose charge is off."""

    capacity_ratio: float
    power_ratio: float
    cop_ratio: float


class AirflowFault(NamedTuple):
    """Faulty over unfaulted values of a unit whose indoor airflow is low."""

    capacity_ratio: float
    cop_ratio: float
    shr_ratio: float


class CombinedEffect(NamedTuple):
    """Faulty over unfaulted values of a unit whose charge and airflow are both off."""

    capacity_ratio: float
    eir_ratio: float


def _check(quantity: str, value: float, limits: tuple[float, float], source: str = REPORT) -> None:
    if not limits[0] - 1e-9 <= value <= limits[1] + 1e-9:
        raise OutOfRange(quantity, value, limits, source)


def _charge(charge_deviation: float, dry_bulb: float, outdoor: float) -> ChargeEffect:
    forms = OVERCHARGE if charge_deviation > 0.0 else UNDERCHARGE
    capacity = forms["capacity"].at(charge_deviation, dry_bulb, outdoor)
    power = forms["power"].at(charge_deviation, dry_bulb, outdoor)
    return ChargeEffect(capacity, power, capacity / power)


def charge_effect(charge_deviation: float, dry_bulb: float, outdoor: float) -> ChargeEffect:
    """Return what a charge that is off does to capacity and power in cooling.

    Parameters
    ----------
    charge_deviation : float
        Charge over nominal, minus one. [1]
    dry_bulb : float
        Indoor dry bulb. [K]
    outdoor : float
        Outdoor dry bulb. [K]

    Returns
    -------
    ChargeEffect
        Faulty over unfaulted: `capacity_ratio`, total capacity [1]; `power_ratio`, power of the outdoor unit [1];
        `cop_ratio`, the first over the second [1].

    Raises
    ------
    OutOfRange
        A deviation outside -0.30 to 0.30, indoors outside 21 to 27 C or outdoors outside 21 to 38 C.

    Notes
    -----
    Y = 1 + (a1 + a2 t_indoor + a3 t_outdoor + a4 F) F with one set of coefficients for too little and one for too much
    charge [1]_. One unit of 8.8 kW with R-410A and an expansion valve: a fixed orifice suffers more from too little.
    The temperatures' limits are the laboratory's, from memory.

    Examples
    --------
    >>> effect = charge_effect(-0.2, 299.85, 308.15)
    >>> round(effect.capacity_ratio, 4), round(effect.power_ratio, 4)
    (0.8882, 0.9779)

    References
    ----------
    .. [1] Domanski, Henderson, Payne, NIST Technical Note 1848, 2014, correlations in cooling.
    """
    _check("charge_deviation", charge_deviation, CHARGE_LIMITS)
    _check("dry_bulb", dry_bulb, DRY_BULB_LIMITS)
    _check("outdoor", outdoor, OUTDOOR_LIMITS)
    return _charge(charge_deviation, dry_bulb, outdoor)


def airflow_fault(airflow_deviation: float, dry_bulb: float, outdoor: float) -> AirflowFault:
    """Return what a low indoor airflow does in cooling, by coefficients that are **from memory**.

    Parameters
    ----------
    airflow_deviation : float
        Airflow over nominal, minus one. [1]
    dry_bulb : float
        Indoor dry bulb. [K]
    outdoor : float
        Outdoor dry bulb. [K]

    Returns
    -------
    AirflowFault
        Faulty over unfaulted: `capacity_ratio`, total capacity [1]; `cop_ratio` [1]; `shr_ratio`, sensible share [1].

    Raises
    ------
    OutOfRange
        A deviation outside -0.36 to 0, indoors outside 21 to 27 C or outdoors outside 21 to 38 C.

    Notes
    -----
    The same form as `charge_effect`. These coefficients were not re-read: never the only ground for a statement. Total
    capacity hardly moves (-2 % at a tenth less air), which is why a cleaning is proved by airflow.

    Examples
    --------
    >>> round(airflow_fault(-0.3, 299.85, 308.15).shr_ratio, 4)
    0.8959

    References
    ----------
    .. [1] Domanski, Henderson, Payne, NIST Technical Note 1848, 2014, correlations in cooling, from memory.
    """
    _check("airflow_deviation", airflow_deviation, AIRFLOW_LIMITS)
    _check("dry_bulb", dry_bulb, DRY_BULB_LIMITS)
    _check("outdoor", outdoor, OUTDOOR_LIMITS)
    return AirflowFault(
        AIRFLOW["capacity"].at(airflow_deviation, dry_bulb, outdoor),
        AIRFLOW["cop"].at(airflow_deviation, dry_bulb, outdoor),
        AIRFLOW["shr"].at(airflow_deviation, dry_bulb, outdoor),
    )


def _quadratic(c: tuple[float, float, float], x: float) -> float:
    return c[0] + x * (c[1] + c[2] * x)


def combined_effect(
    charge_deviation: float,
    airflow_deviation: float,
    dry_bulb: float,
    outdoor: float,
    flow_fraction: float = 1.0,
) -> CombinedEffect:
    """Return what a wrong charge and a wrong airflow do together, by the method of ANSI/RESNET/ACCA 310.

    Parameters
    ----------
    charge_deviation : float
        Charge over nominal, minus one. [1]
    airflow_deviation : float
        Airflow over the design's, minus one. [1]
    dry_bulb : float
        Indoor dry bulb. [K]
    outdoor : float
        Outdoor dry bulb. [K]
    flow_fraction : float
        Design airflow over rated airflow. [1]

    Returns
    -------
    CombinedEffect
        `capacity_ratio` and `eir_ratio`, over those of the same unit at design airflow in full charge [1].

    Raises
    ------
    OutOfRange
        A charge deviation outside -0.30 to 0.30, an airflow deviation outside -0.40 to 0.25, a flow fraction outside
        0.75 to 1.25, indoors outside 21 to 27 C or outdoors outside 21 to 38 C.

    Notes
    -----
    The charge fault is turned into an equivalent airflow ratio (at 26.67 and 35 C), multiplied with the real one, and
    both are read from the same curves of airflow [1]_; a charge that is low counts as more air, so the two faults
    together cost a little less than the product of each alone. It is a rating method, not a measurement: down to -0.40
    it leaves the range in which its curves of airflow were fitted. Unlike its coded form nothing is rounded on the way
    (that form rounds the airflow ratio to 0.001, which moves the result by less than 0.0002).

    Examples
    --------
    >>> effect = combined_effect(-0.1, -0.15, 299.82, 308.15)
    >>> round(effect.capacity_ratio, 3), round(effect.eir_ratio, 3)
    (0.933, 1.06)

    References
    ----------
    .. [1] ANSI/RESNET/ACCA 310-2020 with RESNET 301, as coded in OpenStudio-HPXML.
    """
    _check("charge_deviation", charge_deviation, CHARGE_LIMITS)
    _check("airflow_deviation", airflow_deviation, COMBINED_AIRFLOW_LIMITS, "ANSI/RESNET/ACCA 310")
    _check("flow_fraction", flow_fraction, (0.75, 1.25), "ANSI/RESNET/ACCA 310")
    _check("dry_bulb", dry_bulb, DRY_BULB_LIMITS)
    _check("outdoor", outdoor, OUTDOOR_LIMITS)
    here = _charge(charge_deviation, dry_bulb, outdoor)
    equivalent = 1.0 / _charge(charge_deviation, COMBINATION_DRY_BULB, COMBINATION_OUTDOOR).capacity_ratio
    combined = equivalent * flow_fraction * (1.0 + airflow_deviation)
    capacity = here.capacity_ratio * _quadratic(COMBINATION_CAPACITY, combined)
    capacity /= _quadratic(COMBINATION_CAPACITY, equivalent) * _quadratic(COMBINATION_CAPACITY, flow_fraction)
    eir = _quadratic(COMBINATION_EIR, combined) / (here.cop_ratio * _quadratic(COMBINATION_EIR, equivalent))
    return CombinedEffect(capacity, eir / _quadratic(COMBINATION_EIR, flow_fraction))
