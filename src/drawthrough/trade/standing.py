"""The rules of standing: what follows from a reason, whose rule it is, and which number rests on what."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal, NamedTuple

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.trade.ring import ring_in

Standing = Literal["it stands", "in doubt", "set aside", "not resolved"]
Word = Literal["published", "from memory", "common practice", "judgement", "model"]
FAN_TABLE = "fan table"  # what a number can rest on besides numbers and readings


class RuleError(DrawthroughError):
    """Rules that do not hang together; `names` says which."""

    def __init__(self, names: Iterable[str], text: str) -> None:
        self.names = tuple(names)
        super().__init__(text)


class Rule(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one reason makes of a reading, a result or a comparison."""

    code: str
    of: Literal["reading", "result", "comparison"]
    gives: Standing
    source: str
    word: Word
    worse: Standing | None = None


class Need(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one number rests on."""

    of: str
    on: tuple[str, ...]
    source: str


class Kind(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A kind of readings."""

    name: str
    what: tuple[str, ...]
    at: tuple[str, ...] = ()  # empty: anywhere

    def holds(self, what: str, at: str) -> bool:
        """Is a reading of this kind?"""
        return what in self.what and (not self.at or at in self.at)


class Rules(NamedTuple):
    """All rules by their codes, what rests on what, and the kinds of readings."""

    rule: Mapping[str, Rule]
    needs: Mapping[str, Need]
    kind: Mapping[str, Kind]


@cache
def rules() -> Rules:
    """Return the rules that the tool brings."""
    return read_rules(tomllib.loads((files("drawthrough.trade") / "standing.toml").read_text(encoding="utf-8")))


def read_rules(data: Mapping[str, Any]) -> Rules:
    """Return rules from the content of a file.

    Parameters
    ----------
    data : mapping
        Lists under `rule`, `needs` and `kind`.

    Raises
    ------
    RuleError
        An entry that is not of its form, one told twice, a number that rests on something that is not there, and
        numbers that rest on each other in a ring.
    """
    try:
        listed = msgspec.convert(data.get("rule", []), list[Rule])
        needs = msgspec.convert(data.get("needs", []), list[Need])
        kinds = msgspec.convert(data.get("kind", []), list[Kind])
    except msgspec.ValidationError as refusal:
        raise RuleError((), f"This is not a rule of standing: {refusal}.") from refusal
    for names in ([one.code for one in listed], [one.of for one in needs], [one.name for one in kinds]):
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise RuleError(twice, f"Told twice: {', '.join(twice)}.")
    made = Rules({one.code: one for one in listed}, {one.of: one for one in needs}, {one.name: one for one in kinds})
    there = {*made.needs, *made.kind, FAN_TABLE}
    for need in needs:
        for on in need.on:
            if on not in there:
                raise RuleError((need.of, on), f"{need.of} rests on {on!r}, which is neither a number nor a reading.")
    ring = ring_in({one.of: set(one.on) & set(made.needs) for one in needs})
    if ring:
        raise RuleError(ring, f"These rest on each other in a ring: {' -> '.join((*ring, ring[0]))}.")
    return made


def messages() -> Iterator[str]:
    """Yield what kinds of readings are called."""
    yield from rules().kind
    yield FAN_TABLE
