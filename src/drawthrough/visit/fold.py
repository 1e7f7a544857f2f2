"""From facts to the visit that they add up to: pure, without clock or I/O, and the same in whatever order they came."""

from collections.abc import Iterable
from operator import attrgetter

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.visit.facts import (
    AnyFact,
    ChangeIntended,
    ComplaintHeard,
    GapSeen,
    HoldPassed,
    InstrumentListed,
    ItemCounted,
    JobSet,
    LeadSeen,
    LeftWaiting,
    LogKept,
    PatternSeen,
    PhotoTaken,
    PriceSet,
    ReadingCorrected,
    ReadingTaken,
    ReportIssued,
    RiskTold,
    RunCapacitorSeen,
    RunDescribed,
    SeatSeen,
    SiteDescribed,
    SnagMet,
    SystemDescribed,
    TaskBegun,
    TaskDone,
    TaskLeft,
    TerminalSeen,
    VisitOpened,
    Withdrawn,
    WorkDone,
)
from drawthrough.visit.state import (
    CapacitorSeen,
    Instrument,
    Job,
    Price,
    Reading,
    Run,
    Seat,
    Site,
    System,
    Terminal,
    Visit,
)

# What happened as the work went on, in its order: what plan and hold points go by.
Doing = TaskBegun | TaskDone | TaskLeft | HoldPassed | RiskTold | SnagMet | LeftWaiting


class Incomplete(DrawthroughError):
    """The facts do not yet add up to a visit: its place or its equipment has not been described."""


class Version(msgspec.Struct, frozen=True, kw_only=True):
    """One version of a reading: what was written, by which fact, and why it replaced the one before."""

    fact: str
    moment: int
    reading: Reading
    why: str = ""


class Folded(msgspec.Struct, frozen=True, kw_only=True):
    """What the facts add up to, and where each part of it came from."""

    id: str
    system_id: str
    site: Site | None
    system: System | None
    instrument: tuple[Instrument, ...]
    run: tuple[Run, ...]
    work: tuple[WorkDone, ...]
    job: Job | None
    terminal: tuple[Terminal, ...]
    lead: tuple[LeadSeen, ...]
    change: tuple[ChangeIntended, ...]
    seat: tuple[Seat, ...]
    run_capacitor: tuple[CapacitorSeen, ...]
    doing: tuple[Doing, ...]
    item: dict[str, ItemCounted]  # the last word on each item of the truck list
    gap: tuple[GapSeen, ...]
    pattern: tuple[PatternSeen, ...]
    price: tuple[Price, ...]
    photo: tuple[PhotoTaken, ...]
    log: tuple[LogKept, ...]
    report: tuple[ReportIssued, ...]
    complaint: str
    history: dict[tuple[str, int], tuple[Version, ...]]  # by run and place of the reading in it, oldest first
    withdrawn: frozenset[str]  # ids of the facts that do not count
    astray: tuple[str, ...]  # ids of facts that speak of a run or a reading that is not there (yet)

    @property
    def visit(self) -> Visit:
        """The visit that can be judged.

        Raises
        ------
        Incomplete
            Its place or its equipment has not been described.
        """
        if self.site is None or self.system is None:
            missing = "place" if self.site is None else "equipment"
            raise Incomplete(f"The {missing} of this visit has not been described yet.")
        return Visit(
            site=self.site,
            system=self.system,
            instrument=self.instrument,
            run=self.run,
            work=tuple(fact.work for fact in self.work),
            job=self.job,
            terminal=self.terminal,
            lead=tuple(fact.lead for fact in self.lead),
            change=tuple(fact.change for fact in self.change),
            seat=self.seat,
            run_capacitor=self.run_capacitor,
            gap=tuple(fact.gap for fact in self.gap),
            pattern=tuple(fact.pattern for fact in self.pattern),
            price=self.price,
            complaint=self.complaint,
        )


_PLACE = attrgetter("moment", "device", "sequence", "id")


def in_order(facts: Iterable[AnyFact]) -> list[AnyFact]:
    """Return facts in the one order that all devices agree on, each once."""
    unique = {fact.id: fact for fact in facts}
    return sorted(unique.values(), key=_PLACE)


def withdrawn_of(facts: list[AnyFact]) -> frozenset[str]:
    """Return the ids of facts that do not count, given all facts in order.

    A withdrawal counts unless it is withdrawn itself. Only what came before can be withdrawn, so the last word is
    found by going backwards once.
    """
    place = {fact.id: k for k, fact in enumerate(facts)}
    gone: set[str] = set()
    for k in range(len(facts) - 1, -1, -1):
        fact = facts[k]
        if isinstance(fact, Withdrawn) and fact.id not in gone and place.get(fact.of, k) < k:
            gone.add(fact.of)
    return frozenset(gone)


