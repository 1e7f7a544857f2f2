"""Why a number has its standing: its own reasons, and those of everything that it rests on, down to the readings."""

from collections.abc import Iterable

import msgspec

from drawthrough.judge.judgement import Judgement, ReadingStanding, Reason, Result, Standing
from drawthrough.judge.rules import worse
from drawthrough.trade.standing import FAN_TABLE, Kind, rules

_MOMENTS = {
    "as left over as found": ("as found", "as left"),
    "as found over as left": ("as found", "as left"),
}


class Ground(msgspec.Struct, frozen=True, kw_only=True):
    """One number or kind of readings with its standing, why, and what it rests on in turn."""

    name: str
    when: str
    standing: Standing
    reasons: tuple[Reason, ...] = ()
    source: str = ""  # by which it rests on what stands below it; empty where it rests on nothing further
    readings: tuple[tuple[str, int], ...] = ()  # run and index of each reading, for a kind of readings
    below: tuple["Ground", ...] = ()


def why(judgement: Judgement, name: str, when: str) -> Ground | None:
    """Return why a number of a judgement has its standing.

    Parameters
    ----------
    judgement : Judgement
        What was judged.
    name : str
        The number's name.
    when : str
        As found, as left, or the ratio of the two.

    Returns
    -------
    Ground or None
        None where the judgement holds no such number.
    """
    result = judgement.result(name, when)
    return None if result is None else _of_result(judgement, result)


def _of_result(judgement: Judgement, result: Result) -> Ground:
    need = rules().needs.get(result.name)
    below: list[Ground] = []
    for on in need.on if need is not None else ():
        for moment in _MOMENTS.get(result.when, (result.when,)):
            found = _on(judgement, on, moment)
            if found is not None and found not in below:
                below.append(found)
    return Ground(
        name=result.name,
        when=result.when,
        standing=result.standing,
        reasons=result.reasons,
        source=need.source if need is not None else "",
        below=tuple(below),
    )


def _on(judgement: Judgement, on: str, when: str) -> Ground | None:
    known = rules()
    if on in known.kind:
        return _of_readings(judgement, known.kind[on], when)
    if on == FAN_TABLE:
        return _of_table(judgement, when)
    result = judgement.result(on, when)
    if result is not None:
        return _of_result(judgement, result)
    need = known.needs[on]  # a step that is worked out on the way, such as a rise
    below = tuple(found for one in need.on if (found := _on(judgement, one, when)) is not None)
    if not below:
        return None
    standing: Standing = "it stands"
    for one in below:
        standing = worse(standing, one.standing)
    return Ground(name=on, when=when, standing=standing, source=need.source, below=below)


def _of_readings(judgement: Judgement, kind: Kind, when: str) -> Ground | None:
    mine = [one for one in judgement.readings if one.when == when and kind.holds(one.what, one.at)]
    if not mine:
        return None
    return Ground(
        name=kind.name,
        when=when,
        standing=_best_of(mine),
        reasons=_each_once(reason for one in mine for reason in one.reasons),
        readings=tuple((one.run, one.index) for one in mine),
    )


def _best_of(readings: list[ReadingStanding]) -> Standing:
    """Return the standing of a kind of readings: as good as its best, for what is set aside no longer counts."""
    found: Standing = readings[0].standing
    for one in readings[1:]:
        if worse(found, one.standing) == found:
            found = one.standing
    return found


def _of_table(judgement: Judgement, when: str) -> Ground | None:
    runs = {one.run for one in judgement.readings if one.when == when}
    notes = judgement.fit.notes if judgement.fit is not None else ()
    told = tuple(note for note in notes if note.names.get("run") in runs)
    blower = judgement.result("blower_against_clean", when)
    if not told and blower is None:
        return None
    return Ground(name=FAN_TABLE, when=when, standing="set aside" if told else "it stands", reasons=_each_once(told))


def _each_once(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    found: dict[tuple[str, str], Reason] = {}
    for one in reasons:
        found.setdefault((one.code, one.source), one)
    return tuple(found.values())
