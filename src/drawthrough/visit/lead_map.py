"""The lead map: the leads of one time and the points on which they land."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Literal, get_args

from drawthrough.errors import DrawthroughError
from drawthrough.visit.fold import Folded
from drawthrough.visit.lead_terms import kind_of_point, plain, role_of_function
from drawthrough.visit.state import Frozen, Lead, LeadRole, Terminal, TerminalKind, When

Kind = Literal[
    "lead to nowhere", "lead without colour or mark", "lead without function", "terminal without name",
    "terminal declared twice", "holds below one", "not a time",
]  # fmt: skip
_SAID: dict[Kind, str] = {
    "lead to nowhere": "The lead {name} lands on no terminal.",
    "lead without colour or mark": "A lead has neither colour nor mark: {name}.",
    "lead without function": "What the lead does is not said: {name}.",
    "terminal without name": "A terminal has no name: {name}.",
    "terminal declared twice": "The terminal {name} is declared twice.",
    "holds below one": "The terminal {name} is said to hold less than one lead.",
    "not a time": "A lead map is as found or as left, not {name}.",
}
_ALONE: tuple[TerminalKind, ...] = ("park", "cap")  # what takes one lead each where nobody says otherwise


class LeadMapError(DrawthroughError):
    """A lead map that cannot be built; `kind` says why, and `name` of which lead or terminal."""

    def __init__(self, kind: Kind, name: str) -> None:
        self.kind = kind
        self.name = name
        super().__init__(_SAID[kind].format(name=name or "(nothing)"))


FindingKind = Literal[
    # left held against found
    "moved", "exchanged", "missing", "new", "not as meant", "change not clear",
    # rules of one map
    "speed leads on one terminal", "two speed leads live", "no speed lead live", "speed lead on common",
    "speed lead out of place", "parked lead not alone", "post not proved dead", "post proved live", "capped together",
    "loose end", "capacitor leads on one terminal", "capacitor lead missing", "foreign lead on capacitor",
    "common not live", "no common", "no ground", "ground lead out of place", "live lead on ground",
    "line lead on control", "strips without interlock", "too many leads",
]  # fmt: skip


class Finding(Frozen, frozen=True, kw_only=True):
    """One thing that is not as it should be, as data; its words are put elsewhere."""

    kind: FindingKind
    leads: tuple[str, ...] = ()
    terminals: tuple[str, ...] = ()
    expected: str = ""


RowState = Literal["as found", "as meant", "moved", "missing", "new", "not looked at yet"]


class LeadMap(Frozen, frozen=True, kw_only=True):
    """Leads and terminals of one time. `guessed` names the terminals that leads name and nobody declared."""

    when: When
    lead: tuple[Lead, ...] = ()
    terminal: tuple[Terminal, ...] = ()
    guessed: frozenset[str] = frozenset()

    def by_name(self) -> dict[str, Terminal]:
        """Return the terminals by their plain names."""
        return {plain(one.name): one for one in self.terminal}

    def landed(self) -> dict[str, list[Lead]]:
        """Return the leads on each terminal, by its plain name."""
        found: dict[str, list[Lead]] = {}
        for one in self.lead:
            found.setdefault(plain(one.terminal), []).append(one)
        return found


def role_of(lead: Lead) -> LeadRole:
    """Return what a lead is for: as it was said, else as its function's words tell."""
    return lead.role if lead.role is not None else role_of_function(lead.function)


def name_of(lead: Lead) -> str:
    """Return what a lead is called: its mark and its colour."""
    return " ".join(part for part in (lead.mark.strip(), lead.colour.strip()) if part)


def lead_map(leads: Iterable[Lead], terminals: Iterable[Terminal], when: When) -> LeadMap:
    """Return the map of one time; leads of the other time only help to tell what kind a terminal is.

    The kind of a terminal that nobody declared is guessed from its name, then from the leads that it had as found, then
    from those that it has as left: a lead put on the wrong point must not change what the point is.
    """
    if when not in get_args(When):
        raise LeadMapError("not a time", str(when))
    every = list(leads)
    for lead in every:
        if not (lead.colour.strip() or lead.mark.strip()):
            raise LeadMapError("lead without colour or mark", lead.function or lead.terminal)
        if not lead.terminal.strip():
            raise LeadMapError("lead to nowhere", name_of(lead))
    known: dict[str, Terminal] = {}
    for terminal in terminals:
        if not terminal.name.strip():
            raise LeadMapError("terminal without name", terminal.part)
        if plain(terminal.name) in known:
            raise LeadMapError("terminal declared twice", terminal.name)
        if terminal.holds < 1:
            raise LeadMapError("holds below one", terminal.name)
        known[plain(terminal.name)] = terminal
    chosen = tuple(lead for lead in every if lead.when == when)
    guessed = _guessed(every, chosen, known)
    return LeadMap(
        when=when,
        lead=chosen,
        terminal=(*known.values(), *guessed),
        guessed=frozenset(terminal.name for terminal in guessed),
    )


def lead_map_of(folded: Folded, when: When) -> LeadMap:
    """Return the map of what a visit's facts say of its leads at one time.

    Raises
    ------
    LeadMapError
        The leads make no map.
    """
    return lead_map([fact.lead for fact in folded.lead], folded.terminal, when)


def _guessed(every: Sequence[Lead], chosen: Sequence[Lead], known: dict[str, Terminal]) -> list[Terminal]:
    """Return the terminals that the chosen leads name and nobody declared."""
    roles: dict[tuple[str, When], set[LeadRole]] = {}
    count: Counter[tuple[str, When]] = Counter()
    for lead in every:
        at = (plain(lead.terminal), lead.when)
        roles.setdefault(at, set()).add(role_of(lead))
        count[at] += 1
    names: dict[str, str] = {}
    for lead in chosen:
        if plain(lead.terminal) not in known:
            spelled = names.setdefault(plain(lead.terminal), lead.terminal.strip())
            names[plain(lead.terminal)] = min(spelled, lead.terminal.strip())  # whatever the order of entry
    made = []
    for name, spelled in sorted(names.items()):
        first = roles.get((name, "as found")) or roles[name, "as left"]
        kind = kind_of_point(name, first)
        holds = 1 if kind in _ALONE else max(count[name, "as found"], count[name, "as left"])
        made.append(Terminal(name=spelled, kind=kind, holds=holds))
    return made
