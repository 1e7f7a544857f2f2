"""What a calculation is: its keys, what it works out, and what it has to say of itself."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from drawthrough import vocabulary
from drawthrough.errors import DrawthroughError

Values = Mapping[str, Any]  # key -> SI float, or text for a key with choices
Results = dict[str, Any]  # vocabulary name -> SI float or a tuple of them
PLAUSIBLE = "plausible range"


class CalculationError(DrawthroughError):
    """A calculation was asked for in a way that cannot be answered."""


class Key(NamedTuple):
    """One input: the key that is typed, the quantity with which it is read, and whether it can be left out."""

    name: str
    quantity: str = ""  # vocabulary name, where the key is not one itself
    optional: bool = False
    default: str = ""  # what is taken when it is left out, in words
    choices: tuple[str, ...] = ()  # a key of text: one of these
    limits: tuple[float, float] | None = None  # narrower than the vocabulary's range
    source: str = ""  # whose limits
    listed: bool = False  # several values, separated by commas

    @property
    def row(self) -> vocabulary.Quantity:
        """The vocabulary's row."""
        return vocabulary.quantity_of(self.quantity or self.name)

    @property
    def range(self) -> tuple[float, float, str]:
        """Lowest and highest value that is accepted, and by whom."""
        if self.limits is not None:
            return (*self.limits, self.source)
        return self.row.low, self.row.high, PLAUSIBLE


class Calculation(NamedTuple):
    """One calculation: `work` takes the values by key and returns the results by name."""

    name: str
    says: str  # what it works out, half a sentence
    keys: tuple[Key, ...]
    work: Callable[[Values], Results]
    results: tuple[str, ...]
    equation: str
    sources: tuple[str, ...]
    example: str  # key=value pairs that work
    one_of: tuple[tuple[str, ...], ...] = ()  # of each group exactly one is given
    at_most_one: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()
    units_of: Mapping[str, str] = {}  # result name -> vocabulary name, where the two differ

    def key(self, name: str) -> Key | None:
        """Return a key by its name."""
        return next((key for key in self.keys if key.name == name), None)

    def quantity_of_result(self, name: str) -> vocabulary.Quantity:
        """Return the vocabulary's row of a result."""
        return vocabulary.quantity_of(self.units_of.get(name, name))

    @property
    def usage(self) -> str:
        """The keys as they are typed: alternatives with |, what can be left out in brackets."""
        grouped = {name for group in (*self.one_of, *self.at_most_one) for name in group}
        parts = [f"[{key.name}]" if key.optional else key.name for key in self.keys if key.name not in grouped]
        parts += ["(" + " | ".join(group) + ")" for group in self.one_of]
        parts += ["[" + " | ".join(group) + "]" for group in self.at_most_one]
        return " ".join(parts)


def whole(key: str, values: Values) -> int:
    """Return a count, which has to be a whole number."""
    value = float(values[key])
    if not value.is_integer():
        raise CalculationError(f"{key}={value:g} is not a whole number.")
    return int(value)
