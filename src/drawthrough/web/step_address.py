"""Where a task and a guide of a visit are."""

from urllib.parse import quote, urlencode


def task_address(visit: str, code: str) -> str:
    """Return where a task is large."""
    return f"/visit/{visit}/work?{urlencode({'task': code})}#now"


def guide_address(visit: str, code: str) -> str:
    """Return where a guide is."""
    return f"/visit/{visit}/guide/{quote(code)}"
