"""A logger's file dropped on a run: its steady windows drawn, the technician picks, the means become readings."""

from pathlib import PurePath
from urllib.parse import quote

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.charts import steady_chart
from drawthrough.report.names import reading_name
from drawthrough.report.voice import N_
from drawthrough.visit import logger
from drawthrough.visit.facts import LogKept, ReadingTaken
from drawthrough.visit.logger_run import run_of, uncertainty_text
from drawthrough.visit.logger_steady import Window, Windows, find_windows
from drawthrough.visit.state import Reading, Run
from drawthrough.web.desk import Desk, run_address
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal
from drawthrough.web.views.logs import LogLine, LogView, MeanView, WindowView

LARGEST = 12 * 1024 * 1024
_SHOWN = 5  # windows that are offered
_MEDIA = "text/csv"
_UNREADABLE = N_("This file cannot be used: {reason}")


async def log(request: Request) -> Response:
    """Show what a file that was dropped holds, or ask for one."""
    desk = Desk(request)
    opened = desk.opened()
    run = opened.run(request.query_params.get("run", ""))
    digest = request.query_params.get("log", "")
    fact = next((one for one in opened.folded.log if one.digest == digest and one.run == run.id), None)
    if digest and fact is None:
        raise Refusal.missing()
    return _page(desk, opened, run, fact)


def _page(desk: Desk, opened: Opened, run: Run, fact: LogKept | None, fault: str = "", status: int = 200) -> Response:
    say = desk.voice.say
    action = f"/visit/{opened.id}/log?run={quote(run.id, safe='')}"
    view = LogView(
        run=run.id,
        run_href=run_address(opened.id, run.id),
        action=action,
        pick=f"/visit/{opened.id}/log/pick?run={quote(run.id, safe='')}",
        digest=fact.digest if fact is not None else "",
        once=desk.ledger.once(),
        kept=tuple(
            LogLine(name=one.name, href=f"{action}&log={one.digest}") for one in opened.folded.log if one.run == run.id
        ),
        fault=fault,
    )
    if fact is not None:
        try:
            view = _with_windows(desk, view, run, fact)
        except logger.LoggerError as refusal:
            view = msgspec.structs.replace(view, fault=say(_UNREADABLE).format(reason=refusal))
            status = 422
    title = say(N_("Logger's file"))
    up = (view.run_href, run.id)
    return desk.page("log.html", view, title, opened=opened, room=run.when, up=up, status=status)


def _with_windows(desk: Desk, view: LogView, run: Run, fact: LogKept) -> LogView:
    kept, found = _windows(desk, run, fact)
    steady = found.steady
    minutes = sum(steady.marked) * steady.spacing / 60.0
    drawing = steady_chart(kept, found.windows[:_SHOWN], desk.voice)
    summary = desk.voice.count(
        "{n} steady window found, in {minutes} steady minutes.",
        "{n} steady windows found, in {minutes} steady minutes.",
        len(found.windows),
        minutes=f"{minutes:.0f}",
    )
    return msgspec.structs.replace(
        view,
        name=fact.name,
        summary=summary,
        drawing=drawing.svg if drawing else "",
        drawing_said=drawing.sentence if drawing else "",
        windows=tuple(_window(desk, kept, run, k, one) for k, one in enumerate(found.windows[:_SHOWN], 1)),
        findings=tuple(one.text for one in found.findings),
    )


def _windows(desk: Desk, run: Run, fact: LogKept) -> tuple[logger.Log, Windows]:
    content = desk.ledger.store.photo(fact.digest)
    if content is None:
        raise Refusal.missing()
    kept = logger.read(content.content, (), fact.name)
    return kept, find_windows(kept, run.mode)


def _window(desk: Desk, kept: logger.Log, run: Run, number: int, window: Window) -> WindowView:
    minutes = (kept.seconds[window.last] - kept.seconds[window.first]) / 60.0
    after = (kept.seconds[window.first] - kept.seconds[window.start]) / 60.0
    say = desk.voice.say
    return WindowView(
        number=number,
        span=say(N_("{start} to {end}")).format(start=kept.moments[window.first], end=kept.moments[window.last]),
        minutes=say(N_("{minutes} min long")).format(minutes=f"{minutes:.3g}"),
        settled=say(N_("{minutes} min after the last start")).format(minutes=f"{after:.3g}"),
        means=tuple(
            MeanView(
                name=reading_name(one, desk.voice),
                value=one.typed,
                uncertainty=uncertainty_text(one) if one.uncertainty is not None else "",
            )
            for one in _readings(kept, run, window)
        ),
        once=desk.ledger.once(),
        first=window.first,
    )


def _readings(kept: logger.Log, run: Run, window: Window) -> tuple[Reading, ...]:
    return run_of(kept, window, run.id, run.when, run.mode, run.speed, run.wetness).reading


async def drop(request: Request) -> Response:
    """Keep a file that was dropped on a run."""
    desk = Desk(request)
    opened = desk.opened()
    run = opened.run(request.query_params.get("run", ""))
    sent = await desk.sent()
    file = sent.files.get("log")
    say = desk.voice.say
    if file is None or not file.content:
        return _page(desk, opened, run, None, say(N_("No file was chosen.")), 422)
    if len(file.content) > LARGEST:
        raise Refusal.too_large("12 MB")
    name = PurePath(file.name.replace("\\", "/")).name[:120] or "log.csv"
    try:
        logger.read(file.content, (), name)
    except logger.LoggerError as refusal:
        return _page(desk, opened, run, None, say(_UNREADABLE).format(reason=refusal), 422)
    digest = desk.ledger.store.put_photo(file.content, _MEDIA)
    kept = draft(LogKept, digest=digest, name=name, size=len(file.content), run=run.id)
    if all((one.digest, one.run) != (digest, run.id) for one in opened.folded.log):
        desk.ledger.write(opened.id, [kept], sent.fields.get("once", ""))
    return desk.go(f"/visit/{opened.id}/log?run={quote(run.id, safe='')}&log={digest}")


async def pick(request: Request) -> Response:
    """Write the means of the window that was picked as readings of the run."""
    desk = Desk(request)
    opened = desk.opened()
    run = opened.run(request.query_params.get("run", ""))
    fields = (await desk.sent()).fields
    fact = next((one for one in opened.folded.log if one.digest == fields.get("log", "") and one.run == run.id), None)
    if fact is None:
        raise Refusal.missing()
    kept, found = _windows(desk, run, fact)
    window = next((one for one in found.windows if str(one.first) == fields.get("first", "")), None)
    if window is None:
        raise Refusal.missing()
    drafts = [draft(ReadingTaken, run=run.id, reading=one) for one in _readings(kept, run, window)]
    desk.ledger.write(opened.id, drafts, fields.get("once", ""))
    return desk.go(run_address(opened.id, run.id))


ROUTES = [
    Route("/visit/{visit}/log", log),
    Route("/visit/{visit}/log", drop, methods=["POST"]),
    Route("/visit/{visit}/log/pick", pick, methods=["POST"]),
]
