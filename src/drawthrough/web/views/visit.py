"""What the road of a visit and its empty rooms are given."""

from typing import Annotated

from drawthrough.web.views import View


class FactLine(View, frozen=True, kw_only=True):
    """One fact among those written last."""

    id: Annotated[str, "id of the fact that taking back, or putting back, acts on"]
    time: Annotated[str, "time of day at which it was written"]
    text: Annotated[str, "what was written, in a few words"]
    withdrawn: Annotated[bool, "was it taken back?"]
    undo: Annotated[bool, "can it be taken back?"]
    once: Annotated[str, "id of the withdrawal that the form would write"]


class RoadView(View, frozen=True, kw_only=True):
    """The road of a visit."""

    site: Annotated[str, "where the system stands"]
    system: Annotated[str, "what the system is called"]
    system_href: Annotated[str, "where the system is described"]
    system_line: Annotated[str, "one line on what is known of the system"]
    last: Annotated[tuple[FactLine, ...], "what was written last, the latest first"]
    kept: Annotated[str, "how many facts are kept, and where"]


class EmptyRoomView(View, frozen=True, kw_only=True):
    """A room of the road that is not built yet."""

    text: Annotated[str, "the sentence that says so"]
    meanwhile: Annotated[str, "what holds until it is"]
