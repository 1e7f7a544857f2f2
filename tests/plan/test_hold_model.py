"""No sequence of taps reaches power, or the inside, with a hold point open and no reason.

A phone is tapped at random: tasks are called done with or without their checks, leads are mapped rightly and wrongly,
reasons are written. Whatever the tool lets through is held against rules that are written here anew, on the bare facts.
"""

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from drawthrough.plan.course import planned_now
from drawthrough.plan.hold import held
from drawthrough.plan.press import may_pass, way_to
from drawthrough.plan.progress import Progress
from drawthrough.trade.hold_points import hold_points
from drawthrough.trade.tasks import tasks
from drawthrough.visit import facts
from drawthrough.visit.fold import fold
from drawthrough.visit.state import Lead, Terminal
from tests.plan.conftest import Book

MADE = tasks()
SOUND = {
    "black": ("high speed", "relay NO"),
    "blue": ("medium speed", "park 1"),
    "white": ("common", "line L2"),
    "brown": ("run capacitor", "capacitor 1"),
    "brown/white": ("run capacitor", "capacitor 2"),
    "green": ("ground", "cabinet screw"),
}
INSIDE = {"blower door", "coil panel", "blower out", "motor off"}
CODES = list(MADE.task)


class Taps(RuleBasedStateMachine):
    """One phone, one visit, any order of taps."""

    @initialize(
        far=st.integers(0, len(CODES)) | st.integers(35, 41),
        forgotten=st.sets(st.sampled_from(CODES), max_size=2),
        said=st.booleans(),
    )
    def begin(self, far, forgotten, said):
        """Somewhere along a usual day, on which one thing or another was forgotten."""
        self.book = Book()
        self.through = []  # what the tool let through: the task, and the facts before it
        if said:
            say_everything(self.book)
        for one in planned_now(self.progress)[:far]:
            if one.code not in forgotten:
                self._tap(one.code, one.task.checks)

    @property
    def progress(self):
        return Progress(fold(self.book.facts))

    def _tap(self, code, checks):
        progress = self.progress
        there = {one.code for one in planned_now(progress)}
        before = list(self.book.facts)
        self.book.minutes += 1
        if way_to(code, progress, there, checks).clear:
            self.book.write(facts.TaskDone, task=code, checks=tuple(checks))
            self.through.append((code, before))
        else:
            assert before == self.book.facts

    @rule(code=st.sampled_from(CODES), missing=st.integers(0, 4))
    def tap(self, code, missing):
        checks = MADE.task[code].checks
        self._tap(code, checks[: len(checks) - missing] if missing < 3 else checks)

    @rule()
    def tap_the_next(self):
        """The usual way, so that runs get far."""
        progress = self.progress
        for one in planned_now(progress):
            if not progress.done(one.code):
                self._tap(one.code, one.task.checks)
                return

    @rule()
    def tap_power(self):
        self._tap("power on", MADE.task["power on"].checks)

    @rule(code=st.sampled_from(["spin the wheel", "change the capacitor", "prove the parks"]))
    def leave_out(self, code):
        self.book.write(facts.TaskLeft, task=code, why="no time")

    @rule(colour=st.sampled_from(sorted(SOUND)), when=st.sampled_from(["as found", "as left"]), wrong=st.booleans())
    def see_lead(self, colour, when, wrong):
        function, terminal = SOUND[colour]
        lead = Lead(
            colour=colour, function=function, origin="motor", terminal="line L1" if wrong else terminal, when=when
        )
        for fact in list(self.book.folded.lead):
            if (fact.lead.colour, fact.lead.when) == (colour, when):
                self.book.write(facts.Withdrawn, of=fact.id)
        self.book.write(facts.LeadSeen, lead=lead)

    @rule(when=st.sampled_from(["as found", "as left"]))
    def see_all_leads(self, when):
        for colour in SOUND:
            self.see_lead(colour, when, wrong=False)
        for name in ("park 1",):
            self.book.write(facts.TerminalSeen, terminal=Terminal(name=name, kind="park", proved_dead=True))

    @rule()
    def photograph(self):
        self.book.write(facts.PhotoTaken, digest="0" * 64, media="image/jpeg", size=1, of="wiring", when="as found")

    @rule()
    def tell(self):
        self.book.write(facts.RiskTold, guide="hub", stop_after=2700.0)

    @rule(code=st.sampled_from(sorted(hold_points())))
    def reason(self, code):
        progress = self.progress
        found = may_pass(code, progress, {one.code for one in planned_now(progress)})
        if found is not None:
            assert hold_points()[code].passable
            self.book.write(facts.HoldPassed, hold=code, open=tuple(one.code for one in found.open), why="as told")

    @invariant()
    def nothing_went_through_that_must_not(self):
        for code, before in self.through:
            wrong = breach(code, before)
            assert not wrong, (code, wrong)
        self.through.clear()


