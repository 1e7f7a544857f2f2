"""The lower half of the lead map's page: how motor and wheel sit, the run capacitor, and whose the motor is."""

from typing import Any

import msgspec

from drawthrough.errors import OutOfRange
from drawthrough.report.names import code_name
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_seat import capacitor_told, fit_told, history_told, seat_told
from drawthrough.visit.clock import wall
from drawthrough.visit.entry import EntryFault
from drawthrough.visit.seat_compare import compare_seats
from drawthrough.visit.state import Capacitor, CapacitorSeen, Seat, When
from drawthrough.web.desk import Desk
from drawthrough.web.forms import exact, faulty, fields_of, shown_of
from drawthrough.web.ledger import Opened
from drawthrough.web.views.leads import TimeForm
from drawthrough.web.views.shell import Choice

WHENS: tuple[When, ...] = ("as found", "as left")
SEAT = (
    "lead_exit", "set_screw", "rotation", "clearance_motor_side", "clearance_far_side", "run_out_motor_side",
    "run_out_far_side", "weights", "note",
)  # fmt: skip
CAPACITOR = ("capacitance", "tolerance", "volts", "capacitance_read", "code", "note")
_OFTEN = 2  # capacitors replaced before (common practice, no source)
_LOOK_FURTHER = N_("Replaced twice before: look at the motor, its heat and its air before a third one goes in.")
_ANSWERS = (("yes", N_("yes")), ("no", N_("no")), ("", N_("not known")))


def seat_forms(desk: Desk, opened: Opened, typed: Any) -> tuple[TimeForm, ...]:
    """Return the form of each time; the one as left never shows what was written as found."""
    return tuple(_form(desk, Seat, "seat", SEAT, _at(opened.folded.seat, when), when, (), typed) for when in WHENS)


def seat_findings(opened: Opened, voice: Voice) -> tuple[str, ...]:
    """Return what changed of how motor and wheel sit, once they were looked at as left."""
    found, left = (_at(opened.folded.seat, when) for when in WHENS)
    if left is None:
        return ()
    try:
        return seat_told(compare_seats(found, left), voice)
    except OutOfRange as error:
        return (str(error),)


def capacitor_forms(desk: Desk, opened: Opened, typed: Any) -> tuple[TimeForm, ...]:
    """Return the form of the capacitor found and of the one left, with what is known of each."""
    voice, seen = desk.voice, opened.folded.run_capacitor
    found, left = (_at(seen, when) for when in WHENS)
    system = opened.folded.system
    told: dict[When, tuple[str, ...]] = {
        when: capacitor_told(one, voice) if one is not None else ()
        for when, one in zip(WHENS, (found, left), strict=True)
    }
    wanted = system.capacitor if system is not None else None
    if wanted is None and found is not None:
        wanted = Capacitor(capacitance=found.capacitance, tolerance=found.tolerance, volts=found.volts)
    for when, one in zip(WHENS, (found, left), strict=True):
        # What was found is held to the nameplate only: to itself it always fits.
        if one is not None and wanted is not None and (when == "as left" or (system and system.capacitor)):
            told[when] += fit_told(wanted, one, voice)
    return tuple(
        _form(desk, CapacitorSeen, "capacitor", CAPACITOR, one, when, told[when], typed)
        for when, one in zip(WHENS, (found, left), strict=True)
    )


def capacitor_history(desk: Desk, opened: Opened) -> tuple[str, ...]:
    """Return what this system's run capacitors were on earlier visits, the latest first, and when to look further."""
    voice, told, replaced = desk.voice, [], 0
    for folded in reversed(desk.ledger.earlier(opened)):
        seen = _at(folded.run_capacitor, "as left") or _at(folded.run_capacitor, "as found")
        if seen is not None:
            told.append(history_told(desk.day(wall(_opening(desk, folded.id))), seen, voice))
        replaced += any(fact.work.part == "capacitor" and fact.work.action == "replaced" for fact in folded.work)
    if replaced >= _OFTEN:
        told.append(voice.say(_LOOK_FURTHER))
    return tuple(told)


def _opening(desk: Desk, visit: str) -> int:
    return desk.ledger.opened(visit).facts[0].moment


def _at(seen: tuple[Any, ...], when: When) -> Any:
    return next((one for one in seen if one.when == when), None)


def _form(
    desk: Desk, table: type[msgspec.Struct], form: str, only: tuple[str, ...], stands: Any, when: When,
    told: tuple[str, ...], typed: Any,
) -> TimeForm:  # fmt: skip
    back = typed.of(form, when)
    values = back.values or (shown_of(stands, desk.voice) if stands is not None else {})
    faults: tuple[EntryFault, ...] = back.faults
    fields = fields_of(table, values, faults, desk.voice, only)
    suffix = when.replace(" ", "-")
    return TimeForm(
        when=when,
        name=code_name(when, desk.voice),
        told=told,
        fields=tuple(msgspec.structs.replace(one, id=f"{one.id}-{suffix}") for one in fields),
        once=back.once or desk.ledger.once(),
        open=bool(back.form) or faulty(fields),
    )


def stands_at(opened: Opened, table: type[msgspec.Struct], when: str) -> Any:
    """Return the seat or the capacitor that is known of one time."""
    seen: tuple[Any, ...] = opened.folded.seat if table is Seat else opened.folded.run_capacitor
    return next((one for one in seen if one.when == when), None)


def given_back(desk: Desk, opened: Opened, table: type[msgspec.Struct], sent: dict[str, str]) -> dict[str, str]:
    """Return what was sent, with the figures that came back as they were shown as they stand."""
    return exact(sent, stands_at(opened, table, sent.get("when", "")), desk.voice)


def motor_questions(desk: Desk, opened: Opened, typed: Any) -> dict[str, Any]:
    """Return the two questions on the motor, and what follows from their answers."""
    system, voice, back = opened.folded.system, desk.voice, typed.of("motor")

    def choices(name: str) -> tuple[Choice, ...]:
        stands: bool | None = getattr(system, name, None)
        code = back.values.get(name, "" if stands is None else "yes" if stands else "no")
        return tuple(Choice(code=one, name=voice.say(word), chosen=one == code) for one, word in _ANSWERS)

    told = ""
    if system is not None and (system.motor_original is False or system.label_altered):
        told = voice.say("The fan table is void: it speaks of another motor, or of one that is not known.")
    return {
        "original": choices("motor_original"),
        "altered": choices("label_altered"),
        "motor_once": (back.once or desk.ledger.once()) if system is not None else "",
        "motor_told": told,
        "motor_fault": back.said,
    }
