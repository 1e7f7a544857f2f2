"""The blower: its maker's table as a curve, and the blower as it runs against the clean one of the table."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import exp
from typing import Literal, NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.units import INWC

Motor = Literal["psc", "constant torque", "constant airflow"]
MOTORS: tuple[Motor, ...] = ("psc", "constant torque", "constant airflow")

# A table of these motors must fall above this static; what rounding and a careless print may do stays below the rise.
FALLING_MOTORS = ("psc", "constant torque")
FALLING_FROM = 0.2 * INWC  # below it even a PSC blower's table may be flat or rise [Pa] (judgement)
FALLING_SLACK = 0.03  # relative rise of airflow that is not yet an error (judgement)

_TABLE = "fan table"
_UNPAIRED = "The fan table has {} statics and {} airflows: one of each is needed."


class FanCurve:
    """One speed's table as a curve Q(P): airflow against static, smooth to the first derivative.

    A cubic between each two points whose slopes at the points keep the shape of the table (Fritsch and Carlson 1980,
    with the weighted harmonic mean of Fritsch and Butland 1984): no overshoot, a flat stretch stays flat, and the curve
    falls where the table falls. Q(P) and not P(Q), since a table may be flat or rise at low static.

    Parameters
    ----------
    static : sequence of float
        Static of the table, strictly rising. [Pa]
    airflow : sequence of float
        Airflow at each static, above zero. [m3/s]

    Raises
    ------
    Unresolvable
        Fewer than two points, not as many airflows as statics, or statics that do not rise strictly.
    OutOfRange
        A static outside 0 to 5000 Pa, or an airflow that is not above zero or above 50 m3/s. A zero in a table mostly
        stands for "not allowed" and is no airflow.
    """

    __slots__ = (
        "_end_high",
        "_end_low",
        "_high",
        "_inner",
        "_low",
        "_pieces",
        "_width",
        "airflows",
        "limits",
        "statics",
    )

    def __init__(self, static: Sequence[float], airflow: Sequence[float]) -> None:
        x, y = tuple(map(float, static)), tuple(map(float, airflow))
        if len(x) != len(y):
            raise Unresolvable(_UNPAIRED.format(len(x), len(y)))
        if len(x) < 2:
            raise Unresolvable("The fan table has fewer than two points: it gives no curve.")
        for value in x:
            if not 0.0 <= value <= 5000.0:
                raise OutOfRange("static", value, (0.0, 5000.0), "external static of a fan table")
        for value in y:
            if not 0.0 < value <= 50.0:
                raise OutOfRange("airflow", value, (0.0, 50.0), "plausible range, above zero")
        if not all(before < after for before, after in pairwise(x)):
            raise Unresolvable("The statics of the fan table do not rise from point to point.")
        slopes = _slopes(x, y)
        pieces = []
        for k in range(len(x) - 1):
            h = x[k + 1] - x[k]
            mean = (y[k + 1] - y[k]) / h
            square = (3.0 * mean - 2.0 * slopes[k] - slopes[k + 1]) / h
            cube = (slopes[k] + slopes[k + 1] - 2.0 * mean) / (h * h)
            pieces.append((x[k], y[k], slopes[k], square, cube, 2.0 * square, 3.0 * cube))
        self.statics, self.airflows = x, y
        self.limits = (x[0], x[-1])
        self._low, self._high = self.limits
        self._width = x[-1] - x[0]
        self._inner = x[1:-1]
        self._pieces = tuple(pieces)
        self._end_low = (x[0], y[0], slopes[0])
        self._end_high = (x[-1], y[-1], slopes[-1])

    def airflow(self, static: float) -> float:
        """Return the table's airflow [m3/s] at a static [Pa]; outside the table it is refused (OutOfRange)."""
        if not self._low <= static <= self._high:
            raise OutOfRange("static", static, self.limits, _TABLE)
        start, value, slope, square, cube, _, _ = self._pieces[bisect_right(self._inner, static)]
        t = static - start
        return ((cube * t + square) * t + slope) * t + value

    def airflow_and_slope(self, static: float) -> tuple[float, float]:
        """Return airflow [m3/s] and dQ/dP [m3/s per Pa] at a static [Pa]; outside the table refused (OutOfRange)."""
        if not self._low <= static <= self._high:
            raise OutOfRange("static", static, self.limits, _TABLE)
        start, value, slope, square, cube, twice, thrice = self._pieces[bisect_right(self._inner, static)]
        t = static - start
        return ((cube * t + square) * t + slope) * t + value, (thrice * t + twice) * t + slope

    def airflow_and_slope_beyond(self, static: float, margin: float) -> tuple[float, float]:
        """Return airflow and slope also outside the table, for the steps of an iteration only.

        Beyond an end the curve goes on along its tangent there. A final answer must lie inside the table: check it
        against `limits`, or take it from `airflow`. So that an iteration can take the logarithm wherever it strays, the
        tangent gives way to an exponential of the same value and slope once half of the end's airflow is gone, or
        once it has fallen for `margin` widths of the table, whichever comes first.

        Parameters
        ----------
        static : float
            Static, inside or outside the table. [Pa]
        margin : float
            How far a falling tangent may run straight, in widths of the table. [1]
        """
        if self._low <= static <= self._high:
            return self.airflow_and_slope(static)
        end, value, slope = self._end_low if static < self._low else self._end_high
        away = static - end
        change = slope * away / value  # relative change of airflow along the tangent
        if change >= 0.0:
            return value + slope * away, slope
        turn = min(0.5, -change / abs(away) * margin * self._width)
        if change >= -turn:
            return value + slope * away, slope
        remaining = value * (1.0 - turn)
        fading = exp((change + turn) / (1.0 - turn))
        return remaining * fading, slope * fading


