"""Is a step held? What each hold point waits for, what is met, and for which reason it was passed."""

from collections.abc import Callable, Collection, Mapping
from typing import NamedTuple

from drawthrough.plan.progress import Progress
from drawthrough.trade.hold_points import Condition, HoldPoint, hold_points
from drawthrough.visit.facts import HoldPassed, RiskTold
from drawthrough.visit.lead_compare import compare, look_alike
from drawthrough.visit.lead_map import LeadMap, LeadMapError, lead_map_of
from drawthrough.visit.lead_rules import broken_rules
from drawthrough.visit.state import When

_BEGINS_ANEW = "isolate"  # a reason speaks of the opening that was made then, not of a later one


class Held(NamedTuple):
    """One hold point as it stands."""

    hold: HoldPoint
    met: tuple[Condition, ...]
    open: tuple[Condition, ...]
    passed: tuple[HoldPassed, ...]  # reasons that were written and still count

    @property
    def unanswered(self) -> tuple[Condition, ...]:
        """The open conditions that no reason speaks of; all of them where no reason can."""
        if not self.hold.passable:
            return self.open
        answered = {code for fact in self.passed for code in fact.open}
        return tuple(one for one in self.open if one.code not in answered)

    @property
    def holds(self) -> bool:
        """Does it hold?"""
        return bool(self.unanswered)


def held(hold: HoldPoint, progress: Progress, planned: Collection[str]) -> Held:
    """Return how a hold point stands.

    Parameters
    ----------
    hold : HoldPoint
        The hold point.
    progress : Progress
        How far the work is.
    planned : collection of str
        Codes of the tasks of the visit.
    """
    met: list[Condition] = []
    open_: list[Condition] = []
    for one in hold.conditions:
        if _asked(one, progress, planned):
            (met if _is_met(one, progress) else open_).append(one)
    begun = progress.place(_BEGINS_ANEW)
    passed = tuple(fact for place, fact in progress.passed if place > begun and fact.hold == hold.code)
    return Held(hold, tuple(met), tuple(open_), passed)


def holding(code: str, progress: Progress, planned: Collection[str]) -> tuple[Held, ...]:
    """Return the hold points that hold a task, as they stand; only those that do hold it."""
    task = progress.made.task[code]
    found = (held(one, progress, planned) for one in hold_points().values() if one.holds(task))
    return tuple(one for one in found if one.holds)


def _asked(one: Condition, progress: Progress, planned: Collection[str]) -> bool:
    """Is a condition asked on this visit? Not where what it is about is neither done nor going to be."""
    if not one.with_:
        return True
    return any(
        progress.place(code) >= 0
        or progress.begun_at(code) is not None
        or (code in planned and progress.left_fact(code) is None)
        for code in one.with_
    )


def _is_met(one: Condition, progress: Progress) -> bool:
    if one.done:
        return progress.done(one.done, one.since)
    assert one.fact is not None
    return SHOWN[one.fact](progress)


def _leads_found(progress: Progress) -> bool:
    return any(fact.lead.when == "as found" for fact in progress.folded.lead)


def _told_apart(progress: Progress) -> bool:
    found = _map(progress, "as found")
    return found is not None and not look_alike(found)


def _map(progress: Progress, when: When) -> LeadMap | None:
    try:
        return lead_map_of(progress.folded, when)
    except LeadMapError:
        return None


def _leads_agree(progress: Progress) -> bool:
    """Does the lead map as left agree with that as found, up to what was meant?"""
    found, left = _map(progress, "as found"), _map(progress, "as left")
    if found is None or left is None or not found.lead:
        return False
    return compare(found, left, [fact.change for fact in progress.folded.change]).agrees


def _rules_kept(progress: Progress) -> bool:
    """Does the wiring as left break no electrical rule? One that was broken as found holds, too: power is no habit."""
    left, system = _map(progress, "as left"), progress.folded.system
    if left is None or system is None:
        return False
    return not broken_rules(left, strips=system.strips is not None, motor=system.motor)


def _wiring_photographed(progress: Progress) -> bool:
    return any(fact.of == "wiring" and fact.when != "as left" for fact in progress.folded.photo)


def _risk_told(progress: Progress) -> bool:
    return any(isinstance(fact, RiskTold) and fact.guide == "hub" for fact in progress.folded.doing)


def _all_closed(progress: Progress) -> bool:
    return set(progress.openings) <= {"dead"}


SHOWN: Mapping[str, Callable[[Progress], bool]] = {
    "leads as found": _leads_found,
    "leads told apart": _told_apart,
    "leads agree": _leads_agree,
    "rules kept": _rules_kept,
    "photo of wiring": _wiring_photographed,
    "risk told": _risk_told,
    "all closed": _all_closed,
}
