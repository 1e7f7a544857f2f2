"""What can hurt a person or a house while an air handler is open, with whose rule says so."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from drawthrough.errors import DrawthroughError

WORDS = ("from memory", "common practice")
CONFIDENCES = ("high", "medium-high", "medium", "low")


class CautionFault(DrawthroughError):
    """A caution cannot be read; names the caution and what is wrong with it."""


class Caution(NamedTuple):
    """One caution: a sentence, the rules it rests on, and how far they may be trusted."""

    code: str
    text: str
    citations: tuple[str, ...]  # of laws and standards, as they are cited in every language
    word: str  # one of WORDS
    confidence: str  # one of CONFIDENCES
    always: bool = False  # shown wherever cautions are shown


@cache
def cautions() -> dict[str, Caution]:
    """Return every caution by its code, in the order of the table."""
    return read_cautions(tomllib.loads((files("drawthrough.trade") / "cautions.toml").read_text(encoding="utf-8")))


def standing() -> tuple[Caution, ...]:
    """Return the cautions that are shown wherever cautions are shown."""
    return tuple(one for one in cautions().values() if one.always)


def read_cautions(table: Mapping[str, Any]) -> dict[str, Caution]:
    """Return the cautions of a table; raises CautionFault naming the first that is wrong."""
    return {code: _caution(code, row) for code, row in table.items()}


def _caution(code: str, row: Mapping[str, Any]) -> Caution:
    try:
        one = Caution(code=code, **{"citations": (), **row})
    except TypeError as error:
        raise CautionFault(f'Caution "{code}": a key is missing or unknown ({error}).') from error
    one = one._replace(citations=tuple(one.citations))
    if not one.text.endswith("."):
        raise CautionFault(f'Caution "{code}": its text is not a whole sentence.')
    if one.word not in WORDS:
        raise CautionFault(f'Caution "{code}": word is "{one.word}", not one of {", ".join(WORDS)}.')
    if one.confidence not in CONFIDENCES:
        raise CautionFault(f'Caution "{code}": confidence is "{one.confidence}", not one of {", ".join(CONFIDENCES)}.')
    if one.word == "from memory" and not one.citations:
        raise CautionFault(f'Caution "{code}": from memory of what? It cites nothing.')
    return one


def messages() -> Iterator[str]:
    """Yield every sentence of the table, and the words of trust."""
    yield from (one.text for one in cautions().values())
    yield from WORDS
