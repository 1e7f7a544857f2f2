"""How a hand goes wrong at a number: kinds with their rates, and what else on the sheet a number is held against."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal, NamedTuple

import msgspec

from drawthrough import units, vocabulary
from drawthrough.errors import DrawthroughError
from drawthrough.trade.standing import Word

Kind = Literal[
    "point too far right", "point too far left", "zero left off", "sign turned", "another hole",
    "two holes changed over", "read in Celsius", "read in Fahrenheit", "otherwise",
]  # fmt: skip
Beside = Literal["other run", "other point", "return", "printed", "rated", "ordinary"]


class SlipError(DrawthroughError):
    """The file of slips is not of its form."""


class _Entry(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Base of the file's entries."""


class Slip(_Entry, frozen=True, kw_only=True):
    """One kind of slip, and the share of readings in which it happens."""

    kind: Kind
    rate: float
    source: str
    word: Word
    what: tuple[str, ...] = ()


class Digits(_Entry, frozen=True, kw_only=True):
    """How likely a number with more or fewer decimals than its display is."""

    more: float
    short: float
    source: str
    word: Word


class Told(_Entry, frozen=True, kw_only=True):
    """From which odds on something is said."""

    suspect: float
    accused: float
    alarms: float
    most: int
    tries: int
    source: str
    word: Word


class _Broad(_Entry, frozen=True, kw_only=True):
    what: tuple[str, ...]
    spread: str


class _Check(_Entry, frozen=True, kw_only=True):
    what: str
    beside: Beside
    law: Literal["ratio", "difference"]
    spread: str | float
    source: str
    at: str = ""
    mode: str = ""
    middle: str | float = 0.0
    guess: bool = False


class Check(NamedTuple):
    """What a reading is held against, with the law of that comparison in SI."""

    what: str
    at: str
    mode: str
    beside: Beside
    ratio: bool
    middle: float  # of the logarithm of the ratio, or of the difference; with "ordinary" and a ratio: the figure itself
    spread: float
    guess: bool


class Slips(NamedTuple):
    """Everything that the file says."""

    slip: Mapping[Kind, Slip]
    digits: Digits
    told: Told
    broad: Mapping[str, float]  # by quantity [SI]
    check: Mapping[str, tuple[Check, ...]]  # by quantity


@cache
def slips() -> Slips:
    """Return the slips that the tool knows."""
    return read_slips(tomllib.loads((files("drawthrough.trade") / "slips.toml").read_text(encoding="utf-8")))


def read_slips(data: Mapping[str, Any]) -> Slips:
    """Return slips from the content of a file.

    Parameters
    ----------
    data : mapping
        `digits`, `told`, and lists under `slip`, `broad` and `check`.

    Raises
    ------
    SlipError
        An entry that is not of its form, a kind told twice, a rate or a spread that is none.
    """
    try:
        listed = msgspec.convert(data["slip"], list[Slip])
        digits, told = msgspec.convert(data["digits"], Digits), msgspec.convert(data["told"], Told)
        broad = msgspec.convert(data["broad"], list[_Broad])
        checks = msgspec.convert(data["check"], list[_Check])
    except (msgspec.ValidationError, KeyError) as refusal:
        raise SlipError(f"This is not a file of slips: {refusal}.") from refusal
    if len({one.kind for one in listed}) < len(listed):
        raise SlipError("A kind of slip is told twice.")
    if not all(0.0 < one.rate < 0.1 for one in listed):
        raise SlipError("A slip's rate is a small share of readings.")
    grouped: dict[str, list[Check]] = {}
    for one in checks:
        found = _check(one)
        if not found.spread > 0.0:
            raise SlipError(f"{one.what} beside {one.beside}: a spread above zero is asked for.")
        grouped.setdefault(one.what, []).append(found)
    return Slips(
        {one.kind: one for one in listed},
        digits,
        told,
        {what: _difference(what, one.spread) for one in broad for what in one.what},
        {what: tuple(found) for what, found in grouped.items()},
    )


def _check(one: _Check) -> Check:
    ratio = one.law == "ratio"
    spread = float(one.spread) if ratio else _difference(one.what, one.spread)
    if one.beside == "ordinary":
        middle = vocabulary.read(one.what, str(one.middle))
    else:
        middle = float(one.middle) if ratio else _difference(one.what, one.middle)
    return Check(one.what, one.at, one.mode, one.beside, ratio, middle, spread, one.guess)


def _difference(what: str, told: str | float) -> float:
    """Return a difference of a quantity in SI."""
    if not isinstance(told, str):
        return told
    dimension = vocabulary.quantity_of(what).dimension
    return units.parse(told, "temperature_difference" if dimension == "temperature" else dimension)


def messages() -> Iterator[str]:
    """Yield what the kinds of slips are called."""
    yield from slips().slip
