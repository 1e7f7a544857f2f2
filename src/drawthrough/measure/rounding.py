"""Rounding for people: the uncertainty to two significant digits, the value to the same place."""

import math
from decimal import ROUND_HALF_EVEN, Context, Decimal
from typing import NamedTuple

from drawthrough.errors import Unresolvable

_WIDE = Context(prec=700, rounding=ROUND_HALF_EVEN)  # holds every float to its last digit


class Rounded(NamedTuple):
    """A value and its standard uncertainty as they are shown, and the place to which both are rounded."""

    value: str
    uncertainty: str
    place: int  # of the last digit shown: -2 is hundredths, 1 is tens


def rounded(reading: float, standard_uncertainty: float, digits: int = 2) -> Rounded:
    """Return a value and its uncertainty as people should see them.

    Parameters
    ----------
    reading : float
        The value, in whatever unit it is shown in. [1]
    standard_uncertainty : float
        Its uncertainty in the same unit, standard or expanded; greater than zero. [1]
    digits : int
        Significant digits of the uncertainty.

    Returns
    -------
    Rounded
        value and uncertainty (text), place (the power of ten of the last digit).

    Raises
    ------
    Unresolvable
        The value is no finite number, or the uncertainty is not a finite number above zero.

    Notes
    -----
    Two digits, by section 7.2.6 of [1]_. Halves go to the even digit. An uncertainty that gains a digit by rounding
    (0.0996) keeps its count of digits (0.10), so that equal uncertainties look equal. Digits left of the last place
    are shown as zeros, never in powers of ten: people on a roof do not read those.

    Examples
    --------
    >>> rounded(1187.4, 36.2)
    Rounded(value='1187', uncertainty='36', place=0)
    >>> rounded(0.48251, 0.00996)
    Rounded(value='0.483', uncertainty='0.010', place=-3)

    References
    ----------
    .. [1] JCGM 100:2008, Guide to the expression of uncertainty in measurement (GUM).
    """
    if not math.isfinite(reading) or not 0.0 < standard_uncertainty < math.inf:
        raise Unresolvable(f"{reading} with the uncertainty {standard_uncertainty} cannot be rounded for people.")
    exact = Decimal(repr(float(standard_uncertainty)))
    place = exact.adjusted() - digits + 1
    short = _at(exact, place)
    if short.adjusted() > exact.adjusted():  # 0.0996 became 0.100
        place += 1
        short = _at(exact, place)
    return Rounded(_plain(_at(Decimal(repr(float(reading))), place)), _plain(short), place)


def _at(number: Decimal, place: int) -> Decimal:
    """Round to a power of ten and keep the zeros before it."""
    step = Decimal((0, (1,), place))
    short = _WIDE.quantize(number, step)
    return _WIDE.quantize(short, Decimal(1)) if place > 0 else short


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.removeprefix("-") if number == 0 else text
