"""What happened, as immutable facts in the past tense. A correction and an undo are further facts; nothing is erased.

Every fact carries where it was minted: its own id, the device, that device's running number, and a logical moment by
which all devices put all facts into one order, whatever way they arrived.
"""

from typing import Literal

import msgspec

from drawthrough.visit.state import (
    CapacitorSeen,
    Change,
    Gap,
    Instrument,
    Job,
    Lead,
    Pattern,
    Price,
    Reading,
    Run,
    Seat,
    Site,
    System,
    Terminal,
    Work,
)


class Fact(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag_field="fact"):
    """Base of all facts."""

    id: str  # UUID version 7, minted on the device
    visit: str  # id of the visit that it belongs to
    device: str
    sequence: int  # 1, 2, 3 ... on its device
    moment: int  # hybrid logical clock: milliseconds since 1970 times 65536, plus a counter


class VisitOpened(Fact, frozen=True, kw_only=True, tag="visit opened"):
    """A visit to a system began."""

    system: str  # id of the system, the same on every visit to it


class SiteDescribed(Fact, frozen=True, kw_only=True, tag="site described"):
    """Where the system stands was written down; a later description replaces an earlier one."""

    site: Site


class SystemDescribed(Fact, frozen=True, kw_only=True, tag="system described"):
    """The equipment was written down; a later description replaces an earlier one."""

    system: System


class ComplaintHeard(Fact, frozen=True, kw_only=True, tag="complaint heard"):
    """The occupant said what was wrong, in their own words."""

    words: str


class InstrumentListed(Fact, frozen=True, kw_only=True, tag="instrument listed"):
    """An instrument was taken out; listing its id again replaces what was known of it."""

    instrument: Instrument


class RunDescribed(Fact, frozen=True, kw_only=True, tag="run described"):
    """The system was run in one way; describing the run again replaces everything but its readings."""

    run: Run


class ReadingTaken(Fact, frozen=True, kw_only=True, tag="reading taken"):
    """A reading was taken in a run."""

    run: str
    reading: Reading


class ReadingCorrected(Fact, frozen=True, kw_only=True, tag="reading corrected"):
    """A reading had been written down wrongly; the old one stays legible."""

    of: str  # id of the fact `reading taken`
    reading: Reading
    why: str = ""


class Withdrawn(Fact, frozen=True, kw_only=True, tag="withdrawn"):
    """A fact was taken back. A withdrawal can itself be withdrawn, which brings the first fact back."""

    of: str
    why: str = ""


class WorkDone(Fact, frozen=True, kw_only=True, tag="work done"):
    """Something was done to a part, or left undone."""

    work: Work


class LeadSeen(Fact, frozen=True, kw_only=True, tag="lead seen"):
    """One lead was traced, as found or as left."""

    lead: Lead


class TerminalSeen(Fact, frozen=True, kw_only=True, tag="terminal seen"):
    """A landing point of leads was seen or tested; seeing its name again replaces what was known of it."""

    terminal: Terminal


class ChangeIntended(Fact, frozen=True, kw_only=True, tag="change intended"):
    """The wiring is meant to be changed: what the lead map then does not hold against it."""

    change: Change


class SeatSeen(Fact, frozen=True, kw_only=True, tag="seat seen"):
    """How motor and wheel sit was looked at; a later look of the same time replaces an earlier one."""

    seat: Seat


class RunCapacitorSeen(Fact, frozen=True, kw_only=True, tag="run capacitor seen"):
    """The blower's run capacitor was read; a later reading of the same time replaces an earlier one."""

    run_capacitor: CapacitorSeen


class GapSeen(Fact, frozen=True, kw_only=True, tag="gap seen"):
    """An opening was seen by which air can come in."""

    gap: Gap


class PatternSeen(Fact, frozen=True, kw_only=True, tag="pattern seen"):
    """Dirt, or none, was seen on a surface."""

    pattern: Pattern


class PriceSet(Fact, frozen=True, kw_only=True, tag="price set"):
    """A line of the price list was set; setting the item again replaces its amount."""

    price: Price


class PhotoTaken(Fact, frozen=True, kw_only=True, tag="photo taken"):
    """A photo was taken; its content lies in the store under its digest."""

    digest: str  # SHA-256 of the content, hexadecimal
    media: str  # media type
    size: int  # [byte]
    of: str  # what it shows
    when: str  # as found, as left, or anything between


class LogKept(Fact, frozen=True, kw_only=True, tag="log kept"):
    """A logger's file was dropped on a run; as it was, it lies in the store under its digest."""

    digest: str  # SHA-256 of the content, hexadecimal
    name: str  # of the file
    size: int  # [byte]
    run: str


class JobSet(Fact, frozen=True, kw_only=True, tag="job set"):
    """What is to be done was settled; a later word replaces an earlier one."""

    job: Job


class TaskBegun(Fact, frozen=True, kw_only=True, tag="task begun"):
    """Hands were put to a task."""

    task: str


class TaskDone(Fact, frozen=True, kw_only=True, tag="task done"):
    """A task was done, with those of its checks that were ticked."""

    task: str
    checks: tuple[str, ...] = ()
    note: str = ""


class TaskLeft(Fact, frozen=True, kw_only=True, tag="task left"):
    """A task of the plan is not done today."""

    task: str
    why: str = ""


class HoldPassed(Fact, frozen=True, kw_only=True, tag="hold passed"):
    """A hold point was passed for a written reason, while conditions of it were open."""

    hold: str
    open: tuple[str, ...]  # codes of the conditions that the reason speaks of
    why: str


class RiskTold(Fact, frozen=True, kw_only=True, tag="risk told"):
    """A risk was told to the customer before the start: its price and the point at which it ends."""

    guide: str
    stop_after: float  # [s]
    amount: float | None = None  # in the currency of the site
    note: str = ""


class SnagMet(Fact, frozen=True, kw_only=True, tag="snag met"):
    """Something went otherwise than planned: what explains the hours."""

    guide: str = ""  # code of the guide that was opened, where one was
    step: str = ""  # code of the step of it that was reached
    note: str = ""


class ItemCounted(Fact, frozen=True, kw_only=True, tag="item counted"):
    """An item of the truck list was ticked off, was missing, or ran out."""

    item: str
    state: Literal["on the truck", "not on the truck", "ran out"]


class LeftWaiting(Fact, frozen=True, kw_only=True, tag="left waiting"):
    """Something was seen that cannot be reached now; it waits for an opening, on this visit or a later one."""

    task: str
    why: str = ""


class ReportIssued(Fact, frozen=True, kw_only=True, tag="report issued"):
    """A report left the house: what was said, by which version of the engine."""

    engine: str
    judgement: str  # the judgement's JSON, as it was


AnyFact = (
    VisitOpened | SiteDescribed | SystemDescribed | ComplaintHeard | InstrumentListed | RunDescribed | ReadingTaken
    | ReadingCorrected | Withdrawn | WorkDone | TerminalSeen | LeadSeen | ChangeIntended | SeatSeen | RunCapacitorSeen
    | GapSeen | PatternSeen | PriceSet | PhotoTaken | LogKept | JobSet | TaskBegun | TaskDone | TaskLeft | HoldPassed
    | RiskTold | SnagMet | ItemCounted | LeftWaiting | ReportIssued
)  # fmt: skip
