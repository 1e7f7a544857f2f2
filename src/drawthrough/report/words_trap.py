"""The words for the drain trap: what it must hold, and whether the one that is there holds it."""

import math
from collections.abc import Iterator

from drawthrough.judge.trap import TrapNeed
from drawthrough.physics.drain import TRAP_MARGIN
from drawthrough.report.voice import ENGLISH, N_, Voice

_SUCTION = N_(
    "Trap, {when}: {suction:inwc unit} of suction at the coil asks for at least {drop:in unit} from the pan's outlet "
    "down to the trap's outlet, and {seal:in unit} from there down to the bend: the larger end of the interval, with "
    "{reserve:in unit} of reserve."
)
_PRESSURE = N_(
    "Trap, {when}: {suction:inwc unit} of pressure at the coil asks for at least {seal:in unit} from the trap's outlet "
    "down to the bend: the larger end of the interval, with {reserve:in unit} of reserve."
)
_HELD = N_("The trap that was measured holds {held:inwc unit} of suction.")
_HELD_NOT = N_("The trap that was measured holds {held:inwc unit} of suction only.")
_AGAIN = N_("After a good cleaning the suction may have grown: hold it against the reading as left.")


def trap_told(need: TrapNeed, voice: Voice = ENGLISH, *, last: bool = True) -> tuple[str, ...]:
    """Return what the trap must hold, and how the one that was measured stands to that.

    Parameters
    ----------
    need : TrapNeed
        What it needs at one time.
    voice : Voice
        How it is told.
    last : bool
        Is nothing known of a later time? As found, that is said.
    """
    figures = {
        "suction": abs(need.static),
        "drop": _upward(need.trap_drop_high, voice),
        "seal": _upward(need.trap_seal_high, voice),
        "reserve": TRAP_MARGIN,
    }
    names = {"when": need.when}
    told = [voice.fill(_SUCTION if need.static <= 0.0 else _PRESSURE, figures, names)]
    if need.held is not None and need.static <= 0.0:
        holds = need.held <= need.static  # both are suctions: the more negative the more
        told.append(voice.fill(_HELD if holds else _HELD_NOT, {"held": abs(need.held)}, {}))
    if last and need.when == "as found":
        told.append(voice.say(_AGAIN))
    return tuple(told)


def _upward(length: float, voice: Voice) -> float:
    """Return a length that is shown rounded up: too deep a trap does no harm, too shallow a one does."""
    unit = voice.unit("in")
    step = 10.0**-unit.decimals / unit.factor
    return math.ceil(length / step - 1e-9) * step


def messages() -> Iterator[str]:
    """Yield every sentence."""
    yield from (_SUCTION, _PRESSURE, _HELD, _HELD_NOT, _AGAIN)
