"""Reasons by the rules of standing: each with its rule's source, and what they make of a reading or a result."""

from collections.abc import Iterable

from drawthrough.judge.judgement import Reason, Standing
from drawthrough.trade.standing import rules

_ORDER: tuple[Standing, ...] = ("it stands", "in doubt", "not resolved", "set aside")


def reason(code: str, names: dict[str, str] | None = None, /, **figures: float) -> Reason:
    """Return a reason with its figures, and the source of its rule.

    Raises
    ------
    KeyError
        There is no such rule: every reason has one.
    """
    return Reason(code=code, source=rules().rule[code].source, figures=figures, names=names or {})


def worse(first: Standing, second: Standing) -> Standing:
    """Return the worse of two standings."""
    return max(first, second, key=_ORDER.index)


def standing_of(reasons: Iterable[Reason]) -> Standing:
    """Return what reasons make of a thing: the worst that their rules give."""
    found: Standing = "it stands"
    for one in reasons:
        found = worse(found, rules().rule[one.code].gives)
    return found
