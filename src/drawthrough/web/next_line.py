"""The one line at the foot of a page: what is worth doing now, and where."""

from drawthrough.report.voice import Voice
from drawthrough.web.ledger import Opened
from drawthrough.web.views.shell import Next


def next_line(opened: Opened, voice: Voice) -> Next | None:
    """Return the line for a visit as it stands, or None where nothing is worth doing."""
    return None
