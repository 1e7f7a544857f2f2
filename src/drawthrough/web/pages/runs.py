"""Beginning a run, and describing one again."""

from collections.abc import Mapping
from typing import get_args
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.reading_list import counterpart
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import RunDescribed
from drawthrough.visit.fold import Folded
from drawthrough.visit.state import Mode, Run
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.forms import fields_of, values_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.road import address
from drawthrough.web.views.runs import DescribeView

_FIRST = ("mode", "speed", "id", "lead", "wetness", "filter")
_MORE = ("start", "end", "station_pressure", "also_heats", "zero_for", "doors_on", "note")
_ASIDE = ("once", "instead")
_MODES: tuple[str, ...] = get_args(Mode)
_SAFETY = {
    "strips": N_("Fire the strips only while someone watches: after a season they smoke. Stop at visible smoke."),
    "gas": N_("Combustion is licensed work: local codes and a licensed person decide."),
    "cooling": N_("Gauges are for those certified for refrigerant."),
}


async def describe(request: Request) -> Response:
    """Ask how the system is run."""
    desk = Desk(request)
    opened = desk.opened()
    asked = dict(request.query_params)
    if name := asked.get("run", ""):
        return _page(desk, opened, values_of(opened.run(name)), instead=name)
    return _page(desk, opened, _proposed(opened, asked, desk.voice))


def _proposed(opened: Opened, asked: Mapping[str, str], voice: Voice) -> dict[str, str]:
    """Return what a new run most likely is, so that one press begins it."""
    folded = opened.folded
    when = "as left" if asked.get("when") == "as left" else "as found"
    again = next((run for run in folded.run if run.id == asked.get("again")), None)
    before = again or next((run for run in reversed(folded.run) if run.when == when), None)
    before = before or (folded.run[-1] if folded.run else None)
    mode = asked.get("mode") or (again.mode if again else "fan")
    values: dict[str, str] = {"speed": _speed(folded, voice), "doors_on": "yes", "filter": "as found"}
    if before is not None:
        kept = values_of(before)
        values |= {name: kept[name] for name in ("speed", "lead", "filter", "station_pressure") if name in kept}
    if again is not None:
        kept = values_of(again)
        values |= {name: kept[name] for name in ("wetness", "doors_on", "also_heats") if name in kept}
        values["filter"] = _filter_left(folded)
    else:
        values["wetness"] = "wet steady" if mode == "cooling" else "dry"
    values |= {"when": when, "mode": mode, "id": asked.get("id") or _name(folded, mode, when, voice)}
    if mode == "zero":
        strips = [run.id for run in folded.run if run.mode == "strips" and run.when == when]
        values["zero_for"] = asked.get("zero_for") or (strips[-1] if strips else "")
    return values


def _speed(folded: Folded, voice: Voice) -> str:
    """Return the speed of the fan table; without one, a word that says that nothing was changed."""
    if folded.system and folded.system.fan_table:
        return folded.system.fan_table[0].speed
    return voice.say(N_("as it runs"))


def _filter_left(folded: Folded) -> str:
    replaced = any(fact.work.part == "filter" and fact.work.action == "replaced" for fact in folded.work)
    return "new" if replaced else "same"


def _name(folded: Folded, mode: str, when: str, voice: Voice) -> str:
    """Return a name that no run has yet."""
    stem = f"{code_name(mode, voice)}, {voice.say(when)}"
    known = {run.id for run in folded.run}
    return next(name for k in range(1, 1000) if (name := stem if k == 1 else f"{stem} {k}") not in known)


def _page(
    desk: Desk, opened: Opened, values: Mapping[str, str], faults: tuple[EntryFault, ...] = (), *,
    instead: str = "", once: str = "", status: int = 200,
) -> Response:  # fmt: skip
    when = values.get("when", "as found")
    mode = values.get("mode", "")
    runs = [run.id for run in opened.folded.run if run.mode == "strips" and run.when == when]
    more = tuple(name for name in _MORE if name != "zero_for" or mode == "zero" or runs)
    view = DescribeView(
        action=f"/visit/{opened.id}/describe",
        once=once or desk.ledger.once(),
        instead=instead,
        when=when,
        first=fields_of(Run, values, faults, desk.voice, only=_FIRST),
        more=fields_of(Run, values, faults, desk.voice, only=more),
        open=mode == "zero" or any(fault.field in more for fault in faults),
        safety=desk.voice.say(_SAFETY[mode]) if mode in _SAFETY else "",
    )
    title = desk.voice.say(N_("The run"))
    up = (address(opened.id, when), desk.voice.say(N_("As left") if when == "as left" else N_("As found")))
    return desk.page("describe.html", view, title, opened=opened, room=when, up=up, status=status)


async def write(request: Request) -> Response:
    """Write down how the system is run."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once, instead = sent.get("once", ""), sent.get("instead", "")
    values = {name: value for name, value in sent.items() if name not in _ASIDE}
    if values.get("mode") != "zero":
        values.pop("zero_for", None)  # the fold offers it to every run; it belongs to a zero alone
    sent_before = next((fact for fact in opened.facts if fact.id == once), None)
    if isinstance(sent_before, RunDescribed):
        return desk.go(run_address(opened.id, sent_before.run.id))
    if not instead and values.get("id") in {
        _name(opened.folded, mode, values.get("when", ""), desk.voice) for mode in _MODES if mode != values.get("mode")
    }:  # the name proposed for another mode, left as it was when the mode was changed
        values["id"] = _name(opened.folded, values.get("mode", ""), values.get("when", ""), desk.voice)
    try:
        run = entry(Run, values, opened.folded, instead=instead or None)
    except EntryError as error:
        return _page(desk, opened, values, error.faults, instead=instead, once=once, status=422)
    if instead and run.id != instead:
        fault = EntryFault(field="id", kind="unknown id", read=run.id, choices=(instead,))
        return _page(desk, opened, values, (fault,), instead=instead, once=once, status=422)
    desk.ledger.write(opened.id, [draft(RunDescribed, run=run)], once)
    return desk.go(run_address(opened.id, run.id))


def again_href(visit: str, run: Run) -> str:
    """Return where the same run as left is begun."""
    return f"/visit/{visit}/describe?{urlencode({'when': 'as left', 'again': run.id})}"


def unpaired(opened: Opened) -> list[Run]:
    """Return the runs as found that have no run as left beside them yet."""
    if opened.visit is None:
        return []
    pairs = [counterpart(opened.visit, run) for run in opened.folded.run if run.when == "as left"]
    done = {run.id for run in pairs if run is not None}
    return [run for run in opened.folded.run if run.when == "as found" and run.id not in done]


ROUTES = [
    Route("/visit/{visit}/describe", describe),
    Route("/visit/{visit}/describe", write, methods=["POST"]),
]
