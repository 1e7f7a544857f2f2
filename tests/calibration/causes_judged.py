"""What was said of the causes of one simulated visit."""

from typing import NamedTuple

from drawthrough.judge.judgement import Judgement, Verdict


class Said(NamedTuple):
    """What was said by name: each of these by itself, or (a tie) that it is at least one of them.

    A tie may hold a single cause: it is named, but not as likely as what is said by itself.
    """

    causes: frozenset[str]
    tie: bool


class Odds(NamedTuple):
    """How likely one cause was said to be."""

    cause: str
    found: float
    halved: float  # with all widths of belief halved
    doubled: float
    left: float | None


class SaidOfCauses(NamedTuple):
    """Everything that was said of the causes of a visit."""

    found: Said
    left: Said | None
    odds: tuple[Odds, ...]


def causes_judged(judgement: Judgement | None) -> SaidOfCauses | None:
    """Return what a judgement says of causes, or None where it says nothing."""
    if judgement is None or judgement.causes is None:
        return None
    causes = judgement.causes
    return SaidOfCauses(
        found=_said(causes.found),
        left=_said(causes.left) if causes.left is not None else None,
        odds=tuple(Odds(c.name, c.found, c.found_halved, c.found_doubled, c.left) for c in causes.each),
    )


def _said(verdict: Verdict) -> Said:
    return Said(frozenset(verdict.causes), verdict.tie)
