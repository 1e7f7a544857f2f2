"""What the page of the handover is given."""

from typing import Annotated

from drawthrough.report.view_customer import CustomerView
from drawthrough.web.views import View


class ShotView(View, frozen=True, kw_only=True):
    """One photo."""

    href: Annotated[str, "where its content is"]
    name: Annotated[str, "what it shows and when, for those who do not see it"]


class PairView(View, frozen=True, kw_only=True):
    """What one thing looked like before and after."""

    of: Annotated[str, "what is shown"]
    before: Annotated[tuple[ShotView, ...], "photos before the work"]
    after: Annotated[tuple[ShotView, ...], "photos after the work"]


class TypedView(View, frozen=True, kw_only=True):
    """Every reading as it was typed."""

    heads: Annotated[tuple[str, ...], "what stands in the columns"]
    rows: Annotated[tuple[tuple[str, ...], ...], "reading, what ran, before, after"]


class HandoverView(View, frozen=True, kw_only=True):
    """The customer's page."""

    site: Annotated[str, "where the system stands"]
    system: Annotated[str, "what it is"]
    day: Annotated[str, "day of the visit"]
    complaint: Annotated[str, "the complaint, in the customer's words, or empty"]
    done: Annotated[tuple[str, ...], "what was done, and how it was left"]
    alone: Annotated[tuple[str, ...], "what was left alone, and why"]
    wiring: Annotated[str, "how the leads as left stand against those as found, or empty where none were written down"]
    reasons: Annotated[tuple[str, ...], "hold points that were passed, each with its reason"]
    surprises: Annotated[tuple[str, ...], "what went otherwise than planned, and when"]
    customer: Annotated[CustomerView | None, "what the judgement says to a customer, or nothing without one"]
    pairs: Annotated[tuple[PairView, ...], "photos in pairs"]
    typed: Annotated[TypedView, "every reading as it was typed"]
    prices: Annotated[tuple[tuple[str, str], ...], "prices that the shop has set"]
    action: Annotated[str, "where handing over is written down"]
    once: Annotated[str, "id of the fact that it would write; empty where nothing is to be written"]
    seen: Annotated[str, "id of the last fact that the page shows"]
    issued: Annotated[str, "when it was handed over and whether the record has grown since, or empty"] = ""
    now_href: Annotated[str, "address of the page as the record stands now, where that differs, or empty"] = ""
    fault: Annotated[str, "why it was not written down, or empty"] = ""
    missing: Annotated[str, "what must be described first, or empty"] = ""
