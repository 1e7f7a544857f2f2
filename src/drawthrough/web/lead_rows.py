"""The rows of the lead map's page: one lead each, with the terminals at which it can be."""

from collections.abc import Mapping
from typing import NamedTuple

from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_leads import lead_told
from drawthrough.visit.entry import EntryFault
from drawthrough.visit.facts import LeadSeen
from drawthrough.visit.lead_map import RowState, name_of, role_of
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.lead_words import usual
from drawthrough.visit.state import Lead
from drawthrough.web.desk import Desk
from drawthrough.web.lead_state import LeadState
from drawthrough.web.ledger import Opened
from drawthrough.web.views.leads import Asked

# What terminals are often called, offered as buttons while few are known (common practice, no source).
OFTEN = ("relay 2", "relay 4", "COOL", "HEAT", "M1", "M2", "L1", "L2", "COM", "herm", "fan", "ground")
FEW = 8  # known terminals from which the common names are no longer offered
# Where a lead is that was looked at again, and how that stands.
_STANDING: dict[RowState, str] = {
    "as found": N_("{terminal}, as it was"),
    "as meant": N_("{terminal}, changed as meant"),
    "moved": N_("{terminal}, not where it was"),
}


class Typed(NamedTuple):
    """A form that came back: which one, of which row, what was typed, what is wrong, how words were read."""

    form: str = ""
    key: str = ""  # of the row
    values: Mapping[str, str] = {}
    faults: tuple[EntryFault, ...] = ()
    said: str = ""  # what is wrong, where no field's own fault says it
    read: str = ""
    once: str = ""

    def of(self, form: str, key: str = "") -> "Typed":
        """Return itself where it is that form, else an empty one."""
        return self if (form, key) == (self.form, self.key) else Typed()


def asked(desk: Desk, state: LeadState, typed: Typed) -> tuple[Asked, ...]:
    voice = desk.voice
    due = state.open
    chosen = typed.key if typed.form == "left" else (due[0].id if due else "")
    return tuple(
        Asked(
            key=f"left-{fact.id}",
            name=lead_told(name_of(fact.lead), voice),
            does=voice.say(fact.lead.function),
            of=fact.id,
            once=typed.of("left", fact.id).once or desk.ledger.once(),
            other=typed.of("left", fact.id).values.get("other", ""),
            fault=typed.of("left", fact.id).said,
            open=fact.id == chosen,
        )
        for fact in due
    )


def answered(desk: Desk, state: LeadState, typed: Typed) -> tuple[Asked, ...]:
    """Return the leads that were looked at again, those that are wrong first; the first of them stands open."""
    rows = {(row.lead, row.function, row.found, row.left): row.state for row in state.comparison.rows}
    found = []
    for before, after in state.pairs:
        lead = before.lead
        found.append((rows[name_of(lead), lead.function, lead.terminal, after.lead.terminal], before, after))
    found.sort(key=lambda one: one[0] != "moved")
    chosen = typed.key if typed.form == "moved" else ""
    if not chosen and not state.open and found and found[0][0] == "moved":
        chosen = found[0][2].id
    return tuple(_looked_at(desk, *one, typed, chosen) for one in found)


def _looked_at(
    desk: Desk, right: RowState, before: LeadSeen, after: LeadSeen, typed: Typed, chosen: str
) -> Asked:  # fmt: skip
    voice, back = desk.voice, typed.of("moved", after.id)
    return Asked(
        key=f"moved-{after.id}",
        name=lead_told(name_of(before.lead), voice),
        does=voice.say(before.lead.function),
        of=after.id,
        once=back.once or desk.ledger.once(),
        standing=voice.say(_STANDING[right], terminal=after.lead.terminal),
        other=back.values.get("other", ""),
        fault=back.said,
        open=after.id == chosen,
    )


def usual_rows(desk: Desk, opened: Opened, state: LeadState, typed: Typed) -> tuple[Asked, ...]:
    """Return the usual leads of the motor that no lead as found is yet."""
    system, voice = opened.folded.system, desk.voice
    made = []
    written = [(plain(lead.function), role_of(lead), plain(lead.colour)) for lead in state.found.lead]
    for number, one in enumerate(usual(system.motor, system.strips is not None) if system is not None else ()):
        same = next(
            (w for w in written if w[0] == plain(one.function) and (not one.colour or w[2] == one.colour)), None
        )
        same = same or next((w for w in written if w[1] == one.role and one.colour and w[2] == one.colour), None)
        if same is not None:
            written.remove(same)
            continue
        back = typed.of("usual", str(number))
        made.append(
            Asked(
                key=f"usual-{number}",
                name=lead_told(one.colour, voice) if one.colour else voice.say(one.function),
                does=voice.say(one.function) if one.colour else "",
                of=str(number),
                once=back.once or desk.ledger.once(),
                colour=back.values.get("colour", one.colour),
                mark=back.values.get("mark", ""),
                other=back.values.get("other", ""),
                function=one.function,
                role=one.role,
                origin=one.origin,
                open=bool(back.form),
                fault=back.said,
            )
        )
    return tuple(made)


def lead_line(lead: Lead, voice: Voice) -> str:
    """Return a lead as it was read."""
    slots = {"lead": lead_told(name_of(lead), voice), "does": voice.say(lead.function), "terminal": lead.terminal}
    if plain(lead.origin) == "motor":
        return voice.say("{lead}, {does}, on {terminal}", **slots)
    return voice.say("{lead}, {does}, from {origin}, on {terminal}", origin=voice.say(lead.origin), **slots)
