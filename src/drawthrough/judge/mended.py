"""A visit as it would have been written without a slip, or without what is known to be wrong."""

from collections.abc import Iterable

import msgspec

from drawthrough.judge.misreading import Suspicion
from drawthrough.trade.slips import Slips
from drawthrough.visit.state import Reading, Run, Visit

Key = tuple[str, int]  # run, index


def without(visit: Visit, accused: Iterable[Key]) -> Visit:
    """Return a visit without the accused readings."""
    aside = set(accused)
    runs = tuple(
        msgspec.structs.replace(run, reading=tuple(r for k, r in enumerate(run.reading) if (run.id, k) not in aside))
        for run in visit.run
    )
    return msgspec.structs.replace(visit, run=runs) if aside else visit


def mended_by(visit: Visit, one: Suspicion, table: Slips) -> Visit:
    """Return the visit as it would have been written without the slip."""
    meant = one.meant
    changes: dict[int, Reading] = {}
    run = next(run for run in visit.run if run.id == one.run)
    reading = run.reading[one.index]
    if meant.kind == "otherwise":
        changes[one.index] = let_go(reading, table)
    elif meant.kind == "another hole":
        changes[one.index] = msgspec.structs.replace(reading, at=meant.at)
    else:
        changes[one.index] = msgspec.structs.replace(reading, value=meant.value)
        if meant.kind == "two holes changed over" and meant.other is not None:
            changes[meant.other] = msgspec.structs.replace(run.reading[meant.other], value=reading.value)
    return _changed(visit, one.run, changes)


def let_go(reading: Reading, table: Slips) -> Reading:
    """Return a reading with next to no weight."""
    return msgspec.structs.replace(reading, uncertainty=table.broad.get(reading.what, 10.0 * abs(reading.value)))


def _changed(visit: Visit, run_id: str, changes: dict[int, Reading]) -> Visit:
    def mended(run: Run) -> Run:
        if run.id != run_id:
            return run
        return msgspec.structs.replace(
            run, reading=tuple(changes.get(k, reading) for k, reading in enumerate(run.reading))
        )

    return msgspec.structs.replace(visit, run=tuple(map(mended, visit.run)))


def mend_of(one: Suspicion) -> tuple[object, ...]:
    """Return what makes the mended visit of one hypothesis another one."""
    meant = one.meant
    changed = meant.kind in ("otherwise", "another hole", "two holes changed over")
    return one.run, one.index, meant.kind if changed else f"{meant.value:.9g}", meant.at


def with_reading(visit: Visit, run_id: str, index: int, reading: Reading) -> Visit:
    """Return a visit with one reading in the place of another."""
    return _changed(visit, run_id, {index: reading})
