"""Electrical rules that one lead map is held against, as found or as left.

A rule speaks only of what the map shows: that a circuit works is proved by the readings after power.
"""

from collections.abc import Iterator
from typing import NamedTuple

from drawthrough.visit.lead_map import Finding, FindingKind, LeadMap, name_of, role_of
from drawthrough.visit.lead_rules_capacitor import capacitor_findings
from drawthrough.visit.lead_terms import (
    BLOWER_WORDS,
    BOARD_WORDS,
    LINE_WORDS,
    LOOSE_WORDS,
    PLUGS,
    POINTS,
    TAP_WORDS,
    plain,
    words_of,
)
from drawthrough.visit.state import Lead, LeadRole, Motor, Terminal


class Rule(NamedTuple):
    """A rule by the kind of its finding: why it holds, and on whose word."""

    kind: FindingKind
    because: str
    source: str = "common practice"


_BONDING = "NFPA 70 (NEC) Article 250, from memory"
RULES = (
    Rule("speed leads on one terminal", "Two speed leads joined short a part of the winding, live or parked."),
    Rule("two speed leads live", "Two speed leads fed at once burn the winding: a feed makes one of them live."),
    Rule("no speed lead live", "A motor none of whose speed leads is fed does not start."),
    Rule("speed lead on common", "A speed lead on the common's point leaves its winding without voltage."),
    Rule("speed lead out of place", "A speed lead carries line voltage: it lands on a live point or is parked dead."),
    Rule("parked lead not alone", "An unused speed lead is live while the motor runs: it is parked alone."),
    Rule("post not proved dead", "A post is dead by test, not by name."),
    Rule("post proved live", "A test found voltage on the post: it parks nothing."),
    Rule("capped together", "Unused speed leads that are capped together are joined: each gets a cap of its own."),
    Rule("loose end", "The bare end of an unused speed lead is live while the motor runs."),
    Rule("capacitor leads on one terminal", "Both ends of the start winding on one terminal leave the capacitor out."),
    Rule("capacitor lead missing", "The start winding needs both terminals of the capacitor."),
    Rule("foreign lead on capacitor", "Only the start winding, and what the diagram joins to it, is on it."),
    Rule("common not live", "The common is the return of every speed: without it nothing runs."),
    Rule("no common", "The common is the return of every speed: without it nothing runs."),
    Rule("no ground", "Metal that can become live is bonded to ground.", _BONDING),
    Rule("ground lead out of place", "A ground lead elsewhere makes metal live.", _BONDING),
    Rule("live lead on ground", "A live lead on ground is a short to metal.", _BONDING),
    Rule("line lead on control", "Line voltage on a 24 V point burns the controls and can reach a hand."),
    Rule("strips without interlock", "Strips without air overheat: whatever fires them also starts the blower.",
         "NFPA 70 (NEC) 424.63, from memory"),
    Rule("too many leads", "A terminal takes as many leads as it is made for; more work loose and heat.",
         "NFPA 70 (NEC) 110.14(A), from memory"),
)  # fmt: skip
# What says that something is lacking: on a map that is not whole yet, it may only not have been looked at.
LACKS: frozenset[FindingKind] = frozenset(
    ["no speed lead live", "no common", "no ground", "capacitor lead missing", "strips without interlock"]
)
_LINE_VOLTAGE: tuple[LeadRole, ...] = ("speed", "common", "line", "capacitor", "strips")


class Spot(NamedTuple):
    """A terminal with the leads on it."""

    terminal: Terminal
    leads: tuple[Lead, ...]

    def of(self, *roles: LeadRole) -> list[Lead]:
        """Return its leads of some roles."""
        return [lead for lead in self.leads if role_of(lead) in roles]

    def words(self) -> set[str]:
        """Return the words of its name and of what it is on."""
        return {POINTS.get(word, word) for word in words_of(f"{self.terminal.name} {self.terminal.part}")}

    def finding(self, kind: FindingKind, leads: list[Lead]) -> Finding:
        """Return a finding of some of its leads."""
        return Finding(kind=kind, leads=tuple(sorted(map(name_of, leads))), terminals=(self.terminal.name,))