def breach(code, before):
    """Return what a task breaks, from the bare facts before it: the rules of the trade written down a second time."""
    done = [(fact.task, set(fact.checks)) for fact in before if isinstance(fact, facts.TaskDone)]

    def last(task, whole=True):
        return max(
            (
                k
                for k, (one, checks) in enumerate(done)
                if one == task and (not whole or set(MADE.task[one].checks) <= checks)
            ),
            default=-1,
        )

    dead = last("isolate") > last("power on", False)
    if (set(MADE.task[code].needs) & INSIDE or MADE.task[code].opens in INSIDE) and not dead:
        return "not dead"
    discharged = last("discharge") > last("power on", False) and last("discharge") >= 0
    if set(MADE.task[code].needs) & INSIDE and code != "discharge" and not discharged:
        return "not discharged"
    if code != "power on":
        return None
    fold_ = fold(before)
    anew = max(
        (k for k, fact in enumerate(before) if isinstance(fact, facts.TaskDone) and fact.task == "isolate"), default=-1
    )
    answered = {
        one
        for fact in before[anew + 1 :]
        if isinstance(fact, facts.HoldPassed) and fact.hold == "power"
        for one in fact.open
    }
    for opener, ender in (
        ("pull the blower", "refit the blower"),
        ("try the hub", "fit the wheel"),
        ("open the blower door", "close the blower door"),
        ("open the coil panel", "close the coil panel"),
    ):
        if last(opener, False) > last(ender, False) and "all closed" not in answered:
            return f"{opener} without {ender}"
    pulled = last("pull the blower", False) >= 0
    if (
        pulled
        and "spins free" not in answered
        and last("spin the wheel") <= max(last("refit the blower", False), last("fit the wheel", False))
    ):
        return "not spun"
    if pulled and "leads agree" not in answered:
        found, left = (
            {one.lead.colour: one.lead.terminal for one in fold_.lead if one.lead.when == when}
            for when in ("as found", "as left")
        )
        if not found or found != left:
            return "leads do not agree"
    return None


Taps.TestCase.settings = settings(
    deadline=None, max_examples=60, stateful_step_count=25, suppress_health_check=list(HealthCheck)
)
TestTaps = pytest.mark.property(Taps.TestCase)


def say_everything(book):
    """Write down all that hold points ask of the record, rightly."""
    for colour, (function, terminal) in SOUND.items():
        for when in ("as found", "as left"):
            lead = Lead(colour=colour, function=function, origin="motor", terminal=terminal, when=when)
            book.write(facts.LeadSeen, lead=lead)
    book.write(facts.TerminalSeen, terminal=Terminal(name="park 1", kind="park", proved_dead=True))
    book.write(facts.PhotoTaken, digest="0" * 64, media="image/jpeg", size=1, of="wiring", when="as found")
    book.write(facts.RiskTold, guide="hub", stop_after=2700.0)


def _whole_way(book, skip=()):
    """Tap the whole day in its usual order with everything right; return what would not go through."""
    say_everything(book)
    stuck = []
    for one in planned_now(Progress(book.folded)):
        if one.code in skip:
            continue
        progress = Progress(book.folded)
        way = way_to(one.code, progress, {other.code for other in planned_now(progress)}, one.task.checks)
        if way.clear:
            book.write(facts.TaskDone, after=1, task=one.code, checks=one.task.checks)
        else:
            stuck.append((one.code, [found.hold.code for found in way.held], way.shut))
    return stuck


@pytest.mark.property
def test_the_usual_day_goes_through(book):
    assert _whole_way(book) == []


