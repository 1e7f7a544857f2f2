"""The root of a function between two values at which its signs differ."""

from collections.abc import Callable

from drawthrough.errors import Unresolvable


def bracketed(function: Callable[[float], float], low: float, high: float, tolerance: float) -> float:
    """Return where a function is zero, by regula falsi with the stuck end's weight halved (Illinois).

    It stops once the function's size or the bracket's width is at most `tolerance` times its size at the start.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if (at_low > 0.0) == (at_high > 0.0):
        raise Unresolvable(f"There is no root between {low:.6g} and {high:.6g}.")
    small = tolerance * max(abs(at_low), abs(at_high))
    narrow = tolerance * (high - low)
    side = 0
    for _ in range(200):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        at_middle = function(middle)
        if abs(at_middle) <= small or high - low <= narrow:
            return middle
        if (at_middle > 0.0) == (at_low > 0.0):
            low, at_low = middle, at_middle
            at_high, side = (at_high / 2.0 if side == -1 else at_high), -1
        else:
            high, at_high = middle, at_middle
            at_low, side = (at_low / 2.0 if side == 1 else at_low), 1
    raise Unresolvable(f"The root between {low:.6g} and {high:.6g} was not found.")
