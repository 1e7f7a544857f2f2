"""Published rows: reading them, working them out with the engine, and saying whether the two agree.

A row is data (`tests/published/*.toml`): which function, which inputs, what a source prints for them, and how near
the engine has to come, with the reason. The same rows feed the tests and `docs/validation.md`.
"""

import importlib
import math
import tomllib
from collections.abc import Callable, Iterator
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any, Literal, NamedTuple

import msgspec

from drawthrough import units, vocabulary
from drawthrough.errors import DrawthroughError, OutOfRange, Unresolvable

FOLDER = Path(__file__).parent

# published: read from the document or a faithful copy. The other words never count as evidence on their own.
Word = Literal["published", "from memory", "common practice", "derived"]


class RowFault(Exception):
    """A row cannot be read as it stands: the row is wrong, not the engine."""


class Row(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One row of `tests/published/*.toml`."""

    id: str
    function: str
    inputs: dict[str, Any]
    source: str
    place: str
    word: Word
    field: str | None = None
    expect: str | float | None = None
    expect_refused: bool = False
    quantity: str | None = None
    rel: float | None = None
    abs: str | float | None = None
    because: str = ""
    disagrees: str | None = None
    topic: str = ""


class Sheet(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One file of rows."""

    row: list[Row]
    title: str = ""


class Outcome(NamedTuple):
    """What the engine makes of a row. Values in SI; `None` where the row expects a refusal."""

    row: Row
    published: float | None
    ours: float | None
    tolerance: float | None
    refused: bool

    @property
    def difference(self) -> float:
        """Ours minus published, in SI."""
        assert self.ours is not None
        assert self.published is not None
        return self.ours - self.published

    @property
    def within(self) -> bool:
        """Do the two agree within the row's tolerance, or is the row refused as it should be?"""
        if self.row.expect_refused:
            return self.refused
        if self.refused or self.published is None or self.tolerance is None:
            return False
        # A tolerance that is met exactly is met on every machine: a few units in the last place do not decide.
        slack = 1e-9 * self.tolerance + 1e-12 * abs(self.published)
        return abs(self.difference) <= self.tolerance + slack

    @property
    def verdict(self) -> str:
        """One or two words for the table."""
        if self.row.disagrees is not None:
            return "agrees now" if self.within else "disagrees, stated"
        if not self.within:
            return "MISSES"
        return "refused" if self.row.expect_refused else "agrees"

    @property
    def passes(self) -> bool:
        """Is the row as it says: agreeing, or disagreeing where that is stated?"""
        return self.within == (self.row.disagrees is None)


def load(folder: Path = FOLDER) -> list[Row]:
    """Return every row of a folder in the order of the file names, each checked for what a row must say."""
    return [row for sheet in sorted(folder.glob("*.toml")) for row in _load_sheet(sheet)]


def titles(folder: Path = FOLDER) -> dict[str, str]:
    """Return the heading of each topic."""
    return {
        path.stem: _read(path).title or path.stem.replace("_", " ").capitalize()
        for path in sorted(folder.glob("*.toml"))
    }


def _read(path: Path) -> Sheet:
    try:
        return msgspec.convert(tomllib.loads(path.read_text(encoding="utf-8")), Sheet)
    except (msgspec.ValidationError, tomllib.TOMLDecodeError) as error:
        raise RowFault(f"{path.name}: {error}") from error


def _load_sheet(path: Path) -> Iterator[Row]:
    for row in _read(path).row:
        try:
            faults = list(_faults(row))
        except DrawthroughError as error:
            faults = [str(error)]
        if faults:
            raise RowFault(f"{path.name}, row {row.id!r}: {'; '.join(faults)}")
        yield msgspec.structs.replace(row, topic=path.stem)


def _faults(row: Row) -> Iterator[str]:
    for name in ("id", "function", "source", "place"):
        if not getattr(row, name).strip():
            yield f"{name} is empty"
    if row.topic:
        yield "topic is the name of the file; do not set it"
    if row.expect_refused:
        if row.expect is not None or row.rel is not None or row.abs is not None:
            yield "a row that expects a refusal has neither expect nor rel nor abs"
        return
    if row.expect is None:
        yield "expect is missing"
        return
    if (row.rel is None) == (row.abs is None):
        yield "exactly one of rel and abs is needed"
        return
    if len(row.because.split()) < 2:
        yield "because is missing: why this tolerance?"
    if row.disagrees is not None and len(row.disagrees.split()) < 3:
        yield "disagrees has to name size and cause"
    dimension, expected = _dimension(row.quantity), _expected(row)
    if row.rel is not None:
        if dimension == "temperature":
            yield "a temperature takes abs, not rel (rel would be of kelvins)"
        elif not 0 < row.rel < 1 or expected == 0:
            yield "rel lies between 0 and 1, and needs an expect other than 0"
    elif not 0 < _tolerance(row) < math.inf:
        yield "abs is greater than 0"


def _dimension(quantity: str | None) -> str:
    return "dimensionless" if quantity is None else vocabulary.quantity_of(quantity).dimension


def _expected(row: Row) -> float:
    assert row.expect is not None
    return units.parse(str(row.expect), _dimension(row.quantity))


def _tolerance(row: Row) -> float:
    if row.rel is not None:
        return row.rel * abs(_expected(row))
    return units.parse(str(row.abs), difference_of(_dimension(row.quantity)))


def difference_of(dimension: str) -> str:
    """Return the dimension of a difference of two values of a dimension: degrees lose their zero."""
    return "temperature_difference" if dimension == "temperature" else dimension


def read_input(name: str, value: Any) -> Any:
    """Return an input as the engine takes it: quantities in SI, lists item by item, other text as it stands."""
    if isinstance(value, list):
        return tuple(read_input(name, item) for item in value)
    if isinstance(value, dict):
        return {key: read_input(key, item) for key, item in value.items()}
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return value
    try:
        dimension = vocabulary.quantity_of(name).dimension
    except vocabulary.UnknownQuantity:
        return value
    if isinstance(value, str):
        try:
            units.split(value)
        except units.UnitError:
            return value  # text that is no quantity: a refrigerant, a phase
        return units.parse(value, dimension)
    if dimension != "dimensionless":
        raise RowFault(f"{name} = {value} has no unit")
    return float(value)


def find_function(row: Row) -> Callable[..., Any]:
    """Return what a row calls: a function under `drawthrough`, or an adapter of the row's topic."""
    parts = row.function.split(".")
    if parts[0] == "adapters":
        found: Any = importlib.import_module(f"tests.published.adapters_{row.topic}")
        parts = parts[1:]
    else:
        found = importlib.import_module("drawthrough")
        while len(parts) > 1:
            try:
                found = importlib.import_module(f"{found.__name__}.{parts[0]}")
            except ModuleNotFoundError:
                break
            parts = parts[1:]
    for part in parts:
        found = getattr(found, part)
    if not callable(found):
        raise RowFault(f"{row.id}: {row.function} cannot be called")
    return found


def work_out(row: Row) -> Outcome:
    """Return what the engine makes of a row."""
    inputs = {name: read_input(name, value) for name, value in row.inputs.items()}
    function = find_function(row)
    published = None if row.expect_refused else _expected(row)
    tolerance = None if row.expect_refused else _tolerance(row)
    try:
        result = function(**inputs)
    except (OutOfRange, Unresolvable):
        return Outcome(row, published, None, tolerance, refused=True)
    for part in (row.field or "").split(".") if row.field else ():
        result = getattr(result, part)
    return Outcome(row, published, float(result), tolerance, refused=False)


# --- for the page ---


def shown(outcome: Outcome) -> tuple[str, str, str, str]:
    """Return published, ours, difference and tolerance as text in the unit in which the source prints them.

    The last digit shown is a tenth of the tolerance's first, so that no difference in the last places of a float, as
    there are between machines, changes the text.
    """
    row = outcome.row
    if outcome.published is None or outcome.tolerance is None:
        return "a refusal", "refused" if outcome.refused else _plain(outcome.ours or 0.0), "", ""
    dimension = _dimension(row.quantity)
    number, typed = units.split(str(row.expect))
    unit = typed or units.si_unit(dimension)
    step = units.find(unit, dimension).factor
    label = "" if unit == "1" else f" {unit}"
    tolerance = outcome.tolerance / step
    said = f"{row.rel:.2g} of it" if row.rel is not None else str(row.abs)
    if outcome.ours is None:
        return str(row.expect), "refused", "", said
    places = max(0, 1 - math.floor(math.log10(tolerance)))
    ours = _snap(units.from_si(outcome.ours, unit, dimension))
    published = Decimal(repr(number))
    return str(row.expect), _fixed(ours, places) + label, _fixed(ours - published, places, sign=True), said


def _snap(value: float) -> Decimal:
    """Return a value to ten significant digits, the same on every machine."""
    return Decimal(f"{value:.9e}")


def _plain(value: float) -> str:
    return f"{value:.6g}"


def _fixed(value: Decimal, places: int, *, sign: bool = False) -> str:
    rounded = value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    if rounded == 0:
        rounded = abs(rounded)
    text = f"{rounded:f}"
    return f"+{text}" if sign and rounded > 0 else text
