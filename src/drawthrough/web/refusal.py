"""What the application refuses, in one shape for pages and programs: a status, a code, a sentence, the fields."""

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.report.voice import N_


class Fault(msgspec.Struct, frozen=True, kw_only=True):
    """What is wrong with one field of what was sent."""

    field: str
    kind: str
    text: str  # in the language of whoever sent it
    read: str = ""


class Refusal(DrawthroughError):
    """A request that cannot be done.

    Parameters
    ----------
    status : int
        HTTP status code.
    code : str
        What is the matter, for programs.
    text : str
        The sentence for people: a message that the voice translates.
    faults : tuple of Fault
        Field by field, where fields are to blame.
    slots : dict
        What stands in the sentence's braces.
    """

    def __init__(
        self, status: int, code: str, text: str, faults: tuple[Fault, ...] = (), slots: dict[str, str] | None = None
    ) -> None:
        self.status = status
        self.code = code
        self.text = text
        self.faults = faults
        self.slots = slots or {}
        super().__init__(text.format(**self.slots))

    @classmethod
    def missing(cls) -> "Refusal":
        """Return the refusal of an address that leads nowhere."""
        return cls(404, "not here", N_("There is nothing at this address. It may have been typed wrongly."))

    @classmethod
    def undescribed(cls) -> "Refusal":
        """Return the refusal of what rests on a place and an equipment that are not described."""
        return cls(409, "not described yet", N_("The place or the equipment of this visit has not been described yet."))

    @classmethod
    def too_large(cls, limit: str) -> "Refusal":
        """Return the refusal of more bytes than are taken."""
        return cls(413, "too large", N_("That is larger than the {limit} that can be taken."), slots={"limit": limit})


# By the kind of a store's error: status, and the sentence.
OF_STORE: dict[str, tuple[int, str]] = {
    "locked": (503, N_("Another program holds the record locked. Nothing was written; send it again in a moment.")),
    "full": (507, N_("The disk is full. Nothing was written, nothing is lost; make room and send it again.")),
    "newer": (503, N_("The record was written by a newer version of this program. It was left as it is.")),
    "not a database": (503, N_("The file of the record is not one that this program wrote. It was left as it is.")),
    "damaged": (500, N_("Part of the record cannot be read. The rest is untouched.")),
    "conflict": (409, N_("This was written before with other content. What stands was kept.")),
    "unreachable": (503, N_("The record cannot be reached on its disk. Nothing was written.")),
}
