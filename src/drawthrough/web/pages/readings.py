"""The page of a run: its readings, the writing line, corrections, and what is judged so far."""

from urllib.parse import quote

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from drawthrough.judge.so_far import so_far
from drawthrough.report.names import code_name
from drawthrough.report.refusals import refusal
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_so_far import told_so_far
from drawthrough.trade.reading_list import Wanted, counterpart, wanted
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import ReadingCorrected, ReadingTaken
from drawthrough.visit.state import Reading, Run
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.road import address
from drawthrough.web.rows import row_of, rows_of, shown
from drawthrough.web.unit_keys import unit_label
from drawthrough.web.views.readings import RunLink, RunView, ToldView, WritingView, WrittenView
from drawthrough.web.writing import address_of, index_of, line_for, passed_after, passed_of

_FOLDED = ("with", "time", "hole", "note", "uncertainty")  # fields of the writing line that lie behind the fold
_ASIDE = ("once", "run", "passed", "free", "of", "why")


async def run(request: Request) -> Response:
    """Show a run with its readings, or its rows alone."""
    desk = Desk(request)
    opened = desk.opened()
    found = opened.run(request.path_params["run"])
    asked = dict(request.query_params)
    if asked.get("rows"):
        return desk.fragment("rows.html", rows_of(desk, opened, found))
    return _page(desk, opened, found, line_for(desk, opened, found, asked))


def _page(desk: Desk, opened: Opened, found: Run, writing: WritingView, status: int = 200) -> Response:
    voice = desk.voice
    say = voice.say
    again = counterpart(opened.visit, found) if opened.visit is not None else None
    view = RunView(
        name=found.id,
        line=", ".join(
            [
                code_name(found.mode, voice),
                say(N_("speed {speed}")).format(speed=found.speed),
                say(N_("coil {wetness}")).format(wetness=code_name(found.wetness, voice)),
                say(N_("filter {state}")).format(state=code_name(found.filter, voice)),
            ]
        ),
        again=say(N_("The proof needs the same again as {run}.")).format(run=again.id) if again is not None else "",
        rows=rows_of(desk, opened, found),
        writing=writing,
        links=_links(desk, opened, found),
    )
    up = (address(opened.id, found.when), say(_ROOM[found.when]))
    return desk.page(
        "run.html", view, code_name(found.mode, voice), opened=opened, room=found.when, up=up, status=status
    )


_ROOM = {"as found": N_("As found"), "as left": N_("As left")}


def _links(desk: Desk, opened: Opened, found: Run) -> tuple[RunLink, ...]:
    say = desk.voice.say
    name = quote(found.id, safe="")
    links = [RunLink(text=say(N_("Describe the run again")), href=f"/visit/{opened.id}/describe?run={name}")]
    if found.mode == "strips":
        zero = f"/visit/{opened.id}/describe?when={quote(found.when)}&mode=zero&zero_for={name}"
        links.append(RunLink(text=say(N_("A zero with the strips off, before or after")), href=zero))
    links.append(RunLink(text=say(N_("Drop a logger's file on it")), href=f"/visit/{opened.id}/log?run={name}"))
    links.append(RunLink(text=say(N_("Photos")), href=f"/visit/{opened.id}/photos?when={quote(found.when)}"))
    return tuple(links)


def _fields(sent: dict[str, str], desk: Desk) -> dict[str, str]:
    fields = {name: value for name, value in sent.items() if name not in _ASIDE}
    if not fields.get("time"):
        fields["time"] = desk.now().strftime("%H:%M")
    return fields


def _wanted(opened: Opened, found: Run) -> tuple[Wanted, ...]:
    return wanted(opened.visit, found) if opened.visit is not None else ()


