"""How a database came to its present form: small named steps, each recorded in the transaction that applies it.

A step that was released is never edited, renamed or removed; what has to change is a further step at the end.
"""

import sqlite3
from collections.abc import Callable, Sequence

from drawthrough.store.contract import StoreError

Step = Callable[[sqlite3.Connection], None]

APPLICATION = 0x44725468  # marks a file as ours in its header


def facts_and_photos(connection: sqlite3.Connection) -> None:
    """Make the tables. The line of a fact is the record; the columns beside it only find it."""
    for statement in (
        """CREATE TABLE fact (
            number INTEGER PRIMARY KEY,
            id TEXT NOT NULL UNIQUE,
            visit TEXT NOT NULL,
            device TEXT NOT NULL,
            sequence INTEGER NOT NULL,
            moment INTEGER NOT NULL,
            kind TEXT NOT NULL,
            line TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX fact_of_visit ON fact (visit, moment)",
        "CREATE INDEX fact_of_device ON fact (device, sequence)",
        "CREATE INDEX fact_that_turns ON fact (visit) WHERE kind IN ('visit opened', 'withdrawn')",
        """CREATE TRIGGER fact_stays BEFORE DELETE ON fact
            BEGIN SELECT RAISE(ABORT, 'facts are for ever'); END""",
        """CREATE TRIGGER fact_stays_as_it_is BEFORE UPDATE ON fact
            BEGIN SELECT RAISE(ABORT, 'facts are for ever'); END""",
        """CREATE TABLE photo (
            digest TEXT PRIMARY KEY,
            media TEXT NOT NULL,
            size INTEGER NOT NULL,
            content BLOB
        ) STRICT""",
    ):
        connection.execute(statement)


STEPS: tuple[Step, ...] = (facts_and_photos,)


def pending(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> list[str]:
    """Return the names of the steps that a database has not seen yet; only reads.

    Raises
    ------
    StoreError
        The database is not one of this program, or went through steps that this program does not know.
    """
    # One question, so that a process that is making the database just now is seen before or after, never in between.
    rows = connection.execute(
        "SELECT application_id, name FROM pragma_application_id LEFT JOIN sqlite_master ON type = 'table'"
    ).fetchall()
    application, tables = rows[0][0], [name for _, name in rows if name is not None]
    if application != APPLICATION or "migration" not in tables:
        if application or tables:
            raise StoreError(
                "not a database",
                "This file is a database of another program; it was left as it is. Choose another file.",
            )
        return [step.__name__ for step in steps]
    applied = [name for (name,) in connection.execute("SELECT name FROM migration ORDER BY number")]
    names = [step.__name__ for step in steps]
    if applied != names[: len(applied)]:
        unknown = ", ".join(name for name in applied if name not in names) or "another order of steps"
        raise StoreError(
            "newer",
            f"This database was written by a newer version of the program ({unknown}); it was left as it is. "
            "Install the newer version.",
        )
    return names[len(applied) :]


def apply(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> list[str]:
    """Apply and record what is pending, all of it or nothing, and return the names.

    Parameters
    ----------
    connection : sqlite3.Connection
        In autocommit mode, outside any transaction.
    steps : sequence of steps
        All steps there are, in their order.
    """
    if not pending(connection, steps):
        return []  # the common case takes no lock
    connection.execute("BEGIN IMMEDIATE")
    try:
        names = pending(connection, steps)  # another process may have been faster
        if len(names) == len(steps):
            connection.execute(f"PRAGMA application_id = {APPLICATION}")
            connection.execute("CREATE TABLE IF NOT EXISTS migration (number INTEGER PRIMARY KEY, name TEXT) STRICT")
        for step in steps[len(steps) - len(names) :]:
            step(connection)
            connection.execute("INSERT INTO migration (name) VALUES (?)", (step.__name__,))
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
    return names
