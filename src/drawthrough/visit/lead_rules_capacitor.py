"""Rules of the run capacitor of one lead map: both ends of the start winding across it, and nothing else on it.

The winding has two leads of its own (brown, and brown with a stripe), or one: the far side of the capacitor is then fed
by the line, and a second lead, where there is one, is joined to the common or capped.
"""

from collections.abc import Iterator

from drawthrough.visit.lead_map import Finding, LeadMap, name_of, role_of
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.state import Lead, LeadRole

_FOREIGN: tuple[LeadRole, ...] = ("speed", "ground", "control", "strips", "blower interlock")
_FEEDS: tuple[LeadRole, ...] = ("line", "common", "capacitor", "other")


def capacitor_findings(map: LeadMap, *, needed: bool) -> Iterator[Finding]:
    """Yield what is wrong at the capacitor; `needed`: a motor with speed leads must have one."""
    known = map.by_name()
    landed = {name: leads for name, leads in map.landed().items() if known[name].kind == "capacitor"}
    for name, leads in landed.items():
        if foreign := [lead for lead in leads if role_of(lead) in _FOREIGN]:
            yield Finding(kind="foreign lead on capacitor", leads=_names(foreign), terminals=(known[name].name,))
    for origin in sorted({plain(lead.origin) for lead in map.lead if role_of(lead) in ("speed", "capacitor")}):
        yield from _winding(map, landed, origin, needed)


def _winding(map: LeadMap, landed: dict[str, list[Lead]], origin: str, needed: bool) -> Iterator[Finding]:
    known = map.by_name()
    ends = [lead for lead in map.lead if role_of(lead) == "capacitor" and plain(lead.origin) == origin]
    if not ends:
        if needed:
            yield Finding(kind="capacitor lead missing")
        return
    on: dict[str, list[Lead]] = {}
    for lead in ends:
        if plain(lead.terminal) in landed:
            on.setdefault(plain(lead.terminal), []).append(lead)
    off = [lead for lead in ends if plain(lead.terminal) not in landed]
    for name, leads in on.items():
        if len(leads) > 1:
            yield Finding(kind="capacitor leads on one terminal", leads=_names(leads), terminals=(known[name].name,))
    if any(len(leads) > 1 for leads in on.values()):
        return
    if len(on) == 1 and _fed(map, landed, next(iter(on))):
        off = [lead for lead in off if known[plain(lead.terminal)].kind not in ("live", "cap")]
    elif len(on) > 1:
        off = [lead for lead in off if known[plain(lead.terminal)].kind != "cap"]
    elif not off:
        off = ends  # one lead, and nothing on the other side
    if off:
        places = tuple(sorted({known[plain(lead.terminal)].name for lead in off}))
        yield Finding(kind="capacitor lead missing", leads=_names(off), terminals=places)


def _fed(map: LeadMap, landed: dict[str, list[Lead]], own: str) -> bool:
    """Is another terminal of the same capacitor fed by a lead that is not the winding's?"""
    known = map.by_name()
    return any(
        name != own
        and plain(known[name].part) == plain(known[own].part)
        and any(role_of(lead) in _FEEDS for lead in leads)
        for name, leads in landed.items()
    )


def _names(leads: list[Lead]) -> tuple[str, ...]:
    return tuple(sorted(map(name_of, leads)))
