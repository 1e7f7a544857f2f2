"""What could have been meant by a number as it was typed: one hypothesis for each way in which a hand goes wrong."""

import math
from collections.abc import Iterator
from typing import NamedTuple

from drawthrough import units
from drawthrough.trade.slips import Digits, Kind, Slips
from drawthrough.units import RANKINE, UnitError
from drawthrough.visit.state import Reading, Run, Visit
from drawthrough.vocabulary import quantity_of

_FREEZING = 273.15
_ZERO_F = 459.67 * RANKINE
_TENFOLD = ("relative_humidity", "combustion_efficiency")  # a share that is ten times as large is none


class Meant(NamedTuple):
    """One way in which a reading may have gone wrong, and what would stand there had it not."""

    kind: Kind
    value: float  # as meant [SI]; as typed where nothing tells
    odds: float  # logarithm of how much more often than "as typed" this comes about, before anything else is looked at
    at: str = ""  # another hole: the place that was read
    other: int | None = None  # of the reading that the hand confused it with


class Typed(NamedTuple):
    """A reading's number as text: its digits, the decimals they have, and those that its display has."""

    number: float
    digits: str
    decimals: int
    shown: int | None  # None: nothing says how many the display has
    factor: float  # of the unit
    offset: float

    def value(self, number: float) -> float:
        """Return the SI value of another number in its place."""
        return math.copysign(number, self.number) * self.factor + self.offset


def typed_of(visit: Visit, reading: Reading) -> Typed | None:
    """Return the number of a reading as it was typed, or None where it is none that digits can be moved in."""
    quantity = quantity_of(reading.what)
    try:
        number, unit = units.split(reading.typed)
        found = units.find(unit, quantity.dimension) if unit else units.find(quantity.unit, quantity.dimension)
    except UnitError:
        return None
    digits = "".join(c for c in reading.typed.strip().lstrip("+-−").split(" ")[0] if c.isdigit() or c == ".")
    if (
        not digits
        or "/" in reading.typed
        or not math.isclose(abs(reading.value - found.offset), abs(number * found.factor), rel_tol=1e-6, abs_tol=1e-9)
    ):
        return None
    number = math.copysign(number, reading.value - found.offset)  # suction is typed with and without its minus
    step = next((i.resolution for i in visit.instrument if i.id == reading.instrument), 0.0) / abs(found.factor)
    shown = max(0, round(-math.log10(step))) if step > 0.0 and reading.uncertainty is None else None
    return Typed(number, digits, len(digits.partition(".")[2]), shown, found.factor, found.offset)


def written(visit: Visit, reading: Reading, value: float) -> str:
    """Return a value as the hand would have written it: in the unit of the reading, suction as it was typed."""
    typed = typed_of(visit, reading)
    if typed is None:
        return ""
    number = (value - typed.offset) / typed.factor
    if not typed.offset and not reading.typed.lstrip().startswith(("-", "−")) and reading.value < 0.0:
        number = -number
    unit = units.split(reading.typed)[1]
    return f"{number:.4g} {unit}".strip()


def _fits(digits: Digits, typed: Typed, shift: int) -> float:
    """Return how likely so many decimals are where the slip has moved them by `shift`."""
    if typed.shown is None:
        return 1.0
    extra = typed.decimals - max(typed.shown + shift, 0)
    return 1.0 if extra == 0 else digits.more if extra > 0 else digits.short**-extra


def meant_of(visit: Visit, run: Run, index: int, table: Slips) -> Iterator[Meant]:
    """Yield what else could have been meant by a reading, all but what has no name."""
    reading = run.reading[index]
    typed = typed_of(visit, reading)
    quantity = quantity_of(reading.what)

    def odds(kind: Kind, share: float = 1.0, shift: int = 0) -> float:
        fits = 1.0 if typed is None else _fits(table.digits, typed, shift) / _fits(table.digits, typed, 0)
        return math.log(table.slip[kind].rate * share * fits)

    if typed is not None and typed.number and reading.what not in _TENFOLD:
        for kind, factor, shift in (("point too far right", 0.1, -1), ("point too far left", 10.0, 1)):
            value = typed.value(abs(typed.number) * factor)
            if quantity.low <= value <= quantity.high:
                yield Meant(kind, value, odds(kind, shift=shift))  # type: ignore[arg-type]
        fuller = [v for v in map(typed.value, _with_a_zero(typed.digits)) if quantity.low <= v <= quantity.high]
        shift = -1 if "." in typed.digits else 0
        for value in fuller:
            yield Meant("zero left off", value, odds("zero left off", 1.0 / len(fuller), shift))
    slip = table.slip
    if reading.what in slip["read in Celsius"].what:
        celsius = (reading.value - _ZERO_F) / RANKINE + _FREEZING  # typed as Fahrenheit
        fahrenheit = (reading.value - _FREEZING) * RANKINE + _ZERO_F  # typed as Celsius
        unit = reading.typed.strip()[-1:].upper()
        if unit == "F" and quantity.low <= celsius <= quantity.high:
            yield Meant("read in Celsius", celsius, odds("read in Celsius"))
        if unit == "C" and quantity.low <= fahrenheit <= quantity.high:
            yield Meant("read in Fahrenheit", fahrenheit, odds("read in Fahrenheit"))
    if reading.what in slip["sign turned"].what:
        yield Meant("sign turned", -reading.value, odds("sign turned"))
    if reading.what in slip["another hole"].what:
        others = [
            (k, r)
            for k, r in enumerate(run.reading)
            if k != index and (r.what, r.against) == (reading.what, reading.against) and r.at != reading.at
        ]
        for k, other in others:
            if (other.value > 0.0) == (reading.value > 0.0):
                yield Meant("another hole", reading.value, odds("another hole", 1 / len(others)), other.at, k)
            # Told once for the two of them, at the first: each of them bears half of it.
            if k > index:
                yield Meant(
                    "two holes changed over",
                    other.value,
                    odds("two holes changed over", 2 / len(others)),
                    other.at,
                    k,
                )


def _with_a_zero(digits: str) -> list[float]:
    """Return the numbers that become these digits when one zero is left off."""
    found = {float(f"{digits[:k]}0{digits[k:]}") for k in range(1, len(digits) + 1)}
    return sorted(found - {float(digits)})
