"""The list of systems and their visits, and the beginning of a new one."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.refusals import refusal
from drawthrough.report.voice import N_, Voice
from drawthrough.visit.clock import wall
from drawthrough.visit.entry import EntryError, entry
from drawthrough.visit.facts import InstrumentListed, SiteDescribed, SystemDescribed
from drawthrough.visit.state import Site
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Draft, Summary, draft
from drawthrough.web.refusal import Fault, Refusal
from drawthrough.web.views.home import HomeView, SystemLine, VisitRow


async def home(request: Request) -> Response:
    """Show the systems and their visits."""
    desk = Desk(request)
    systems: dict[str, list[tuple[str, Summary]]] = {}
    for line in desk.ledger.lines():
        summary = desk.ledger.summary(line)
        systems.setdefault(summary.system, []).append((line.visit, summary))
    view = HomeView(
        systems=tuple(_system(desk, system, visits) for system, visits in systems.items()),
        once=desk.ledger.once(),
        once_bring=desk.ledger.once(),
        altitude="0 ft" if desk.preferences.measures == "field" else "0 m",
    )
    return desk.page("home.html", view, "Drawthrough")


def _system(desk: Desk, system: str, visits: list[tuple[str, Summary]]) -> SystemLine:
    newest = visits[0][1]
    return SystemLine(
        id=system,
        site=newest.site or desk.voice.say(N_("A place not described yet")),
        name=newest.name or desk.voice.say(N_("Equipment not described yet")),
        once=desk.ledger.once(),
        visits=tuple(_row(desk, visit, summary) for visit, summary in visits),
    )


def _row(desk: Desk, visit: str, summary: Summary) -> VisitRow:
    return VisitRow(
        href=f"/visit/{visit}",
        day=desk.day(wall(summary.first)),
        time=desk.time_of_day(wall(summary.last)),
        line=desk.voice.count("{n} reading", "{n} readings", summary.readings),
    )


async def begin(request: Request) -> Response:
    """Open a visit: to a system that is known, or to one seen for the first time."""
    desk = Desk(request)
    fields = (await desk.sent()).fields
    once = fields.get("once") or desk.ledger.once()
    known = fields.get("system", "")
    if known:
        drafts = _from_last_visit(desk, known)
    else:
        known = desk.ledger.pen.id()
        try:
            site = entry(Site, {name: fields.get(name, "") for name in ("name", "altitude")})
        except EntryError as error:
            raise refused_entry(error, desk.voice) from None
        drafts = [draft(SiteDescribed, site=site)]
    visit = desk.ledger.open_visit(known, drafts, once)
    return desk.go(f"/visit/{visit}" if fields.get("system") else f"/visit/{visit}/system")


def _from_last_visit(desk: Desk, system: str) -> list[Draft]:
    """Take over what does not change from one visit to the next: place, equipment, instruments."""
    last = next((line for line in desk.ledger.lines() if line.system == system), None)
    if last is None:
        raise Refusal.missing()
    folded = desk.ledger.opened(last.visit).folded
    found = [draft(InstrumentListed, instrument=one) for one in folded.instrument]
    if folded.system is not None:
        found.insert(0, draft(SystemDescribed, system=folded.system))
    if folded.site is not None:
        found.insert(0, draft(SiteDescribed, site=folded.site))
    return found


def refused_entry(error: EntryError, voice: Voice) -> Refusal:
    """Return the refusal of a form, field by field."""
    faults = tuple(
        Fault(field=fault.field, kind=fault.kind, text=refusal(fault, voice), read=fault.read) for fault in error.faults
    )
    return Refusal(422, "not readable", N_("Some of what was typed cannot be taken as it stands."), faults)


ROUTES = [Route("/", home), Route("/visit", begin, methods=["POST"])]
