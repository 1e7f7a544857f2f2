"""What every store promises, in whatever it keeps the facts; and what two stores must never do differently."""

import hashlib
from collections.abc import Iterable
from typing import Literal, Protocol

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.visit import codec
from drawthrough.visit.facts import AnyFact, VisitOpened, Withdrawn
from drawthrough.visit.fold import in_order, withdrawn_of

Kind = Literal["newer", "locked", "full", "not a database", "damaged", "conflict", "unreachable"]

_LARGEST = 2**63 - 1  # of the integers that a database holds


class StoreError(DrawthroughError):
    """The store cannot do what was asked; nothing of the call was kept, and nothing that was kept is lost.

    Parameters
    ----------
    kind : str
        What is the matter, for programs: newer, locked, full, not a database, damaged, conflict or unreachable.
    text : str
        What is the matter and what to do, for people.
    fact : str
        Id of the fact that it is about, if it is about one.
    """

    def __init__(self, kind: Kind, text: str, fact: str = "") -> None:
        self.kind = kind
        self.fact = fact
        super().__init__(text)


class FactConflict(StoreError):
    """A fact came with the id of another one. Facts never change, so one of the two is not what its device wrote."""

    def __init__(self, fact: str) -> None:
        super().__init__(
            "conflict", f"The fact {fact} is known with other content; nothing of what came with it was kept.", fact
        )


class VisitLine(msgspec.Struct, frozen=True, kw_only=True):
    """One visit in the list of visits."""

    visit: str
    system: str  # empty while the opening of the visit has not arrived, or is withdrawn
    opened_moment: int  # of the opening; of the earliest fact while there is none
    last_moment: int
    facts: int  # how many are kept


class Photo(msgspec.Struct, frozen=True, kw_only=True):
    """A photo as it was put in."""

    digest: str  # SHA-256 of the content, hexadecimal
    media: str  # media type
    content: bytes


class Store(Protocol):
    """Keeps facts and photos for ever. One thread at a time uses it.

    A call that returns has its facts and photos on disk; a call that raises `StoreError` has kept nothing.
    """

    def append(self, facts: Iterable[AnyFact]) -> int:
        """Keep facts and return how many of them were new; a fact that is known already is passed over.

        Raises
        ------
        FactConflict
            A fact bears a known id and says something else. Nothing of the call is kept.
        StoreError
            Also for a fact that could not be read back as it is. Nothing of the call is kept.
        """

    def facts(self, visit: str) -> list[AnyFact]:
        """Return the facts of one visit in the order on which all devices agree."""

    def since(self, cursor: int, limit: int | None = None) -> tuple[list[AnyFact], int]:
        """Return the facts that came after a cursor, in the order in which they came, and the next cursor.

        A cursor is a running number of this store alone; 0 stands before the first fact. One that this store has not
        reached was given by another store, or before this one was set back to a copy: everything is returned then,
        since bringing a fact twice does no harm.

        Parameters
        ----------
        cursor : int
            What the last call returned, or 0.
        limit : int, optional
            Most facts to return; there are no more when none come back.
        """

    def visits(self) -> list[VisitLine]:
        """Return a line for each visit, the one with the latest fact first."""

    def count(self, visit: str) -> int:
        """Return how many facts of a visit are kept; facts are never changed, so the same number is the same visit."""

    def has(self, fact: str) -> bool:
        """Is a fact with this id kept?"""

    def highest_sequence(self, device: str) -> int:
        """Return the highest running number of a device's facts, 0 if there are none."""

    def put_photo(self, content: bytes, media: str) -> str:
        """Keep a photo and return its digest; what is kept already stays as it is, its first media type too."""

    def photo(self, digest: str) -> Photo | None:
        """Return a photo, or None if it is not here.

        Raises
        ------
        StoreError
            What is kept no longer has this digest. Putting the photo in again mends it.
        """

    def has_photo(self, digest: str) -> bool:
        """Is a photo here, whole as far as its size tells?"""

    def close(self) -> None:
        """Let go of everything. Closing again does nothing."""


def line_of(fact: AnyFact) -> str:
    """Return a fact as the line that is kept.

    Raises
    ------
    StoreError
        The line would not be read as the same fact again, as with a number that is not finite. Kept, it would spoil
        its visit for ever.
    """
    try:
        line = codec.encode(fact)
        same = codec.decode(line) == fact and abs(fact.sequence) <= _LARGEST and abs(fact.moment) <= _LARGEST
    except (codec.FactError, msgspec.MsgspecError, TypeError, ValueError, OverflowError):
        same = False
    if not same:
        raise StoreError(
            "damaged", f"The fact {fact.id!r} cannot be written down and read back the same; it was not kept.", fact.id
        )
    return line


def fact_of(line: str, id_: str) -> AnyFact:
    """Return the fact of a line that was kept.

    Raises
    ------
    StoreError
        The line cannot be read; the text says why.
    """
    try:
        return codec.decode(line)
    except codec.FactError as refusal:
        raise StoreError(
            "damaged", f"The fact {id_} was kept but cannot be read: {refusal} The other facts are untouched.", id_
        ) from refusal


def same_fact(kept: str, line: str, fact: AnyFact) -> bool:
    """Does a kept line, perhaps written by an older program, say the same as a fact and its line of today?"""
    return kept == line or fact_of(kept, fact.id) == fact


def visit_line(visit: str, turning: Iterable[AnyFact], first: int, last: int, count: int) -> VisitLine:
    """Return the line of one visit.

    Parameters
    ----------
    visit : str
        Its id.
    turning : iterable of facts
        Its openings and withdrawals; which opening counts depends on no other fact.
    first, last : int
        Earliest and latest moment of all its facts.
    count : int
        How many facts it has.
    """
    ordered = in_order(turning)
    gone = withdrawn_of(ordered)
    openings = [fact for fact in ordered if isinstance(fact, VisitOpened) and fact.id not in gone]
    return VisitLine(
        visit=visit,
        system=openings[-1].system if openings else "",
        opened_moment=openings[-1].moment if openings else first,
        last_moment=last,
        facts=count,
    )


def listed(lines: Iterable[VisitLine]) -> list[VisitLine]:
    """Return the lines of visits in the order of the list: the latest first, those of one moment by their ids."""
    return sorted(lines, key=lambda line: (-line.last_moment, line.visit))


def turns(fact: AnyFact) -> bool:
    """Can a fact decide whether, and of which system, its visit was opened?"""
    return isinstance(fact, VisitOpened | Withdrawn)


def kind_of(fact: AnyFact) -> str:
    """Return the tag of a fact, as its line bears it."""
    return str(type(fact).__struct_config__.tag)


def digest_of(content: bytes) -> str:
    """Return the SHA-256 of a photo's content, hexadecimal."""
    return hashlib.sha256(content).hexdigest()
