"""As found and As left: the runs, and what was seen and heard before anything was touched."""

from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.reading_list import counterpart
from drawthrough.visit.facts import ComplaintHeard
from drawthrough.visit.state import Gap, Pattern, Run, When
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.pages.runs import again_href, unpaired
from drawthrough.web.road import BY_CODE, address
from drawthrough.web.seen import Refused, line, writes
from drawthrough.web.views.runs import AgainLine, RoomView, RunLine

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


def _page(desk: Desk, opened: Opened, when: When, refused: Refused = Refused(), status: int = 200) -> Response:  # noqa: B008
    voice = desk.voice
    say = voice.say
    folded = opened.folded
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
            line(desk, one, f"{one.pattern.surface}: {code_name(one.pattern.dirt, voice)}", one.pattern.note)
            for one in folded.pattern
        ),
        pattern_fields=fields_of(Pattern, *refused.of("pattern"), voice, only=("surface", "dirt", "note")),
        pattern_once=refused.once_of("pattern", desk),
        gaps=tuple(line(desk, one, _gap(one.gap, voice), one.gap.note) for one in folded.gap),
        gap_fields=fields_of(Gap, *refused.of("gap"), voice),
        gap_once=refused.once_of("gap", desk),
        photos_href=f"/visit/{opened.id}/photos?when={quote(when)}",
        fault=refused.form,
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


def _gap(gap: Gap, voice: Voice) -> str:
    return voice.say(N_("{where}: {compartment}, open to {space}")).format(
        where=gap.where, compartment=code_name(gap.compartment, voice), space=code_name(gap.opens_to, voice)
    )


def _refused(desk: Desk, opened: Opened, refused: Refused, status: int) -> Response:
    return _page(desk, opened, "as found", refused, status)


ROUTES = [
    Route("/visit/{visit}/as-found", as_found),
    Route("/visit/{visit}/as-left", as_left),
    Route("/visit/{visit}/complaint", complain, methods=["POST"]),
    *(writes(name, "as found", _refused) for name in ("pattern", "gap")),
]
