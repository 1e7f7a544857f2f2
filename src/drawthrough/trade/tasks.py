"""The tasks of a deep clean: what each needs and gives, how long it takes, what it asks for, and what it rests on."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal, NamedTuple

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.trade.ring import ring_in
from drawthrough.units import MINUTE
from drawthrough.visit.state import Action, Part, System, Use

VISIT = "visit"  # what every visit brings with it, as an opening brings its own tasks
Reason = Literal["loop", "unknown", "no access", "duration", "twice", "shape"]


class TaskError(DrawthroughError):
    """Tasks that do not hang together; `reason` says how, `names` which."""

    def __init__(self, reason: Reason, names: Iterable[str], text: str) -> None:
        self.reason = reason
        self.names = tuple(names)
        super().__init__(text)


class Span(NamedTuple):
    """A time that is not known before: its least, its likely and its most. [s]"""

    least: float
    likely: float
    most: float


NOTHING = Span(0.0, 0.0, 0.0)


class Outcome(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is written down as work once a task is done."""

    part: Part
    action: Action


class Task(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename={"for_": "for", "with_": "with"}
):
    """One task, as `tasks.toml` has it."""

    code: str
    text: str
    minutes: tuple[float, float, float]
    wait: tuple[float, float, float] = (0.0, 0.0, 0.0)
    waiting: Literal["", "soaking", "dwell", "dripping"] = ""
    chemical: Use | None = None  # whose label says how long the waiting is
    needs: tuple[str, ...] = ()
    opens: str = ""
    ends: str = ""
    purpose: tuple[str, ...] = ()
    brought_by: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    at_most: str = ""  # the task whose label limits how late this one may begin
    extra: Literal["", "usual", "if wanted"] = ""
    when: Literal["", "strips", "run capacitor", "filter"] = ""
    powered: bool = False  # does it need the power on?
    tools: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    record: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    guide: str = ""
    work: Outcome | None = None

    @property
    def hands(self) -> Span:
        """How long hands are needed. [s]"""
        return Span(*(one * MINUTE for one in self.minutes))

    @property
    def idle(self) -> Span:
        """How long it waits after them, needing nobody. [s]"""
        return Span(*(one * MINUTE for one in self.wait))


class Tasks(NamedTuple):
    """All tasks by their codes, in their usual order, with the names of openings and of what a visit can be for."""

    task: Mapping[str, Task]
    openings: Mapping[str, str]
    scopes: Mapping[str, str]
    before: Mapping[str, Mapping[str, bool]] = {}  # what lies before each task, and whether its waiting must be over

    def opener(self, opening: str) -> Task:
        """Return the task that makes an opening."""
        return next(one for one in self.task.values() if one.opens == opening)

    def ender(self, opening: str) -> Task:
        """Return the task that ends an opening."""
        return next(one for one in self.task.values() if one.ends == opening)

    def made_cheap(self, opening: str) -> tuple[Task, ...]:
        """Return the tasks that an opening makes cheap: those that need it, other than its own making and ending."""
        return tuple(one for one in self.task.values() if opening in one.needs)


def fits(task: Task, system: System | None) -> bool:
    """Does a task apply to a system? One that is not described yet may have everything."""
    if system is None or not task.when:
        return True
    if task.when == "strips":
        return system.strips is not None
    if task.when == "run capacitor":
        return system.motor == "psc"
    return system.filter_places > 0


@cache
def tasks() -> Tasks:
    """Return the tasks that the tool brings."""
    return read_tasks(tomllib.loads((files("drawthrough.trade") / "tasks.toml").read_text(encoding="utf-8")))


def read_tasks(data: Mapping[str, Any]) -> Tasks:
    """Return tasks from the content of a file.

    Parameters
    ----------
    data : mapping
        Tables `openings` and `scopes` (codes and names) and `task` (a list).

    Raises
    ------
    TaskError
        A task that is not of the form of a task, one told twice, one that names a task, an opening or a purpose that
        is not there, a time below zero or out of order, an opening that nothing makes or ends, tasks that wait for
        each other in a ring.
    """
    try:
        listed = msgspec.convert(data.get("task", []), list[Task])
    except msgspec.ValidationError as refusal:
        raise TaskError("shape", (), f"This is not a task: {refusal}.") from refusal
    made = Tasks({one.code: one for one in listed}, dict(data.get("openings", {})), dict(data.get("scopes", {})))
    if len(made.task) < len(listed):
        codes = [one.code for one in listed]
        twice = sorted({code for code in codes if codes.count(code) > 1})
        raise TaskError("twice", twice, f"Told twice: {', '.join(twice)}.")
    for one in listed:
        _check(one, made)
    _openings(made)
    made = made._replace(before={one.code: _predecessors(one, made) for one in listed})
    ring = ring_in({code: set(before) for code, before in made.before.items()})
    if ring:
        raise TaskError("loop", ring, f"These tasks wait for each other in a ring: {' -> '.join((*ring, ring[0]))}.")
    return made


def _check(one: Task, made: Tasks) -> None:
    for name, (least, likely, most) in (("minutes", one.minutes), ("wait", one.wait)):
        if not 0.0 <= least <= likely <= most < 24 * 60:
            read = f"[{least:g}, {likely:g}, {most:g}]"
            text = f"{one.code}: {name} must be least, likely and most, none below zero: {read}."
            raise TaskError("duration", (one.code,), text)
    for code in (*one.after, *one.over, *one.before, *filter(None, (one.at_most,))):
        if code not in made.task:
            raise TaskError("unknown", (one.code, code), f"{one.code}: there is no task {code!r}.")
    for scope in one.purpose:
        if scope not in made.scopes:
            raise TaskError("unknown", (one.code, scope), f"{one.code}: there is no purpose {scope!r}.")
    for opening in (*one.needs, *one.brought_by, *filter(None, (one.opens, one.ends))):
        if opening not in made.openings and not (opening == VISIT and opening in one.brought_by):
            raise TaskError("no access", (one.code, opening), f"{one.code}: there is no opening {opening!r}.")


def _openings(made: Tasks) -> None:
    for opening in made.openings:
        for verb, found in (
            ("makes", [one.code for one in made.task.values() if one.opens == opening]),
            ("ends", [one.code for one in made.task.values() if one.ends == opening]),
        ):
            if len(found) != 1:
                told = " and ".join(found) or "nothing"
                raise TaskError(
                    "no access", (opening, *found), f"{told} {verb} the opening {opening!r}; one task must."
                )


def _predecessors(one: Task, made: Tasks) -> dict[str, bool]:
    """Return the tasks after which one lies: by its own word, by another's, and by the openings."""
    found = dict.fromkeys(one.after, False) | dict.fromkeys(one.over, True)
    for other in made.task.values():
        if one.code in other.before:
            found.setdefault(other.code, False)
        if other.code != one.code and (
            (other.opens and other.opens in one.needs)
            or (one.ends and (one.ends in other.needs or one.ends == other.opens))
        ):
            found.setdefault(other.code, False)
    return found


def messages() -> Iterator[str]:
    """Yield every sentence and name that a person reads."""
    made = tasks()
    yield from made.openings.values()
    yield from made.scopes.values()
    for one in made.task.values():
        yield one.code
        yield one.text
        yield from one.checks
