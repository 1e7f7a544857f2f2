"""The one line that says what is worth doing: it walks the whole road and ends."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Causes, NextReading, Verdict
from drawthrough.judge.next_step import next_step
from drawthrough.trade.reading_list import wanted
from drawthrough.trade.tasks import tasks
from drawthrough.visit.facts import TaskBegun, TaskDone
from drawthrough.visit.fold import fold
from drawthrough.visit.record import Pen, facts_of
from drawthrough.visit.sheet import load
from drawthrough.visit.state import Work

EXAMPLE = Path(__file__).parents[2] / "examples" / "dirty-wheel-psc.toml"


def folded_of(visit):
    return fold(facts_of(visit, Pen("test", lambda: 1, lambda: 1), "system", "visit"))


def code_of(visit) -> str | None:
    step = next_step(folded_of(visit), visit, None)
    return step.code if step else None


@pytest.fixture(scope="module")
def whole():
    return load(EXAMPLE)


@pytest.mark.property
def test_the_road_is_walked_in_its_order(whole):
    bare = replace(whole, run=(), work=(), instrument=())
    assert next_step(folded_of(bare), None, None).code == "describe the system"
    assert code_of(bare) == "list the instruments"
    listed = replace(bare, instrument=whole.instrument)
    assert code_of(listed) == "run the strips as found"
    without = replace(listed, system=replace(listed.system, strips=None))
    assert code_of(without) == "begin a run as found"
    assert code_of(replace(whole, instrument=())) != "list the instruments"  # never asked for what is past
    found = tuple(run for run in whole.run if run.when == "as found")
    strips = next(run for run in found if run.mode == "strips")
    begun = replace(listed, run=(replace(strips, reading=(), end=None),))
    assert code_of(begun) == "take the next reading"
    assert code_of(replace(listed, run=(strips,))) == "read a zero"
    assert code_of(replace(listed, run=found)) == "begin the work"
    worked = replace(listed, run=found, work=whole.work)
    assert code_of(worked) == "run the same again"
    again = tuple(replace(run, when="as left", id=f"{run.id} again") for run in found)
    assert code_of(replace(worked, run=found + again)) == "look at the proof and hand over"


@pytest.mark.property
def test_each_reading_taken_asks_for_another_one(whole):
    run = next(run for run in whole.run if run.mode == "cooling")
    for count in range(len(run.reading)):
        visit = replace(whole, run=(replace(run, reading=run.reading[:count], end=None),), work=())
        step = next_step(folded_of(visit), visit, None)
        if step.reading is None:
            break
        taken = {(one.what, one.at, one.against) for one in run.reading[:count]}
        assert (step.reading.what, step.reading.at, step.reading.against) not in taken
        assert step.reading == wanted(visit, visit.run[0])[0]


@pytest.mark.property
def test_a_run_that_has_ended_is_not_asked_about_again(whole):
    """A reading that nobody can take any more would hold up the whole road."""
    found = tuple(replace(run, reading=run.reading[:-1]) for run in whole.run if run.when == "as found")
    assert all(run.end is not None for run in found)
    assert code_of(replace(whole, run=found, work=())) == "begin the work"


@pytest.mark.property
def test_once_the_work_goes_by_the_plan_so_does_the_line(whole):
    """Task by task in the plan's order; soaking is waited for only when nothing else is left to do."""
    found = tuple(run for run in whole.run if run.when == "as found")
    visit = replace(whole, run=found, work=(), lead=(), job=None)
    minutes = [0.0]
    ids = iter(range(1, 10**6))
    pen = Pen("test", lambda: int(minutes[0] * 60_000), lambda: next(ids))
    made = facts_of(visit, pen, "system", "visit")

    def press(task):
        minutes[0] += 1
        made.append(pen.mint(TaskDone, "visit", task=task, checks=tasks().task[task].checks))

    def step():
        folded = fold(made)
        return next_step(folded, folded.visit, None, minutes[0] * 60)

    for task in ("arrive", "tell the risk"):
        press(task)
    told = step()
    assert (told.code, told.task) == ("do the task", "isolate")  # the readings as found are all there
    walked = []
    while (told := step()) is not None and told.code == "do the task":
        walked.append(told.task)
        press(told.task)
    first = [code for code in walked if code in ("isolate", "open the blower door", "discharge", "pull the blower")]
    assert first == ["isolate", "open the blower door", "discharge", "pull the blower"]
    assert told.code == "wait for it"
    assert told.minutes > 1
    minutes[0] += told.minutes
    assert step().task == told.task
    assert step().code == "do the task"


