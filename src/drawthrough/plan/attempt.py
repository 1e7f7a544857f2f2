"""How far someone is with something that sticks: which step, since when, and how much of the promised time is used."""

from collections.abc import Iterable
from typing import NamedTuple

from drawthrough.trade.guides import Guide, GuideStep
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import RiskTold, SnagMet
from drawthrough.visit.fold import Folded

SOLVED = "that did it"  # the note of the press that ends an attempt
NO_HELP = "did not help"  # the note of the press that goes on to the next step


class Attempt(NamedTuple):
    """One attempt by a guide. Moments in seconds since 1970, times in seconds."""

    guide: Guide
    told: RiskTold | None  # what the customer was told, last
    stop_after: float | None  # hands' time after which to stop
    began: float | None = None  # None: not begun
    step: int = 0  # place of the step that is in hand
    since: float = 0.0  # when it was reached
    fact: str = ""  # id of the fact that reached it
    spent: float = 0.0  # hands' time, the steps that wait not counted
    solved: bool = False

    @property
    def at(self) -> GuideStep:
        """The step in hand."""
        return self.guide.step[self.step]

    @property
    def running(self) -> bool:
        """Is it begun and not over?"""
        return self.began is not None and not self.solved

    @property
    def left(self) -> float | None:
        """What is left of the promised time, below zero once it is over; None where none was promised."""
        return None if self.stop_after is None else self.stop_after - self.spent

    @property
    def waits_until(self) -> float | None:
        """When the step in hand has waited its usual time; None unless it waits."""
        return self.since + self.at.takes.likely if self.running and self.at.wait else None


def attempt(guide: Guide, folded: Folded, now: float) -> Attempt:
    """Return the last attempt by a guide.

    Parameters
    ----------
    guide : Guide
        The guide.
    folded : Folded
        What the facts add up to.
    now : float
        What time it is. [s]
    """
    told = next((one for one in reversed(folded.doing) if isinstance(one, RiskTold) and one.guide == guide.code), None)
    found = Attempt(guide, told, told.stop_after if told is not None else guide.stop_after)
    place = {one.code: k for k, one in enumerate(guide.step)}
    for fact in _presses(guide, folded.doing):
        moment = wall(fact.moment) / 1000
        if found.began is None or found.solved:
            if fact.note == SOLVED:
                continue  # said twice
            found = found._replace(began=moment, spent=0.0, solved=False)
        else:
            found = found._replace(spent=found.spent + _hands(found, moment))
        found = found._replace(step=place[fact.step], since=moment, fact=fact.id, solved=fact.note == SOLVED)
    return found._replace(spent=found.spent + _hands(found, now)) if found.running else found


def _presses(guide: Guide, doing: Iterable[object]) -> list[SnagMet]:
    codes = {one.code for one in guide.step}
    return [one for one in doing if isinstance(one, SnagMet) and one.guide == guide.code and one.step in codes]


def _hands(one: Attempt, until: float) -> float:
    """Return the hands' time from the step that was reached last to a moment."""
    return 0.0 if one.at.wait else max(until - one.since, 0.0)
