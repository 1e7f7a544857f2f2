"""A finished chart: its drawing, the sentence that says what it shows, and its numbers as a table."""

from dataclasses import dataclass
from typing import NamedTuple

from drawthrough.report.field import FieldUnit, Shown, shown
from drawthrough.report.voice import Voice

MINUS = "\N{MINUS SIGN}"
WHENS = ("as found", "as left")


class Table(NamedTuple):
    """Numbers beneath a chart, for readers and wherever a drawing cannot be seen."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Chart:
    """One chart."""

    svg: str
    sentence: str
    table: Table


def signed(text: str) -> str:
    """Return a figure with the minus sign of print instead of the hyphen."""
    return text.replace("-", MINUS)


def made(value: float, low: float, high: float, unit: FieldUnit) -> Shown:
    """Return an SI value and its ends as they are shown in a unit, with the minus sign of print."""
    found = shown(unit.of(value), unit.of(low), unit.of(high))
    return Shown(*map(signed, found))


def with_ends(figure: Shown, voice: Voice) -> str:
    """Return a value with its interval in brackets."""
    return f"{figure.value} ({voice.ends(figure)})"


def title(name: str, unit: FieldUnit) -> str:
    """Return what an axis shows, with its unit."""
    return f"{name}, {unit.label}" if unit.label else name


def figure(text: str, unit: FieldUnit) -> str:
    """Return a figure with its unit."""
    return f"{text} {unit.label}".rstrip()