# Each step that was forgotten stops the day where the trade says so. Common practice, no source.
@pytest.mark.property
@pytest.mark.parametrize(
    ("forgotten", "stopped", "by"),
    [
        ("isolate", "open the blower door", "first reach"),
        ("discharge", "map the leads", "hands inside"),
        ("discharge", "look at the coil", "hands inside"),
        ("discharge", "oil the hub", "hands inside"),
        ("prove the parks", "release the leads", "leads off"),
        ("prove the drain", "spray the coil", "water"),
        ("cover what stays dry", "spray the coil", "water"),
        ("spin the wheel", "power on", "power"),
        ("close the blower door", "power on", "power"),
        ("fit the wheel", "power on", "power"),
    ],
)
def test_a_forgotten_step_stops_the_day(book, forgotten, stopped, by):
    stuck = {code: holds for code, holds, _ in _whole_way(book, skip=(forgotten,))}
    assert by in stuck[stopped]


@pytest.mark.property
def test_a_reason_speaks_only_of_what_was_open_then(book):
    """A lead that goes astray after a reason was written for another matter holds again."""
    assert _whole_way(book, skip=("spin the wheel", "power on", "fire the strips", "take the readings again")) == []
    there = {one.code for one in planned_now(Progress(book.folded))}
    found = may_pass("power", Progress(book.folded), there)
    assert [one.code for one in found.open] == ["spins free"]
    book.write(facts.HoldPassed, hold="power", open=("spins free",), why="no room for a hand; turned with a rod")
    assert way_to("power on", Progress(book.folded), there).clear
    wrong = next(fact for fact in book.folded.lead if fact.lead.colour == "blue" and fact.lead.when == "as left")
    book.write(facts.Withdrawn, of=wrong.id)
    book.write(
        facts.LeadSeen,
        lead=Lead(colour="blue", function="medium speed", origin="motor", terminal="relay NO", when="as left"),
    )
    way = way_to("power on", Progress(book.folded), there)
    assert [one.code for one in way.held[0].unanswered] == ["leads agree", "rules kept"]


@pytest.mark.property
def test_a_reason_does_not_outlive_its_opening(book):
    assert _whole_way(book) == []
    book.write(facts.HoldPassed, hold="power", open=("spins free",), why="x")
    book.write(facts.TaskDone, task="isolate", checks=MADE.task["isolate"].checks)
    hold = held(hold_points()["power"], Progress(book.folded), {"pull the blower"})
    assert "spins free" in [one.code for one in hold.unanswered]


@pytest.mark.property
def test_isolation_is_void_once_power_came_back(book):
    assert _whole_way(book) == []
    there = {one.code for one in planned_now(Progress(book.folded))}
    way = way_to("clean the motor", Progress(book.folded), there)
    assert not way.clear
    assert [found.hold.code for found in way.held] == ["hands inside"]
    assert may_pass("hands inside", Progress(book.folded), there) is None


@pytest.mark.property
def test_a_blower_that_came_out_asks_for_its_leads_whatever_else_was_pressed(book):
    """Whoever forgot to press that the leads were released is asked for the map all the same."""
    off = ("release the leads", "change the capacitor", "power on")
    _whole_way(book, skip=off)
    for code in off[:2]:
        book.write(facts.TaskLeft, task=code, why="x")
    wrong = next(fact for fact in book.folded.lead if fact.lead.colour == "blue" and fact.lead.when == "as left")
    book.write(facts.Withdrawn, of=wrong.id)
    there = {one.code for one in planned_now(Progress(book.folded))}
    way = way_to("power on", Progress(book.folded), there)
    assert "leads agree" in [one.code for one in way.held[0].unanswered]


@pytest.mark.property
def test_power_with_the_blower_out_for_a_reason_still_holds_the_inside(book):
    _whole_way(book, skip=("fit the wheel", "refit the blower", "power on"))
    there = {one.code for one in planned_now(Progress(book.folded))}
    found = may_pass("power", Progress(book.folded), there)
    assert "all closed" in [one.code for one in found.open]
    book.write(facts.HoldPassed, hold="power", open=tuple(one.code for one in found.open), why="the outdoor fan alone")
    assert way_to("power on", Progress(book.folded), there, MADE.task["power on"].checks).clear
    book.write(facts.TaskDone, task="power on", checks=MADE.task["power on"].checks)
    for code in ("wash the wheel", "wipe the cabinet", "look at the seams", "clean the motor"):
        (inside,) = (one for one in way_to(code, Progress(book.folded), there).held if one.hold.code == "hands inside")
        assert [one.code for one in inside.unanswered] == ["proved dead", "discharged"]
