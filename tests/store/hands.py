"""Devices whose clock and chance are known, what they write down, and the stores that it is put into."""

import random
from pathlib import Path

import msgspec

from drawthrough.store import Store
from drawthrough.store.memory import MemoryStore
from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit import facts
from drawthrough.visit.facts import AnyFact
from drawthrough.visit.record import Pen
from drawthrough.visit.state import Reading, Run, Site, Work

START = 1_773_000_000_000  # some day in 2026 [ms]

# Every way in which facts and photos are kept; each takes a folder of its own.
MAKERS = {
    "memory": lambda folder: MemoryStore(),
    "sqlite in memory": lambda folder: SqliteStore(),
    "sqlite, write-ahead log, photos in a folder": lambda folder: SqliteStore(
        folder / "a.db", photos=folder / "photos"
    ),
    "sqlite, truncated journal, photos in the file": lambda folder: SqliteStore(folder / "a.db", journal="truncate"),
}


class Hand:
    """One device."""

    def __init__(self, device: str = "phone", seed: int = 1, start: int = START) -> None:
        self.now = start
        self.chance = random.Random(seed)
        self.pen = Pen(device, self.tell, lambda: self.chance.getrandbits(80))

    def tell(self) -> int:
        self.now += 1000
        return self.now

    def opens(self, visit: str = "visit-1", system: str = "system-1") -> AnyFact:
        return self.pen.mint(facts.VisitOpened, visit, system=system)

    def reads(self, value: float, visit: str = "visit-1", run: str = "strips") -> AnyFact:
        return self.pen.mint(facts.ReadingTaken, visit, run=run, reading=reading(value))

    def corrects(self, of: AnyFact, value: float) -> AnyFact:
        return self.pen.mint(facts.ReadingCorrected, of.visit, of=of.id, reading=reading(value), why="misread")

    def takes_back(self, of: AnyFact) -> AnyFact:
        return self.pen.mint(facts.Withdrawn, of.visit, of=of.id)

    def describes(self, visit: str = "visit-1", **changes: object) -> AnyFact:
        run = msgspec.structs.replace(Run(id="strips", when="as found", mode="strips", speed="high"), **changes)
        return self.pen.mint(facts.RunDescribed, visit, run=run)

    def works(self, visit: str = "visit-1", part: str = "wheel") -> AnyFact:
        return self.pen.mint(facts.WorkDone, visit, work=Work(part=part, action="cleaned"))


def reading(value: float) -> Reading:
    return Reading(what="static", at="after filter", against="room", value=value, typed=f"{value} Pa")


def altered(fact: AnyFact) -> AnyFact:
    """The same id, and something else said."""
    return msgspec.structs.replace(fact, moment=fact.moment + 1)


def two_visits() -> list[AnyFact]:
    """What two devices wrote of two visits: openings, corrections, an undo, an undo of an undo, and of an opening."""
    phone, tablet = Hand("phone", 1), Hand("tablet", 2, start=START - 3_600_000)  # the tablet's clock is an hour late
    opened = phone.opens()
    described = phone.describes()
    taken = phone.reads(-40.0)
    tablet.pen.saw(taken)
    corrected = tablet.corrects(taken, -42.0)
    undone = phone.takes_back(corrected)
    tablet.pen.saw(undone)
    redone = tablet.takes_back(undone)
    wrong = tablet.opens("visit-2", "system-2")
    gone = tablet.takes_back(wrong)
    return [
        opened,
        described,
        taken,
        corrected,
        undone,
        redone,
        wrong,
        gone,
        tablet.describes(doors_on=False),
        tablet.reads(-80.0),
        phone.works(),
        phone.opens("visit-2", "system-3"),
        phone.pen.mint(facts.SiteDescribed, "visit-2", site=Site(name="Casa con sótano · 家", altitude=310.0)),
        phone.pen.mint(facts.ComplaintHeard, "visit-2", words='It smells. <b>Weak</b> "air"\n\u0000 '),
    ]


def kept_by(store: Store) -> list[AnyFact]:
    """Everything, in the order in which it came."""
    return store.since(0)[0]


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file of a folder with its content."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file()}
