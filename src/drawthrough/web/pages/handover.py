"""The customer's page: what was found, what was done, what it changed, and how that is known.

What was handed over stays as it was: the page is then drawn from the issued judgement and from the facts up to it.
"""

from collections.abc import Iterable
from typing import NamedTuple

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough import __version__
from drawthrough.judge.judgement import Judgement
from drawthrough.report.names import code_name, reading_name
from drawthrough.report.phrase import capital
from drawthrough.report.view_customer import customer_view
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_leads import error_told
from drawthrough.trade.guides import guides
from drawthrough.trade.hold_points import hold_points
from drawthrough.trade.reading_list import counterpart, known
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import (
    HoldPassed,
    LeftWaiting,
    PhotoTaken,
    ReportIssued,
    SnagMet,
    TaskDone,
    TaskLeft,
)
from drawthrough.visit.fold import Folded, fold, in_order
from drawthrough.visit.lead_compare import compare
from drawthrough.visit.lead_map import LeadMapError, lead_map_of
from drawthrough.visit.state import Reading, Run, Work
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.pages.proof import MISSING, last_fact
from drawthrough.web.refusal import Refusal
from drawthrough.web.rows import shown
from drawthrough.web.views.handover import HandoverView, PairView, ShotView, TypedView

_PASSED = N_("{hold} Passed at {at}. Not met then: {open} The reason: {why}.")
_CHANGED = N_("The record has changed since this page was opened. Look at it again before it is handed over.")
_HANDED = N_("Handed over {at}.")
_GROWN = N_("Handed over {at}. The record has grown since; this page says what was said then.")
_UNREADABLE = N_(
    "Handed over {at}. What was said then is kept in a form that this version does not read; this page says what the "
    "record says now."
)


class _Shown(NamedTuple):
    """What a page is drawn from: the record as it stands, or as it stood when it was handed over."""

    folded: Folded
    judgement: Judgement | None
    issued: str = ""
    grown: bool = False


async def handover(request: Request) -> Response:
    """Show the customer's page."""
    desk = Desk(request)
    return _page(desk, desk.opened(), now="now" in request.query_params)


def _page(desk: Desk, opened: Opened, *, now: bool = False, fault: str = "", status: int = 200) -> Response:
    voice = desk.voice
    page = _shown(desk, opened, now)
    folded, judgement = page.folded, page.judgement
    action = f"/visit/{opened.id}/handover"
    view = HandoverView(
        site=folded.site.name if folded.site else "",
        system=folded.system.name if folded.system else "",
        day=desk.day(wall(opened.facts[0].moment)),
        complaint=folded.complaint,
        done=tuple(_done(fact.work, voice) for fact in folded.work if fact.work.action != "not done"),
        alone=tuple(_alone(folded, voice)),
        wiring=_wiring(folded, voice),
        reasons=tuple(_reasons(folded, desk)),
        surprises=tuple(_surprises(folded, desk)),
        customer=customer_view(judgement, voice) if judgement is not None else None,
        pairs=tuple(_pairs(folded.photo, voice)),
        typed=_typed(folded, voice),
        prices=tuple((price.item, _amount(price.amount, folded)) for price in folded.price),
        action=action,
        once=desk.ledger.once() if not page.issued or (now and page.grown) else "",
        seen=last_fact(opened),
        issued=page.issued,
        now_href=f"{action}?now=1" if page.grown and not now else "",
        fault=voice.say(fault) if fault else "",
        missing=voice.say(MISSING) if judgement is None else "",
    )
    title, next_ = room_name("handover", voice), desk.next_line(opened, "handover")
    return desk.page("handover.html", view, title, opened=opened, room="handover", next_=next_, status=status)


def _shown(desk: Desk, opened: Opened, now: bool) -> _Shown:
    issued = opened.folded.report[-1] if opened.folded.report else None
    if issued is None:
        return _Shown(opened.folded, opened.judgement)
    at = f"{desk.day(wall(issued.moment))} {desk.time_of_day(wall(issued.moment))}"
    ordered = in_order(opened.facts)
    then = ordered[: ordered.index(issued) + 1]
    grown = len(then) < len(ordered)
    if now and grown:
        return _Shown(opened.folded, opened.judgement, desk.voice.say(_HANDED).format(at=at), grown)
    judgement = _frozen(issued)
    if judgement is None:
        return _Shown(opened.folded, opened.judgement, desk.voice.say(_UNREADABLE).format(at=at), True)
    return _Shown(fold(then), judgement, desk.voice.say(_GROWN if grown else _HANDED).format(at=at), grown)


def _frozen(issued: ReportIssued) -> Judgement | None:
    """Return what was said when the report left the house; a judgement of a form not known any more is not guessed."""
    try:
        return msgspec.json.decode(issued.judgement, type=Judgement)
    except msgspec.DecodeError:
        return None


def _done(work: Work, voice: Voice) -> str:
    told = f"{capital(code_name(work.part, voice))}: {code_name(work.action, voice)}"
    if work.condition:
        told += f", {code_name(work.condition, voice)}"
    return f"{told}. {work.note}".rstrip()


