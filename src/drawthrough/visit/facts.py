"""What happened, as immutable facts in the past tense. A correction and an undo are further facts; nothing is erased.

Every fact carries where it was minted: its own id, the device, that device's running number, and a logical moment by
which all devices put all facts into one order, whatever way they arrived.
"""

import msgspec

from drawthrough.visit.state import (
    Gap,
    Instrument,
    Lead,
    Pattern,
    Price,
    Reading,
    Run,
    Site,
    System,
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


class ReportIssued(Fact, frozen=True, kw_only=True, tag="report issued"):
    """A report left the house: what was said, by which version of the engine."""

    engine: str
    judgement: str  # the judgement's JSON, as it was


AnyFact = (
    VisitOpened | SiteDescribed | SystemDescribed | ComplaintHeard | InstrumentListed | RunDescribed | ReadingTaken
    | ReadingCorrected | Withdrawn | WorkDone | LeadSeen | GapSeen | PatternSeen | PriceSet | PhotoTaken | LogKept
    | ReportIssued
)  # fmt: skip
