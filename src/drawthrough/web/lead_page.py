"""The view of the lead map's page."""

from collections.abc import Iterable

from drawthrough.report.charts.lead_map import energised_both, lead_chart
from drawthrough.report.names import code_name
from drawthrough.report.view import chart_view
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_leads import because, error_told, finding_told, lead_told, listed
from drawthrough.visit.facts import LeadSeen
from drawthrough.visit.form import keys
from drawthrough.visit.lead_map import Finding, name_of, role_of
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.state import Lead, Terminal
from drawthrough.web.desk import Desk
from drawthrough.web.forms import fields_of
from drawthrough.web.lead_rows import FEW, OFTEN, Typed, answered, asked, lead_line, usual_rows
from drawthrough.web.lead_seat import capacitor_forms, capacitor_history, motor_questions, seat_findings, seat_forms
from drawthrough.web.lead_state import LeadState
from drawthrough.web.ledger import Opened
from drawthrough.web.seen import line
from drawthrough.web.views.leads import LeadsView, Post, Told, WordsView
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.shell import Choice

_ALIKE = N_("Tag before they come off: {n} leads are {lead} and land in different places, {places}.")


def leads_view(desk: Desk, opened: Opened, state: LeadState, typed: Typed, look: str) -> LeadsView:
    """Return what the page shows.

    Parameters
    ----------
    desk : Desk
        The request.
    opened : Opened
        The visit.
    state : LeadState
        Its leads.
    typed : Typed
        A form that came back.
    look : str
        "again": the second look is under way; "found": what was found is shown all the same; else as it stands.
    """
    voice, folded, once = desk.voice, opened.folded, desk.ledger.once
    blind = look != "found" and bool(state.open) and (look == "again" or bool(state.pairs))
    broken = state.broken("as left") if state.left.lead else ()
    findings = (*state.comparison.findings, *broken)
    chart = None
    if state.error is None:
        chart = lead_chart(state.found, state.left, state.comparison, voice, blind=blind)
    places = tuple(one.name for one in state.terminals())
    agrees = bool(state.left.lead) and state.comparison.agrees and not broken
    return LeadsView(
        base=f"/visit/{opened.id}/leads",
        notice=typed.said if typed.form == "gone" else "",
        verdict=_verdict(state, agrees, len(findings), voice),
        agrees=agrees,
        findings=_told(findings, voice),
        found_findings=() if state.left.lead else (*_alike(state, voice), *_told(state.broken("as found"), voice)),
        energised=energised_both(state.found, state.left, voice, whole=state.whole, kept=blind),
        chart=chart_view(chart),
        blind=blind,
        can_look=bool(state.open) and not blind,
        any_found=bool(state.found.lead),
        looked=len(state.pairs),
        to_look=len(state.open),
        asked=asked(desk, state, typed) if blind or look == "found" else (),
        answered=answered(desk, state, typed),
        places=places,
        more_places=(*places, *(name for name in OFTEN if plain(name) not in set(map(plain, places))))
        if len(places) < FEW
        else places,
        words=words_view(desk, opened, typed.of("words")),
        usual=usual_rows(desk, opened, state, typed),
        usual_open=typed.form == "usual" or not state.found.lead,
        found=tuple(_seen(desk, fact, blind and fact in state.open) for fact in reversed(state.seen("as found"))),
        added=tuple(_seen(desk, fact, False) for fact in (state.seen("as left") if state.error else state.added)),
        lead_fields=fields_of(Lead, typed.of("lead").values, typed.of("lead").faults, voice),
        lead_once=typed.of("lead").once or once(),
        posts=tuple(_post(desk, state, one) for one in state.terminals()),
        terminal_fields=fields_of(Terminal, typed.of("terminal").values, typed.of("terminal").faults, voice),
        terminal_once=typed.of("terminal").once or once(),
        seats=seat_forms(desk, opened, typed),
        seat_findings=tuple(Told(text=text) for text in seat_findings(opened, voice)),
        capacitors=capacitor_forms(desk, opened, typed),
        capacitor_history=capacitor_history(desk, opened),
        changes=_changes(desk, opened, voice),
        change_once=typed.of("change").once or once(),
        new_capacitor=any(fact.change.kind == "new capacitor" for fact in folded.change),
        speeds_live=_speeds(state, True, typed.of("change").values.get("lead", ""), voice),
        speeds_parked=_speeds(state, False, typed.of("change").values.get("to", ""), voice),
        change_fault=typed.of("change").said,
        **motor_questions(desk, opened, typed),
        photos_href=f"/visit/{opened.id}/photos?when={'as+left' if state.left.lead else 'as+found'}&of=wiring",
        system_href=f"/visit/{opened.id}/system",
        fault=typed.form,
    )


