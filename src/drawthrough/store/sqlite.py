"""The store in one SQLite file: on the server with a write-ahead log, on the phone with a journal that is cut off.

Only features of SQLite 3.39 are used: that is what the phone has.
"""

import errno
import sqlite3
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal

from drawthrough.store import migrations
from drawthrough.store.contract import (
    FactConflict,
    Kind,
    Photo,
    StoreError,
    VisitLine,
    digest_of,
    fact_of,
    kind_of,
    line_of,
    listed,
    same_fact,
    visit_line,
)
from drawthrough.store.folder import PhotoFolder
from drawthrough.visit.facts import AnyFact
from drawthrough.visit.fold import in_order

Journal = Literal["wal", "truncate"]

_MAGIC = b"SQLite format 3\x00"  # of the file format, followed by the size of a page
_TURNING = "kind IN ('visit opened', 'withdrawn')"  # as the partial index has it

# By the primary code of SQLite's error; a failing write means no room far more often than a broken disk.
_SAID: dict[int, tuple[Kind, str]] = {
    sqlite3.SQLITE_BUSY: ("locked", "Another program holds {where} locked; nothing was written. Try again."),
    sqlite3.SQLITE_LOCKED: ("locked", "Another program holds {where} locked; nothing was written. Try again."),
    sqlite3.SQLITE_FULL: ("full", "The disk has no room left for {where}; nothing was written. Make room, try again."),
    sqlite3.SQLITE_NOTADB: ("not a database", "The file {where} is not a database; it was left as it is."),
    sqlite3.SQLITE_CORRUPT: (
        "damaged",
        "The file {where} is damaged: parts are missing or overwritten. Set it aside and go on with an earlier copy.",
    ),
    sqlite3.SQLITE_CANTOPEN: ("unreachable", "The file {where} cannot be opened; see whether its folder is there."),
    sqlite3.SQLITE_READONLY: ("unreachable", "The file {where} may only be read; nothing was written."),
    sqlite3.SQLITE_PERM: ("unreachable", "The file {where} may not be opened; nothing was written."),
    sqlite3.SQLITE_IOERR: ("unreachable", "The disk failed with {where}; nothing was written."),
}
# What SQLite reports where a quota, or a limit on the size of files, leaves no room.
_NO_ROOM_CODES = (sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_SHMSIZE)
_NO_ROOM = (errno.ENOSPC, errno.EFBIG, errno.EDQUOT)


