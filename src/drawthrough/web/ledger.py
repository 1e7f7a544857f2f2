"""The application's hand on the store: opens visits, remembers what they add up to, and writes facts once."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from drawthrough.judge.engine import Begun, begin, finish
from drawthrough.judge.judgement import Judgement
from drawthrough.store import Store, VisitLine
from drawthrough.visit.clock import Clock
from drawthrough.visit.facts import AnyFact, VisitOpened
from drawthrough.visit.fold import Folded, Incomplete, fold
from drawthrough.visit.record import Pen, facts_of
from drawthrough.visit.state import Run, Visit
from drawthrough.web.refusal import Refusal
from drawthrough.web.timepiece import Timepiece

_REMEMBERED = 64  # visits whose state is kept at hand


class Draft(NamedTuple):
    """A fact that is about to be written: its kind and its content."""

    kind: type[AnyFact]
    content: dict[str, Any]


def draft(kind: type[AnyFact], **content: Any) -> Draft:
    """Return a draft of a fact."""
    return Draft(kind, content)


class Opened:
    """A visit as it stands in the store now: its facts, and on demand what they add up to and what is judged of it."""

    def __init__(self, visit: str, facts: list[AnyFact]) -> None:
        self.id = visit
        self.facts = facts
        self.folded: Folded = fold(facts)
        self._judgement: Judgement | None = None
        self._begun: Begun | None = None

    def has(self, fact: str) -> bool:
        """Is a fact with this id among those of the visit?"""
        return any(one.id == fact for one in self.facts)

    def run(self, name: str) -> Run:
        """Return a run by its name.

        Raises
        ------
        Refusal
            There is no such run.
        """
        found = next((run for run in self.folded.run if run.id == name), None)
        if found is None:
            raise Refusal.missing()
        return found

    @property
    def visit(self) -> Visit | None:
        """The visit that can be judged, or None while its place or its equipment is not described."""
        try:
            return self.folded.visit
        except Incomplete:
            return None

    @property
    def judged(self) -> Judgement | None:
        """What is judged of it, if that has been worked out already."""
        return self._judgement

    @property
    def numbers(self) -> Judgement | None:
        """What is judged of it but for causes and what to read next: that comes sooner. None as for `judgement`."""
        if self._begun is None and (visit := self.visit) is not None:
            self._begun = begin(visit)
        return self._begun.judgement if self._begun is not None else None

    @property
    def judgement(self) -> Judgement | None:
        """What is judged of it, or None while it cannot be judged. Worked out once."""
        if self._judgement is None and self.numbers is not None and self._begun is not None:
            self._judgement = finish(self._begun)
        return self._judgement


class Summary(NamedTuple):
    """What the list of visits says of one."""

    system: str  # id
    site: str
    name: str  # of the system
    first: int  # moment of its first fact
    last: int
    readings: int


class Ledger:
    """Reads and writes the visits of one store as one device.

    Parameters
    ----------
    store : Store
        Where facts and photos are kept.
    timepiece : Timepiece
        Time and chance.
    device : str
        Name under which this application mints facts.
    """

    def __init__(self, store: Store, timepiece: Timepiece, device: str) -> None:
        self.store = store
        latest = max((line.last_moment for line in store.visits()), default=0)
        self.pen = Pen(device, timepiece.milliseconds, timepiece.random, store.highest_sequence(device), Clock(latest))
        self._at_hand: dict[str, Opened] = {}
        self._summaries: dict[str, tuple[int, Summary]] = {}

    def lines(self) -> list[VisitLine]:
        """Return a line for each visit, the one with the latest fact first."""
        return self.store.visits()

    def summary(self, line: VisitLine) -> Summary:
        """Return what the list says of a visit; worked out anew only when a fact was added."""
        count, known = self._summaries.get(line.visit, (0, None))
        if known is None or count != line.facts:
            folded = self.opened(line.visit).folded
            known = Summary(
                system=line.system or line.visit,
                site=folded.site.name if folded.site else "",
                name=folded.system.name if folded.system else "",
                first=line.opened_moment,
                last=line.last_moment,
                readings=sum(len(run.reading) for run in folded.run),
            )
            self._summaries[line.visit] = (line.facts, known)
        return known

    def opened(self, visit: str) -> Opened:
        """Return a visit as it stands.

        Raises
        ------
        Refusal
            There is no such visit.
        """
        count = self.store.count(visit)  # facts are only ever added, so their number tells whether anything changed
        if not count:
            raise Refusal.missing()
        known = self._at_hand.pop(visit, None)
        if known is None or len(known.facts) != count:
            known = Opened(visit, self.store.facts(visit))
        self._at_hand[visit] = known
        while len(self._at_hand) > _REMEMBERED:
            self._at_hand.pop(next(iter(self._at_hand)))
        return known

    def earlier(self, opened: Opened) -> list[Folded]:
        """Return the earlier visits to the same system, in the order in which they were opened."""
        system, first = opened.folded.system_id, opened.facts[0].moment
        lines = [line for line in self.store.visits() if line.system == system and line.visit != opened.id]
        lines = [line for line in lines if line.opened_moment < first]
        return [self.opened(line.visit).folded for line in sorted(lines, key=lambda line: line.opened_moment)]

    def once(self) -> str:
        """Return the id for the first fact that a form will write, so that sending the form again writes nothing."""
        return self.pen.id()

    def write(self, visit: str, drafts: Iterable[Draft], once: str = "") -> list[AnyFact]:
        """Write facts of a visit, all or none; nothing is written if the form that brings them was sent before.

        Returns
        -------
        list of facts
            What was written; empty if it had been written already.
        """
        if once and self.store.has(once):
            return []
        facts: list[AnyFact] = []
        for kind, content in drafts:
            facts.append(self.pen.mint(kind, visit, id=once if once and not facts else None, **content))
        self.store.append(facts)
        return facts

    def open_visit(self, system: str, drafts: Iterable[Draft], once: str) -> str:
        """Open a visit under the id of the form that asked for it, and return that id."""
        if not self.store.count(once):
            self.write(once, [draft(VisitOpened, system=system), *drafts])
        return once

    def bring_visit(self, visit: Visit, once: str) -> str:
        """Bring a sheet's visit into the record under the id of the form that brought it, and return that id."""
        if not self.store.count(once):
            self.store.append(facts_of(visit, self.pen, self.pen.id(), once))
        return once

    def bring(self, facts: list[AnyFact]) -> int:
        """Bring facts in that another device wrote; return how many were new."""
        fresh = self.store.append(facts)
        for fact in facts:
            self.pen.saw(fact)
        return fresh
