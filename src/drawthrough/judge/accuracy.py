"""What a reading is worth: its instrument's shared gain and offset, and the noise that is new each time."""

import math
from typing import NamedTuple

from drawthrough.judge.priors import ANY_OTHER, ASSUMED, Priors
from drawthrough.visit.state import Instrument, Reading, Run, Visit

PRESSURES = ("static", "pressure_drop")


class Accuracy(NamedTuple):
    """Standard uncertainties of one instrument: relative, absolute [SI] and of its resolution [SI]."""

    key: str  # the instrument's id, or the quantity where no instrument was named
    relative: float
    absolute: float
    resolution: float
    described: bool  # False: no instrument was named, and an ordinary one is assumed

    def gain(self, shared: float) -> float:
        """Return the standard uncertainty of the gain that all its readings share."""
        return self.relative * math.sqrt(shared)

    def offset(self, shared: float) -> float:
        """Return the standard uncertainty of the offset that its readings share [SI]."""
        return self.absolute * math.sqrt(shared)

    def noise(self, value: float, shared: float) -> float:
        """Return the standard uncertainty that is new with each reading [SI]."""
        own = 1.0 - shared
        return math.sqrt(own * ((self.relative * value) ** 2 + self.absolute**2) + self.resolution**2)


def accuracy_of(visit: Visit, reading: Reading) -> Accuracy:
    """Return the accuracy of the instrument that took a reading.

    Limits without a stated coverage are rectangular (a / sqrt(3)); with a coverage k they are divided by it.
    """
    for instrument in visit.instrument:
        if instrument.id == reading.instrument:
            k = instrument.coverage or math.sqrt(3)
            return Accuracy(
                instrument.id,
                instrument.accuracy_relative / k,
                instrument.accuracy_absolute / k,
                instrument.resolution / math.sqrt(12),
                True,
            )
    assumed = ASSUMED.get(reading.what, ANY_OTHER)
    return Accuracy(
        f"unnamed {reading.what}",
        assumed.relative / math.sqrt(3),
        assumed.absolute / math.sqrt(3),
        assumed.resolution / math.sqrt(12),
        False,
    )


def noise_of(visit: Visit, reading: Reading, priors: Priors) -> float:
    """Return the standard uncertainty of a reading that no other reading shares [SI].

    The mean of a steady window brings its own; what the instrument adds anew each time stays on top of it. A pressure
    read by eye also swings.
    """
    noise = accuracy_of(visit, reading).noise(reading.value, priors.shared_variance)
    swing = priors.static_swing if reading.what in PRESSURES else 0.0
    return math.hypot(noise, swing if reading.uncertainty is None else reading.uncertainty)


def zeroing_of(instrument: Instrument | None, run: Run, reading: Reading) -> str:
    """Return a name for the zero that a pressure reading shares with others: it lasts until the next zeroing."""
    if instrument is None or not instrument.zeroed:
        return "never zeroed"
    moment = reading.time or run.start
    if moment is None:
        return "once" if len(instrument.zeroed) == 1 else run.when
    # A bare clock time belongs to the day on which its run began.
    if run.start is not None and len(moment) < len(run.start):
        moment = run.start[: len(run.start) - len(moment)] + moment
    before = [stamp for stamp in instrument.zeroed if stamp <= moment]
    return max(before) if before else "before the visit"


def day_of(run: Run) -> str:
    """Return the day of a run, or its state where no day was written."""
    if run.start is not None and len(run.start) >= 10:
        return run.start[:10]
    return run.when