@pytest.mark.property
def test_a_task_in_hand_is_finished_first(whole):
    visit = replace(whole, run=tuple(run for run in whole.run if run.when == "as found"), work=())
    pen = Pen("test", lambda: 60_000, iter(range(1, 10**6)).__next__)
    made = facts_of(visit, pen, "system", "visit")
    made.append(pen.mint(TaskBegun, "visit", task="wipe the cabinet"))
    folded = fold(made)
    told = next_step(folded, folded.visit, None, 60.0)
    assert (told.code, told.task) == ("finish the task", "wipe the cabinet")


def judged_with(visit, *offers: NextReading, causes: tuple[str, ...] = ("coil", "filter")):
    """The judgement of a visit with other readings to take, and with causes that are a tie, or one that is not."""
    verdict = Verdict(causes=causes, tie=len(causes) > 1, probability=0.9)
    judgement = judge(visit)
    each = judgement.causes.each
    return replace(judgement, next_readings=offers, causes=Causes(found=verdict, left=None, each=each, told=True))


def offer(code: str, when: str, bits: float = 0.3, minutes: float = 2.0) -> NextReading:
    return NextReading(code=code, when=when, settles=("coil",), minutes=minutes, bits=bits)


@pytest.mark.property
def test_before_the_work_a_tie_is_worth_its_best_reading(whole):
    """The first that is worth the way, with its minutes; a cause that is said by itself needs none."""
    found = tuple(run for run in whole.run if run.when == "as found")
    visit = replace(whole, run=found, work=())
    folded = folded_of(visit)
    small, best = offer("look at the filter", "as found", 0.03), offer("drop across the coil", "as found")
    step = next_step(folded, visit, judged_with(visit, small, best))
    assert (step.offer, step.minutes, step.room) == ("drop across the coil", 2.0, "as found")
    for judgement in (None, judged_with(visit, small), judged_with(visit, best, causes=("coil",))):
        assert next_step(folded, visit, judgement).code == "begin the work"
    begun = replace(visit, run=found[:1] if found[0].mode != "cooling" else found[1:2])
    assert not next_step(
        folded_of(begun), begun, judged_with(begun, best)
    ).offer  # never before the readings of the list


@pytest.mark.property
def test_after_the_work_the_best_reading_comes_before_the_handover(whole):
    """One that settles hardly anything does not; one that the others contradict is read again, in its run."""
    again = tuple(replace(run, when="as left", id=f"{run.id} again") for run in whole.run if run.when == "as found")
    visit = replace(whole, run=tuple(run for run in whole.run if run.when == "as found") + again)
    folded = folded_of(visit)
    best, check = offer("rpm", "as left"), offer("statics again", "as left", 0.0)
    assert next_step(folded, visit, judged_with(visit, best, causes=("coil",))).offer == "rpm"
    assert next_step(folded, visit, judged_with(visit, check)).code == "look at the proof and hand over"
    assert next_step(folded, visit, judged_with(visit, offer("strips", "as found"))).offer == ""
    wrong = offer(f"again: static supply plenum in {again[0].id}", "as left", 0.0, 1.0)
    step = next_step(folded, visit, judged_with(visit, wrong, best))
    assert (step.offer, step.run, step.minutes) == (wrong.code, again[0].id, 1.0)


@pytest.mark.property
def test_with_the_power_off_no_reading_as_found_is_offered(whole):
    """By the plan it is offered until the equipment is isolated."""
    found = tuple(run for run in whole.run if run.when == "as found")
    visit = replace(whole, run=found, work=(), lead=(), job=None)
    judgement = judged_with(visit, offer("drop across the coil", "as found"))
    pen = Pen("test", lambda: 60_000, iter(range(1, 10**6)).__next__)
    made = facts_of(visit, pen, "system", "visit")

    def step():
        folded = fold(made)
        return next_step(folded, folded.visit, judgement, 60.0)

    for task in ("arrive", "tell the risk"):
        made.append(pen.mint(TaskDone, "visit", task=task, checks=tasks().task[task].checks))
    assert step().offer == "drop across the coil"
    made.append(pen.mint(TaskBegun, "visit", task="isolate"))
    assert step().offer == ""
    assert step().task == "isolate"


@pytest.mark.property
def test_a_look_alone_leaves_the_state_as_found(whole):
    """What was only inspected was not worked on: as found can still be read, and nothing is run again yet."""
    look = Work(part="filter", action="inspected", condition="seen clean")
    visit = replace(whole, run=tuple(run for run in whole.run if run.when == "as found"), work=(look,))
    assert code_of(visit) == "begin the work"
    step = next_step(folded_of(visit), visit, judged_with(visit, offer("drop across the coil", "as found")))
    assert step.offer == "drop across the coil"
    assert code_of(replace(visit, work=whole.work)) == "run the same again"