def _alone(folded: Folded, voice: Voice) -> Iterable[str]:
    for fact in folded.work:
        if fact.work.action == "not done":
            why = fact.work.note or voice.say(N_("why was not written down."))
            yield f"{capital(code_name(fact.work.part, voice))}: {why}"
    left = {one.task: one for one in folded.doing if isinstance(one, TaskLeft | LeftWaiting)}
    for one in left.values():
        if one.why and not _done_since(folded, one):
            yield f"{capital(voice.say(one.task))}: {one.why}"
    for seen in folded.gap:
        if not seen.gap.sealed:
            told = voice.say(N_("Opening seen and not sealed: {where}.")).format(where=seen.gap.where)
            yield f"{told} {seen.gap.note}".rstrip()


def _wiring(folded: Folded, voice: Voice) -> str:
    """Return how the leads as left stand against those as found, where both were written down."""
    try:
        found, left = lead_map_of(folded, "as found"), lead_map_of(folded, "as left")
    except LeadMapError as error:
        return error_told(error, voice)
    if not found.lead or not left.lead:
        return ""
    if compare(found, left, [fact.change for fact in folded.change]).agrees:
        return voice.count(
            "The one lead of the blower is back where it was found, up to what was meant.",
            "All {n} leads of the blower are back where they were found, up to what was meant.",
            len(found.lead),
        )
    return voice.say(N_("Not every lead of the blower is back where it was found: see the lead map."))


def _reasons(folded: Folded, desk: Desk) -> Iterable[str]:
    """Yield each hold point that was passed, with what was open then, the reason, and when."""
    say = desk.voice.say
    for fact in folded.doing:
        if isinstance(fact, HoldPassed):
            hold = hold_points().get(fact.hold)
            open_ = [one.text for one in hold.conditions if one.code in fact.open] if hold is not None else []
            yield say(_PASSED).format(
                hold=say(hold.text) if hold is not None else fact.hold,
                open=" ".join(map(say, open_)) or ", ".join(fact.open),
                why=fact.why.rstrip("."),
                at=desk.time_of_day(wall(fact.moment)),
            )


def _surprises(folded: Folded, desk: Desk) -> Iterable[str]:
    """Yield what went otherwise than planned, so that the hours are explained."""
    for fact in folded.doing:
        if isinstance(fact, SnagMet):
            guide = guides().get(fact.guide)
            told = (desk.voice.say(guide.title) if guide is not None else "", fact.note)
            yield f"{desk.time_of_day(wall(fact.moment))}  {': '.join(filter(None, told))}"


def _done_since(folded: Folded, left: TaskLeft | LeftWaiting) -> bool:
    return any(
        isinstance(fact, TaskDone) and fact.task == left.task and fact.moment > left.moment for fact in folded.doing
    )


def _amount(amount: float, folded: Folded) -> str:
    return f"{amount:,.2f} {folded.site.currency if folded.site else ''}".strip()


def _pairs(photos: Iterable[PhotoTaken], voice: Voice) -> Iterable[PairView]:
    """Yield what was photographed before or after, each thing once; what was taken between stays with the shop."""
    by_subject: dict[str, list[PhotoTaken]] = {}
    for photo in photos:
        if photo.when in ("as found", "as left"):
            by_subject.setdefault(photo.of, []).append(photo)

    def shots(taken: list[PhotoTaken], when: str, word: str) -> tuple[ShotView, ...]:
        return tuple(
            ShotView(href=f"/photo/{photo.digest}", name=f"{photo.of}, {voice.say(word)}")
            for photo in taken
            if photo.when == when
        )

    for of, taken in by_subject.items():
        before, after = shots(taken, "as found", N_("before")), shots(taken, "as left", N_("after"))
        yield PairView(of=of, before=before, after=after)


def _typed(folded: Folded, voice: Voice) -> TypedView:
    """Return every reading as it was typed, those after beside those before that they repeat."""
    heads = (N_("reading"), N_("what ran"), N_("before"), N_("after"))
    visit = folded.visit if folded.site is not None and folded.system is not None else None
    waiting: dict[str, list[Reading]] = {run.id: list(run.reading) for run in folded.run if run.when == "as found"}
    rows: list[tuple[str, ...]] = []

    def row(run: Run, one: Reading, before: Reading | None, after: Reading | None) -> tuple[str, ...]:
        typed = (" ".join(shown(reading)).strip() if reading is not None else "" for reading in (before, after))
        return (reading_name(one, voice), code_name(run.mode, voice), *typed)

    for run in folded.run:
        if run.when == "as left":
            again = counterpart(visit, run) if visit is not None else None
            left_over = waiting.get(again.id, []) if again is not None else []
            for one in run.reading:
                before = next((other for other in left_over if known(other) == known(one)), None)
                if before is not None:
                    left_over.remove(before)
                rows.append(row(run, one, before, one))
    for run in folded.run:
        rows.extend(row(run, one, one, None) for one in waiting.get(run.id, []))
    return TypedView(heads=tuple(map(voice.say, heads)), rows=tuple(rows))


async def issue(request: Request) -> Response:
    """Write down that the page was handed over, with what it said."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once = sent.get("once", "")
    judgement = opened.judgement
    if judgement is None:
        raise Refusal(409, "not described yet", MISSING)
    if not opened.has(once):
        if sent.get("seen", last_fact(opened)) != last_fact(opened):
            return _page(desk, opened, now=True, fault=_CHANGED, status=409)
        content = msgspec.json.encode(judgement).decode()
        desk.ledger.write(opened.id, [draft(ReportIssued, engine=__version__, judgement=content)], once)
    return desk.go(f"/visit/{opened.id}/handover")


ROUTES = [Route("/visit/{visit}/handover", handover), Route("/visit/{visit}/handover", issue, methods=["POST"])]