def broken_rules(map: LeadMap, *, strips: bool, motor: Motor | None) -> tuple[Finding, ...]:
    """Return what breaks a rule. A motor that is not known is taken for one with speed windings (psc)."""
    if not map.lead:
        return ()  # nothing was looked at
    landed = map.landed()
    spots = [Spot(one, tuple(landed[name])) for name, one in map.by_name().items() if name in landed]
    findings: list[Finding] = []
    for spot in spots:
        findings.extend(_crowded(spot))
        findings.extend(_grounded(spot))
    if motor in (None, "psc"):
        for spot in spots:
            findings.extend(_parked(spot))
            findings.extend(_speeds_here(spot))
        findings.extend(_live_speeds(spots, needed=motor == "psc"))
        findings.extend(capacitor_findings(map, needed=motor == "psc"))
    findings.extend(_commons(spots, windings=motor in (None, "psc")))
    findings.extend(_ground(spots))
    findings.extend(_interlock(spots, strips))
    return tuple(sorted(dict.fromkeys(findings), key=lambda one: (one.kind, one.leads, one.terminals)))


def _crowded(spot: Spot) -> Iterator[Finding]:
    together = spot.terminal.kind in ("park", "cap") and len(spot.leads) > 1
    if len(spot.leads) > spot.terminal.holds and not together:  # leads parked together have a finding of their own
        yield spot.finding("too many leads", list(spot.leads))


def _grounded(spot: Spot) -> Iterator[Finding]:
    if spot.terminal.kind == "ground":
        if live := spot.of(*_LINE_VOLTAGE):
            yield spot.finding("live lead on ground", live)
    elif grounds := spot.of("ground"):
        yield spot.finding("ground lead out of place", grounds)
    if spot.terminal.kind == "control" and (lines := spot.of("line")):
        yield spot.finding("line lead on control", lines)


def _parked(spot: Spot) -> Iterator[Finding]:
    speeds = spot.of("speed")
    if not speeds or spot.terminal.kind not in ("park", "cap"):
        return
    if spot.terminal.kind == "cap":
        if len(spot.leads) > 1:
            yield spot.finding("capped together", list(spot.leads))
        if spot.words() & LOOSE_WORDS or "not connected" in plain(spot.terminal.name):
            yield spot.finding("loose end", speeds)
        return
    if len(spot.leads) > 1 and len(speeds) == 1:  # two speed leads have a finding of their own
        yield spot.finding("parked lead not alone", list(spot.leads))
    if spot.terminal.proved_dead is None:
        yield spot.finding("post not proved dead", speeds)
    elif not spot.terminal.proved_dead:
        yield spot.finding("post proved live", speeds)


def _speeds_here(spot: Spot) -> Iterator[Finding]:
    speeds = spot.of("speed")
    if not speeds:
        return
    for origin in {plain(lead.origin) for lead in speeds}:
        joined = [lead for lead in speeds if plain(lead.origin) == origin]
        if len(joined) > 1 and spot.terminal.kind != "cap":
            yield spot.finding("speed leads on one terminal", joined)
    if spot.terminal.kind in ("control", "strips"):
        yield spot.finding("speed lead out of place", speeds)
    if commons := spot.of("common"):
        yield spot.finding("speed lead on common", [*speeds, *commons])