def fold(facts: Iterable[AnyFact]) -> Folded:
    """Return what the facts of one visit add up to.

    Parameters
    ----------
    facts : iterable of facts
        All facts of one visit, in any order, some of them perhaps twice.
    """
    ordered = in_order(facts)
    gone = withdrawn_of(ordered)
    counting = [fact for fact in ordered if fact.id not in gone]
    readings = _readings(counting)
    runs: dict[str, Run] = {}
    instruments: dict[str, Instrument] = {}
    prices: dict[str, Price] = {}
    site: Site | None = None
    system: System | None = None
    job: Job | None = None
    terminals: dict[str, Terminal] = {}
    seats: dict[str, Seat] = {}
    capacitors: dict[str, CapacitorSeen] = {}
    items: dict[str, ItemCounted] = {}
    complaint = system_id = ""
    for fact in counting:
        match fact:
            case VisitOpened():
                system_id = fact.system
            case SiteDescribed():
                site = fact.site
            case SystemDescribed():
                system = fact.system
            case ComplaintHeard():
                complaint = fact.words
            case InstrumentListed():
                instruments[fact.instrument.id] = fact.instrument
            case RunDescribed():
                runs[fact.run.id] = fact.run
            case PriceSet():
                prices[fact.price.item] = fact.price
            case JobSet():
                job = fact.job
            case TerminalSeen():
                terminals[fact.terminal.name] = fact.terminal
            case SeatSeen():
                seats[fact.seat.when] = fact.seat
            case RunCapacitorSeen():
                capacitors[fact.run_capacitor.when] = fact.run_capacitor
            case ItemCounted():
                items[fact.item] = fact
    taken: dict[str, list[tuple[Version, ...]]] = {run: [] for run in runs}
    astray = []
    for run, versions in readings.values():
        if run in taken:
            taken[run].append(versions)
        else:
            astray.append(versions[0].fact)
    known = {fact.id for fact in counting}
    astray.extend(fact.id for fact in counting if isinstance(fact, ReadingCorrected) and fact.of not in known)
    return Folded(
        id=ordered[0].visit if ordered else "",
        system_id=system_id,
        site=site,
        system=system,
        instrument=tuple(instruments.values()),
        run=tuple(
            msgspec.structs.replace(run, reading=tuple(versions[-1].reading for versions in taken[name]))
            for name, run in runs.items()
        ),
        work=tuple(fact for fact in counting if isinstance(fact, WorkDone)),
        job=job,
        terminal=tuple(terminals.values()),
        lead=tuple(fact for fact in counting if isinstance(fact, LeadSeen)),
        change=tuple(fact for fact in counting if isinstance(fact, ChangeIntended)),
        seat=tuple(seats.values()),
        run_capacitor=tuple(capacitors.values()),
        doing=tuple(fact for fact in counting if isinstance(fact, Doing)),
        item=items,
        gap=tuple(fact for fact in counting if isinstance(fact, GapSeen)),
        pattern=tuple(fact for fact in counting if isinstance(fact, PatternSeen)),
        price=tuple(prices.values()),
        photo=tuple(fact for fact in counting if isinstance(fact, PhotoTaken)),
        log=tuple(fact for fact in counting if isinstance(fact, LogKept)),
        report=tuple(fact for fact in counting if isinstance(fact, ReportIssued)),
        complaint=complaint,
        history={(run, k): versions for run, kept in taken.items() for k, versions in enumerate(kept)},
        withdrawn=gone,
        astray=tuple(astray),
    )


def _readings(counting: list[AnyFact]) -> dict[str, tuple[str, tuple[Version, ...]]]:
    """Run and versions of every reading that counts, by the fact that took it."""
    found: dict[str, tuple[str, tuple[Version, ...]]] = {
        fact.id: (fact.run, (Version(fact=fact.id, moment=fact.moment, reading=fact.reading),))
        for fact in counting
        if isinstance(fact, ReadingTaken)
    }
    for fact in counting:
        if isinstance(fact, ReadingCorrected) and fact.of in found:
            run, versions = found[fact.of]
            later = Version(fact=fact.id, moment=fact.moment, reading=fact.reading, why=fact.why)
            found[fact.of] = (run, (*versions, later))
    return found