class SqliteStore:
    """Keeps facts in an SQLite file; see `Store` for what it promises.

    One thread at a time may use it, not always the same one. Several processes may have the file open.

    Parameters
    ----------
    path : Path, optional
        The file; its folder must be there. Without it everything is kept in memory.
    journal : str
        "wal": readers and a writer do not wait for each other. "truncate": one file, no shared memory (the phone).
    photos : Path, optional
        The folder of the photos. Without it they are kept in the file.
    patience : float
        How long to wait for a lock. [s]

    Raises
    ------
    StoreError
        The file cannot be used; it was left as it is.
    """

    def __init__(
        self,
        path: Path | None = None,
        *,
        journal: Journal = "wal",
        photos: Path | None = None,
        patience: float = 2.0,
    ) -> None:
        self.path = path
        self._folder = None if photos is None else PhotoFolder(photos)
        with self._speaking():
            if path is not None and (code := _fault_of(path)):
                raise StoreError(*_said(code, path))
            self._connection = sqlite3.connect(
                ":memory:" if path is None else path,
                timeout=patience,
                isolation_level=None,  # transactions begin where this module says so
                check_same_thread=False,
            )
        try:
            with self._speaking():
                migrations.pending(self._connection)  # before anything is written: refuses what is not ours to touch
                self._choose(journal, patience)
                self._connection.execute("PRAGMA synchronous = FULL")
                self._connection.execute("PRAGMA fullfsync = ON")  # where the system's own fsync stops at the drive
                migrations.apply(self._connection)
        except BaseException:
            self._connection.close()
            raise

    def append(self, facts: Iterable[AnyFact]) -> int:
        """Keep facts and return how many of them were new."""
        lines = [(fact, line_of(fact)) for fact in facts]  # before the lock is taken
        if not lines:
            return 0
        fresh = 0
        with self._transaction("IMMEDIATE"):
            for fact, line in lines:
                added = self._connection.execute(
                    "INSERT INTO fact (id, visit, device, sequence, moment, kind, line) VALUES (?, ?, ?, ?, ?, ?, ?)"
                    " ON CONFLICT (id) DO NOTHING",
                    (fact.id, fact.visit, fact.device, fact.sequence, fact.moment, kind_of(fact), line),
                ).rowcount
                if not added:
                    (kept,) = self._connection.execute("SELECT line FROM fact WHERE id = ?", (fact.id,)).fetchone()
                    if not same_fact(kept, line, fact):
                        raise FactConflict(fact.id)
                fresh += added
        return fresh

    def facts(self, visit: str) -> list[AnyFact]:
        """Return the facts of one visit in the order on which all devices agree."""
        rows = self._rows("SELECT id, line FROM fact WHERE visit = ?", visit)
        return in_order(fact_of(line, id_) for id_, line in rows)

    def since(self, cursor: int, limit: int | None = None) -> tuple[list[AnyFact], int]:
        """Return the facts that came after a cursor, in the order in which they came, and the next cursor."""
        ((highest,),) = self._rows("SELECT coalesce(max(number), 0) FROM fact")
        start = 0 if cursor > highest else max(cursor, 0)
        rows = self._rows(
            "SELECT number, id, line FROM fact WHERE number > ? ORDER BY number LIMIT ?",
            start,
            -1 if limit is None else limit,
        )
        return [fact_of(line, id_) for _, id_, line in rows], rows[-1][0] if rows else start

    def visits(self) -> list[VisitLine]:
        """Return a line for each visit, the one with the latest fact first."""
        turning: dict[str, list[AnyFact]] = {}
        with self._transaction("DEFERRED"):  # both questions see the same facts
            totals = self._rows("SELECT visit, min(moment), max(moment), count(*) FROM fact GROUP BY visit")
            for visit, id_, line in self._rows(f"SELECT visit, id, line FROM fact WHERE {_TURNING}"):
                turning.setdefault(visit, []).append(fact_of(line, id_))
        return listed(
            visit_line(visit, turning.get(visit, ()), first, last, count) for visit, first, last, count in totals
        )

    def count(self, visit: str) -> int:
        """Return how many facts of a visit are kept."""
        ((count,),) = self._rows("SELECT count(*) FROM fact WHERE visit = ?", visit)
        return int(count)

    def has(self, fact: str) -> bool:
        """Is a fact with this id kept?"""
        return bool(self._rows("SELECT 1 FROM fact WHERE id = ?", fact))

    def highest_sequence(self, device: str) -> int:
        """Return the highest running number of a device's facts, 0 if there are none."""
        ((highest,),) = self._rows("SELECT coalesce(max(sequence), 0) FROM fact WHERE device = ?", device)
        return int(highest)

    def put_photo(self, content: bytes, media: str) -> str:
        """Keep a photo and return its digest."""
        digest = digest_of(content)
        if self._is_whole(digest):
            return digest
        kept: bytes | None = content
        if self._folder is not None:
            with self._speaking():
                self._folder.put(digest, content)  # the file first: what the table names is there
            kept = None
        with self._transaction("IMMEDIATE"):
            self._connection.execute(
                "INSERT INTO photo (digest, media, size, content) VALUES (?, ?, ?, ?) ON CONFLICT (digest)"
                " DO UPDATE SET size = excluded.size, content = excluded.content",
                (digest, media, len(content), kept),
            )
        return digest

    def photo(self, digest: str) -> Photo | None:
        """Return a photo, or None if it is not here."""
        found = self._rows("SELECT media, content FROM photo WHERE digest = ?", digest)
        if not found:
            return None
        media, content = found[0]
        with self._speaking():
            if content is None and self._folder is not None:
                content = self._folder.get(digest)
        if content is None:
            return None
        if digest_of(content) != digest:
            raise StoreError("damaged", f"The photo {digest} is damaged; put it in again from where it was taken.")
        return Photo(digest=digest, media=media, content=content)

    def has_photo(self, digest: str) -> bool:
        """Is a photo here, whole as far as its size tells?"""
        found = self._rows("SELECT size, length(content) FROM photo WHERE digest = ?", digest)
        if not found:
            return False
        size, kept = found[0]
        with self._speaking():
            if kept is None and self._folder is not None:
                kept = self._folder.size(digest)
        return bool(kept == size)

    def close(self) -> None:
        """Let go of the file. Closing again does nothing."""
        self._connection.close()

    def _choose(self, journal: Journal, patience: float) -> None:
        """Choose the journal. SQLite does not wait for other processes here as it does elsewhere, so this does."""
        until = time.monotonic() + patience
        while True:
            try:
                self._connection.execute(f"PRAGMA journal_mode = {journal}")
            except sqlite3.OperationalError as fault:
                if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                    raise
                time.sleep(0.005)
            else:
                return

    def _is_whole(self, digest: str) -> bool:
        try:
            return self.photo(digest) is not None
        except StoreError as refusal:
            if refusal.kind != "damaged":
                raise
            return False

    def _rows(self, question: str, *values: object) -> list[tuple[Any, ...]]:
        with self._speaking():
            return self._connection.execute(question, values).fetchall()

    @contextmanager
    def _transaction(self, kind: Literal["IMMEDIATE", "DEFERRED"]) -> Iterator[None]:
        """All of the block or nothing of it; a writer takes its lock at once, so that it cannot fail half-way."""
        with self._speaking():
            self._connection.execute(f"BEGIN {kind}")
            try:
                yield
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:  # some failures have rolled back already
                    self._connection.execute("ROLLBACK")
                raise

    @contextmanager
    def _speaking(self) -> Iterator[None]:
        """Turn what SQLite and the disk say into sentences."""
        where = self.path or "what is kept in memory"
        try:
            yield
        except sqlite3.Error as fault:
            code = getattr(fault, "sqlite_errorcode", 0)
            if code in _NO_ROOM_CODES:
                code = sqlite3.SQLITE_FULL
            if code & 0xFF not in _SAID:
                raise  # a fault of this program, not of the place
            raise StoreError(*_said(code & 0xFF, where)) from fault
        except OSError as fault:
            by_number = dict.fromkeys(_NO_ROOM, sqlite3.SQLITE_FULL) | {errno.EACCES: sqlite3.SQLITE_PERM}
            code = by_number.get(fault.errno or 0, sqlite3.SQLITE_IOERR)
            raise StoreError(*_said(code, fault.filename or where)) from fault


def _said(code: int, where: object) -> tuple[Kind, str]:
    """What is the matter, for programs and for people."""
    kind, text = _SAID[code]
    return kind, text.format(where=where)


def _fault_of(path: Path) -> int:
    """Return what is wrong with a file that SQLite itself would not mind: its code, or 0.

    SQLite takes a file of one byte for an empty one and writes over it, and what is missing of a last page for zeros.
    Where a journal is there, the file is left to SQLite: the journal restores it.
    """
    for suffix in ("-wal", "-journal"):
        beside = path.with_name(path.name + suffix)
        if beside.exists() and beside.stat().st_size:
            return 0
    if not path.is_file() or not (size := path.stat().st_size):
        return 0
    with path.open("rb") as file:
        head = file.read(18)
    if not head.startswith(_MAGIC):
        return sqlite3.SQLITE_NOTADB
    page = int.from_bytes(head[16:18], "big")
    return sqlite3.SQLITE_CORRUPT if page == 0 or size % (65536 if page == 1 else page) else 0
