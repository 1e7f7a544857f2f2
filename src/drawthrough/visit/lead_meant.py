"""Changes of the wiring that are meant, held against what was done."""

from collections.abc import Sequence
from itertools import permutations
from typing import NamedTuple

from drawthrough.visit.lead_known import Pair
from drawthrough.visit.lead_map import Finding, RowState, name_of, role_of
from drawthrough.visit.lead_points import Points
from drawthrough.visit.lead_terms import colour_of, plain, words_of
from drawthrough.visit.state import Change

_SECTIONS = frozenset(["herm", "fan"])  # names of a dual capacitor's two sections (common practice)
_MOST = 8  # terminals and sides of one capacitor among which an order is sought; no capacitor has so many


class Meant(NamedTuple):
    """What the changes say of the pairs, by their number: a state, and whose move has its finding already."""

    state: dict[int, RowState]
    told: set[int]
    findings: list[Finding]


def meant(pairs: Sequence[Pair], changes: Sequence[Change], points: Points) -> Meant:
    """Return what the changes that are meant say of each pair of leads."""
    done = Meant({}, set(), [])
    for change in changes:
        if change.kind == "other speed":
            _other_speed(pairs, change, points, done)
    if any(change.kind == "new capacitor" for change in changes):
        _new_capacitor(pairs, points, done)
    done.findings[:] = list(dict.fromkeys(done.findings))  # a change that was said twice
    return done


def _speed(pairs: Sequence[Pair], called: str, points: Points, live: bool | None) -> int | None:
    """Return the number of the one speed lead that is called so, by its mark, its colour or both."""
    speeds = [number for number, (before, _) in enumerate(pairs) if role_of(before) == "speed"]
    if not called.strip():
        return None
    for fits in (
        [number for number in speeds if plain(pairs[number][0].mark) == plain(called)],
        [number for number in speeds if plain(name_of(pairs[number][0])) == plain(called)],
        [number for number in speeds if colour_of(pairs[number][0].colour) == colour_of(called)],
    ):
        if live is not None and len(fits) > 1:
            fits = [number for number in fits if (points.kind(pairs[number][0].terminal) == "live") == live]
        if len(fits) == 1:
            return fits[0]
    return None


def _other_speed(pairs: Sequence[Pair], change: Change, points: Points, done: Meant) -> None:
    """The lead that was live may be parked anywhere; the other lands where the first was, and nowhere else."""
    old = _speed(pairs, change.lead, points, live=True)
    new = _speed(pairs, change.to, points, live=False)
    if old is None or new is None or old == new or points.kind(pairs[old][0].terminal) not in ("live", "control"):
        # Without a pair the lead may only not have been looked at yet; the rows say so.
        if not _awaited(pairs, change, points):
            done.findings.append(Finding(kind="change not clear", leads=(change.lead, change.to)))
        return
    before, after = pairs[old]
    if points.may_park(after):
        done.state[old] = "as meant"
    else:
        _unmeant(old, pairs, "", done)
    if plain(pairs[new][1].terminal) == plain(before.terminal):
        done.state[new] = "as meant"
    else:
        _unmeant(new, pairs, before.terminal, done)


def _awaited(pairs: Sequence[Pair], change: Change, points: Points) -> bool:
    """Is one of the two leads of a change found, but not looked at as left?"""
    seen = {id(before) for before, _ in pairs}
    waiting = [lead for leads in points.found.values() for lead in leads if id(lead) not in seen]
    return any(
        plain(called) in (plain(lead.mark), plain(name_of(lead))) or colour_of(called) == colour_of(lead.colour)
        for called in (change.lead, change.to)
        if called.strip()
        for lead in waiting
    )


def _unmeant(number: int, pairs: Sequence[Pair], expected: str, done: Meant) -> None:
    before, after = pairs[number]
    stays = plain(before.terminal) == plain(after.terminal)
    done.state[number] = "as found" if stays else "moved"
    done.told.add(number)
    done.findings.append(
        Finding(kind="not as meant", leads=(name_of(before),), terminals=(after.terminal,), expected=expected)
    )


def _new_capacitor(pairs: Sequence[Pair], points: Points, done: Meant) -> None:
    """Terminals of the capacitor may change their names and sides, so long as each joins what the old one joined."""
    sides: dict[str, list[int]] = {}
    for number, (before, _) in enumerate(pairs):
        if points.kind(before.terminal) == "capacitor" and number not in done.state:
            sides.setdefault(plain(before.terminal), []).append(number)
    places = {plain(pairs[number][1].terminal) for numbers in sides.values() for number in numbers}
    places = {place for place in places if points.kind(place) == "capacitor"}
    old = sorted(sides)
    sections = [_SECTIONS.intersection(word for name in side for word in words_of(name)) for side in (old, places)]
    alike = not all(sections) or sections[0] == sections[1]  # the two sections of a dual capacitor are not
    best: dict[str, str] = {}
    best_count = (-1, -1)
    free = [*sorted(places), *(f"\0{number}" for number in range(len(old)))]  # a place for a side that is nowhere
    for order in permutations(free, len(old)) if alike and len(free) <= _MOST else ():
        mapping = dict(zip(old, order, strict=True))
        # Three terminals (common, and two different capacitances) are not alike: their names must stay where they can.
        if len(old) > 2 and any(side != place and (side in places or place in old) for side, place in mapping.items()):
            continue
        fits = sum(plain(pairs[n][1].terminal) == mapping[side] for side in old for n in sides[side])
        count = (fits, sum(side == place for side, place in mapping.items()))
        if count > best_count:
            best, best_count = mapping, count
    for side, numbers in sides.items():
        for number in numbers:
            before, after = pairs[number]
            if best and plain(after.terminal) == best[side]:
                same = plain(before.terminal) == plain(after.terminal)
                done.state[number] = "as found" if same else "as meant"
            elif not points.same(before, after):
                done.state[number] = "moved"
