"""The pen of one device: mints facts in order, and turns a visit sheet into the facts that it adds up from."""

from collections.abc import Callable
from typing import Any

import msgspec

from drawthrough.visit import facts
from drawthrough.visit.clock import Clock, uuid7
from drawthrough.visit.facts import AnyFact
from drawthrough.visit.state import Visit

Now = Callable[[], int]
Random = Callable[[], int]


class Pen:
    """Mints the facts of one device: ids, running numbers and moments, from a clock and a source of chance.

    Parameters
    ----------
    device : str
        Name of the device.
    now : callable
        Milliseconds since 1970.
    random : callable
        At least 74 random bits as an integer.
    sequence : int
        The last running number that the device gave.
    clock : Clock
        The last moment that it gave or saw.
    """

    def __init__(self, device: str, now: Now, random: Random, sequence: int = 0, clock: Clock | None = None) -> None:
        self.device = device
        self.sequence = sequence
        self.clock = clock or Clock()
        self._now = now
        self._random = random

    def id(self) -> str:
        """Return a new id, for a visit or a system."""
        return uuid7(self._now(), self._random())

    def mint(self, kind: Callable[..., AnyFact], visit: str, *, id: str | None = None, **content: Any) -> AnyFact:
        """Return a new fact of this device.

        Parameters
        ----------
        kind : type
            Which fact.
        visit : str
            Id of the visit that it belongs to.
        id : str, optional
            The fact's id, where it was given before: a form carries it, so that sending the form twice writes one fact.
        **content
            What the fact says.
        """
        now = self._now()
        self.clock = self.clock.tick(now)
        self.sequence += 1
        return kind(
            id=id or uuid7(now, self._random()),
            visit=visit,
            device=self.device,
            sequence=self.sequence,
            moment=self.clock.last,
            **content,
        )

    def saw(self, fact: AnyFact) -> None:
        """Take note of a foreign fact, so that what is minted next comes after it."""
        self.clock = self.clock.seen(fact.moment, self._now())


def facts_of(visit: Visit, pen: Pen, system_id: str, visit_id: str, first: str | None = None) -> list[AnyFact]:
    """Return the facts that add up to a visit: a sheet brought into the record.

    Parameters
    ----------
    visit : Visit
        What the sheet says.
    pen : Pen
        Of the device that brings it in.
    system_id, visit_id : str
        Ids of the system and of this visit.
    first : str, optional
        Id of the first fact, the opening, where it was given before.
    """
    found = [
        pen.mint(facts.VisitOpened, visit_id, id=first, system=system_id),
        pen.mint(facts.SiteDescribed, visit_id, site=visit.site),
        pen.mint(facts.SystemDescribed, visit_id, system=visit.system),
    ]
    if visit.complaint:
        found.append(pen.mint(facts.ComplaintHeard, visit_id, words=visit.complaint))
    found.extend(pen.mint(facts.InstrumentListed, visit_id, instrument=one) for one in visit.instrument)
    for run in visit.run:
        found.append(pen.mint(facts.RunDescribed, visit_id, run=msgspec.structs.replace(run, reading=())))
        found.extend(pen.mint(facts.ReadingTaken, visit_id, run=run.id, reading=reading) for reading in run.reading)
    found.extend(pen.mint(facts.WorkDone, visit_id, work=one) for one in visit.work)
    if visit.job is not None:
        found.append(pen.mint(facts.JobSet, visit_id, job=visit.job))
    found.extend(pen.mint(facts.TerminalSeen, visit_id, terminal=one) for one in visit.terminal)
    found.extend(pen.mint(facts.LeadSeen, visit_id, lead=one) for one in visit.lead)
    found.extend(pen.mint(facts.ChangeIntended, visit_id, change=one) for one in visit.change)
    found.extend(pen.mint(facts.SeatSeen, visit_id, seat=one) for one in visit.seat)
    found.extend(pen.mint(facts.RunCapacitorSeen, visit_id, run_capacitor=one) for one in visit.run_capacitor)
    found.extend(pen.mint(facts.GapSeen, visit_id, gap=one) for one in visit.gap)
    found.extend(pen.mint(facts.PatternSeen, visit_id, pattern=one) for one in visit.pattern)
    found.extend(pen.mint(facts.PriceSet, visit_id, price=one) for one in visit.price)
    return found