def _slopes(x: tuple[float, ...], y: tuple[float, ...]) -> list[float]:
    """Return slopes at the points of a table that keep its shape."""
    widths = [b - a for a, b in pairwise(x)]
    means = [(b - a) / h for (a, b), h in zip(pairwise(y), widths, strict=True)]
    if len(means) == 1:
        return [means[0], means[0]]
    inner = []
    for (h0, h1), (m0, m1) in zip(pairwise(widths), pairwise(means), strict=True):
        if m0 * m1 <= 0.0:
            inner.append(0.0)
        else:
            w0, w1 = 2.0 * h1 + h0, h1 + 2.0 * h0
            inner.append((w0 + w1) / (w0 / m0 + w1 / m1))
    first = _end_slope(widths[0], widths[1], means[0], means[1])
    last = _end_slope(widths[-1], widths[-2], means[-1], means[-2])
    return [first, *inner, last]


def _end_slope(h0: float, h1: float, m0: float, m1: float) -> float:
    """Return the slope at an end by three points, held back so that the end stretch keeps its shape."""
    slope = ((2.0 * h0 + h1) * m0 - h0 * m1) / (h0 + h1)
    if slope * m0 <= 0.0:
        return 0.0
    if m0 * m1 <= 0.0 and abs(slope) > 3.0 * abs(m0):
        return 3.0 * m0
    return slope


class Rise(NamedTuple):
    """Two points of a fan table between which airflow rises with static though it must fall. [Pa, m3/s]"""

    static_low: float
    airflow_low: float
    static_high: float
    airflow_high: float


def check_falling(static: Sequence[float], airflow: Sequence[float], motor: Motor) -> list[Rise]:
    """Return where a fan table rises though a blower on its motor cannot.

    Parameters
    ----------
    static : sequence of float
        Static of the table, rising. [Pa]
    airflow : sequence of float
        Airflow at each static. [m3/s]
    motor : str
        "psc", "constant torque" or "constant airflow".

    Returns
    -------
    list of Rise
        Each rise as the two points it lies between, with `static_low` and `static_high` [Pa], `airflow_low` and
        `airflow_high` [m3/s]; empty for a table that may stand.

    Raises
    ------
    Unresolvable
        A motor that is none of the three, or not as many airflows as statics.

    Notes
    -----
    A rise counts from `FALLING_FROM` (0.2 in. w.c.) upwards, once airflow lies more than `FALLING_SLACK` (3 %) above
    the lowest since the last rise, be it in one step or in several. Constant-airflow tables may be flat or rise
    anywhere; a PSC table may do so near zero, where the forward-curved wheel's own curve is flat.

    Examples
    --------
    >>> check_falling([25.0, 50.0, 75.0, 100.0], [0.60, 0.59, 0.55, 0.575], "psc")
    [Rise(static_low=75.0, airflow_low=0.55, static_high=100.0, airflow_high=0.575)]
    >>> check_falling([25.0, 50.0, 75.0, 100.0], [0.60, 0.59, 0.55, 0.575], "constant airflow")
    []

    References
    ----------
    .. [1] U.S. DOE, docket EERE-2014-BT-STD-0048-0098, appendix 7-C: PSC fits peak near 0.04 in. w.c., those of
       constant-airflow motors near 0.5 in. w.c. (coefficients from a copy of it). The two limits are a judgement.
    """
    if motor not in MOTORS:
        raise Unresolvable(f"{motor!r} is no kind of motor; use {', '.join(MOTORS)}.")
    if len(static) != len(airflow):
        raise Unresolvable(_UNPAIRED.format(len(static), len(airflow)))
    if motor not in FALLING_MOTORS:
        return []
    rises = []
    lowest: tuple[float, float] | None = None
    for pressure, flow in zip(static, airflow, strict=True):
        if pressure < FALLING_FROM * (1.0 - 1e-9):  # 0.2 in. w.c. by another road must still be 0.2 in. w.c.
            continue
        if lowest is not None and flow > lowest[1] * (1.0 + FALLING_SLACK):
            rises.append(Rise(*lowest, pressure, flow))
            lowest = (pressure, flow)
        elif lowest is None or flow <= lowest[1]:
            lowest = (pressure, flow)
    return rises


