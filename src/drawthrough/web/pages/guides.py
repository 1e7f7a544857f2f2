"""What to do if it sticks: the steps, one press each, against the time that the customer was told."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.plan.attempt import NO_HELP, SOLVED, Attempt, attempt
from drawthrough.report.voice import N_
from drawthrough.report.words_plan import lasting, money, task_title
from drawthrough.report.words_work import citation
from drawthrough.trade.cautions import cautions
from drawthrough.trade.guides import Guide, GuideStep, guides
from drawthrough.trade.truck_items import items
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import RiskTold, SnagMet
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal
from drawthrough.web.step_address import guide_address, task_address
from drawthrough.web.views.guides import GuideStepView, GuideView
from drawthrough.web.views.work import CautionView, LinkView

SAID = {SOLVED: N_("that did it"), NO_HELP: N_("did not help")}
_STATES = {
    "past": ("set aside", N_("did not help")),
    "now": ("it stands", N_("in hand")),
    "ahead": ("not yet read", N_("not tried")),
}


def _guide(desk: Desk) -> Guide:
    found = guides().get(str(desk.request.path_params["code"]))
    if found is None:
        raise Refusal.missing()
    return found


async def guide(request: Request) -> Response:
    """Show a guide."""
    desk = Desk(request)
    return _page(desk, desk.opened(), _guide(desk))


def _page(desk: Desk, opened: Opened, one: Guide) -> Response:
    say, voice = desk.voice.say, desk.voice
    tried = attempt(one, opened.folded, desk.timepiece.milliseconds() / 1000)
    stop_after = lasting(tried.stop_after, voice) if tried.stop_after is not None else ""
    when = desk.time_of_day(int(tried.since * 1000))
    view = GuideView(
        base=guide_address(opened.id, one.code),
        title=say(one.title),
        sign=say(one.sign),
        over=_over(desk, tried),
        clock=_clock(desk, tried),
        spent=_spent(desk, tried),
        whole=_whole(desk, one),
        solved=say(N_("It came right at {time}."), time=when) if tried.solved else "",
        said=_said(desk, opened, tried.told, stop_after),
        tell=say(one.told, stop_after=stop_after) if one.told else "",
        tell_href=f"/visit/{opened.id}/plan#risk-{one.code}",
        once=desk.ledger.once(),
        at=tried.at.code if tried.running else "",
        last=tried.at.stop,
        running=tried.running,
        steps=tuple(_step(desk, tried, k, step) for k, step in enumerate(one.step)),
        tasks=tuple(LinkView(name=task_title(code, voice), href=task_address(opened.id, code)) for code in one.applies),
        photos_href=f"/visit/{opened.id}/photos?when=while+working",
    )
    up = (f"/visit/{opened.id}/work#now", say(N_("Work")))
    return desk.page("guide.html", view, say(one.title), opened=opened, room="work", up=up)


def _over(desk: Desk, tried: Attempt) -> str:
    if not tried.running or tried.left is None or tried.left > 0 or tried.stop_after is None:
        return ""
    text = N_("The {stop_after} that were promised are over. Stop, and let the customer choose.")
    if tried.told is None:
        text = N_("The {stop_after} of this guide are over. Stop, and let the customer choose.")
    return desk.voice.say(text, stop_after=lasting(tried.stop_after, desk.voice))


def _clock(desk: Desk, tried: Attempt) -> str:
    if tried.began is None or not tried.running:
        return ""
    say, start = desk.voice.say, desk.time_of_day(int(tried.began * 1000))
    if tried.left is None:
        return say(N_("Started at {start}."), start=start)
    if tried.waits_until is not None:
        text = N_("Started at {start}. The clock rests while it soaks: {left} of hands are left.")
        return say(text, start=start, left=lasting(max(tried.left, 0.0), desk.voice))
    stop = desk.timepiece.milliseconds() / 1000 + tried.left
    return say(N_("Started at {start}, stop by {stop}."), start=start, stop=desk.time_of_day(int(stop * 1000)))


def _spent(desk: Desk, tried: Attempt) -> str:
    if tried.began is None:
        return ""
    spent = lasting(tried.spent, desk.voice)
    if tried.stop_after is None:
        return desk.voice.say(N_("{spent} of hands so far."), spent=spent)
    text = N_("{spent} of hands so far, of {stop_after}.")
    return desk.voice.say(text, spent=spent, stop_after=lasting(tried.stop_after, desk.voice))


def _whole(desk: Desk, one: Guide) -> str:
    takes = one.takes
    text = N_("All steps together: {likely}, between {least} and {most}, waiting included.")
    shown = {name: lasting(getattr(takes, name), desk.voice) for name in ("likely", "least", "most")}
    return desk.voice.say(text, **shown)


def _said(desk: Desk, opened: Opened, told: RiskTold | None, stop_after: str) -> str:
    if told is None:
        return ""
    time, site = desk.time_of_day(wall(told.moment)), opened.folded.site
    if told.amount is None:
        return desk.voice.say(N_("Told at {time}: stop after {stop}."), time=time, stop=stop_after)
    text = N_("Told at {time}: stop after {stop}; it adds {amount} at most.")
    amount = money(told.amount, site.currency if site is not None else "")
    return desk.voice.say(text, time=time, stop=stop_after, amount=amount)


def _step(desk: Desk, tried: Attempt, place: int, one: GuideStep) -> GuideStepView:
    say, known = desk.voice.say, cautions()
    state = "ahead" if tried.began is None or place > tried.step else "past" if place < tried.step else "now"
    peg, word = _STATES[state]
    waits = say(N_("Needs nobody: do another task meanwhile.")) if one.wait else ""
    if state == "now" and tried.solved:
        word = SAID[SOLVED]
    if state == "now" and tried.waits_until is not None:
        text = N_("Needs nobody: do another task until {until}.")
        waits = say(text, until=desk.time_of_day(int(tried.waits_until * 1000)))
    mine = [known[code] for code in one.cautions]
    return GuideStepView(
        state="now" if state == "now" else "past" if state == "past" else "ahead",
        peg=peg,
        word=say(word),
        text=say(one.text),
        minutes=lasting(one.takes.likely, desk.voice),
        risk=say(one.risk),
        go_on=say(one.go_on),
        waits=waits,
        stop=one.stop,
        tools=", ".join(say(items()[code].name) for code in one.tools if code in items()),
        cautions=tuple(CautionView(text=say(it.text), source=citation(it, desk.voice)) for it in mine),
    )


async def press(request: Request) -> Response:
    """Start the clock, go on to the next step, or say that it came right."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    opened, one = desk.opened(), _guide(desk)
    tried = attempt(one, opened.folded, desk.timepiece.milliseconds() / 1000)
    said, at = sent.get("press", ""), sent.get("at", "")
    step, note = one.step[0].code, ""
    match said:
        case "start" if not tried.running:
            pass
        case "next" if tried.running and at == tried.at.code and not tried.at.stop:
            step, note = one.step[tried.step + 1].code, NO_HELP
        case "solved" if tried.running and at == tried.at.code:
            step, note = at, SOLVED
        case "start" | "next" | "solved":  # it was pressed before, here or in another tab
            return desk.go(f"{guide_address(opened.id, one.code)}#at")
        case _:
            raise Refusal.missing()
    desk.ledger.write(opened.id, [draft(SnagMet, guide=one.code, step=step, note=note)], sent.get("once", ""))
    return desk.go(f"{guide_address(opened.id, one.code)}#at")


ROUTES = [
    Route("/visit/{visit}/guide/{code}", guide),
    Route("/visit/{visit}/guide/{code}", press, methods=["POST"]),
]
