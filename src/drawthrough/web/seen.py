"""Things that are written down one at a time on a page that lists them: work, leads, marks, gaps, prices.

One road for all of them: what was sent becomes a structure or comes back as typed with its faults; the structure is
written once; the page is shown again at the place where the thing now stands.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import AnyFact, GapSeen, LeadSeen, PatternSeen, PriceSet, WorkDone
from drawthrough.visit.state import Gap, Lead, Pattern, Price, Work
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.road import address
from drawthrough.web.views.runs import SeenLine


class Refused(NamedTuple):
    """A form that could not be taken: which one, what was typed, what is wrong, and the id under which it came."""

    form: str = ""
    values: Mapping[str, str] = {}
    faults: tuple[EntryFault, ...] = ()
    once: str = ""

    def of(self, form: str) -> tuple[Mapping[str, str], tuple[EntryFault, ...]]:
        """Return what stands in a form and what is wrong with it: nothing, unless it is the one that was refused."""
        return (self.values, self.faults) if form == self.form else ({}, ())

    def once_of(self, form: str, desk: Desk) -> str:
        """Return the id of the fact that a form would write."""
        return self.once if form == self.form and self.once else desk.ledger.once()


class _Thing(NamedTuple):
    """What is entered, the fact that it becomes, and the fact's field that holds it."""

    table: type[msgspec.Struct]
    kind: type[AnyFact]


THINGS: dict[str, _Thing] = {
    "work": _Thing(Work, WorkDone),
    "lead": _Thing(Lead, LeadSeen),
    "price": _Thing(Price, PriceSet),
    "pattern": _Thing(Pattern, PatternSeen),
    "gap": _Thing(Gap, GapSeen),
}
Page = Callable[[Desk, Opened, Refused, int], Response]


def writes(name: str, room: str, page: Page) -> Route:
    """Return the route that writes one thing down.

    Parameters
    ----------
    name : str
        Of `THINGS`: the end of the address, the fact's field, and the place on the page where it is listed.
    room : str
        Code of the room whose page lists it.
    page : callable
        Shows that page with a form that was refused, and a status.
    """
    thing = THINGS[name]

    async def write(request: Request) -> Response:
        desk = Desk(request)
        opened = desk.opened()
        sent = (await desk.sent()).fields
        once = sent.get("once", "")
        try:
            made = entry(thing.table, sent, opened.folded)
        except EntryError as error:
            return page(desk, opened, Refused(name, sent, error.faults, once), 422)
        desk.ledger.write(opened.id, [draft(thing.kind, **{name: made})], once)
        return desk.go(f"{address(opened.id, room)}#{name}")

    return Route(f"/visit/{{visit}}/{name}", write, methods=["POST"])


def line(desk: Desk, fact: AnyFact, text: str, note: str = "") -> SeenLine:
    """Return a line that can be taken back."""
    return SeenLine(text=text, note=note, id=fact.id, once=desk.ledger.once())
