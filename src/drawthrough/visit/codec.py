"""Facts as JSON Lines, and the way from every version that was ever written to today's."""

from collections.abc import Callable, Iterable
from typing import Any

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.visit.facts import AnyFact

VERSION = 2  # of the form in which facts are written

# From version n to n + 1: takes and returns one fact as plain data. Facts are for ever, so no step is ever removed.
STEPS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {
    1: lambda fact: fact,  # version 2 added facts of the work and of the wiring, and keys that need not be there
}

_ENCODER = msgspec.json.Encoder()
_DECODER = msgspec.json.Decoder()

# Reading a visit is mostly reading lines that `encode` of this version wrote: they begin alike, and what follows is
# decoded into the fact at once. Every other line, and every line in which something is wrong, goes the long way.
_OPENING = f'{{"version":{VERSION},'
_OPENING_BYTES = _OPENING.encode()
_TODAY: msgspec.json.Decoder[AnyFact] = msgspec.json.Decoder(AnyFact)


class FactError(DrawthroughError):
    """A line is not a fact that can be read."""


def encode(fact: AnyFact) -> str:
    """Return one fact as one line of JSON, without the line's end."""
    plain = msgspec.to_builtins(fact)
    return _ENCODER.encode({"version": VERSION, **plain}).decode()


def decode(line: str | bytes) -> AnyFact:
    """Return the fact of one line, brought up to date step by step.

    Raises
    ------
    FactError
        Not JSON, no version, a version from a newer program, or not a fact.
    """
    try:
        if isinstance(line, str):
            if line.startswith(_OPENING):
                return _TODAY.decode("{" + line[len(_OPENING) :])
        elif line.startswith(_OPENING_BYTES):
            return _TODAY.decode(b"{" + line[len(_OPENING_BYTES) :])
    except (msgspec.DecodeError, UnicodeError):
        pass
    return _decode_step_by_step(line)


def _decode_step_by_step(line: str | bytes) -> AnyFact:
    try:
        plain = _DECODER.decode(line)
    except (msgspec.DecodeError, UnicodeError) as refusal:
        raise FactError(f"This line is not JSON: {refusal}.") from refusal
    if not isinstance(plain, dict) or type(version := plain.pop("version", None)) is not int:
        raise FactError("This line is not a fact: it carries no version.")
    if not 1 <= version <= VERSION:
        raise FactError(f"This fact is of version {version}; this program knows versions 1 to {VERSION}.")
    for step in range(version, VERSION):
        plain = STEPS[step](plain)
    try:
        fact: AnyFact = msgspec.convert(plain, AnyFact)
    except msgspec.ValidationError as refusal:
        raise FactError(f"This line is not a fact: {refusal}.") from refusal
    return fact


def encode_lines(facts: Iterable[AnyFact]) -> str:
    """Return facts as JSON Lines."""
    return "".join(encode(fact) + "\n" for fact in facts)


def decode_lines(text: str) -> list[AnyFact]:
    """Return the facts of JSON Lines; empty lines are passed over.

    Raises
    ------
    FactError
        A line cannot be read; the text names it by its number.
    """
    facts = []
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            try:
                facts.append(decode(line))
            except FactError as refusal:
                raise FactError(f"Line {number}: {refusal}") from refusal
    return facts
