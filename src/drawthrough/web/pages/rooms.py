"""As found and As left: the runs, and what was seen and heard before anything was touched."""

from collections.abc import Mapping
from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name
from drawthrough.report.voice import N_
from drawthrough.trade.reading_list import counterpart
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import ComplaintHeard, GapSeen, PatternSeen
from drawthrough.visit.state import Gap, Pattern, Run, When
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.pages.runs import again_href, unpaired
from drawthrough.web.road import BY_CODE, address
from drawthrough.web.views.runs import AgainLine, RoomView, RunLine, SeenLine

_READY = (N_("smell"), N_("weak air"), N_("noise"), N_("rooms uneven"), N_("high bill"), N_("water"))
_BEGIN = {
    "fan": N_("Fan alone: statics, speed, watts"),
    "cooling": N_("Cooling: the coil wet and steady"),
    "strips": N_("Strips: the airflow by their heat"),
    "zero": N_("A zero: blower on, strips off"),
    "gas": N_("Gas heat: the airflow by its heat"),
}
_LEAD: dict[str, str] = {
    "as found": N_("Read it before anything is touched. What is not read now can never be read again."),
    "as left": N_("The same again: same mode, same speed, same holes, same instruments."),
}


async def as_found(request: Request) -> Response:
    """Show how it was found."""
    desk = Desk(request)
    return _page(desk, desk.opened(), "as found")


async def as_left(request: Request) -> Response:
    """Show how it is left."""
    desk = Desk(request)
    return _page(desk, desk.opened(), "as left")


def _page(
    desk: Desk, opened: Opened, when: When, fault: str = "", values: Mapping[str, str] | None = None,
    faults: tuple[EntryFault, ...] = (), status: int = 200,
) -> Response:  # fmt: skip
    voice = desk.voice
    say = voice.say
    folded = opened.folded
    typed = values or {}

    def of(form: str) -> tuple[Mapping[str, str], tuple[EntryFault, ...]]:
        return (typed, faults) if form == fault else ({}, ())

    view = RoomView(
        when=when,
        found=when == "as found",
        lead=say(_LEAD[when]),
        runs=tuple(_run(desk, opened, run) for run in folded.run if run.when == when),
        again=tuple(
            AgainLine(text=say(N_("The same again: {run}")).format(run=run.id), href=again_href(opened.id, run))
            for run in (unpaired(opened) if when == "as left" else ())
        ),
        begin=tuple(
            AgainLine(text=say(text), href=f"/visit/{opened.id}/describe?{urlencode({'when': when, 'mode': mode})}")
            for mode, text in _BEGIN.items()
        ),
        complaint=folded.complaint,
        complaint_once=desk.ledger.once(),
        ready=tuple(map(say, _READY)),
        patterns=tuple(
            SeenLine(
                text=f"{one.pattern.surface}: {code_name(one.pattern.dirt, voice)}",
                note=one.pattern.note,
                id=one.id,
                once=desk.ledger.once(),
            )
            for one in folded.pattern
        ),
        pattern_fields=fields_of(Pattern, *of("pattern"), voice, only=("surface", "dirt", "note")),
        pattern_once=desk.ledger.once(),
        gaps=tuple(
            SeenLine(
                text=say(N_("{where}: {compartment}, open to {space}")).format(
                    where=one.gap.where, compartment=one.gap.compartment, space=one.gap.opens_to
                ),
                note=one.gap.note,
                id=one.id,
                once=desk.ledger.once(),
            )
            for one in folded.gap
        ),
        gap_fields=fields_of(Gap, *of("gap"), voice),
        gap_once=desk.ledger.once(),
        photos_href=f"/visit/{opened.id}/photos?when={quote(when)}",
        fault=fault,
    )
    title = say(BY_CODE[when].name)
    return desk.page("room.html", view, title, opened=opened, room=when, next_=desk.next_line(opened), status=status)


def _run(desk: Desk, opened: Opened, run: Run) -> RunLine:
    voice = desk.voice
    again = counterpart(opened.visit, run) if opened.visit is not None else None
    return RunLine(
        name=run.id,
        href=run_address(opened.id, run.id),
        line=", ".join((code_name(run.mode, voice), run.speed, code_name(run.wetness, voice))),
        count=voice.count("{n} reading", "{n} readings", len(run.reading)),
        beside=voice.say(N_("beside {run}")).format(run=again.id) if again is not None else "",
    )


async def complain(request: Request) -> Response:
    """Write down what the customer said."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    words = sent.get("words", "")[:2000]
    if words != opened.folded.complaint:
        desk.ledger.write(opened.id, [draft(ComplaintHeard, words=words)], sent.get("once", ""))
    return desk.go(address(opened.id, "as found"))


async def see_pattern(request: Request) -> Response:
    """Write down a mark that was seen: dirt, or what looks like it and is none."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    try:
        pattern = entry(Pattern, sent, opened.folded)
    except EntryError as error:
        return _page(desk, opened, "as found", "pattern", sent, error.faults, 422)
    desk.ledger.write(opened.id, [draft(PatternSeen, pattern=pattern)], sent.get("once", ""))
    return desk.go(address(opened.id, "as found") + "#marks")


async def see_gap(request: Request) -> Response:
    """Write down a gap that was seen."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    try:
        gap = entry(Gap, sent, opened.folded)
    except EntryError as error:
        return _page(desk, opened, "as found", "gap", sent, error.faults, 422)
    desk.ledger.write(opened.id, [draft(GapSeen, gap=gap)], sent.get("once", ""))
    return desk.go(address(opened.id, "as found") + "#gaps")


ROUTES = [
    Route("/visit/{visit}/as-found", as_found),
    Route("/visit/{visit}/as-left", as_left),
    Route("/visit/{visit}/complaint", complain, methods=["POST"]),
    Route("/visit/{visit}/pattern", see_pattern, methods=["POST"]),
    Route("/visit/{visit}/gap", see_gap, methods=["POST"]),
]
