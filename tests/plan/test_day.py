"""The day as its facts have it: since when it goes on, what was left out, and a job that can always be shown."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.plan import choose
from drawthrough.plan.day import Day, began, job_that_holds, still_planned
from drawthrough.plan.finish import mean
from drawthrough.plan.job import planned
from drawthrough.trade.tasks import tasks
from drawthrough.visit import facts
from drawthrough.visit.state import Chemical, Job

MADE = tasks()
CODES = sorted(MADE.task)
MINUTE = 60.0


@pytest.mark.property
def test_before_the_first_task_it_begins_now(book):
    day = Day(book.folded, 5000.0)
    assert not day.going
    assert day.plan.begin == 5000.0
    assert began(book.folded, MADE) is None


@pytest.mark.analytic
def test_it_begins_with_the_first_task(book):
    book.write(facts.TaskBegun, task="arrive", after=10)
    book.write(facts.TaskDone, task="arrive", after=9)
    day = Day(book.folded, 25 * MINUTE)
    assert day.going
    assert day.plan.begin == 10 * MINUTE
    assert (day.plan.by_code["arrive"].start, day.plan.by_code["arrive"].end) == (10 * MINUTE, 19 * MINUTE)
    assert min(slot.start for slot in day.plan.slots if slot.state == "ahead") >= 25 * MINUTE


@pytest.mark.analytic
def test_a_task_that_was_only_called_done_took_its_usual_time(book):
    book.write(facts.TaskDone, task="arrive", after=30)
    usual = mean(MADE.task["arrive"].hands)
    assert began(book.folded, MADE) == 30 * MINUTE - usual
    slot = Day(book.folded, 31 * MINUTE).plan.by_code["arrive"]
    assert (slot.start, slot.end) == (30 * MINUTE - usual, 30 * MINUTE)


@pytest.mark.property
@settings(max_examples=30, deadline=None)
@given(st.sets(st.sampled_from(CODES), max_size=12))
def test_what_was_left_out_is_seen_through(left):
    """What lay before it still lies before what came after: the same ways, and no other."""

    class Record:
        made = MADE

        def left_fact(self, code):
            return code if code in left else None

    whole = planned(None, None)
    kept = still_planned(whole, Record())
    assert [one.code for one in kept] == [one.code for one in whole if one.code not in left]
    after = {one.code: {code for code, _ in one.after} for one in whole}

    def reached(code):
        found, todo = set(), list(after[code])
        while todo:
            before = todo.pop()
            if before not in found:
                found.add(before)
                todo += after[before]
        return found

    there = {one.code for one in kept}
    again = {one.code: {code for code, _ in one.after} for one in kept}
    for one in kept:
        assert again[one.code] <= there
        found, todo = set(), list(again[one.code])
        while todo:
            before = todo.pop()
            if before not in found:
                found.add(before)
                todo += again[before]
        assert found == reached(one.code) & there


@pytest.mark.property
def test_a_task_that_was_left_out_is_not_planned(book):
    book.write(facts.TaskBegun, task="arrive", after=1)
    book.write(facts.TaskLeft, task="look at the seams", why="no light", after=1)
    day = Day(book.folded, 10 * MINUTE)
    assert "look at the seams" not in day.plan.by_code
    book.write(facts.TaskBegun, task="look at the seams", after=9)
    assert "look at the seams" in Day(book.folded, 12 * MINUTE).plan.by_code


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from([*MADE.scopes, "ducts"]), max_size=4),
    st.lists(st.sampled_from([*CODES, "sing"]), max_size=4),
    st.lists(st.sampled_from([*CODES, "dance"]), max_size=4),
)
def test_a_day_is_shown_whatever_the_job_says(scope, extra, without):
    """What cannot be planned is taken out and named; what can be is kept."""
    job = Job(scope=tuple(scope), extra=tuple(extra), without=tuple(without))
    held, refused = job_that_holds(job, None, MADE)
    found = {one.code for one in planned(held, None)}
    assert {"arrive", "pack up"} <= found
    assert set(refused) <= {*scope, *extra, *without}
    assert (held == job) == (not refused)
    for name in ("ducts", "sing", "dance"):
        assert (name in refused) == (name in (*scope, *extra, *without))


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_choice_pressed_twice_is_the_choice_pressed_once(data):
    """Each is absolute: it says how it is to be, so that a second press of it changes nothing."""
    job = Job()
    for _ in range(4):
        change = data.draw(
            st.one_of(
                st.sampled_from([*MADE.scopes]).map(lambda code: lambda one: choose.with_purpose(one, code)),
                st.sampled_from([*MADE.scopes]).map(lambda code: lambda one: choose.without_purpose(one, code)),
                st.sampled_from(CODES).map(lambda code: lambda one: choose.with_task(one, code)),
                st.sampled_from(CODES).map(lambda code: lambda one: choose.without_task(one, code)),
                st.sampled_from([1, 2]).map(lambda crew: lambda one: choose.with_crew(one, crew)),
            )
        )
        once = change(job)
        assert change(once) == once
        assert choose.scope_of(once)
        assert not set(once.extra) & set(once.without)
        job = once


@pytest.mark.property
def test_a_chemical_takes_the_place_of_the_one_of_the_same_use():
    first, other, newer = (
        Chemical(name="a", use="coil"), Chemical(name="b", use="wheel"), Chemical(name="c", use="coil")
    )  # fmt: skip
    job = choose.with_chemical(choose.with_chemical(choose.with_chemical(Job(), first), other), newer)
    assert job.chemical == (other, newer)
    assert choose.without_chemical(job, "wheel").chemical == (newer,)


@pytest.mark.property
def test_a_purpose_takes_its_tasks_back():
    job = choose.without_task(Job(), "inspect the strips")
    assert "inspect the strips" in {one.code for one in planned(choose.with_purpose(job, "strips"), None)}
