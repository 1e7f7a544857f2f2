"""What to do when something sticks: each step with its time, what can go wrong, and when to go on."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from drawthrough import vocabulary
from drawthrough.errors import DrawthroughError
from drawthrough.trade.cautions import cautions
from drawthrough.trade.tasks import Span
from drawthrough.units import MINUTE


class GuideFault(DrawthroughError):
    """A guide cannot be read; names the guide, the step and what is wrong with it."""


class GuideStep(NamedTuple):
    """One step of a guide."""

    code: str
    text: str
    takes: Span
    risk: str  # what can go wrong
    go_on: str  # when to go to the next step; of the last one, what the customer is told
    wait: bool = False  # needs nobody: another task can be done meanwhile
    stop: bool = False  # the last one: refit or order parts
    cautions: tuple[str, ...] = ()  # codes
    tools: tuple[str, ...] = ()  # codes of items


class Guide(NamedTuple):
    """One guide: its sign, where it applies, what is told before the start, and its steps in their order."""

    code: str
    title: str
    sign: str  # what is seen when it applies
    applies: tuple[str, ...]  # codes of the tasks at which it is at hand
    step: tuple[GuideStep, ...]
    source: str  # of the steps
    minutes_source: str  # of their times, and of stop_after
    told: str = ""  # to the customer before the start, with {stop_after}
    told_amount: str = ""  # a second sentence where the price is known, with {amount}
    stop_after: float | None = None  # hands' time after which to stop, if the user has set nothing else [s]

    @property
    def takes(self) -> Span:
        """How long all its steps take, one after the other."""
        return _total(self.step)

    @property
    def hands(self) -> Span:
        """How long the steps take that need somebody: what `stop_after` counts."""
        return _total([one for one in self.step if not one.wait])


def _total(steps: Iterable[GuideStep]) -> Span:
    each = [one.takes for one in steps]
    return Span(sum(one.least for one in each), sum(one.likely for one in each), sum(one.most for one in each))


@cache
def guides() -> dict[str, Guide]:
    """Return every guide by its code, in the order of the table."""
    return read_guides(tomllib.loads((files("drawthrough.trade") / "guides.toml").read_text(encoding="utf-8")))


def guides_at(task: str) -> tuple[Guide, ...]:
    """Return the guides that are at hand at a task."""
    return tuple(one for one in guides().values() if task in one.applies)


def read_guides(table: Mapping[str, Any]) -> dict[str, Guide]:
    """Return the guides of a table; raises GuideFault naming the first that is wrong."""
    rows = {code: row for code, row in table.items() if code != "source"}
    return {code: _guide(code, row, table.get("source", "")) for code, row in rows.items()}


def _guide(code: str, row: Mapping[str, Any], source: str) -> Guide:
    name = f'Guide "{code}"'
    steps = _list(row.get("step"), dict, f"{name}: step")
    try:
        guide = Guide(
            **{
                "source": source,
                **row,
                "code": code,
                "applies": _words(row.get("applies"), f"{name}: applies"),
                "step": tuple(_step(one, name) for one in steps),
                "stop_after": _stop_after(row.get("stop_after"), name),
            }
        )
    except TypeError as error:
        raise GuideFault(f"{name}: a key is missing or unknown ({error}).") from error
    if not guide.source:
        raise GuideFault(f"{name}: no source, not even common practice.")
    if bool(guide.told) != (guide.stop_after is not None):
        raise GuideFault(f"{name}: told and stop_after belong together, and one of them is missing.")
    codes = [one.code for one in guide.step]
    for one in codes:
        if codes.count(one) > 1:
            raise GuideFault(f'{name}: step "{one}" stands there twice.')
    if [one.stop for one in guide.step] != [False] * (len(codes) - 1) + [True]:
        raise GuideFault(f"{name}: its last step, and no other, has to be the stop.")
    return guide


def _stop_after(text: str | None, name: str) -> float | None:
    if text is None:
        return None
    try:
        seconds = vocabulary.read("duration", text)
    except DrawthroughError as error:
        raise GuideFault(f"{name}: stop_after cannot be read. {error}") from error
    if not seconds > 0:
        raise GuideFault(f'{name}: stop_after is "{text}", not a time above zero.')
    return seconds


def _step(row: Mapping[str, Any], guide: str) -> GuideStep:
    name = f'{guide}, step "{row.get("code", "?")}"'
    fields = {key: value for key, value in row.items() if key != "minutes"}
    for key in ("cautions", "tools"):
        if key in row:
            fields[key] = _words(row[key], f"{name}: {key}")
    try:
        step = GuideStep(takes=_takes(row.get("minutes"), name), **fields)
    except TypeError as error:
        raise GuideFault(f"{name}: a key is missing or unknown ({error}).") from error
    for caution in step.cautions:
        if caution not in cautions():
            raise GuideFault(f'{name}: there is no caution "{caution}".')
    return step


def _takes(minutes: object, name: str) -> Span:
    match minutes:
        case [int() | float() as least, int() | float() as likely, int() | float() as most]:
            if 0 <= least <= likely <= most and most > 0:
                return Span(least * MINUTE, likely * MINUTE, most * MINUTE)
    raise GuideFault(f"{name}: minutes are {minutes!r}, not least, likely and most in rising order from zero up.")


def _words(value: object, name: str) -> tuple[str, ...]:
    words: tuple[str, ...] = tuple(_list(value, str, name))
    if len(set(words)) < len(words) or not all(words):
        raise GuideFault(f"{name} has a code twice, or an empty one.")
    return words


def _list(value: object, kind: type[Any], name: str) -> list[Any]:
    if not isinstance(value, list) or not value or not all(isinstance(one, kind) for one in value):
        raise GuideFault(f"{name} has to be a list with something in it, not {value!r}.")
    return value


def messages() -> Iterator[str]:
    """Yield every sentence of the guides."""
    for guide in guides().values():
        yield from (text for text in (guide.title, guide.sign, guide.told, guide.told_amount) if text)
        for step in guide.step:
            yield from (step.text, step.risk, step.go_on)
