"""The day: precedence and openings never broken, shorter than in a row, and true as real times come in."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough.plan.job import planned
from drawthrough.plan.progress import Progress
from drawthrough.plan.timeline import items_of, timeline
from drawthrough.trade.tasks import tasks
from drawthrough.visit import facts
from drawthrough.visit.state import Chemical, Job

MADE = tasks()
MINUTE = 60.0
SLIGHT = 1e-6


def broken(found, planned_):
    """Return what a day breaks: who waits for what, openings, and nobody in two places. Written anew, from the data."""
    slot, faults = found.by_code, []
    for one in planned_:
        here = slot[one.code]
        for code, over in MADE.before[one.code].items():
            if code not in slot:
                continue
            if here.state != "done" and here.start < (slot[code].over if over else slot[code].end) - SLIGHT:
                faults.append((code, one.code))
        for opening in one.task.needs:
            if here.state == "ahead":
                made, ended = slot[MADE.opener(opening).code], slot[MADE.ender(opening).code]
                if not made.end - SLIGHT <= here.start <= here.end <= ended.start + SLIGHT:
                    faults.append((opening, one.code))
    for person in (0, 1):
        busy = sorted((one.start, one.end) for one in found.slots if one.who == person and one.state == "ahead")
        faults += [(a, b) for a, b in pairwise(busy) if b[0] < a[1] - SLIGHT]
    return faults


@pytest.mark.property
@settings(deadline=None, max_examples=25)
@given(
    st.sets(st.sampled_from(sorted(MADE.scopes)), min_size=1),
    st.sets(st.sampled_from([code for code, one in MADE.task.items() if one.extra])),
    st.sampled_from([1, 2]),
)
def test_nothing_is_broken_and_nothing_is_lost(scope, extra, crew):
    there = planned(Job(scope=tuple(scope), extra=tuple(extra)), None)
    found = timeline(there, crew, 1000.0)
    assert not broken(found, there)
    assert sorted(found.by_code) == sorted(one.code for one in there)
    assert found.finish.low <= found.finish.best <= found.finish.high
    assert max(one.over for one in found.slots) - 1000.0 <= found.in_row + SLIGHT


@pytest.mark.property
def test_the_demo_is_shorter_than_in_a_row(book):
    there = planned(None, book.system)
    for crew in (1, 2):
        found = timeline(there, crew, 0.0)
        by_hand = sum(sum(one.hands) / 3 + sum(one.idle) / 3 for one in there)
        assert found.in_row == pytest.approx(by_hand)
        assert max(one.over for one in found.slots) < by_hand - 60 * MINUTE


@pytest.mark.property
def test_real_times_move_the_day(book):
    there = planned(None, book.system)
    planned_finish = timeline(there, 1, 0.0).finish.best
    begin = book.write(facts.TaskBegun, task="arrive")
    book.write(facts.TaskDone, after=8, task="arrive")
    book.write(facts.TaskBegun, task="take the readings")
    book.write(facts.TaskDone, after=90, task="take the readings")
    now = book.minutes * MINUTE
    found = timeline(there, 1, 0.0, Progress(book.folded), now)
    slot = found.by_code
    assert slot["take the readings"].state == "done"
    assert slot["take the readings"].end - slot["take the readings"].start == pytest.approx(90 * MINUTE)
    assert all(one.start >= now - SLIGHT for one in found.slots if one.state == "ahead")
    assert found.finish.best > planned_finish + 30 * MINUTE
    assert not broken(found, there)
    assert begin.task == "arrive"


@pytest.mark.property
def test_a_task_in_hand_is_not_over_before_now(book):
    there = planned(None, book.system)
    book.write(facts.TaskBegun, task="arrive")
    for minutes in (1, 5, 30, 120):
        now = minutes * MINUTE
        found = timeline(there, 1, 0.0, Progress(book.folded), now)
        assert found.by_code["arrive"].state == "in hand"
        assert found.by_code["arrive"].end > now
        assert found.finish.low > now


@pytest.mark.property
def test_waiting_runs_on_while_other_hands_work(book):
    there = planned(None, book.system)
    done = ["arrive", "tell the risk", "take the readings", "isolate", "open the blower door", "discharge"]
    done += ["photograph the wiring", "map the leads", "prove the parks", "measure the seat", "release the leads"]
    for code in (*done, "pull the blower", "oil the hub"):
        book.write(facts.TaskDone, after=3, task=code)
    end = book.minutes * MINUTE
    found = timeline(there, 1, 0.0, Progress(book.folded), end)
    soak = next(one for one in there if one.code == "oil the hub").idle
    assert found.by_code["try the hub"].start >= end + sum(soak) / 3 - SLIGHT
    assert any(end - SLIGHT <= one.start < end + MINUTE for one in found.slots if one.state == "ahead")


@pytest.mark.property
def test_a_label_that_can_no_longer_be_kept_is_said(book):
    label = Chemical(name="cleaner", use="coil", dwell_least=300.0, dwell_most=600.0)
    there = planned(Job(chemical=(label,)), book.system)
    book.write(facts.TaskDone, task="spray the coil")
    late = timeline(there, 1, 0.0, Progress(book.folded), 30 * MINUTE)
    assert late.late == ("rinse the coil",)
    assert timeline(there, 1, 0.0).late == ()


@pytest.mark.property
def test_the_same_again_is_the_same(book):
    there = planned(replace(Job(), crew=2), book.system)
    assert timeline(there, 2, 5.0) == timeline(there, 2, 5.0)
    assert items_of(there) == items_of(there)
