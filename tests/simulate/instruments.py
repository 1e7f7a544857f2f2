"""From a true value to what is typed: gain, offset, zero drift, step of the display, heavy-tailed noise."""

import math
import random
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from drawthrough import units, vocabulary
from drawthrough.visit.state import Instrument, Reading

SHEETS: dict[str, Any] = tomllib.loads(Path(__file__).with_name("instruments.toml").read_text(encoding="utf-8"))
QUALITIES = ("good", "ordinary", "rough")
MEASURES = {
    "manometer": "static",
    "return probe": "dry_bulb",
    "supply probe": "dry_bulb",
    "wet-bulb probe": "wet_bulb",
    "outdoor probe": "dry_bulb",
    "voltmeter": "volts",
    "clamp meter": "amps",
    "watt meter": "power",
    "tachometer": "speed",
    "gauges": "gauge_pressure",
    "pipe clamp": "temperature",
    "capacitance meter": "capacitance",
}
NOISE = (0.15, 0.45)  # standard deviation of the noise over that of the stated accuracy, per instrument (judgement)
BEYOND = 0.05  # share of instruments that have left their data sheet, by up to half of it (judgement)


def heavy(rng: random.Random) -> float:
    """A draw of Student's t with 4 degrees of freedom, scaled to a standard deviation of one.

    What data sheets and houses state of noise are standard deviations; bare, this t would have one of 1.41.
    """
    return rng.gauss(0.0, 1.0) / math.sqrt(2.0 * rng.gammavariate(2.0, 0.5))


class Tool(NamedTuple):
    """One instrument as it truly is."""

    id: str
    unit: str
    relative: float
    absolute: float
    step: float
    gain: float
    offset: float  # in the unit of its display
    noise: float  # over the stated accuracy
    drift: float  # of its zero from one zeroing to the next, in its unit

    @property
    def measures(self) -> str:
        """The vocabulary's name of what it reads."""
        return MEASURES[self.id]

    def shown(self, true: float, rng: random.Random, other: float = 0.0) -> str:
        """What its display shows for a true SI value; `other` is a further error [display unit]."""
        dimension = vocabulary.quantity_of(self.measures).dimension
        value = units.from_si(true, self.unit, dimension)
        scale = self.noise * (self.relative * abs(value) + self.absolute) / math.sqrt(3.0)
        value = value * (1.0 + self.gain) + self.offset + other + scale * heavy(rng)
        return self.written(value)

    def written(self, value: float) -> str:
        """A number as the display rounds it, with its unit."""
        decimals = max(0, round(-math.log10(self.step)))
        number = f"{round(value / self.step) * self.step:.{decimals}f}"
        return f"{number.removeprefix('-') if float(number) == 0.0 else number} {self.unit}"


def drawn(quality: str, rng: random.Random) -> dict[str, Tool]:
    """Return the instruments of one truck, each with errors of its own."""
    tools = {}
    for name, (relative, absolute, step, unit) in SHEETS[quality].items():
        stretch = rng.uniform(1.0, 1.5) if rng.random() < BEYOND else 1.0
        tools[name] = Tool(
            name, unit, relative, absolute, step,
            stretch * rng.uniform(-relative, relative), stretch * rng.uniform(-absolute, absolute),
            rng.uniform(*NOISE), rng.uniform(-0.3, 0.3) * absolute,
        )  # fmt: skip
    return tools


def zeroed_anew(tool: Tool, rng: random.Random) -> Tool:
    """A manometer after another zeroing: its gain stays, its offset is another one."""
    return tool._replace(offset=rng.uniform(-tool.absolute, tool.absolute))


def sheet(tool: Tool, zeroed: tuple[str, ...] = ()) -> Instrument:
    """What the visit sheet says of an instrument."""
    dimension = vocabulary.quantity_of(tool.measures).dimension
    dimension = "temperature_difference" if dimension == "temperature" else dimension

    def difference(amount: float) -> float:
        return units.to_si(amount, tool.unit, dimension)

    return Instrument(
        id=tool.id, measures=tool.measures, accuracy_relative=tool.relative,
        accuracy_absolute=difference(tool.absolute), resolution=difference(tool.step), zeroed=zeroed,
    )  # fmt: skip


def reading(
    what: str, at: str, typed: str, tool: Tool | None, time: str | None, against: str | None = None, note: str = ""
) -> Reading:
    """A reading as it stands on the sheet."""
    return Reading(
        what=what, at=at, against=against, value=vocabulary.read(what, typed), typed=typed,
        instrument=tool.id if tool else None, time=time, note=note,
    )  # fmt: skip
