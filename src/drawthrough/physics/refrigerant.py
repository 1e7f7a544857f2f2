"""Saturation of refrigerants: bubble and dew apart, superheat and subcooling from a gauge at the local pressure."""

from bisect import bisect_right
from itertools import pairwise
from math import exp, log
from typing import Literal, NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.refrigerant_nodes import FIRST, NODES, STEP

Phase = Literal["bubble", "dew"]

REFRIGERANTS: tuple[str, ...] = tuple(dict.fromkeys(name for name, _ in NODES))
_FIRST, _STEP = (FIRST + 459.67) / 1.8, STEP / 1.8  # [K]
_SOURCE = "nodes from -40 to 150 F"
_ROUNDING = 1e-8  # by which a value may pass a limit that it was computed to meet
_STATION_PRESSURE = (47e3, 110e3)  # [Pa], of sites up to 6,000 m


class _Piece(NamedTuple):
    """A cubic between two nodes: start + u (a + u (b + u c)), u the distance from the origin."""

    origin: float
    start: float
    a: float
    b: float
    c: float


class _Curve(NamedTuple):
    """One line of one refrigerant, in both directions, with its limits."""

    pressures: tuple[_Piece, ...]  # ln p over 1/T
    temperatures: tuple[_Piece, ...]  # 1/T over ln p
    logarithms: tuple[float, ...]  # ln p from which each piece serves
    temperature_limits: tuple[float, float]
    pressure_limits: tuple[float, float]


_CURVES: dict[tuple[str, str], _Curve] = {}


def saturation_pressure_of(refrigerant: str, phase: Phase, temperature: float) -> float:
    """Return the saturation pressure of a refrigerant.

    Parameters
    ----------
    refrigerant : str
        One of `REFRIGERANTS`; hyphen, spaces and case do not matter.
    phase : {"bubble", "dew"}
        Bubble for liquid lines and subcooling, dew for suction lines and superheat.
    temperature : float
        Saturation temperature. [K]

    Returns
    -------
    float
        Absolute saturation pressure. [Pa]

    Raises
    ------
    OutOfRange
        Outside -40 to 150 F (233.15 to 338.71 K).
    Unresolvable
        A refrigerant or a phase that is not known.

    Notes
    -----
    Between nodes each 10 F, ln p is a cubic in 1/T that meets value and slope of [1]_: off by less than 0.0002 F. The
    printed charts are not as sharp: for R-410A they scatter by 0.8 F (1.5 psi at 130 psig) among themselves, by the
    property source that the maker used. R-410A and R-407C are pseudo-pure fluids there, R-454B is a mixture.

    Examples
    --------
    >>> round(saturation_pressure_of("R-410A", "dew", 277.594) / 6894.757, 1)
    133.1

    References
    ----------
    .. [1] CoolProp 8.0.0: Lemmon 2003 (R-410A, R-407C), Kamei 1995 (R-22), Tillner-Roth and Baehr 1994 (R-134a),
       Tillner-Roth and Yokozeki 1997 (R-32), Bell 2023 (R-454B).
    """
    curve = _CURVES.get((refrigerant, phase)) or _curve(refrigerant, phase)
    low, high = curve.temperature_limits
    if not low <= temperature <= high:
        raise OutOfRange("temperature", temperature, curve.temperature_limits, f"{refrigerant}, {_SOURCE}")
    index = int((temperature - _FIRST) / _STEP)
    origin, start, a, b, c = curve.pressures[index]
    u = 1.0 / temperature - origin
    return exp(start + u * (a + u * (b + u * c)))


def saturation_temperature_of(refrigerant: str, phase: Phase, saturation_pressure: float) -> float:
    """Return the saturation temperature of a refrigerant.

    Parameters
    ----------
    refrigerant : str
        One of `REFRIGERANTS`; hyphen, spaces and case do not matter.
    phase : {"bubble", "dew"}
        Bubble for liquid lines and subcooling, dew for suction lines and superheat.
    saturation_pressure : float
        Absolute pressure: gauge and station pressure together. [Pa]

    Returns
    -------
    float
        Saturation temperature. [K]

    Raises
    ------
    OutOfRange
        Outside the pressures at -40 to 150 F.
    Unresolvable
        A refrigerant or a phase that is not known.

    Notes
    -----
    1/T is a cubic in ln p through the same nodes and slopes as in `saturation_pressure_of` ([1]_): the two are inverse
    to each other within 0.0005 F.

    Examples
    --------
    >>> round(saturation_temperature_of("R-22", "dew", 583220.0), 1)
    278.1

    References
    ----------
    .. [1] CoolProp 8.0.0, with the equations of state named at `saturation_pressure_of`.
    """
    curve = _CURVES.get((refrigerant, phase)) or _curve(refrigerant, phase)
    low, high = curve.pressure_limits
    if not low <= saturation_pressure <= high:
        raise OutOfRange("saturation_pressure", saturation_pressure, curve.pressure_limits, f"{refrigerant}, {_SOURCE}")
    y = log(saturation_pressure)
    origin, start, a, b, c = curve.temperatures[bisect_right(curve.logarithms, y) - 1]
    u = y - origin
    return 1.0 / (start + u * (a + u * (b + u * c)))


