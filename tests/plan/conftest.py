"""A record that a test writes fact by fact, and what it adds up to."""

import itertools
from pathlib import Path

import pytest

from drawthrough.visit import facts
from drawthrough.visit.fold import fold
from drawthrough.visit.record import Pen, facts_of
from drawthrough.visit.sheet import load

EXAMPLE = Path(__file__).parents[2] / "examples" / "dirty-wheel-psc.toml"


class Book:
    """The record of one visit to the equipment of the demo, minute by minute."""

    def __init__(self):
        self.minutes = 0.0
        ids = itertools.count(1)
        self.pen = Pen("a phone", lambda: int(self.minutes * 60_000), lambda: next(ids))
        whole = load(EXAMPLE)
        self.system = whole.system
        made = facts_of(whole, self.pen, "system", "visit")
        self.facts = [
            one for one in made if isinstance(one, facts.VisitOpened | facts.SiteDescribed | facts.SystemDescribed)
        ]

    def write(self, kind, after=0.0, **content):
        self.minutes += after
        self.facts.append(self.pen.mint(kind, "visit", **content))
        return self.facts[-1]

    @property
    def folded(self):
        return fold(self.facts)


@pytest.fixture
def book():
    return Book()
