"""What the list of systems and visits is given."""

from typing import Annotated

from drawthrough.web.views import View


class VisitRow(View, frozen=True, kw_only=True):
    """One visit in the list."""

    href: Annotated[str, "where it is"]
    day: Annotated[str, "day on which it was opened"]
    time: Annotated[str, "time of the last thing written"]
    line: Annotated[str, "what it holds, in a few words"]


class SystemLine(View, frozen=True, kw_only=True):
    """One system with its visits."""

    id: Annotated[str, "id of the system"]
    site: Annotated[str, "where it stands"]
    name: Annotated[str, "what it is called"]
    once: Annotated[str, "id of the visit that the form beneath would open"]
    visits: Annotated[tuple[VisitRow, ...], "its visits, the latest first"]


class HomeView(View, frozen=True, kw_only=True):
    """The list of systems and visits."""

    systems: Annotated[tuple[SystemLine, ...], "systems, the one seen last first"]
    once: Annotated[str, "id of the visit that the form would open"]
    once_bring: Annotated[str, "id of the visit that a sheet would bring in"]
    altitude: Annotated[str, "altitude that stands in the form at first"]