def superheat(refrigerant: str, temperature: float, gauge_pressure: float, pressure: float) -> float:
    """Return by how much vapour is hotter than dew at its pressure.

    Parameters
    ----------
    refrigerant : str
        One of `REFRIGERANTS`.
    temperature : float
        Temperature of the vapour line. [K]
    gauge_pressure : float
        Pressure of the vapour line above the local station pressure. [Pa]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Superheat; below 0 the line is not vapour alone, or a reading is wrong. [K]

    Raises
    ------
    OutOfRange
        A station pressure outside 47 to 110 kPa, or a pressure whose saturation lies outside -40 to 150 F.
    Unresolvable
        A refrigerant that is not known.

    Notes
    -----
    Taken from dew, so that a blend's glide is not counted as superheat ([1]_). At 5,000 ft a gauge that is read as at
    sea level makes saturation of R-410A at 118 psig 1 F too warm.

    Examples
    --------
    >>> round(superheat("R-410A", 285.0, 815000.0, 101325.0), 1)
    7.4

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 2 and 30.
    """
    if not 47e3 <= pressure <= 110e3:
        raise OutOfRange("pressure", pressure, _STATION_PRESSURE, "sites up to 6,000 m")
    return temperature - saturation_temperature_of(refrigerant, "dew", gauge_pressure + pressure)


def subcooling(refrigerant: str, temperature: float, gauge_pressure: float, pressure: float) -> float:
    """Return by how much liquid is colder than bubble at its pressure.

    Parameters
    ----------
    refrigerant : str
        One of `REFRIGERANTS`.
    temperature : float
        Temperature of the liquid line. [K]
    gauge_pressure : float
        Pressure of the liquid line above the local station pressure. [Pa]
    pressure : float
        Absolute station pressure. [Pa]

    Returns
    -------
    float
        Subcooling; below 0 the line is not liquid alone, or a reading is wrong. [K]

    Raises
    ------
    OutOfRange
        A station pressure outside 47 to 110 kPa, or a pressure whose saturation lies outside -40 to 150 F.
    Unresolvable
        A refrigerant that is not known.

    Notes
    -----
    Taken from bubble, so that a blend's glide is not counted as subcooling ([1]_).

    Examples
    --------
    >>> round(subcooling("R-410A", 310.0, 2344000.0, 101325.0), 1)
    3.5

    References
    ----------
    .. [1] ASHRAE Handbook - Fundamentals, 2017 (SI), ch. 2 and 30.
    """
    if not 47e3 <= pressure <= 110e3:
        raise OutOfRange("pressure", pressure, _STATION_PRESSURE, "sites up to 6,000 m")
    return saturation_temperature_of(refrigerant, "bubble", gauge_pressure + pressure) - temperature


def _curve(refrigerant: str, phase: str) -> _Curve:
    """Make the pieces of one line, on first use."""
    bare = refrigerant.replace("-", "").replace(" ", "").lower()
    name = next((known for known in REFRIGERANTS if known.replace("-", "").lower() == bare), None)
    if name is None:
        raise Unresolvable(f"{refrigerant!r} is not a refrigerant known here; known are {', '.join(REFRIGERANTS)}.")
    if phase not in ("bubble", "dew"):
        raise Unresolvable(f"{phase!r} is not a phase; use bubble (liquid) or dew (vapour).")
    made = _CURVES.get((name, phase))
    if made is None:
        made = _CURVES[(name, phase)] = _make(NODES[(name, phase)])
    return made


def _make(nodes: tuple[tuple[float, float], ...]) -> _Curve:
    temperatures = [_FIRST + _STEP * index for index in range(len(nodes))]
    points = [(1.0 / t, value, slope) for t, (value, slope) in zip(temperatures, nodes, strict=True)]
    forward = [_piece(x, y, s, x1, y1, s1) for (x, y, s), (x1, y1, s1) in pairwise(points)]
    back = [_piece(y, x, 1 / s, y1, x1, 1 / s1) for (x, y, s), (x1, y1, s1) in pairwise(points)]
    values = tuple(value for value, _ in nodes)
    return _Curve(
        # the last piece stands twice: the last node belongs to it as well
        (*forward, forward[-1]),
        (*back, back[-1]),
        (values[0] - 1.0, *values[1:]),
        (temperatures[0] * (1 - _ROUNDING), temperatures[-1] * (1 + _ROUNDING)),
        (exp(values[0] - _ROUNDING), exp(values[-1] + _ROUNDING)),
    )


def _piece(x: float, y: float, slope: float, x_next: float, y_next: float, slope_next: float) -> _Piece:
    width = x_next - x
    chord = (y_next - y) / width
    return _Piece(
        x, y, slope, (3 * chord - 2 * slope - slope_next) / width, (slope + slope_next - 2 * chord) / width**2
    )