def _verdict(state: LeadState, agrees: bool, wrong: int, voice: Voice) -> str:
    if state.error is not None:
        return error_told(state.error, voice)
    if not state.found.lead:
        return voice.say("Nothing is written down yet: write each lead down before it comes off.")
    if not state.left.lead:
        return voice.count(
            "{n} lead is written down as found. It is looked at again once it is back on.",
            "{n} leads are written down as found. They are looked at again once they are back on.",
            len(state.found.lead),
        )
    if agrees:
        return voice.say("It agrees: every lead is where it was found, up to what was meant.")
    due = len(state.open)
    if wrong and due:
        return voice.count(
            "Not yet: {wrong} to put right, and {n} lead not looked at.",
            "Not yet: {wrong} to put right, and {n} leads not looked at.",
            due,
            wrong=wrong,
        )
    if wrong:
        return voice.count("Not yet: {n} thing to put right.", "Not yet: {n} things to put right.", wrong)
    return voice.count("Not yet: {n} lead not looked at.", "Not yet: {n} leads not looked at.", due)


def _told(findings: Iterable[Finding], voice: Voice) -> tuple[Told, ...]:
    def why(finding: Finding) -> str:
        reason, source = because(finding, voice)
        return f"{reason} ({source})" if reason else ""

    return tuple(Told(text=finding_told(finding, voice), why=why(finding)) for finding in findings)


def _alike(state: LeadState, voice: Voice) -> Iterable[Told]:
    for group in state.alike():
        places = listed((lead.terminal for lead in group), voice)
        name = lead_told(name_of(group[0]), voice)
        yield Told(text=voice.say(_ALIKE, n=len(group), lead=name, places=places))


def words_view(desk: Desk, opened: Opened, typed: Typed) -> WordsView:
    """Return the line of a few words."""
    return WordsView(
        words=typed.values.get("words", ""),
        origin=typed.values.get("origin", "") or "motor",
        read=typed.read,
        shown=typed.values.get("words", "") if typed.read else "",
        fault=typed.said,
        once=typed.once or desk.ledger.once(),
        action=f"/visit/{opened.id}/leads/words",
        ask=f"/visit/{opened.id}/leads/read",
    )


def _seen(desk: Desk, fact: LeadSeen, kept: bool) -> SeenLine:
    lead, voice = fact.lead, desk.voice
    if kept:
        text = voice.say("{lead}, {does}", lead=lead_told(name_of(lead), voice), does=voice.say(lead.function))
    else:
        text = lead_line(lead, voice)
    return line(desk, fact, text, lead.note)


def _post(desk: Desk, state: LeadState, one: Terminal) -> Post:
    voice = desk.voice
    park = one.kind == "park"
    standing = ""
    if park:
        standing = (
            N_("not tested") if one.proved_dead is None else N_("proved dead") if one.proved_dead else N_("live!")
        )
    elif state.guessed(one):
        standing = N_("guessed")
    on = [*state.found.landed().get(plain(one.name), ()), *state.left.landed().get(plain(one.name), ())]
    return Post(
        name=one.name,
        kind=code_name(one.kind, voice),
        standing=voice.say(standing) if standing else "",
        once=desk.ledger.once(),
        park=park,
        due=park and one.proved_dead is None and bool(on),
        kinds=tuple(
            Choice(code=code, name=code_name(code, voice), chosen=code == one.kind and not state.guessed(one))
            for code in keys(Terminal)["kind"].choices
        ),
    )


def _changes(desk: Desk, opened: Opened, voice: Voice) -> tuple[SeenLine, ...]:
    made = []
    for fact in opened.folded.change:
        one = fact.change
        text = voice.say("A new capacitor")
        if one.kind == "other speed":
            text = voice.say(
                "Another speed: {lead} is parked, {to} takes its place",
                lead=lead_told(one.lead, voice), to=lead_told(one.to, voice),
            )  # fmt: skip
        made.append(line(desk, fact, text, one.note))
    return tuple(made)


def _speeds(state: LeadState, live: bool, chosen: str, voice: Voice) -> tuple[Choice, ...]:
    known = state.found.by_name()
    return tuple(
        Choice(code=name_of(lead), name=lead_told(name_of(lead), voice), chosen=name_of(lead) == chosen)
        for lead in state.found.lead
        if role_of(lead) == "speed" and (known[plain(lead.terminal)].kind == "live") == live
    )
