"""What templates are given: frozen classes whose every field says what it is for. Templates hold no logic.

A field is annotated with its help: `title: Annotated[str, "what the page is called"]`. A test demands that each field
has one, and that no template asks for anything that its view does not have.
"""

import msgspec


class View(msgspec.Struct, frozen=True, kw_only=True):
    """Base of everything that a template is given."""
