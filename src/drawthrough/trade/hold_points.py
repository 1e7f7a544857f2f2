"""Hold points: steps that must not be reached in the wrong order, what holds each, and on what it rests."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal

import msgspec

from drawthrough.trade.tasks import Task, TaskError, Tasks, tasks

Shown = Literal[
    "leads as found", "leads told apart", "leads agree", "rules kept", "photo of wiring", "risk told", "all closed",
]  # fmt: skip


class Condition(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename={"with_": "with"}):
    """One thing that must be so: a task done since others were, or something that the record shows."""

    code: str
    text: str
    done: str = ""
    since: tuple[str, ...] = ()
    fact: Shown | None = None
    with_: tuple[str, ...] = ()


class HoldPoint(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A step that must not be reached before its conditions are met."""

    code: str
    text: str
    conditions: tuple[Condition, ...]
    before: tuple[str, ...] = ()
    inside: tuple[str, ...] = ()
    but: tuple[str, ...] = ()
    passable: bool = False  # with a written reason
    word: Literal["from memory", "common practice"]
    citations: tuple[str, ...] = ()

    def holds(self, task: Task) -> bool:
        """Does it hold this task?"""
        if task.code in self.but:
            return False
        return task.code in self.before or any(opening in self.inside for opening in task.needs)


@cache
def hold_points() -> Mapping[str, HoldPoint]:
    """Return the hold points by their codes, in their order."""
    text = (files("drawthrough.trade") / "hold_points.toml").read_text(encoding="utf-8")
    return read_hold_points(tomllib.loads(text), tasks())


def read_hold_points(data: Mapping[str, Any], among: Tasks) -> Mapping[str, HoldPoint]:
    """Return hold points from the content of a file.

    Parameters
    ----------
    data : mapping
        A list under `hold`.
    among : Tasks
        The tasks that they may name.

    Raises
    ------
    TaskError
        A hold point that is not of that form, or one that names a task or an opening that is not there.
    """
    try:
        listed = msgspec.convert(data.get("hold", []), list[HoldPoint])
    except msgspec.ValidationError as refusal:
        raise TaskError("shape", (), f"This is not a hold point: {refusal}.") from refusal
    for one in listed:
        named = {*one.before, *one.but}
        for condition in one.conditions:
            if bool(condition.done) == bool(condition.fact):
                text = f"{one.code}: the condition {condition.code!r} needs either `done` or `fact`."
                raise TaskError("shape", (one.code, condition.code), text)
            named |= {*filter(None, (condition.done,)), *condition.since, *condition.with_}
        for code in sorted(named - set(among.task)):
            raise TaskError("unknown", (one.code, code), f"{one.code}: there is no task {code!r}.")
        for opening in one.inside:
            if opening not in among.openings:
                raise TaskError("no access", (one.code, opening), f"{one.code}: there is no opening {opening!r}.")
    return {one.code: one for one in listed}


def messages() -> Iterator[str]:
    """Yield every sentence."""
    for one in hold_points().values():
        yield one.text
        yield from (condition.text for condition in one.conditions)
