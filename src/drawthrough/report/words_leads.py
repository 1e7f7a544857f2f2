"""The words of the lead map: each finding says what to do, and where the lead belongs."""

from collections.abc import Iterable, Iterator
from typing import get_args

from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.visit.lead_map import Finding, FindingKind, LeadMapError, RowState
from drawthrough.visit.lead_map import Kind as ErrorKind
from drawthrough.visit.lead_rules import RULES
from drawthrough.visit.lead_terms import COLOURS, FUNCTIONS, SPEEDS, colour_of
from drawthrough.visit.lead_words import usual
from drawthrough.visit.state import Motor

# What to do about each finding. Slots: {lead} and {terminal} are the first ones, {other} and {there} the second ones,
# {leads} and {terminals} all of them, {expected} where the lead belongs.
FINDINGS: dict[FindingKind, str] = {
    "moved": N_("Move {lead} from {terminal} to {expected}."),
    "exchanged": N_("Exchange {lead} and {other}: {lead} belongs on {there}, {other} on {terminal}."),
    "missing": N_("Find {lead} and put it on {expected}: it was found there."),
    "new": N_("Take {lead} off {terminal}, or write down where it was found: as found no such lead is known."),
    "not as meant": N_("Move {lead} from {terminal} to {expected}, as the change of speed means it."),
    "change not clear": N_(
        "Say again which speed is meant: no speed lead that was live and another one are known as {lead} and {other}."
    ),
    "speed leads on one terminal": N_("Leave one speed lead on {terminal} and part the others from it: {leads}."),
    "two speed leads live": N_("Park all speed leads but one: {leads} are live at once, on {terminals}."),
    "no speed lead live": N_("Put one speed lead on the live terminal: none is fed. Speed leads: {leads}."),
    "speed lead on common": N_("Part these on {terminal}, a speed lead does not belong on the common: {leads}."),
    "speed lead out of place": N_("Move {leads} off {terminal}: a speed lead is on a live terminal, or parked."),
    "parked lead not alone": N_("Park each lead alone: {leads} share {terminal}."),
    "post not proved dead": N_("Prove {terminal} dead by test: {leads} is parked there."),
    "post proved live": N_("Move {leads} off {terminal} and park it elsewhere: the test found the post live."),
    "capped together": N_("Cap each lead alone: {leads} are under one cap."),
    "loose end": N_("Cap or park {leads}: a bare end is live while the motor runs."),
    "capacitor leads on one terminal": N_("Part {leads} on {terminal}: each belongs on its own side of the capacitor."),
    "capacitor lead missing": N_("Put both capacitor leads of the motor on the capacitor, one on each terminal."),
    "foreign lead on capacitor": N_("Take {leads} off {terminal}: only the leads of the capacitor belong there."),
    "common not live": N_("Move the common, {leads}, off {terminal}: it belongs on the line."),
    "no common": N_("Write down the motor's common: no lead is called so."),
    "no ground": N_("Put the motor's ground on bare metal, and write it down: no ground lands on ground."),
    "ground lead out of place": N_("Move {leads} from {terminal} to ground."),
    "live lead on ground": N_("Move {leads} off {terminal}: that is ground."),
    "line lead on control": N_("Move {leads} off {terminal}: line voltage does not belong on 24 V."),
    "strips without interlock": N_("Write down what ties the strips to the blower, or tie them: alone they overheat."),
    "too many leads": N_("Take leads off {terminal}: it takes fewer than {leads}."),
}  # fmt: skip
PARKED = N_("Park {lead} alone, on a post proved dead or under a cap: another speed is meant. It is on {terminal}.")

