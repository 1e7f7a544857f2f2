"""A store for as long as the program runs: for tests, examples, and trying things out."""

from collections.abc import Iterable

from drawthrough.store.contract import (
    FactConflict,
    Photo,
    VisitLine,
    digest_of,
    fact_of,
    line_of,
    listed,
    same_fact,
    turns,
    visit_line,
)
from drawthrough.visit.facts import AnyFact
from drawthrough.visit.fold import in_order


class MemoryStore:
    """Keeps everything in memory; see `Store` for what it promises, but for the disk."""

    def __init__(self) -> None:
        self._lines: dict[str, str] = {}  # by id, in the order in which they came: a fact's place is its running number
        self._photos: dict[str, Photo] = {}

    def append(self, facts: Iterable[AnyFact]) -> int:
        """Keep facts and return how many of them were new."""
        fresh: dict[str, str] = {}
        for fact in facts:
            line = line_of(fact)
            kept = self._lines.get(fact.id, fresh.get(fact.id))
            if kept is None:
                fresh[fact.id] = line
            elif not same_fact(kept, line, fact):
                raise FactConflict(fact.id)
        self._lines.update(fresh)
        return len(fresh)

    def facts(self, visit: str) -> list[AnyFact]:
        """Return the facts of one visit in the order on which all devices agree."""
        return in_order(fact for fact in self._all() if fact.visit == visit)

    def since(self, cursor: int, limit: int | None = None) -> tuple[list[AnyFact], int]:
        """Return the facts that came after a cursor, in the order in which they came, and the next cursor."""
        start = 0 if cursor > len(self._lines) else max(cursor, 0)
        found = self._all()[start:][:limit]
        return found, start + len(found)

    def visits(self) -> list[VisitLine]:
        """Return a line for each visit, the one with the latest fact first."""
        by_visit: dict[str, list[AnyFact]] = {}
        for fact in self._all():
            by_visit.setdefault(fact.visit, []).append(fact)
        return listed(
            visit_line(
                visit,
                filter(turns, facts),
                min(fact.moment for fact in facts),
                max(fact.moment for fact in facts),
                len(facts),
            )
            for visit, facts in by_visit.items()
        )

    def count(self, visit: str) -> int:
        """Return how many facts of a visit are kept."""
        return sum(fact.visit == visit for fact in self._all())

    def has(self, fact: str) -> bool:
        """Is a fact with this id kept?"""
        return fact in self._lines

    def highest_sequence(self, device: str) -> int:
        """Return the highest running number of a device's facts, 0 if there are none."""
        return max((fact.sequence for fact in self._all() if fact.device == device), default=0)

    def put_photo(self, content: bytes, media: str) -> str:
        """Keep a photo and return its digest."""
        digest = digest_of(content)
        self._photos.setdefault(digest, Photo(digest=digest, media=media, content=bytes(content)))
        return digest

    def photo(self, digest: str) -> Photo | None:
        """Return a photo, or None if it is not here."""
        return self._photos.get(digest)

    def has_photo(self, digest: str) -> bool:
        """Is a photo here?"""
        return digest in self._photos

    def close(self) -> None:
        """Nothing is held that would have to be let go."""

    def _all(self) -> list[AnyFact]:
        return [fact_of(line, id_) for id_, line in self._lines.items()]
