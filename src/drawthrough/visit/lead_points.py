"""Landing points of two lead maps together: what each is, and which may stand for another."""

from drawthrough.visit.lead_map import LeadMap, role_of
from drawthrough.visit.lead_terms import colour_of, plain
from drawthrough.visit.state import Lead, Terminal, TerminalKind

_PARKS: tuple[TerminalKind, ...] = ("park", "cap")


class Points:
    """What is known of the terminals, as found and as left together."""

    def __init__(self, found: LeadMap, left: LeadMap) -> None:
        self.found = found.landed()
        self.left = left.landed()
        # A declared terminal outweighs a guessed one, and what was known as found outweighs what a wrong lead suggests.
        self.terminals: dict[str, Terminal] = {**left.by_name(), **found.by_name()}
        for side in (found, left):
            guessed = {plain(name) for name in side.guessed}
            self.terminals.update({name: one for name, one in side.by_name().items() if name not in guessed})

    def kind(self, name: str) -> TerminalKind:
        """Return what kind of point a name is."""
        return self.terminals[plain(name)].kind

    @staticmethod
    def look(lead: Lead) -> tuple[str, str, str]:
        """Return by what a lead is known again: its origin, colour and mark."""
        return (plain(lead.origin), colour_of(lead.colour), plain(lead.mark))

    def same(self, before: Lead, after: Lead) -> bool:
        """Does a lead land where it was found, or where that makes no difference?"""
        here, there = plain(before.terminal), plain(after.terminal)
        if here == there:
            return True
        kinds = (self.kind(here), self.kind(there))
        if kinds == ("ground", "ground"):
            return True
        if kinds[0] in _PARKS and kinds[1] in _PARKS:
            return self.may_park(after)
        if kinds == ("capacitor", "capacitor"):
            return self._turned(before, after)
        return False

    def may_park(self, after: Lead) -> bool:
        """Is the lead alone as left, on a cap, or on a post that is proved dead or parked a lead as found?"""
        there = plain(after.terminal)
        terminal = self.terminals[there]
        if len(self.left.get(there, ())) != 1 or terminal.kind not in _PARKS:
            return False
        if terminal.kind == "cap" or terminal.proved_dead:
            return True
        return terminal.proved_dead is None and bool(self.found.get(there))

    def _turned(self, before: Lead, after: Lead) -> bool:
        """Are both ends of one winding across the same two terminals, the other way round?

        A run capacitor has no polarity; but where another lead shares one of the two terminals, the end that is joined
        to it matters.
        """
        sides = []
        for side, lead in ((self.found, before), (self.left, after)):
            winding = _winding(side, lead, self)
            if not all(_alone(side, one) for one in winding) or len(winding) != 2:
                return False
            sides.append(sorted(plain(one.terminal) for one in winding))
        return sides[0] == sides[1] and sides[0][0] != sides[0][1]

    def only_its_winding(self, lead: Lead) -> bool:
        """Has a lead's capacitor terminal, as found, no lead but those of its own winding?"""
        return _alone(self.found, lead)


def _winding(side: dict[str, list[Lead]], lead: Lead, points: Points) -> list[Lead]:
    """Return the capacitor leads of a lead's origin that land on capacitor terminals."""
    origin = plain(lead.origin)
    return [
        one
        for name, leads in side.items()
        if points.kind(name) == "capacitor"
        for one in leads
        if plain(one.origin) == origin and role_of(one) == "capacitor"
    ]


def _alone(side: dict[str, list[Lead]], lead: Lead) -> bool:
    """Has a capacitor lead's terminal no leads but those of its own winding?"""
    leads = side.get(plain(lead.terminal), [])
    return role_of(lead) == "capacitor" and all(
        plain(one.origin) == plain(lead.origin) and role_of(one) == "capacitor" for one in leads
    )
