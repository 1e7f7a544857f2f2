"""What the pages of the proof and of the handover are given."""

from typing import Annotated

from drawthrough.report.view import ChartView, ProofView
from drawthrough.web.views import View


class ProofPageView(View, frozen=True, kw_only=True):
    """The page of the proof."""

    proof: Annotated[ProofView | None, "what is judged, or nothing while the system is not described"]
    href: Annotated[str, "address of the page"]
    missing: Annotated[str, "what must be described first, or empty"] = ""


class PairView(View, frozen=True, kw_only=True):
    """What one thing looked like before and after."""

    of: Annotated[str, "what is shown"]
    before: Annotated[tuple[str, ...], "addresses of the photos before"]
    after: Annotated[tuple[str, ...], "addresses of the photos after"]


class TypedView(View, frozen=True, kw_only=True):
    """One reading as it was typed."""

    name: Annotated[str, "what was read and where"]
    before: Annotated[str, "as typed before the work, or empty"]
    after: Annotated[str, "as typed after the work, or empty"]


class HandoverView(View, frozen=True, kw_only=True):
    """The customer's page."""

    site: Annotated[str, "where the system stands"]
    system: Annotated[str, "what it is"]
    day: Annotated[str, "day of the visit"]
    complaint: Annotated[str, "the complaint, in the customer's words, or empty"]
    done: Annotated[tuple[str, ...], "what was done, and how it was left"]
    alone: Annotated[tuple[str, ...], "what was left alone, and why"]
    said: Annotated[tuple[str, ...], "what the proof says, in plain sentences with intervals"]
    open: Annotated[tuple[str, ...], "what is not resolved"]
    strip: Annotated[ChartView | None, "the air before and after"]
    pairs: Annotated[tuple[PairView, ...], "photos in pairs"]
    typed: Annotated[tuple[TypedView, ...], "readings as typed"]
    prices: Annotated[tuple[tuple[str, str], ...], "prices that the shop has set"]
    know: Annotated[tuple[str, ...], "how it is known"]
    action: Annotated[str, "where handing over is written down"]
    once: Annotated[str, "id of the fact that it would write"]
    issued: Annotated[str, "when it was handed over and whether the record has changed since, or empty"] = ""
    missing: Annotated[str, "what must be described first, or empty"] = ""
