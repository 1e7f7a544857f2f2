"""Which readings a run still wants, in the order in which they are best taken."""

import tomllib
from collections import Counter
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from drawthrough.visit.air_place import SIGN_FROM_PLACE, SIGN_TURNED, Layout, places, sign_between
from drawthrough.visit.form import PRESSURES
from drawthrough.visit.state import Reading, Run, System, Visit


class Wanted(NamedTuple):
    """A reading worth taking: what, where, and the unit in which a hand usually writes it."""

    what: str
    at: str
    against: str | None = None
    hole: str | None = None
    unit: str = ""
    again: bool = False  # it was read as found, so the proof needs it again
    note: str = ""  # what was noted of it as found


class _Row(NamedTuple):
    modes: tuple[str, ...]
    wanted: Wanted
    when: str


@cache
def _rows() -> tuple[_Row, ...]:
    data = tomllib.loads((files("drawthrough.trade") / "reading_list.toml").read_text(encoding="utf-8"))
    return tuple(
        _Row(
            tuple(row["modes"]),
            Wanted(row["what"], row["at"], row.get("against"), unit=row["unit"]),
            row.get("when", ""),
        )
        for row in data["reading"]
    )


@cache
def usual_unit_of(what: str) -> str:
    """Return the unit in which the list has a quantity, or nothing."""
    return next((row.wanted.unit for row in _rows() if row.wanted.what == what), "")


@cache
def usual_place_of(what: str) -> tuple[str, str]:
    """Return where the list has a quantity first: its place and, of a pressure, the other end; or nothing."""
    return next(((row.wanted.at, row.wanted.against or "") for row in _rows() if row.wanted.what == what), ("", ""))


def layout_of(system: System, run: Run | None = None) -> Layout:
    """Return what the places of a system depend on."""
    return Layout(
        arrangement=system.arrangement,
        filter_place=system.filter_place,
        filter_places=system.filter_places,
        heater=system.arrangement == "blow-through"
        or system.strips is not None
        or (run is not None and run.mode in ("strips", "gas"))
        or any(table.heater == "in" for table in system.fan_table),
    )


def _has(system: System, when: str) -> bool:
    if when == "filter slot":
        return system.filter_place == "slot" and system.filter_places > 0
    if when == "filter slot and coil before blower":
        return _has(system, "filter slot") and _has(system, "coil before blower")
    if when == "coil before blower":
        return system.arrangement == "draw-through"
    if when == "coil after blower":
        return system.arrangement == "blow-through"
    if when == "run capacitor":
        return system.motor == "psc"
    return True


def known(reading: Reading | Wanted) -> tuple[str, str, str | None, str | None]:
    """Return that by which a reading is known again in another run: quantity, places and hole."""
    return reading.what, reading.at, reading.against, reading.hole


def counterpart(visit: Visit, run: Run) -> Run | None:
    """Return the run as found that a run as left repeats: of its mode and, where it can be told, its speed and place.

    Zeros before and after a run are told apart by their order.
    """
    if run.when != "as left":
        return None
    found = [one for one in visit.run if one.when == "as found" and one.mode == run.mode]
    left = [one for one in visit.run if one.when == "as left" and one.mode == run.mode]
    alike = [one for one in found if one.speed == run.speed] or found
    if not alike:
        return None
    turn = next((k for k, one in enumerate(left) if one.id == run.id), 0)
    return alike[min(turn, len(alike) - 1)]


def wanted(visit: Visit, run: Run) -> tuple[Wanted, ...]:
    """Return the readings that a run still wants.

    Parameters
    ----------
    visit : Visit
        The visit, for its system and its other runs.
    run : Run
        The run, with the readings that it has.

    Returns
    -------
    tuple of Wanted
        For a run as left first what was read as found, in its order; then what the list has for the run's mode. What
        was read is left out, and what cannot be read on this system.
    """
    here = places(layout_of(visit.system, run))
    listed: list[Wanted] = []
    again = counterpart(visit, run)
    if again is not None:
        listed += [
            Wanted(one.what, one.at, one.against, one.hole, parted(one.typed)[1], True, remark_free(one.note))
            for one in again.reading
        ]
    old = Counter(known(one) for one in listed)
    listed += [
        row.wanted
        for row in _rows()
        if run.mode in row.modes and _has(visit.system, row.when) and not old[known(row.wanted)] and again is None
    ]
    have = Counter(known(one) for one in run.reading)
    found = []
    for one in listed:
        if have[known(one)]:
            have[known(one)] -= 1
        elif one.what not in PRESSURES or {one.at, one.against} <= {*here, "room"}:
            found.append(one)
    return tuple(found)


def parted(typed: str) -> tuple[str, str]:
    """Return the figure and the unit of what the hand wrote."""
    text = typed.strip()
    k = next((k for k, letter in enumerate(text) if letter.isalpha() or letter in "°µ%\"'"), len(text))
    return text[:k].strip(), text[k:].strip()


def remark_free(note: str) -> str:
    """Return a note without what was remarked of the sign: that is said anew wherever it is so."""
    return note.replace(SIGN_FROM_PLACE, "").replace(SIGN_TURNED, "").strip()


def sign_of(visit: Visit, run: Run, what: str, at: str, against: str | None) -> int:
    """Return the sign that a pressure must have between two places: -1, 1, or 0 where nothing tells it."""
    if what not in PRESSURES or against is None:
        return 0
    here = places(layout_of(visit.system, run))
    if at not in here or against not in here or at == against:
        return 0
    return sign_between(layout_of(visit.system, run), at, against)