def scaled_airflow(curve: FanCurve, static: float, strength: float, density_ratio: float = 1.0) -> float:
    """Return the airflow of a blower that is not the clean one of its table, at a static.

    Parameters
    ----------
    curve : FanCurve
        The table of the speed that runs.
    static : float
        Pressure that the blower holds between the two places for which the table stands. [Pa]
    strength : float
        Blower against clean: 1 is the blower of the table. [1]
    density_ratio : float
        Density for which the table stands over that at the blower's inlet. [1]

    Returns
    -------
    float
        Airflow at the blower's inlet. [m3/s]

    Raises
    ------
    OutOfRange
        A strength outside 0.05 to 1.5, a density ratio outside 0.3 to 3, or a static that leads outside the table.

    Notes
    -----
    Q = s Q_table(P rho_table / (rho s^2)): the table's curve with airflow scaled by s and pressure by s^2, as the fan
    laws scale it with speed. s is wheel, motor, voltage, capacitor and the table's own level together; it describes
    what was measured and foretells nothing from a thickness of dirt. Dirt may scale airflow and pressure differently:
    one number stands for both. If parts lie between blower and taps (a coil inside the rated cabinet), use
    `operating_point`, which takes their drops apart. Not for a constant-airflow motor below its limit.

    Examples
    --------
    >>> curve = FanCurve([25.0, 75.0, 125.0, 175.0], [0.64, 0.60, 0.54, 0.45])
    >>> round(scaled_airflow(curve, 81.0, 0.9), 5), round(0.9 * curve.airflow(100.0), 5)
    (0.5157, 0.5157)

    References
    ----------
    .. [1] Fan laws of ANSI/AMCA 210-16 (from memory), applied to a change of geometry as a description only.
    """
    if not 0.05 <= strength <= 1.5:
        raise OutOfRange("strength", strength, (0.05, 1.5), "plausible range")
    if not 0.3 <= density_ratio <= 3.0:
        raise OutOfRange("density_ratio", density_ratio, (0.3, 3.0), "plausible range")
    return strength * curve.airflow(static * density_ratio / strength**2)


def wheel_ratio(strength_found: float, strength_left: float, speed_found: float, speed_left: float) -> float:
    """Return the wheel as found against the wheel as left, the motor's part taken out.

    Parameters
    ----------
    strength_found : float
        Blower against clean, as found. [1]
    strength_left : float
        Blower against clean, as left. [1]
    speed_found : float
        Rotational speed of the wheel, as found. [Hz]
    speed_left : float
        Rotational speed of the wheel, as left. [Hz]

    Returns
    -------
    float
        Airflow scale of the wheel alone, as found over as left: below 1 the wheel has gained. [1]

    Raises
    ------
    OutOfRange
        A strength outside 0.05 to 1.5, or a speed that is not above zero or above 100 Hz.

    Notes
    -----
    w_found / w_left = (s_found / s_left) / (N_found / N_left). A dirty wheel unloads a PSC motor, which speeds up: the
    blower lost less than its wheel. Without both speeds the tool can only speak of the blower. For a constant-airflow
    motor below its limit see `wheel_ratio_at_held_airflow`.

    Examples
    --------
    >>> round(wheel_ratio(0.86, 0.99, 1097 / 60, 1085 / 60), 4)
    0.8592

    References
    ----------
    .. [1] Fan laws of ANSI/AMCA 210-16 (from memory): at equal geometry airflow goes with speed.
    """
    for name, value in (("strength_found", strength_found), ("strength_left", strength_left)):
        if not 0.05 <= value <= 1.5:
            raise OutOfRange(name, value, (0.05, 1.5), "plausible range")
    return strength_found / strength_left * wheel_ratio_at_held_airflow(speed_found, speed_left)


def wheel_ratio_at_held_airflow(speed_found: float, speed_left: float) -> float:
    """Return the wheel as found against the wheel as left, where a motor held its airflow both times.

    Parameters
    ----------
    speed_found : float
        Rotational speed of the wheel, as found. [Hz]
    speed_left : float
        Rotational speed of the wheel, as left. [Hz]

    Returns
    -------
    float
        Airflow scale of the wheel alone, as found over as left: below 1 the wheel has gained. [1]

    Raises
    ------
    OutOfRange
        A speed that is not above zero, or above 100 Hz.

    Notes
    -----
    w_found / w_left = N_left / N_found, at equal airflow and equal static. The motor turns a dirty wheel faster to hold
    its airflow, so speed shows what airflow hides. If the static changed besides, the speeds are not comparable as
    they stand.

    Examples
    --------
    >>> round(wheel_ratio_at_held_airflow(1180 / 60, 1062 / 60), 3)
    0.9

    References
    ----------
    .. [1] Fan laws of ANSI/AMCA 210-16 (from memory): at equal geometry airflow goes with speed.
    """
    for name, value in (("speed_found", speed_found), ("speed_left", speed_left)):
        if not 0.0 < value <= 100.0:
            raise OutOfRange(name, value, (0.0, 100.0), "a wheel that turns, up to 6000 rpm")
    return speed_left / speed_found
