"""What can make an air handler move the wrong amount of air: what is usual, and how each cause shifts it."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.trade.standing import Word
from drawthrough.visit.state import Action, Motor, Part

NOTHING = "nothing wrong"
MISREAD = "a bad reading"  # weighed by what the readings say of each other, beside all causes


class CauseError(DrawthroughError):
    """Causes that do not hang together."""


class Mark(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A number that causes shift, and what is usual of it."""

    name: str
    mean: float
    sd: float
    moved: float  # sd of as found over as left where nothing was done on it
    worked: float  # and where something was
    work: tuple[tuple[Part, Action], ...]
    source: str
    word: Word


class Shift(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One way in which a cause shifts marks."""

    by: dict[str, float]  # mark: how far for each unit of size
    mean: float
    sd: float
    motor: tuple[Motor, ...] = ()


class Cause(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One thing that can be wrong."""

    name: str
    often: float  # share of the systems looked at
    ends: float  # share in which its work ends it
    passes: float  # share in which it ends by itself
    work: tuple[tuple[Part, Action], ...]
    shift: tuple[Shift, ...]
    source: str
    word: Word
    motor: tuple[Motor, ...] = ()
    done: float = 1.0  # factor of the odds where its work was done
    undone: float = 1.0  # and where it was left undone
    seen_on: str = ""  # surface or part on which a look shows it

    def shifts(self, motor: Motor) -> tuple[Shift, ...]:
        """Return its shifts on a kind of motor; none: it does not show there."""
        if self.motor and motor not in self.motor:
            return ()
        return tuple(shift for shift in self.shift if not shift.motor or motor in shift.motor)


class Beliefs(NamedTuple):
    """All marks and all causes, by name."""

    mark: Mapping[str, Mark]
    cause: Mapping[str, Cause]
    look: Mapping[str, float]  # what was seen: how much likelier it makes the cause (odds)


@cache
def beliefs() -> Beliefs:
    """Return the beliefs that the tool brings."""
    return read_beliefs(tomllib.loads((files("drawthrough.trade") / "causes.toml").read_text(encoding="utf-8")))


def read_beliefs(data: Mapping[str, Any]) -> Beliefs:
    """Return marks and causes from the content of a file.

    Parameters
    ----------
    data : mapping
        Lists under `mark` and `cause`.

    Raises
    ------
    CauseError
        An entry that is not of its form, one told twice, a share outside 0 to 1, a width that is none, and a shift of
        a mark that is not there.
    """
    try:
        marks = msgspec.convert(data.get("mark", []), list[Mark])
        causes = msgspec.convert(data.get("cause", []), list[Cause])
        look = msgspec.convert(data.get("look", {}), dict[str, float])
    except msgspec.ValidationError as refusal:
        raise CauseError(f"This is not a belief about causes: {refusal}.") from refusal
    for names in ([mark.name for mark in marks], [cause.name for cause in causes]):
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise CauseError(f"Told twice: {', '.join(twice)}.")
    made = Beliefs({mark.name: mark for mark in marks}, {cause.name: cause for cause in causes}, look)
    for mark in marks:
        if not (mark.sd > 0.0 and mark.moved > 0.0 and mark.worked > 0.0):
            raise CauseError(f"{mark.name}: a width must be more than nothing.")
    for cause in causes:
        if not (0.0 < cause.often < 1.0 and 0.0 <= cause.ends <= 1.0 and 0.0 <= cause.passes <= 1.0):
            raise CauseError(f"{cause.name}: a share lies between 0 and 1, and a cause is neither never nor always.")
        if not (cause.done > 0.0 and cause.undone > 0.0):
            raise CauseError(f"{cause.name}: work can tell for it or against it, not make it impossible.")
        for shift in cause.shift:
            missing = sorted(set(shift.by) - set(made.mark))
            if missing or not shift.sd > 0.0:
                raise CauseError(f"{cause.name}: shifts {', '.join(missing) or 'by no width'}.")
    return made


def messages() -> Iterator[str]:
    """Yield what causes and marks are called."""
    yield NOTHING
    yield MISREAD
    yield from beliefs().cause
    yield from beliefs().mark