def _live_speeds(spots: list[Spot], needed: bool) -> Iterator[Finding]:
    """Yield what is wrong with the speed leads that are fed.

    A relay or a board feeds one of its points at a time, so several speed leads may land on it, one on each point. A
    point that is not switched, or that nothing tells to be, makes its lead live whatever else is fed.
    """
    origins = {plain(lead.origin) for spot in spots for lead in spot.of("speed")}
    if needed and not origins and _has_motor(spots):
        yield Finding(kind="no speed lead live")
    for origin in sorted(origins):
        live = [
            (spot, lead)
            for spot in spots
            if spot.terminal.kind == "live"
            for lead in spot.of("speed")
            if plain(lead.origin) == origin
        ]
        if not live:
            unfed = {name_of(lead) for spot in spots for lead in spot.of("speed") if plain(lead.origin) == origin}
            yield Finding(kind="no speed lead live", leads=tuple(sorted(unfed)))
        places = {spot.terminal.name for spot, _ in live}
        if len(places) > 1 and not all(_is_tap(spot) for spot, _ in live):
            names = tuple(sorted(name_of(lead) for _, lead in live))
            yield Finding(kind="two speed leads live", leads=names, terminals=tuple(sorted(places)))


def _has_motor(spots: list[Spot]) -> bool:
    """Does the map show leads of a motor's windings, and not only of what is around it?"""
    return any(spot.of("speed", "common", "capacitor") for spot in spots)


def _is_tap(spot: Spot) -> bool:
    words = spot.words()
    return bool(words & TAP_WORDS) and not words & LINE_WORDS and not spot.of("line", "common")


def _commons(spots: list[Spot], windings: bool) -> Iterator[Finding]:
    """Yield where the common is not; of a motor without speed windings it may be that of the 24 V."""
    speeds = any(spot.of("speed") for spot in spots)
    if windings and _has_motor(spots) and not any(spot.of("common") for spot in spots):
        yield Finding(kind="no common")
    if not windings and speeds and not any(s.of("speed") and s.terminal.kind in ("live", "control") for s in spots):
        unfed = {name_of(lead) for spot in spots for lead in spot.of("speed")}
        yield Finding(kind="no speed lead live", leads=tuple(sorted(unfed)))
    for spot in spots:
        kind = spot.terminal.kind
        # The line may come by way of the capacitor's terminal, and the common be joined to it there.
        fed = kind == "live" or (kind == "capacitor" and spot.of("line")) or (kind == "control" and not windings)
        if kind != "ground" and not fed and (commons := spot.of("common")):
            yield spot.finding("common not live", commons)


def _ground(spots: list[Spot]) -> Iterator[Finding]:
    """Yield that no ground lead is on ground; the line plug of a motor with electronics brings the ground itself."""
    if any(spot.terminal.kind == "ground" and spot.of("ground") for spot in spots):
        return
    lines = (lead for spot in spots for lead in spot.of("line"))
    if not any(PLUGS.intersection(words_of(f"{lead.colour} {lead.function}")) for lead in lines):
        grounds = {name_of(lead) for spot in spots for lead in spot.of("ground")}
        yield Finding(kind="no ground", leads=tuple(sorted(grounds)))


def _interlock(spots: list[Spot], strips: bool) -> Iterator[Finding]:
    """Yield that strips could be fired without the blower.

    A board that fires the strips and calls the blower is the interlock itself: a speed lead on it, or a control lead
    between it and the motor, tells. Where the map shows no lead of strips,
    an interlock lead that is parked still tells, if there are strips.
    """
    firing = [(spot, lead) for spot in spots for lead in spot.of("strips")]
    locks = [(spot, lead) for spot in spots for lead in spot.of("blower interlock")]
    if any(spot.terminal.kind not in ("park", "cap", "ground") for spot, _ in locks):
        return
    blower = [
        (spot, lead)
        for spot in spots
        for lead in spot.of("speed", "control")
        if role_of(lead) == "speed" or BLOWER_WORDS & (spot.words() | set(words_of(lead.origin)))
    ]
    if any(map(_on_board, firing)) and any(map(_on_board, blower)):
        return
    if firing or (strips and locks):
        names = {name_of(lead) for _, lead in (*firing, *locks)}
        yield Finding(kind="strips without interlock", leads=tuple(sorted(names)))


def _on_board(landed: tuple[Spot, Lead]) -> bool:
    spot, lead = landed
    return bool(BOARD_WORDS & (spot.words() | {POINTS.get(word, word) for word in words_of(lead.origin)}))
