"""The leads as left held against the leads as found: what moved, what is missing, what is new."""

from collections import Counter
from collections.abc import Iterable, Sequence

from drawthrough.visit.lead_known import Pair, recognised
from drawthrough.visit.lead_map import Finding, LeadMap, RowState, name_of, role_of
from drawthrough.visit.lead_meant import meant
from drawthrough.visit.lead_points import Points
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.state import Change, Frozen, Lead


class Row(Frozen, frozen=True, kw_only=True):
    """One lead: where it was found and where it is left."""

    lead: str
    function: str = ""
    found: str | None = None
    left: str | None = None
    state: RowState


class Comparison(Frozen, frozen=True, kw_only=True):
    """Every lead in a row, and what is wrong. `open` names the leads that were not looked at as left."""

    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]
    agrees: bool
    open: tuple[str, ...] = ()


def compare(found: LeadMap, left: LeadMap, changes: Sequence[Change] = (), *, whole: bool = False) -> Comparison:
    """Return how the leads as left differ from the leads as found, up to the changes that are meant.

    A lead that was found and has no fellow as left was not looked at yet. It is missing where all leads have been
    looked at: where `whole` says so, or where as many leads were seen as left as were found. Where no lead was ever
    written down, nothing agrees: there is nothing to agree with.
    """
    points = Points(found, left)
    known = recognised(found, left, points)
    plan = meant(known.pairs, changes, points)
    whole = whole or len(left.lead) >= len(found.lead)
    rows: list[Row] = []
    moved: list[Pair] = []
    findings = list(plan.findings)
    for number, (before, after) in enumerate(known.pairs):
        state = plan.state.get(number) or ("as found" if points.same(before, after) else "moved")
        rows.append(_row(before, after, state))
        if state == "moved" and number not in plan.told:
            moved.append((before, after))
    findings.extend(_moves(moved))
    rows.extend(_row(lead, None, "missing" if whole else "not looked at yet") for lead in known.unmatched)
    rows.extend(_row(None, lead, "new") for lead in known.added)
    if whole:
        findings.extend(
            Finding(kind="missing", leads=(name_of(lead),), terminals=(lead.terminal,), expected=lead.terminal)
            for lead in known.unmatched
        )
    findings.extend(Finding(kind="new", leads=(name_of(lead),), terminals=(lead.terminal,)) for lead in known.added)
    undone = () if whole else tuple(sorted(name_of(lead) for lead in known.unmatched))
    return Comparison(
        rows=tuple(sorted(rows, key=_place)),
        findings=tuple(sorted(findings, key=lambda one: (one.kind, one.leads, one.terminals))),
        agrees=bool(rows) and not findings and not undone,
        open=undone,
    )


def _moves(moved: Sequence[Pair]) -> Iterable[Finding]:
    """Yield a finding for each lead that moved; two that stand in each other's place make one."""
    waiting = list(moved)
    while waiting:
        before, after = waiting.pop(0)
        here, there = plain(before.terminal), plain(after.terminal)
        number = next(
            (
                number
                for number, pair in enumerate(waiting)
                if plain(pair[0].terminal) == there and plain(pair[1].terminal) == here
            ),
            None,
        )
        if number is None:
            yield Finding(kind="moved", leads=(name_of(before),), terminals=(after.terminal,), expected=before.terminal)
            continue
        other = waiting.pop(number)
        both = sorted([(name_of(before), after.terminal), (name_of(other[0]), other[1].terminal)])
        yield Finding(
            kind="exchanged", leads=tuple(name for name, _ in both), terminals=tuple(point for _, point in both)
        )


def _row(before: Lead | None, after: Lead | None, state: RowState) -> Row:
    lead = before or after
    assert lead is not None
    return Row(
        lead=name_of(lead),
        function=lead.function,
        found=None if before is None else before.terminal,
        left=None if after is None else after.terminal,
        state=state,
    )


def _place(row: Row) -> tuple[str, str, str, str, str]:
    """Return by what rows are put in order: the same order, however they were entered."""
    return (row.lead, row.function, row.found or "", row.left or "", row.state)


def look_alike(map: LeadMap) -> tuple[tuple[Lead, ...], ...]:
    """Return the groups of leads that must be marked before they are taken off.

    Their origin, colour and mark are the same, and it matters which of them lands where.
    """
    points = Points(map, map)
    groups: dict[tuple[str, str, str], list[Lead]] = {}
    for lead in map.lead:
        groups.setdefault(points.look(lead), []).append(lead)
    return tuple(
        tuple(sorted(group, key=lambda lead: (plain(lead.terminal), lead.function)))
        for _, group in sorted(groups.items())
        if len(group) > 1 and not _exchangeable(group, points)
    )


def _exchangeable(group: Sequence[Lead], points: Points) -> bool:
    """Does it make no difference which of these leads lands on which of their terminals?"""
    kinds = Counter(points.kind(lead.terminal) for lead in group)
    if len({plain(lead.terminal) for lead in group}) == 1 or set(kinds) == {"ground"}:
        return True
    if set(kinds) <= {"park", "cap"}:
        return True
    return (
        set(kinds) == {"capacitor"}
        and len(group) == 2
        and all(role_of(lead) == "capacitor" for lead in group)
        and all(points.only_its_winding(lead) for lead in group)
    )
