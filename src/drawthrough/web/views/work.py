"""What the page of the work is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.shell import Choice


class CautionView(View, frozen=True, kw_only=True):
    """One thing to mind before hands go in."""

    text: Annotated[str, "the sentence"]
    source: Annotated[str, "what it rests on: a section, or common practice"]


class DoneLine(SeenLine, frozen=True, kw_only=True):
    """Something that was done, and the presses that say how it was left."""

    left: Annotated[tuple[Choice, ...], "conditions to choose from; none where one is written, or none is asked for"]
    left_once: Annotated[str, "id of the fact that choosing one would write"]


class PartLine(View, frozen=True, kw_only=True):
    """One part, and the presses that say what was done to it."""

    code: Annotated[str, "the part's code, such as `wheel`"]
    name: Annotated[str, "what it is called"]
    once: Annotated[str, "id of the fact that a press would write"]
    actions: Annotated[tuple[Choice, ...], "what can have been done to it"]


class WorkView(View, frozen=True, kw_only=True):
    """What was done, and how it was left."""

    base: Annotated[str, "address of the visit, before which every form's own word stands"]
    cautions: Annotated[tuple[CautionView, ...], "what to mind before hands go in"]
    cautions_open: Annotated[bool, "do they stand open? Until the first thing is done"]
    done: Annotated[tuple[DoneLine, ...], "what was done"]
    parts: Annotated[tuple[PartLine, ...], "parts, one press for each thing done"]
    fields: Annotated[tuple[FieldView, ...], "the form for more of it"]
    once: Annotated[str, "id of the fact that the form would write"]
    leads_found: Annotated[tuple[SeenLine, ...], "leads as found"]
    leads_left: Annotated[tuple[SeenLine, ...], "leads as left"]
    lead_fields: Annotated[tuple[FieldView, ...], "the form for another lead"]
    lead_once: Annotated[str, "id of the fact that the form would write"]
    prices: Annotated[tuple[SeenLine, ...], "the shop's own prices"]
    price_fields: Annotated[tuple[FieldView, ...], "the form for another price"]
    price_once: Annotated[str, "id of the fact that the form would write"]
    photos_href: Annotated[str, "where the photos are"]
    fault: Annotated[str, "which form was refused, or empty"] = ""
