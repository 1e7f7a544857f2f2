"""The lead map: each lead by a few words or one press, looked at again without a hint, and moved until it agrees."""

from collections.abc import Mapping
from typing import get_args

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.voice import N_
from drawthrough.report.words_leads import error_told, lacking_told
from drawthrough.visit.entry import EntryError, entry
from drawthrough.visit.facts import (
    AnyFact,
    ChangeIntended,
    LeadSeen,
    RunCapacitorSeen,
    SeatSeen,
    SystemDescribed,
    TerminalSeen,
    Withdrawn,
)
from drawthrough.visit.form import keys
from drawthrough.visit.lead_map import LeadMapError, name_of
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.lead_words import lead_of
from drawthrough.visit.state import CapacitorSeen, Change, Lead, LeadRole, Seat, Terminal
from drawthrough.web.desk import Desk
from drawthrough.web.lead_page import leads_view, words_view
from drawthrough.web.lead_rows import Typed, lead_line
from drawthrough.web.lead_seat import given_back
from drawthrough.web.lead_state import LeadState, faulty
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal

_LONGEST = 120  # of a terminal's name, and of a few words
_WHERE = N_("Say where it is: press a terminal, or write its name.")
_LONG = N_("That is too long to be a name: use at most {n} letters.")
_ANSWERED = N_("It was said before that this lead is on {terminal}. If that is wrong, press that it moved.")
_GONE = N_("That was taken back or moved before, here or on another device. Look at how it stands now.")
_NAME = N_("Write its colour, or what its tag says: without either it cannot be known again.")
_TWO = N_("Choose the speed lead that was live, and another one that takes its place.")
_SYSTEM = N_("Describe the system first.")


async def leads(request: Request) -> Response:
    """Show the lead map."""
    desk = Desk(request)
    return _page(desk, desk.opened())


def _page(desk: Desk, opened: Opened, typed: Typed = Typed(), status: int = 200) -> Response:  # noqa: B008
    state = LeadState(opened)
    look = desk.request.query_params.get("look", "") or typed.values.get("look", "")
    if typed.form == "left" and look != "found":
        look = "again"
    view = leads_view(desk, opened, state, typed, look)
    title = desk.voice.say(N_("Lead map"))
    up = (f"/visit/{opened.id}/work", desk.voice.say(N_("Work")))
    next_ = None if view.blind else desk.next_line(opened, "work")  # nothing beside the second look
    return desk.page("leads.html", view, title, opened=opened, room="work", up=up, next_=next_, status=status)


def _go(desk: Desk, opened: Opened, place: str, look: str = "") -> Response:
    query = "?look=found" if look == "found" else ""
    return desk.go(f"/visit/{opened.id}/leads{query}#{place}")


async def _posted(request: Request) -> tuple[Desk, Opened, dict[str, str], str]:
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    return desk, opened, sent, sent.get("once", "")


def _terminal(desk: Desk, state: LeadState, sent: Mapping[str, str]) -> tuple[str, str]:
    """Return the terminal that was pressed or typed, and what is wrong with it."""
    name = sent.get("terminal", "") or sent.get("other", "")
    if not name.strip():
        return "", desk.voice.say(_WHERE)
    if len(name) > _LONGEST:
        return "", desk.voice.say(_LONG, n=_LONGEST)
    return state.spelled(name), ""


# --- as found ---


async def words(request: Request) -> Response:
    """Read a lead out of a few words; write it down once its reading was shown."""
    desk, opened, sent, once = await _posted(request)
    said = sent.get("words", "")[: 2 * _LONGEST]
    origin = " ".join(sent.get("origin", "").split())[:_LONGEST] or "motor"
    state = LeadState(opened)
    back, lead = _read(desk, opened, state, {**sent, "words": said, "origin": origin}, once)
    if lead is None:
        return _page(desk, opened, back, 422)
    if sent.get("shown") != said:  # it is written when what was understood has been seen
        return _page(desk, opened, back)
    desk.ledger.write(opened.id, [draft(LeadSeen, lead=lead)], once)
    return _go(desk, opened, "words")


async def read(request: Request) -> Response:
    """Show how a few words are read, while they are typed; nothing is written."""
    desk = Desk(request)
    opened = desk.opened()
    sent = {name: request.query_params.get(name, "")[: 2 * _LONGEST] for name in ("words", "origin", "once")}
    back, _ = _read(desk, opened, LeadState(opened), sent, sent["once"])
    return desk.fragment("lead_read.html", words_view(desk, opened, back))


