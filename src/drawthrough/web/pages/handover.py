"""The customer's page: what was found, what was done, what it changed, and how that is known."""

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough import __version__
from drawthrough.judge.judgement import Judgement
from drawthrough.report import text
from drawthrough.report.charts import strip_chart
from drawthrough.report.names import code_name, reading_name
from drawthrough.report.view import ChartView
from drawthrough.report.voice import N_, Voice
from drawthrough.trade.reading_list import counterpart
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import ReportIssued
from drawthrough.visit.state import Reading, Visit, Work
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.pages.proof import MISSING
from drawthrough.web.refusal import Refusal
from drawthrough.web.rows import shown
from drawthrough.web.views.proof import HandoverView, PairView, TypedView

# What a customer is told, in this order; watts for each cfm and kBtu/h mean nothing to them.
_TOLD = ("airflow", "wheel_against_clean", "blower_against_clean", "coil_resistance", "sensible_capacity")
_KNOW = (
    N_("The same readings were taken before and after, with the same instruments, at the same places and speed."),
    N_("All of them are fitted together: what an instrument gets wrong both times cancels in what changed."),
    N_("Each figure stands with the span in which the true value lies 95 times in 100. What the readings cannot tell "
       "is called not resolved."),
)  # fmt: skip


async def handover(request: Request) -> Response:
    """Show the customer's page."""
    desk = Desk(request)
    opened = desk.opened()
    visit = opened.visit
    issued = opened.folded.report[-1] if opened.folded.report else None
    judgement = _frozen(issued) or opened.judgement
    voice = desk.voice
    say = voice.say
    folded = opened.folded
    said, unresolved = _said(judgement, voice) if judgement is not None else ([], [])
    view = HandoverView(
        site=folded.site.name if folded.site else "",
        system=folded.system.name if folded.system else "",
        day=desk.day(wall(opened.facts[0].moment)),
        complaint=folded.complaint,
        done=tuple(_work(fact.work, voice) for fact in folded.work if fact.work.action != "not done"),
        alone=tuple(_work(fact.work, voice) for fact in folded.work if fact.work.action == "not done"),
        said=tuple(said),
        open=tuple(unresolved),
        strip=_strip(judgement, voice),
        pairs=tuple(_pairs(opened)),
        typed=tuple(_typed(visit, voice)) if visit is not None else (),
        prices=tuple(
            (price.item, f"{price.amount:,.2f} {folded.site.currency if folded.site else ''}".strip())
            for price in folded.price
        ),
        know=tuple(map(say, _KNOW)),
        action=f"/visit/{opened.id}/handover",
        once=desk.ledger.once(),
        issued=_issued(desk, opened, issued) if issued is not None else "",
        missing=say(MISSING) if judgement is None else "",
    )
    title = room_name("handover", voice)
    next_ = desk.next_line(opened, "handover")
    return desk.page("handover.html", view, title, opened=opened, room="handover", next_=next_)


def _frozen(issued: ReportIssued | None) -> Judgement | None:
    """Return what was said when the report left the house; a judgement of a form not known any more is not guessed."""
    if issued is None:
        return None
    try:
        return msgspec.json.decode(issued.judgement, type=Judgement)
    except msgspec.DecodeError:
        return None


def _issued(desk: Desk, opened: Opened, issued: ReportIssued) -> str:
    later = [fact for fact in opened.facts if fact.moment > issued.moment]
    at = f"{desk.day(wall(issued.moment))} {desk.time_of_day(wall(issued.moment))}"
    if later:
        return desk.voice.say(
            N_("Handed over {at}. The record has grown since; this page says what was said then.")
        ).format(at=at)
    return desk.voice.say(N_("Handed over {at}.")).format(at=at)


def _work(work: Work, voice: Voice) -> str:
    told = f"{code_name(work.part, voice)}: {code_name(work.action, voice)}"
    if work.condition:
        told += f", {code_name(work.condition, voice)}"
    return f"{told}. {work.note}" if work.note else f"{told}."


def _said(judgement: Judgement, voice: Voice) -> tuple[list[str], list[str]]:
    """Return what the proof says in plain sentences, and what it leaves open."""
    told: list[str] = []
    unresolved: list[str] = []
    for name in _TOLD:
        if name == "blower_against_clean" and judgement.result("wheel_against_clean", "as found over as left"):
            continue
        for when in ("as left over as found", "as found over as left"):
            result = judgement.result(name, when)
            if result is not None:
                (unresolved if result.standing == "not resolved" else told).append(text.of_ratio(result, voice))
    return told or text.changed(judgement, voice=voice)[:1], unresolved


def _strip(judgement: Judgement | None, voice: Voice) -> ChartView | None:
    if judgement is None:
        return None
    chart = strip_chart(judgement.result("airflow", "as found"), judgement.result("airflow", "as left"), voice)
    if chart is None:
        return None
    return ChartView(svg=chart.svg, sentence=chart.sentence, heads=chart.table.heads, rows=chart.table.rows)


def _pairs(opened: Opened) -> list[PairView]:
    subjects = dict.fromkeys(fact.of for fact in opened.folded.photo)
    pairs = []
    for of in subjects:
        before = [f"/photo/{one.digest}" for one in opened.folded.photo if one.of == of and one.when == "as found"]
        after = [f"/photo/{one.digest}" for one in opened.folded.photo if one.of == of and one.when == "as left"]
        if before or after:
            pairs.append(PairView(of=of, before=tuple(before), after=tuple(after)))
    return pairs


def _typed(visit: Visit, voice: Voice) -> list[TypedView]:
    """Return every reading as it was typed, as found beside as left."""

    def key(one: Reading) -> tuple[str, str, str | None, str | None]:
        return one.what, one.at, one.against, one.hole

    found: list[TypedView] = []
    for run in visit.run:
        if run.when != "as left":
            continue
        again = counterpart(visit, run)
        before = {key(one): one for one in again.reading} if again is not None else {}
        found.extend(
            TypedView(
                name=reading_name(one, voice),
                before=" ".join(shown(before[key(one)])) if key(one) in before else "",
                after=" ".join(shown(one)),
            )
            for one in run.reading
        )
    if not found:
        found = [
            TypedView(name=reading_name(one, voice), before=" ".join(shown(one)), after="")
            for run in visit.run
            for one in run.reading
        ]
    return found


async def issue(request: Request) -> Response:
    """Write down that the page was handed over, with what it said."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    judgement = opened.judgement
    if judgement is None:
        raise Refusal(409, "not described yet", MISSING)
    content = msgspec.json.encode(judgement).decode()
    desk.ledger.write(opened.id, [draft(ReportIssued, engine=__version__, judgement=content)], sent.get("once", ""))
    return desk.go(f"/visit/{opened.id}/handover")


ROUTES = [Route("/visit/{visit}/handover", handover), Route("/visit/{visit}/handover", issue, methods=["POST"])]
