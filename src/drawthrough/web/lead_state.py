"""The leads of a visit as they stand: both maps, which leads were looked at again, and what is wrong."""

from collections.abc import Iterable

from drawthrough.visit.facts import LeadSeen
from drawthrough.visit.lead_compare import Comparison, compare, look_alike
from drawthrough.visit.lead_known import recognised
from drawthrough.visit.lead_map import Finding, LeadMap, LeadMapError, lead_map, lead_map_of
from drawthrough.visit.lead_points import Points
from drawthrough.visit.lead_rules import LACKS, broken_rules
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.state import Lead, Terminal, When
from drawthrough.web.ledger import Opened


class LeadState:
    """What a visit's facts say of its leads; `error` says why there is no map of them, where there is none."""

    def __init__(self, opened: Opened) -> None:
        folded = opened.folded
        self.facts: tuple[LeadSeen, ...] = folded.lead
        self.error: LeadMapError | None = None
        self.found = self.left = LeadMap(when="as found")
        try:
            self.found = lead_map_of(folded, "as found")
            self.left = lead_map_of(folded, "as left")
        except LeadMapError as error:
            self.error = error
        changes = [fact.change for fact in folded.change]
        self.points = Points(self.found, self.left)
        self.comparison: Comparison = compare(self.found, self.left, changes)
        self._known = recognised(self.found, self.left, self.points)
        self._fact = {id(fact.lead): fact for fact in folded.lead}  # the maps hold the very leads of the facts
        system = folded.system
        self._strips = system is not None and system.strips is not None
        self._motor = system.motor if system is not None else None

    def seen(self, when: When) -> tuple[LeadSeen, ...]:
        """Return the leads that were seen at one time, as they were entered."""
        return tuple(fact for fact in self.facts if fact.lead.when == when)

    @property
    def open(self) -> tuple[LeadSeen, ...]:
        """Leads that were found and not looked at as left, as they were entered."""
        due = {id(lead) for lead in self._known.unmatched}
        return tuple(fact for fact in self.seen("as found") if id(fact.lead) in due)

    @property
    def pairs(self) -> tuple[tuple[LeadSeen, LeadSeen], ...]:
        """Leads that were looked at again, as they were found and as they are left."""
        return tuple((self._fact[id(before)], self._fact[id(after)]) for before, after in self._known.pairs)

    @property
    def added(self) -> tuple[LeadSeen, ...]:
        """Leads as left that no lead as found is."""
        return tuple(self._fact[id(lead)] for lead in self._known.added)

    @property
    def whole(self) -> bool:
        """Was every lead that was found looked at again?"""
        return bool(self.facts) and not self._known.unmatched

    def broken(self, when: When) -> tuple[Finding, ...]:
        """Return the rules that the map of one time breaks; what it lacks counts once it is whole."""
        side = self.found if when == "as found" else self.left
        rules = broken_rules(side, strips=self._strips, motor=self._motor)
        return rules if when == "as found" or self.whole else tuple(one for one in rules if one.kind not in LACKS)

    def alike(self) -> tuple[tuple[Lead, ...], ...]:
        """Return leads that must be tagged before they come off."""
        return look_alike(self.found)

    def terminals(self) -> tuple[Terminal, ...]:
        """Return every terminal that is known, by name: an order that tells nothing of where a lead was."""
        return tuple(sorted(self.points.terminals.values(), key=lambda one: plain(one.name)))

    def guessed(self, terminal: Terminal) -> bool:
        """Did nobody say yet what this terminal is?"""
        return terminal.name in self.found.guessed | self.left.guessed

    def spelled(self, name: str) -> str:
        """Return a terminal's name as it is written already, where it differs only in small things."""
        known = self.points.terminals.get(plain(name))
        return known.name if known is not None else " ".join(name.split())


def faulty(facts: Iterable[LeadSeen], terminals: Iterable[Terminal], extra: Lead | Terminal) -> LeadMapError | None:
    """Return why no map could be drawn any more if this were written, or None."""
    leads = [fact.lead for fact in facts]
    posts = {one.name: one for one in terminals}
    if isinstance(extra, Lead):
        leads.append(extra)
    else:
        posts[extra.name] = extra
    try:
        lead_map(leads, posts.values(), "as found")
        lead_map(leads, posts.values(), "as left")
    except LeadMapError as error:
        return error
    return None
