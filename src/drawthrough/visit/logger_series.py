"""One column of a log as a series in SI: its unit, its numbers, and what in it is not to be believed."""

import math
from collections.abc import Sequence
from itertools import pairwise
from statistics import median
from typing import NamedTuple

from drawthrough import units, vocabulary
from drawthrough.visit.logger_columns import Meaning, is_unit, spelled
from drawthrough.visit.logger_table import Finding, add_finding, number_of

# What a probe in residential air can read; beyond it the probe is broken, disconnected or shorted (judgement). SI.
PLAUSIBLE = {
    "dry_bulb": (230.0, 370.0),
    "wet_bulb": (230.0, 330.0),
    "dew_point": (210.0, 330.0),
    "temperature": (220.0, 420.0),
    "relative_humidity": (0.005, 1.02),
    "static": (-2000.0, 2000.0),
    "pressure_drop": (-2000.0, 2000.0),
    "pressure": (5e4, 1.1e5),
    "airflow": (0.0, 3.0),
    "standard_airflow": (0.0, 3.0),
    "power": (0.0, 4e4),
    "blower_power": (0.0, 3000.0),
}
_LEAST_SHARE = 0.02  # a column with fewer values than this share of the rows is not usable


class Column(NamedTuple):
    """One column: what it holds, in SI, None where there is nothing or nothing to be believed."""

    header: str
    meaning: Meaning
    values: tuple[float | None, ...]
    unit: str  # in which it stands in the file
    resolution: float  # the smallest step that shows, in SI

    @property
    def label(self) -> str:
        """Quantity and place in words."""
        ends = f"{self.meaning.at} against {self.meaning.against}" if self.meaning.against else self.meaning.at
        return f"{self.meaning.quantity} {ends}"


def read_column(
    header: str,
    meaning: Meaning,
    cells: Sequence[tuple[int, str]],
    decimal_comma: bool,
    degrees: str | None,
    findings: list[Finding],
) -> Column | None:
    """Return a column's values in SI, what is no number or cannot be masked."""
    numbers: list[tuple[float, str, int] | None] = []
    for line, cell in cells:
        found = number_of(cell, decimal_comma)
        if found is not None and (not math.isfinite(found[0]) or (found[1] and not is_unit(found[1]))):
            found = None
        if found is None and cell:
            add_finding(findings, line, "no number", f"{header}: {cell[:20]!r} is no number.")
        numbers.append(found)
    there = [found for found in numbers if found is not None]
    if len(there) < max(1, _LEAST_SHARE * len(numbers)):
        add_finding(findings, None, "column left out", f"{header}: it holds almost no numbers.")
        return None
    unit = _unit(header, meaning, there, degrees, findings)
    if unit is None:
        return None
    try:
        known = units.find(unit, meaning.dimension)
    except units.UnitError as error:
        add_finding(findings, None, "column left out", f"{header}: {error}")
        return None
    low, high = PLAUSIBLE.get(meaning.quantity) or vocabulary.quantity_of(meaning.quantity)[4:6]
    values: list[float | None] = []
    masked = 0
    first = None
    for (line, _), found in zip(cells, numbers, strict=True):
        value = None if found is None else found[0] * known.factor + known.offset
        if value is not None and not low <= value <= high:
            value, masked, first = None, masked + 1, first or line
        values.append(value)
    if masked:
        findings.append(
            Finding(first, "not plausible", f"{header}: values that a {meaning.quantity} cannot have left out.", masked)
        )
    if sum(value is not None for value in values) < max(1, _LEAST_SHARE * len(values)):
        add_finding(
            findings,
            None,
            "column left out",
            f"{header}: hardly a value is plausible in {unit}; --map can give another unit.",
        )
        return None
    return Column(header, meaning, tuple(values), unit, _resolution(there) * known.factor)


def _resolution(there: Sequence[tuple[float, str, int]]) -> float:
    """Return the smallest step that shows in numbers: the last digit, or a coarser step that all of them keep."""
    digit = 10.0 ** -min(max(found[2] for found in there), 12)
    different = sorted({found[0] for found in there})
    gaps = [b - a for a, b in pairwise(different)]
    return max(digit, min(gaps)) if len(gaps) > 4 else digit


def _unit(
    header: str,
    meaning: Meaning,
    there: Sequence[tuple[float, str, int]],
    degrees: str | None,
    findings: list[Finding],
) -> str | None:
    """Return the unit of a column: as mapped or named, as its cells say, or as its values leave no other."""
    if meaning.unit:
        return spelled(meaning.unit)
    tails = {spelled(found[1]) for found in there if found[1]}
    if len(tails) == 1:
        (tail,) = tails
        try:
            units.find(tail, meaning.dimension)
            return tail
        except units.UnitError:
            pass
    guess = degrees if meaning.dimension == "temperature" else _guess(meaning, [found[0] for found in there])
    if guess is None:
        text = f"{header}: no unit is written, and the values do not tell; --map can say it."
        add_finding(findings, None, "column left out", text)
        return None
    add_finding(findings, None, "unit guessed", f"{header}: no unit is written; by the values taken as {guess}.")
    return guess


def degrees_of(columns: Sequence[tuple[Meaning, Sequence[str]]], decimal_comma: bool) -> str | None:
    """Return the unit of the temperatures that have none, one for the whole file, or None where it cannot be told.

    No residential air is above 50 C, and no log of one stays below 50 F by the greater part in every column: a dew
    point or the outdoors may, so a single column cannot tell.
    """
    named = {spelled(meaning.unit) for meaning, _ in columns if meaning.unit}
    if len(named) == 1:
        return named.pop()
    sizes = []
    for meaning, cells in columns:
        if meaning.unit or meaning.quantity not in ("dry_bulb", "wet_bulb"):
            continue
        numbers = sorted(found[0] for cell in cells if (found := number_of(cell, decimal_comma)) is not None)
        if numbers:
            sizes.append((numbers[len(numbers) // 2], numbers[int(0.95 * (len(numbers) - 1))]))
    if any(high > 50.0 for _, high in sizes):
        return "F"
    return "C" if sizes and all(high < 45.0 and -20.0 < middle < 40.0 for middle, high in sizes) else None


_BAROMETERS = {
    "inHg": (18.0, 32.0), "hPa": (600.0, 1100.0), "kPa": (60.0, 110.0), "psi": (9.0, 16.0), "Pa": (6e4, 1.1e5),
}  # fmt: skip


def _guess(meaning: Meaning, numbers: Sequence[float]) -> str | None:
    """Return the unit that values of this size must have, or None where two would do."""
    size = sorted(map(abs, numbers))[int(0.95 * (len(numbers) - 1))]
    dimension = meaning.dimension
    if meaning.quantity == "pressure":
        middle = median(numbers)
        fits = [unit for unit, (low, high) in _BAROMETERS.items() if low <= middle <= high]
        return fits[0] if fits else None
    if dimension == "pressure":
        return "inwc" if size < 3.0 else "Pa" if size > 8.0 else None
    if dimension == "dimensionless":
        return "%" if size > 1.5 else "1"
    if dimension == "power":
        return "W" if size > 30.0 else "kW"
    if dimension == "airflow":
        return "cfm" if size > 100.0 else None
    return {"voltage": "V", "current": "A", "frequency": "rpm"}.get(dimension)
