"""What As found, As left and the form of a run are given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView


class RunLine(View, frozen=True, kw_only=True):
    """One run in the list."""

    name: Annotated[str, "what the run is called"]
    href: Annotated[str, "where it is"]
    line: Annotated[str, "mode, speed, coil, filter"]
    count: Annotated[str, "how many readings it has"]
    beside: Annotated[str, "the run as found that it repeats, or empty"] = ""


class AgainLine(View, frozen=True, kw_only=True):
    """A run as found that has no run as left beside it yet."""

    text: Annotated[str, "what is to be run again"]
    href: Annotated[str, "where it is begun"]


class SeenLine(View, frozen=True, kw_only=True):
    """Dirt, a gap or a lead that was seen."""

    text: Annotated[str, "what was seen"]
    note: Annotated[str, "what was noted with it"]
    id: Annotated[str, "id of the fact"]
    once: Annotated[str, "id of the withdrawal that the form would write"]


class RoomView(View, frozen=True, kw_only=True):
    """As found or as left."""

    when: Annotated[str, "code: as found, or as left"]
    found: Annotated[bool, "is it as found?"]
    lead: Annotated[str, "what the room is for"]
    runs: Annotated[tuple[RunLine, ...], "runs in this state"]
    again: Annotated[tuple[AgainLine, ...], "runs that the proof needs again"]
    begin: Annotated[tuple[AgainLine, ...], "kinds of run that can be begun"]
    complaint: Annotated[str, "what the customer said, in their words"] = ""
    complaint_once: Annotated[str, "id of the fact that the form would write"] = ""
    ready: Annotated[tuple[str, ...], "words that are often said"] = ()
    patterns: Annotated[tuple[SeenLine, ...], "dirt that was seen, and what is none"] = ()
    pattern_fields: Annotated[tuple[FieldView, ...], "the form for another mark"] = ()
    pattern_once: Annotated[str, "id of the fact that the form would write"] = ""
    gaps: Annotated[tuple[SeenLine, ...], "gaps that were seen"] = ()
    gap_fields: Annotated[tuple[FieldView, ...], "the form for another gap"] = ()
    gap_once: Annotated[str, "id of the fact that the form would write"] = ""
    photos_href: Annotated[str, "where the photos are"] = ""
    fault: Annotated[str, "which form was refused, or empty"] = ""


class DescribeView(View, frozen=True, kw_only=True):
    """The form of a run."""

    action: Annotated[str, "where it is sent"]
    once: Annotated[str, "id of the fact that it would write"]
    instead: Annotated[str, "id of the run that is described again, or empty"]
    when: Annotated[str, "code: as found, or as left"]
    first: Annotated[tuple[FieldView, ...], "what is asked first"]
    more: Annotated[tuple[FieldView, ...], "what is asked behind the fold"]
    open: Annotated[bool, "is the fold open?"] = False
    safety: Annotated[str, "what to mind before it is run, or empty"] = ""
