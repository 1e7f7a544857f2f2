"""What hands do wrong on a sheet: decimal slip, wrong hole, Celsius typed as Fahrenheit, a zero left off."""

import random
from collections.abc import Callable, Iterator
from typing import NamedTuple

import msgspec

from drawthrough import units, vocabulary
from drawthrough.errors import DrawthroughError
from drawthrough.visit.state import Reading, Run


class Gross(NamedTuple):
    """A planted blunder."""

    run: str
    index: int  # of the reading in its run
    kind: str
    true: float  # what should stand there [SI]
    typed: float  # what does [SI]


def _slip(reading: Reading, run: Run, rng: random.Random) -> str | None:
    """The point one place too far to either side."""
    number, unit = reading.typed.split()
    if reading.what not in ("static", "pressure_drop", "amps", "capacitance", "blower_power", "speed"):
        return None
    factor = rng.choice((10.0, 0.1))
    return f"{float(number) * factor:.6g} {unit}"


def _hole(reading: Reading, run: Run, rng: random.Random) -> str | None:
    """What was read in another hole of the same run, under this hole's name."""
    if reading.what != "static" or reading.against != "room":
        return None
    others = [r for r in run.reading if r.what == "static" and r.against == "room" and r.value * reading.value > 0.0]
    others = [r for r in others if r.at != reading.at]
    return rng.choice(others).typed if others else None


def _celsius(reading: Reading, run: Run, rng: random.Random) -> str | None:
    """The display stood on Celsius; the sheet says Fahrenheit."""
    if reading.what != "dry_bulb":
        return None
    return f"{reading.value - 273.15:.1f} F"


def _zero(reading: Reading, run: Run, rng: random.Random) -> str | None:
    """A zero inside or at the end of the digits left off: 0.105 becomes 0.15, 1080 becomes 108."""
    number, unit = reading.typed.split()
    whole, point, decimals = number.partition(".")
    if decimals and "0" in decimals[:-1]:
        return f"{whole}.{decimals.replace('0', '', 1)} {unit}"
    if whole.lstrip("-").endswith("0") and len(whole.lstrip("-")) > 1 and reading.what in ("speed", "blower_power"):
        return f"{whole[:-1]}{point}{decimals} {unit}"
    return None


KINDS: dict[str, Callable[[Reading, Run, random.Random], str | None]] = {
    "decimal slip": _slip,
    "wrong hole": _hole,
    "F for C": _celsius,
    "zero left off": _zero,
}


def _candidates(runs: list[Run], kind: str, rng: random.Random) -> Iterator[tuple[int, int, str, float]]:
    for i, run in enumerate(runs):
        wet = {reading.at: reading.value for reading in run.reading if reading.what == "wet_bulb"}
        for k, reading in enumerate(run.reading):
            typed = KINDS[kind](reading, run, rng)
            if typed is None:
                continue
            try:
                value = vocabulary.read(reading.what, typed)
            except (units.UnitError, DrawthroughError):
                continue  # the sheet itself would refuse it
            if reading.what == "dry_bulb" and value < wet.get(reading.at, 0.0):
                continue  # and a dry bulb below its wet bulb too
            if value != reading.value:
                yield i, k, typed, value


def planted(runs: list[Run], rng: random.Random) -> tuple[list[Run], Gross] | None:
    """Return the runs with one blunder, or None where no reading can carry one."""
    kinds = list(KINDS)
    rng.shuffle(kinds)
    for kind in kinds:
        found = list(_candidates(runs, kind, rng))
        if not found:
            continue
        i, k, typed, value = rng.choice(found)
        run = runs[i]
        readings = list(run.reading)
        true = readings[k].value
        readings[k] = msgspec.structs.replace(readings[k], value=value, typed=typed)
        changed = [*runs[:i], msgspec.structs.replace(run, reading=tuple(readings)), *runs[i + 1 :]]
        return changed, Gross(run.id, k, kind, true, value)
    return None