STATES: dict[RowState, str] = {
    "as found": N_("as it was"),
    "as meant": N_("changed as meant"),
    "moved": N_("not where it was"),
    "missing": N_("nowhere"),
    "new": N_("not known as found"),
    "not looked at yet": N_("not looked at yet"),
}
ERRORS: dict[ErrorKind, str] = {
    "lead to nowhere": N_("The lead {name} lands on no terminal: take it back and write it again."),
    "lead without colour or mark": N_("A lead has neither colour nor mark: {name}. Tag it, and write it again."),
    "lead without function": N_("What a lead does is not said: {name}."),
    "terminal without name": N_("A terminal has no name: {name}."),
    "terminal declared twice": N_("The terminal {name} is there twice, spelled in two ways: take one back."),
    "holds below one": N_("The terminal {name} is said to hold less than one lead."),
    "not a time": N_("A lead map is as found or as left, not {name}."),
}
# What a line of a few words lacks.
LACKING: dict[ErrorKind, str] = {
    "lead without colour or mark": N_('Begin with the colour, or with "mark" and what the tag says.'),
    "lead without function": N_("Say after the colour what it does: high, common, capacitor, ground, line ..."),
    "lead to nowhere": N_("Say at the end where it lands: relay 4, M2, herm, park 1, ground, capped ..."),
}
_NOTHING = N_("a lead not named")
_BECAUSE = {rule.kind: rule for rule in RULES}


def lead_told(name: str, voice: Voice = ENGLISH) -> str:
    """Return what a lead is called; a colour of the trade in the language of the page, all else as it was written."""
    words = name.split()
    for start in range(len(words)):
        colour = colour_of(" ".join(words[start:]))
        if all(part in COLOURS.values() for part in colour.split("/")):
            told = "/".join(voice.say(part) for part in colour.split("/"))
            return " ".join([*words[:start], told])
    return name


def listed(names: Iterable[str], voice: Voice = ENGLISH) -> str:
    """Return names in a row: "black, blue and red"."""
    found = list(names)
    if len(found) < 2:
        return found[0] if found else voice.say(_NOTHING)
    return voice.say("{list} and {last}", list=", ".join(found[:-1]), last=found[-1])


def finding_told(finding: Finding, voice: Voice = ENGLISH) -> str:
    """Return what to do about a finding."""
    leads = [lead_told(name, voice) if name else voice.say(_NOTHING) for name in finding.leads]
    unnamed = voice.say(_NOTHING)
    template = FINDINGS[finding.kind]
    if finding.kind == "not as meant" and not finding.expected:
        template = PARKED
    told = voice.say(
        template,
        lead=leads[0] if leads else unnamed,
        other=leads[1] if len(leads) > 1 else unnamed,
        leads=listed(leads, voice),
        terminal=finding.terminals[0] if finding.terminals else "?",
        there=finding.terminals[1] if len(finding.terminals) > 1 else "?",
        terminals=listed(finding.terminals, voice),
        expected=finding.expected,
    )
    return capital(told)


def because(finding: Finding, voice: Voice = ENGLISH) -> tuple[str, str]:
    """Return why an electrical rule holds and on whose word, or two empty texts where no rule is broken."""
    rule = _BECAUSE.get(finding.kind)
    return (voice.say(rule.because), voice.say(rule.source)) if rule is not None else ("", "")


def state_told(state: RowState, voice: Voice = ENGLISH) -> str:
    """Return how a lead stands."""
    return voice.say(STATES[state])


def error_told(error: LeadMapError, voice: Voice = ENGLISH) -> str:
    """Return why a lead map cannot be drawn."""
    return voice.say(ERRORS[error.kind], name=error.name or "?")


def lacking_told(error: LeadMapError, voice: Voice = ENGLISH) -> str:
    """Return what a line of a few words lacks."""
    template = LACKING.get(error.kind)
    return voice.say(template) if template else error_told(error, voice)


def messages() -> Iterator[str]:
    """Yield what stands in tables elsewhere: why the rules hold, colours, and what leads usually do."""
    for rule in RULES:
        yield rule.because
        yield rule.source
    yield from dict.fromkeys((*COLOURS.values(), *SPEEDS.values(), *FUNCTIONS.values()))
    for motor in get_args(Motor):
        for lead in usual(motor, True):
            yield lead.function
            yield lead.origin
