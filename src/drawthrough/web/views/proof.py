"""What the page of the proof is given."""

from typing import Annotated

from drawthrough.report.view import ProofView
from drawthrough.web.views import View


class ProofPageView(View, frozen=True, kw_only=True):
    """The page of the proof."""

    proof: Annotated[ProofView | None, "what is judged, or nothing while the system is not described"]
    href: Annotated[str, "where the page asks whether anything was written since"]
    missing: Annotated[str, "what must be described first, or empty"] = ""
