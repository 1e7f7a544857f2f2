"""What else on the sheet a reading is held against, whether it enters the fit or not."""

import math
from collections.abc import Iterator
from statistics import median
from typing import NamedTuple

from drawthrough.judge.air import mean_reading
from drawthrough.judge.law import student
from drawthrough.trade.slips import Check, Slips
from drawthrough.visit.state import Reading, Run, Visit

_OTHER_POINT = {"supply": "supply far", "supply far": "supply"}
_LEAST = 1e-300


class Beside(NamedTuple):
    """A figure that a reading should be near to, and by what law."""

    check: Check
    figure: float

    def distance(self, value: float) -> float:
        """Return how far a value lies from the middle of the law."""
        check = self.check
        if not check.ratio:
            return value - self.figure - (check.middle if check.beside != "ordinary" else 0.0)
        middle = check.middle if check.beside != "ordinary" else 0.0
        return math.log(max(value / self.figure, 1e-6)) - middle

    def log(self, value: float) -> float:
        """Return the logarithm of the density of a value, but for a constant."""
        return math.log(max(student(self.distance(value), self.check.spread), _LEAST))

    def highest(self) -> float:
        """Return the logarithm of the density in the middle."""
        return math.log(student(0.0, self.check.spread))

    def spread(self, value: float) -> float:
        """Return the standard deviation of the reading that this check allows, in its unit."""
        return self.check.spread * (abs(value) if self.check.ratio else 1.0)


def beside_of(known: Visit, run: Run, index: int, table: Slips) -> Iterator[Beside]:
    """Yield everything that a reading is held against, out of what is known of the visit."""
    reading = run.reading[index]
    for check in table.check.get(reading.what, ()):
        if (check.at and check.at != reading.at) or (check.mode and check.mode != run.mode):
            continue
        figure = _figure(known, run, reading, check)
        if figure is not None and (figure != 0.0 or not check.ratio):
            yield Beside(check, figure)


def _figure(known: Visit, run: Run, reading: Reading, check: Check) -> float | None:
    system = known.system
    if check.beside == "ordinary":
        return check.middle
    if check.beside == "return":
        return mean_reading(_same(known, run), "dry_bulb", "return")
    if check.beside == "other point":
        return mean_reading(_same(known, run), reading.what, _OTHER_POINT[reading.at])
    if check.beside == "rated":
        return system.volts_rated or (system.strips.volts if system.strips is not None else None)
    if check.beside == "printed":
        if reading.what == "capacitance":
            return system.capacitor.capacitance if system.capacitor is not None else None
        volts = mean_reading(_same(known, run), "volts", "strips")
        if system.strips is None or not volts:
            return None
        return system.strips.power * volts / system.strips.volts**2
    others = [
        other.value
        for run_beside in known.run
        if run_beside.id != run.id and _alike(run, run_beside, reading)
        for other in run_beside.reading
        if (other.what, other.at, other.against) == (reading.what, reading.at, reading.against)
    ]
    return median(others) if others else None


def _same(known: Visit, run: Run) -> Run:
    return next(one for one in known.run if one.id == run.id)


def _alike(run: Run, other: Run, reading: Reading) -> bool:
    """Is this quantity about the same in both runs?"""
    if reading.at in ("return", "outdoor"):
        return True
    return run.mode == other.mode and run.speed == other.speed