def _read(
    desk: Desk, opened: Opened, state: LeadState, sent: Mapping[str, str], once: str
) -> tuple[Typed, Lead | None]:
    """Return how a few words are read, or what they lack."""
    back = Typed("words", "", sent, (), "", "", once)
    try:
        lead = lead_of(sent["words"], "as found", sent["origin"] or "motor")
    except LeadMapError as error:
        return back._replace(said=lacking_told(error, desk.voice)), None
    lead = msgspec.structs.replace(lead, terminal=state.spelled(lead.terminal))
    return back._replace(read=lead_line(lead, desk.voice)), lead


async def usual(request: Request) -> Response:
    """Write down one of the usual leads of the motor by one press on its terminal."""
    desk, opened, sent, once = await _posted(request)
    state = LeadState(opened)
    back = Typed("usual", sent.get("of", ""), sent, (), "", "", once)
    terminal, fault = _terminal(desk, state, sent)
    colour, mark = (" ".join(sent.get(name, "").split())[:_LONGEST] for name in ("colour", "mark"))
    if not fault and not (colour or mark):
        fault = desk.voice.say(_NAME)
    if fault:
        return _page(desk, opened, back._replace(said=fault), 422)
    role: LeadRole | None = next((one for one in get_args(LeadRole) if one == sent.get("role")), None)
    lead = Lead(
        colour=colour, mark=mark, function=sent.get("function", "")[:_LONGEST] or "other",
        origin=sent.get("origin", "")[:_LONGEST] or "motor", terminal=terminal, when="as found", role=role,
    )  # fmt: skip
    desk.ledger.write(opened.id, [draft(LeadSeen, lead=lead)], once)
    return _go(desk, opened, "usual")


# --- as left ---


async def left(request: Request) -> Response:
    """Write down where a lead is now."""
    desk, opened, sent, once = await _posted(request)
    state = LeadState(opened)
    found = next((fact for fact in opened.facts if isinstance(fact, LeadSeen) and fact.id == sent.get("of")), None)
    if found is None or found.lead.when != "as found":
        raise Refusal.missing()
    back = Typed("left", found.id, sent, (), "", "", once)
    terminal, fault = _terminal(desk, state, sent)
    if fault:
        return _page(desk, opened, back._replace(said=fault), 422)
    if found not in state.open:
        after = next((after for before, after in state.pairs if before.id == found.id), None)
        if after is not None and plain(after.lead.terminal) == plain(terminal):
            return _go(desk, opened, "as-left", sent.get("look", ""))  # said before, here or in another tab
        if after is None:
            return _page(desk, opened, Typed("gone", said=desk.voice.say(_GONE)), 409)
        said = desk.voice.say(_ANSWERED, terminal=after.lead.terminal)
        return _page(desk, opened, Typed("moved", after.id, {"look": sent.get("look", "")}, said=said), 409)
    seen = msgspec.structs.replace(found.lead, when="as left", terminal=terminal, note="")
    desk.ledger.write(opened.id, [draft(LeadSeen, lead=seen)], once)
    return _go(desk, opened, "as-left", sent.get("look", ""))


async def moved(request: Request) -> Response:
    """Write down where a lead is after it was moved, in place of where it was said to be."""
    desk, opened, sent, once = await _posted(request)
    state = LeadState(opened)
    before = next((fact for fact in opened.facts if isinstance(fact, LeadSeen) and fact.id == sent.get("of")), None)
    if before is None or before.lead.when != "as left":
        raise Refusal.missing()
    terminal, fault = _terminal(desk, state, sent)
    if fault:
        return _page(desk, opened, Typed("moved", before.id, sent, (), fault, "", once), 422)
    if before.id in opened.folded.withdrawn:
        if opened.has(once):
            return _go(desk, opened, "as-left", sent.get("look", ""))
        return _page(desk, opened, Typed("gone", said=desk.voice.say(_GONE)), 409)
    if plain(terminal) != plain(before.lead.terminal):
        seen = msgspec.structs.replace(before.lead, terminal=terminal, note="")
        drafts = [draft(LeadSeen, lead=seen), draft(Withdrawn, of=before.id, why="")]
        desk.ledger.write(opened.id, drafts, once)
    return _go(desk, opened, "as-left", sent.get("look", ""))


# --- terminals ---


