"""What the page of a refusal is given."""

from typing import Annotated

from drawthrough.web.views import View


class RefusedView(View, frozen=True, kw_only=True):
    """A refusal."""

    text: Annotated[str, "the sentence that says what was refused and what would do"]
    faults: Annotated[tuple[str, ...], "field by field, what is wrong"] = ()
    status: Annotated[int, "HTTP status code"] = 400
