"""What a reading is worth: its instrument's shared gain and offset, and the noise that is new each time."""

import math
from typing import NamedTuple

from drawthrough.judge.priors import ANY_OTHER, ASSUMED, Priors
from drawthrough.measure import instrument
from drawthrough.visit.state import Instrument, Reading, Run, Visit

PRESSURES = ("static", "pressure_drop")


class Accuracy(NamedTuple):
    """The accuracy of the instrument behind a reading, and whose it is."""

    key: str  # the instrument's id, or the quantity where no instrument was named
    sheet: instrument.Accuracy
    described: bool  # False: no instrument was named, and an ordinary one is assumed

    def gain(self) -> float:
        """Return the standard uncertainty of the gain that all its readings share, relative."""
        return instrument.parts(self.sheet, 1.0).gain

    def offset(self) -> float:
        """Return the standard uncertainty of the offset that its readings share [SI]."""
        return instrument.parts(self.sheet, 0.0).offset

    def noise(self, value: float) -> float:
        """Return the standard uncertainty that is new with each reading [SI]."""
        return instrument.parts(self.sheet, value).own

    def relative(self, value: float) -> float:
        """Return the whole standard uncertainty of a reading over its value."""
        return instrument.standard_uncertainty(self.sheet, value) / abs(value)


def accuracy_of(visit: Visit, reading: Reading, shared: float = instrument.SHARED) -> Accuracy:
    """Return the accuracy of the instrument that took a reading, or of an ordinary one where none was named."""
    for known in visit.instrument:
        if known.id == reading.instrument:
            sheet = instrument.Accuracy(
                known.accuracy_relative, known.accuracy_absolute, known.coverage, known.resolution, shared
            )
            return Accuracy(known.id, sheet, True)
    assumed = ASSUMED.get(reading.what, ANY_OTHER)
    sheet = instrument.Accuracy(assumed.relative, assumed.absolute, None, assumed.resolution, shared)
    return Accuracy(f"unnamed {reading.what}", sheet, False)


def noise_of(visit: Visit, reading: Reading, priors: Priors) -> float:
    """Return the standard uncertainty of a reading that no other reading shares [SI].

    The mean of a steady window brings its own; what the instrument adds anew each time stays on top of it. A pressure
    read by eye also swings.
    """
    noise = accuracy_of(visit, reading, priors.shared_variance).noise(reading.value)
    swing = priors.static_swing if reading.what in PRESSURES else 0.0
    return math.hypot(noise, swing if reading.uncertainty is None else reading.uncertainty)


def zeroing_of(manometer: Instrument | None, run: Run, reading: Reading) -> str:
    """Return a name for the zero that a pressure reading shares with others: it lasts until the next zeroing."""
    if manometer is None or not manometer.zeroed:
        return "never zeroed"
    moment = reading.time or run.start
    if moment is None:
        return "once" if len(manometer.zeroed) == 1 else run.when
    # A bare clock time belongs to the day on which its run began.
    if run.start is not None and len(moment) < len(run.start):
        moment = run.start[: len(run.start) - len(moment)] + moment
    before = [stamp for stamp in manometer.zeroed if stamp <= moment]
    return max(before) if before else "before the visit"


def day_of(run: Run) -> str:
    """Return the day of a run, or its state where no day was written."""
    if run.start is not None and len(run.start) >= 10:
        return run.start[:10]
    return run.when