async def write(request: Request) -> Response:
    """Write a reading down, or correct one."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    found = opened.run(sent.get("run", ""))
    of = sent.get("of", "")
    index = index_of(opened, found, of) if of else None
    try:
        reading = entry(Reading, _fields(sent, desk), opened.folded, run=found.id, instead=index)
    except EntryError as error:
        return _refused(desk, opened, found, sent, error.faults)
    once = sent.get("once", "")
    if of:
        drafts = [draft(ReadingCorrected, of=of, reading=reading, why=sent.get("why", ""))]
    else:
        drafts = [draft(ReadingTaken, run=found.id, reading=reading)]
    before = _wanted(opened, found)
    written = desk.ledger.write(opened.id, drafts, once)
    opened = desk.ledger.opened(opened.id)
    found = opened.run(found.id)
    kept = {"passed": str(passed_after(before, _wanted(opened, found), passed_of(sent)))}
    href = run_address(opened.id, found.id)
    if not desk.small or of:
        # A correction touches a row above: the page comes anew.
        return HTMLResponse("", headers={"hx-redirect": href}) if desk.small else desk.go(address_of(href, kept))
    writing = line_for(desk, opened, found, kept)
    if not written:
        return desk.fragment("writing.html", writing, headers={"hx-trigger": "visit-changed"})
    view = WrittenView(
        writing=writing,
        rows=rows_of(desk, opened, replace(found, reading=()), judged=False),
        row=row_of(desk, opened, found, len(found.reading) - 1, None),
    )
    return desk.fragment("written.html", view, headers={"hx-trigger": "visit-changed"})


def _refused(desk: Desk, opened: Opened, found: Run, sent: dict[str, str], faults: tuple[EntryFault, ...]) -> Response:
    writing = line_for(desk, opened, found, sent)
    chosen = sent.get("value_unit", "")
    writing = replace(
        writing,
        value=sent.get("value", ""),
        time=sent.get("time", ""),
        note=sent.get("note", ""),
        uncertainty=sent.get("uncertainty", ""),
        faults=tuple(refusal(fault, desk.voice) for fault in faults),
        open=any(fault.field in _FOLDED for fault in faults),
        once=sent.get("once", "") or writing.once,
        units=tuple(replace(unit, chosen=unit.code == chosen) for unit in writing.units)
        if any(unit.code == chosen for unit in writing.units)
        else writing.units,
    )
    if desk.small:
        return desk.fragment("writing.html", writing, status=422)
    return _page(desk, opened, found, writing, 422)


async def preview(request: Request) -> Response:
    """Say how what stands on the writing line would be read, before it is written."""
    desk = Desk(request)
    opened = desk.opened()
    sent = {name: value.strip() for name, value in request.query_params.items()}
    if not any(letter.isalnum() for letter in sent.get("value", "")):  # nothing yet, or a sign alone
        return HTMLResponse("")
    found = opened.run(sent.get("run", ""))
    of = sent.get("of", "")
    try:
        instead = index_of(opened, found, of) if of else None
        reading = entry(Reading, _fields(sent, desk), opened.folded, run=found.id, instead=instead)
    except EntryError as error:
        return desk.fragment(
            "told.html", ToldView(text="", faults=tuple(refusal(fault, desk.voice) for fault in error.faults))
        )
    told = _read_as(opened, found, reading, instead, desk.voice)
    return desk.fragment("told.html", ToldView(text=told, faults=()))


def _read_as(opened: Opened, found: Run, reading: Reading, instead: int | None, voice: Voice) -> str:
    """Say how a reading is read, with what, and the first thing that it would mean beside the others."""
    figure, unit = shown(reading)
    slots = {"figure": figure, "unit": unit_label(unit), "instrument": reading.instrument or ""}
    meant = _meant(opened, found, reading, instead, voice)
    if meant and reading.instrument:
        text = voice.say(N_("Reads as {figure} {unit} with {instrument}: {meaning}"))
    elif meant:
        text = voice.say(N_("Reads as {figure} {unit}: {meaning}"))
    elif reading.instrument:
        text = voice.say(N_("Reads as {figure} {unit} with {instrument}."))
    else:
        text = voice.say(N_("Reads as {figure} {unit}."))
    return text.format(**slots, meaning=meant).replace("..", ".")


def _meant(opened: Opened, found: Run, reading: Reading, instead: int | None, voice: Voice) -> str:
    visit = opened.visit
    if visit is None:
        return ""
    index = len(found.reading) if instead is None else instead
    readings = (*found.reading[:index], reading, *found.reading[index + 1 :])
    runs = tuple(replace(one, reading=readings) if one.id == found.id else one for one in visit.run)
    means, _ = told_so_far(so_far(replace(visit, run=runs), found.id, index), voice)
    return means[0] if means else ""


ROUTES = [
    Route("/visit/{visit}/reading", write, methods=["POST"]),
    Route("/visit/{visit}/preview", preview),
    Route("/visit/{visit}/run/{run:path}", run),
]
