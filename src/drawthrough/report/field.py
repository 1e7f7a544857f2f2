"""Figures for people: in the units of the field or in SI at will, and no digit that the uncertainty does not carry."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from drawthrough import units
from drawthrough.errors import Unresolvable
from drawthrough.measure.rounding import rounded

_PER_TON = units.from_si(1.0, "cfm", "airflow") / units.from_si(1.0, "ton", "power")
_HUGE = 1e7  # beyond it nothing in the field is counted digit by digit
_ENDS_APART = 3  # further digits that an interval's end may take to show that it stops short of the reference


class FieldUnit(NamedTuple):
    """A unit to show: what one SI unit is in it, its zero, how it is written, decimals where nothing says more.

    `label` stands beside a row's name; `whole` replaces it in a sentence, where no name says per what.
    """

    factor: float
    label: str
    decimals: int
    offset: float = 0.0
    whole: str = ""

    def of(self, value: float) -> float:
        """Return an SI value in this unit."""
        return value * self.factor + self.offset

    @property
    def written(self) -> str:
        """How a sentence writes the unit."""
        return self.whole or self.label


def _unit(name: str, dimension: str, label: str, decimals: int) -> FieldUnit:
    zero = units.from_si(0.0, name, dimension)
    return FieldUnit(units.from_si(1.0, name, dimension) - zero, label, decimals, zero)


# By the name that a sentence uses for them.
FIELD: dict[str, FieldUnit] = {
    "cfm": _unit("cfm", "airflow", "cfm", 0),
    "cfm/ton": FieldUnit(_PER_TON, "cfm", -1, whole="cfm per ton"),
    "inwc": _unit("inwc", "pressure", "in. w.c.", 2),
    "W/cfm": _unit("W/cfm", "fan_power", "W/cfm", 2),
    "kBtu/h": _unit("kBtu/h", "power", "kBtu/h", 1),
    "kW": _unit("kW", "power", "kW", 1),
    "W": _unit("W", "power", "W", 0),
    "in": _unit("in", "length", "in.", 1),
    "ohm": _unit("ohm", "resistance", "ohm", 1),
    "inwc3": _unit("inwc", "pressure", "in. w.c.", 3),
    "V": _unit("V", "voltage", "V", 0),
    "uF": _unit("uF", "capacitance", "uF", 1),
    "F": _unit("F", "temperature", "F", 0),
    "dF": _unit("F", "temperature_difference", "F", 1),
    "percent": FieldUnit(100.0, "%", 0),
    "1": FieldUnit(1.0, "", 2),
    "tenths": FieldUnit(1.0, "", 1),
    "count": FieldUnit(1.0, "", 0),
}

# The same names where SI is asked for. Litres per second rather than cubic metres per hour: a room and a whole system
# both stay between 10 and 1000, and 1 L/s (2.1 cfm) is about as fine as 1 cfm; watts per L/s then keep two decimals.
SI: dict[str, FieldUnit] = {
    **FIELD,
    "cfm": _unit("L/s", "airflow", "L/s", 0),
    "cfm/ton": FieldUnit(1e6, "L/s", 0, whole="L/s per kW"),
    "inwc": _unit("Pa", "pressure", "Pa", 0),
    "inwc3": _unit("Pa", "pressure", "Pa", 1),
    "W/cfm": FieldUnit(1e-3, "W/(L/s)", 2),
    "kBtu/h": _unit("kW", "power", "kW", 2),
    "in": _unit("mm", "length", "mm", 0),
    "uF": _unit("uF", "capacitance", "µF", 1),
    "F": _unit("C", "temperature", "°C", 1),
    "dF": _unit("K", "temperature_difference", "K", 1),
}

# By the SI unit of a judgement's result; a reading's unit is found by its dimension.
NAME_OF_RESULT: dict[str, str] = {
    "m3/s": "cfm",
    "m3/s/W": "cfm/ton",
    "Pa": "inwc",
    "W/(m3/s)": "W/cfm",
    "W": "kBtu/h",
    "F": "uF",
    "K": "dF",
    "1": "1",
}
OF_RESULT: dict[str, FieldUnit] = {unit: FIELD[name] for unit, name in NAME_OF_RESULT.items()}

ENDS = "{low} to {high}"


class Shown(NamedTuple):
    """A value and the ends of its 95 % interval as text, all three to the same place."""

    value: str
    low: str
    high: str

    @property
    def interval(self) -> str:
        """The two ends, in English."""
        return self.told(str)

    def told(self, say: Callable[[str], str]) -> str:
        """Return the two ends in a language."""
        return say(ENDS).format(low=self.low, high=self.high)


def shown(value: float, low: float, high: float, reference: float | None = None) -> Shown:
    """Return a value with its interval as people should see them.

    Parameters
    ----------
    value, low, high : float
        Value and ends of the 95 % interval, all in the unit in which they are shown.
    reference : float, optional
        A value that the interval may or may not hold, such as a ratio's 1. An interval that stops short of it is
        given as many more digits as it takes to see that; one that holds it, one more where an end seems to stop at it.

    Notes
    -----
    All three are rounded to the first digit of the interval's half width (to the second where it begins below 1.5,
    which one digit would tell too coarsely), so that the last digit shown is one that the readings do not settle.
    """
    half = (high - low) / 2
    if not (half > 0.0 and max(map(abs, (value, low, high))) < _HUGE):
        return Shown(*(f"{number:.3g}" for number in (value, low, high)))
    digits = 2 if f"{half:e}" < "1.5" else 1
    made = _rounded(value, low, high, half, digits)
    if reference is None:
        return made
    holds = low <= reference <= high
    for more in range(digits + 1, digits + 1 + (1 if holds else _ENDS_APART)):
        ends = (float(made.low), float(made.high))
        if reference not in ends if holds else not ends[0] <= reference <= ends[1]:
            break
        made = _rounded(value, low, high, half, more)
    return made


def _rounded(value: float, low: float, high: float, half: float, digits: int) -> Shown:
    return Shown(*(rounded(number, half, digits).value for number in (value, low, high)))


def plain(value: float, unit: FieldUnit) -> str:
    """Return an SI value in a unit of the field where no interval belongs to it: a reading, a nameplate's figure."""
    number = unit.of(value)
    text = f"{round(number, unit.decimals):.{max(unit.decimals, 0)}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def within(value: float, standard_uncertainty: float, unit: FieldUnit) -> str:
    """Return an SI value in a unit of the field, to the first digit of its standard uncertainty."""
    try:
        return rounded(unit.of(value), abs(standard_uncertainty * unit.factor), 1).value
    except Unresolvable:
        return plain(value, unit)


def messages() -> Iterator[str]:
    """Yield what a language says in its own way: an interval's two ends, and units that hold words."""
    yield ENDS
    yield from (unit.whole for table in (FIELD, SI) for unit in table.values() if unit.whole)
