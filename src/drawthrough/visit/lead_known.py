"""Leads known again: which lead as left is which lead as found."""

from collections.abc import Callable, Hashable
from typing import NamedTuple

from drawthrough.visit.lead_map import LeadMap
from drawthrough.visit.lead_points import Points
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.state import Lead

_Key = Callable[[Lead], Hashable]
Pair = tuple[Lead, Lead]


class Known(NamedTuple):
    """Leads of both times in pairs, those that were found only, and those that are left only."""

    pairs: list[Pair]
    unmatched: list[Lead]
    added: list[Lead]


def recognised(found: LeadMap, left: LeadMap, points: Points) -> Known:
    """Return the leads in pairs.

    A lead is known by its origin, colour and mark, and by its function where that tells two of one look apart. Leads
    that still look alike may stand for each other: they are paired so that as few as possible moved. A lead without a
    mark is taken for a marked one of its colour only where there is one of each.
    """
    befores = dict(enumerate(sorted(found.lead, key=_place)))
    afters = dict(enumerate(sorted(left.lead, key=_place)))
    pairs: list[Pair] = []
    look = points.look
    for key in (_told, look):
        _pair(befores, afters, key, points, pairs)
    for loose in (_marked, _coloured):
        _pair_single(befores, afters, loose, look, pairs)
    pairs.sort(key=lambda pair: (_place(pair[0]), _place(pair[1])))
    return Known(pairs, list(befores.values()), list(afters.values()))


def _told(lead: Lead) -> Hashable:
    return (*Points.look(lead), plain(lead.function)) if lead.function.strip() else None


def _marked(lead: Lead) -> Hashable:
    return (plain(lead.origin), plain(lead.mark)) if lead.mark.strip() else None


def _coloured(lead: Lead) -> Hashable:
    return Points.look(lead)[:2] if lead.colour.strip() else None


def _place(lead: Lead) -> tuple[str, ...]:
    """Return by what leads are put in order, so that the order of entry does not matter."""
    return (plain(lead.origin), plain(lead.mark), plain(lead.colour), plain(lead.terminal), plain(lead.function))


def _groups(leads: dict[int, Lead], key: _Key) -> dict[Hashable, list[int]]:
    groups: dict[Hashable, list[int]] = {}
    for number, lead in leads.items():
        groups.setdefault(key(lead), []).append(number)
    groups.pop(None, None)
    return groups


def _pair(befores: dict[int, Lead], afters: dict[int, Lead], key: _Key, points: Points, pairs: list[Pair]) -> None:
    """Take the leads of one key out and pair them, first those that did not move."""
    others = _groups(afters, key)
    for name, group in _groups(befores, key).items():
        there = others.get(name, [])
        for fits in (_same_name, points.same, _any):
            for number in [one for one in group if one in befores]:
                fellow = next((one for one in there if one in afters and fits(befores[number], afters[one])), None)
                if fellow is not None:
                    pairs.append((befores.pop(number), afters.pop(fellow)))


def _pair_single(
    befores: dict[int, Lead],
    afters: dict[int, Lead],
    key: _Key,
    look: Callable[[Lead], tuple[str, str, str]],
    pairs: list[Pair],
) -> None:
    """Pair leads of which one side leaves colour or mark out, where there is only one of each."""
    others = _groups(afters, key)
    for name, group in _groups(befores, key).items():
        there = others.get(name, [])
        if len(group) == len(there) == 1 and all(
            not one or not other or one == other
            for one, other in zip(look(befores[group[0]])[1:], look(afters[there[0]])[1:], strict=True)
        ):
            pairs.append((befores.pop(group[0]), afters.pop(there[0])))


def _same_name(before: Lead, after: Lead) -> bool:
    return plain(before.terminal) == plain(after.terminal)


def _any(before: Lead, after: Lead) -> bool:
    return True
