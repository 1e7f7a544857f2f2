"""The blower: its maker's table as a curve, and the blower as it runs against the clean one of the table."""

from bisect import bisect_right
from collections.abc import Sequence
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
        A static or an airflow outside its plausible range; an airflow of zero, which tables print for "not allowed".
    """

    __slots__ = ("_end_high", "_end_low", "_high", "_inner", "_low", "_pieces", "_width", "airflows", "limits", "statics")

    def __init__(self, static: Sequence[float], airflow: Sequence[float]) -> None:
        x, y = tuple(map(float, static)), tuple(map(float, airflow))
        if len(x) != len(y):
            raise Unresolvable(f"The fan table has {len(x)} statics and {len(y)} airflows: one of each is needed.")
        if len(x) < 2:
            raise Unresolvable("The fan table has fewer than two points: it gives no curve.")
        for value in x:
            if not -5000.0 <= value <= 5000.0:
                raise OutOfRange("static", value, (-5000.0, 5000.0), "plausible range")
        for value in y:
            if not 0.0 < value <= 50.0:
                raise OutOfRange("airflow", value, (0.0, 50.0), "plausible range, above zero")
        if not all(before < after for before, after in zip(x, x[1:], strict=False)):
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
    widths = [b - a for a, b in zip(x, x[1:], strict=False)]
    means = [(b - a) / h for a, b, h in zip(y, y[1:], widths, strict=False)]
    if len(means) == 1:
        return [means[0], means[0]]
    inner = []
    for (h0, h1), (m0, m1) in zip(zip(widths, widths[1:], strict=False), zip(means, means[1:], strict=False), strict=True):
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


def check_falling(
    static: Sequence[float],
    airflow: Sequence[float],
    motor: Motor,
    least: float = FALLING_FROM,
    slack: float = FALLING_SLACK,
) -> list[Rise]:
    ...