async def terminal(request: Request) -> Response:
    """Write down what a terminal is, or that a test proved it dead, by one press."""
    desk, opened, sent, once = await _posted(request)
    state = LeadState(opened)
    known = next((one for one in state.terminals() if one.name == sent.get("name")), None)
    if known is None:
        raise Refusal.missing()
    dead = {"dead": True, "live": False}.get(sent.get("tested", ""))
    kind = sent.get("kind", "") or known.kind
    if kind not in keys(Terminal)["kind"].choices:
        raise Refusal.missing()
    made = msgspec.convert(
        {**msgspec.to_builtins(known), "kind": kind, "proved_dead": dead if dead is not None else known.proved_dead},
        Terminal,
    )
    desk.ledger.write(opened.id, [draft(TerminalSeen, terminal=made)], once)
    return _go(desk, opened, "posts")


# --- forms with all their fields ---


def _writes(form: str, table: type[msgspec.Struct], kind: type[AnyFact], field: str, place: str, timed: bool) -> Route:
    """Return the route of a form that is held against the visit; `timed`: there is one of it for each time."""

    async def write(request: Request) -> Response:
        desk, opened, sent, once = await _posted(request)
        state = LeadState(opened)
        key = sent.get("when", "") if timed else ""
        given = {name: text for name, text in sent.items() if name != "look"}
        if timed:
            given = given_back(desk, opened, table, given)
        try:
            made = entry(table, given, opened.folded)
        except EntryError as error:
            return _page(desk, opened, Typed(form, key, sent, error.faults, "", "", once), 422)
        if isinstance(made, Lead):
            made = msgspec.structs.replace(made, terminal=state.spelled(made.terminal))
        elif isinstance(made, Terminal):
            made = msgspec.structs.replace(made, name=state.spelled(made.name))
        if isinstance(made, Lead | Terminal) and state.error is None:
            wrong = faulty(state.facts, opened.folded.terminal, made)
            if wrong is not None:
                return _page(desk, opened, Typed("gone", said=error_told(wrong, desk.voice), values=sent), 422)
        desk.ledger.write(opened.id, [draft(kind, **{field: made})], once)
        return _go(desk, opened, place)

    return Route(f"/visit/{{visit}}/leads/{form}", write, methods=["POST"])


async def change(request: Request) -> Response:
    """Write down a change of the wiring that is meant."""
    desk, opened, sent, once = await _posted(request)
    made = Change(kind="new capacitor")
    if sent.get("kind") == "other speed":
        known = {name_of(fact.lead) for fact in LeadState(opened).seen("as found")}
        lead, to = sent.get("lead", ""), sent.get("to", "")
        if lead not in known or to not in known or lead == to:
            return _page(desk, opened, Typed("change", "", sent, (), desk.voice.say(_TWO), "", once), 422)
        made = Change(kind="other speed", lead=lead, to=to)
    elif sent.get("kind") != "new capacitor":
        raise Refusal.missing()
    if made not in [fact.change for fact in opened.folded.change]:
        desk.ledger.write(opened.id, [draft(ChangeIntended, change=made)], once)
    return _go(desk, opened, "change")


async def motor(request: Request) -> Response:
    """Write down whether the motor is the maker's own and whether a label was altered."""
    desk, opened, sent, once = await _posted(request)
    system = opened.folded.system
    if system is None:
        return _page(desk, opened, Typed("motor", "", sent, (), desk.voice.say(_SYSTEM), "", once), 409)
    answers = {"yes": True, "no": False}
    changed = msgspec.structs.replace(
        system,
        motor_original=answers.get(sent.get("motor_original", "")),
        label_altered=answers.get(sent.get("label_altered", "")),
    )
    if changed != system:
        desk.ledger.write(opened.id, [draft(SystemDescribed, system=changed)], once)
    return _go(desk, opened, "motor")


_AT = "/visit/{visit}/leads"
ROUTES = [
    Route(_AT, leads),
    Route(f"{_AT}/read", read),
    Route(f"{_AT}/words", words, methods=["POST"]),
    Route(f"{_AT}/usual", usual, methods=["POST"]),
    Route(f"{_AT}/left", left, methods=["POST"]),
    Route(f"{_AT}/moved", moved, methods=["POST"]),
    Route(f"{_AT}/post", terminal, methods=["POST"]),
    Route(f"{_AT}/change", change, methods=["POST"]),
    Route(f"{_AT}/motor", motor, methods=["POST"]),
    _writes("lead", Lead, LeadSeen, "lead", "found", False),
    _writes("terminal", Terminal, TerminalSeen, "terminal", "posts", False),
    _writes("seat", Seat, SeatSeen, "seat", "seat", True),
    _writes("capacitor", CapacitorSeen, RunCapacitorSeen, "run_capacitor", "capacitor", True),
]
