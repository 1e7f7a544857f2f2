"""What the page of the work is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.runs import SeenLine


class WorkView(View, frozen=True, kw_only=True):
    """What was done, and how it was left."""

    base: Annotated[str, "address of the visit, before which every form's own word stands"]
    cautions: Annotated[tuple[str, ...], "what to mind before hands go in"]
    done: Annotated[tuple[SeenLine, ...], "what was done"]
    fields: Annotated[tuple[FieldView, ...], "the form for more of it"]
    once: Annotated[str, "id of the fact that the form would write"]
    leads: Annotated[tuple[SeenLine, ...], "leads as found and as left"]
    lead_fields: Annotated[tuple[FieldView, ...], "the form for another lead"]
    lead_once: Annotated[str, "id of the fact that the form would write"]
    prices: Annotated[tuple[SeenLine, ...], "the shop's own prices"]
    price_fields: Annotated[tuple[FieldView, ...], "the form for another price"]
    price_once: Annotated[str, "id of the fact that the form would write"]
    photos_href: Annotated[str, "where the photos are"]
    fault: Annotated[str, "which form was refused, or empty"] = ""
