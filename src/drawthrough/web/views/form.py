"""What a form's fields are given."""

from typing import Annotated, Literal

from drawthrough.web.views import View
from drawthrough.web.views.shell import Choice

Kind = Literal["text", "quantity", "radios", "select", "area"]


class FieldView(View, frozen=True, kw_only=True):
    """One field of a form."""

    name: Annotated[str, "name under which it is sent"]
    id: Annotated[str, "id of the input, unique on its page"]
    label: Annotated[str, "what it is called"]
    help: Annotated[str, "one line that says what it means, or empty"]
    kind: Annotated[Kind, "how it is entered"]
    value: Annotated[str, "what stands in it, as typed"]
    choices: Annotated[tuple[Choice, ...], "what can be chosen, or none"] = ()
    required: Annotated[bool, "must it be filled in?"] = False
    example: Annotated[str, "how a hand would write it, or empty"] = ""
    fault: Annotated[str, "what is wrong with it, or empty"] = ""
