"""The road of one visit, its rooms that are not built yet, and taking back what was written."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.voice import N_
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import Withdrawn
from drawthrough.web.desk import Desk, local_path, room_name
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal
from drawthrough.web.told import fact_told
from drawthrough.web.views.visit import EmptyRoomView, FactLine, RoadView

_LAST = 12  # facts that the road shows
_EMPTY: dict[str, tuple[str, str]] = {
    "dust trail": (
        N_("Which way the dust came is not worked out here yet."),
        N_("Gaps and dirt written down as found are kept, and will be used for it."),
    ),
    "choices": (
        N_("Choices for the customer are not worked out here yet."),
        N_("The proof says what this visit changed; that much can be told today."),
    ),
}


async def road(request: Request) -> Response:
    """Show the road of a visit."""
    desk = Desk(request)
    opened = desk.opened()
    folded = opened.folded
    say = desk.voice.say
    site = folded.site.name if folded.site else say(N_("A place not described yet"))
    view = RoadView(
        site=site,
        system=folded.system.name if folded.system else say(N_("Equipment not described yet")),
        system_href=f"/visit/{opened.id}/system",
        system_line=_system_line(desk, opened),
        last=tuple(_fact_line(desk, opened, k) for k in range(len(opened.facts) - 1, -1, -1)[:_LAST]),
        kept=desk.voice.count("{n} fact, kept on this machine.", "{n} facts, kept on this machine.", len(opened.facts)),
    )
    return desk.page("road.html", view, say(N_("Road")), opened=opened, next_=desk.next_line(opened))


def _system_line(desk: Desk, opened: Opened) -> str:
    instruments = len(opened.folded.instrument)
    if opened.folded.system is None:
        return desk.voice.say(N_("Equipment, fan table, instruments: not described yet."))
    return desk.voice.count("{n} instrument listed.", "{n} instruments listed.", instruments)


def _fact_line(desk: Desk, opened: Opened, k: int) -> FactLine:
    fact = opened.facts[k]
    gone = fact.id in opened.folded.withdrawn
    # Putting back is taking back the withdrawal, so the button names the fact that it acts on.
    of = next((w.id for w in reversed(opened.facts) if isinstance(w, Withdrawn) and w.of == fact.id), fact.id)
    return FactLine(
        id=of if gone else fact.id,
        time=desk.time_of_day(wall(fact.moment)),
        text=fact_told(fact, opened, desk.voice),
        withdrawn=gone,
        undo=k > 0 and not isinstance(fact, Withdrawn),
        once=desk.ledger.once(),
    )


async def withdraw(request: Request) -> Response:
    """Take back one fact, or put back what was taken back."""
    desk = Desk(request)
    opened = desk.opened()
    fields = (await desk.sent()).fields
    of = fields.get("of", "")
    if of not in {fact.id for fact in opened.facts[1:]}:
        raise Refusal.missing()
    why = fields.get("why", "")
    desk.ledger.write(opened.id, [draft(Withdrawn, of=of, why=why)], fields.get("once", ""))
    return desk.go(local_path(fields.get("here", ""), f"/visit/{opened.id}"))


def _empty(code: str) -> Route:
    async def show(request: Request) -> Response:
        desk = Desk(request)
        opened = desk.opened()
        text, meanwhile = _EMPTY[code]
        view = EmptyRoomView(text=desk.voice.say(text), meanwhile=desk.voice.say(meanwhile))
        return desk.page("empty_room.html", view, room_name(code, desk.voice), opened=opened, room=code)

    return Route(f"/visit/{{visit}}/{code.replace(' ', '-')}", show)


ROUTES = [
    Route("/visit/{visit}", road),
    Route("/visit/{visit}/withdraw", withdraw, methods=["POST"]),
    *map(_empty, _EMPTY),
]
