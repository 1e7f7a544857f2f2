"""From what a visit is for to its tasks: nothing is forgotten on the way to an opening, nothing is brought in vain."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough.plan.extras import TRAVEL, extras
from drawthrough.plan.job import planned, planned_alone
from drawthrough.plan.timeline import order_of
from drawthrough.trade.tasks import TaskError, fits, tasks
from drawthrough.visit.state import Chemical, Job

MADE = tasks()
EXTRAS = [code for code, one in MADE.task.items() if one.extra]
jobs = st.builds(
    Job,
    crew=st.sampled_from([1, 2]),
    scope=st.sets(st.sampled_from(sorted(MADE.scopes))).map(lambda ones: tuple(sorted(ones))),
    extra=st.sets(st.sampled_from(EXTRAS)).map(lambda ones: tuple(sorted(ones))),
)


@pytest.mark.property
@settings(deadline=None, max_examples=150)
@given(jobs)
def test_openings_are_made_and_ended_and_bring_their_own(job):
    found = planned(job, None)
    there = {one.code for one in found}
    reached = {opening for one in found for opening in one.task.needs}
    for opening in reached:
        assert {MADE.opener(opening).code, MADE.ender(opening).code} <= there
        assert {one.code for one in MADE.task.values() if opening in one.brought_by} <= there
    assert {"arrive", "hand over", "pack up"} <= there
    if reached & {"blower door", "coil panel"}:
        assert {"isolate", "discharge", "power on"} <= there
    for code in job.extra:
        assert code in there
    # What lies before a task is there, and earlier in the usual order or not depending on it in turn.
    for one in found:
        assert {code for code, _ in one.after} <= there - {one.code}


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(jobs)
def test_waits_seen_through_tasks_that_are_not_done(job):
    """Leaving a task out never lets another slip before what lay before the one left out."""
    whole = {one.code: one for one in planned(replace(job, scope=tuple(MADE.scopes), extra=tuple(EXTRAS)), None)}

    def behind(there, code):
        todo, seen = [code], set()
        while todo:
            for one, _ in there[todo.pop()].after:
                if one not in seen:
                    seen.add(one)
                    todo.append(one)
        return seen

    some = {one.code: one for one in planned(job, None)}
    for code in some:
        assert behind(some, code) == behind(whole, code) & set(some)


@pytest.mark.property
def test_equipment_decides(book):
    bare = replace(book.system, strips=None, motor="constant airflow", filter_places=0)
    codes = {one.code for one in planned(None, bare)}
    assert not codes & {"inspect the strips", "fire the strips", "change the capacitor", "change the filter"}
    assert {"inspect the strips", "fire the strips", "change the filter"} <= {
        o.code for o in planned(None, book.system)
    }
    with pytest.raises(TaskError, match="change the capacitor"):
        planned(Job(extra=("change the capacitor",)), bare)


@pytest.mark.property
@pytest.mark.parametrize(
    ("job", "name"),
    [
        (Job(scope=("attic",)), "attic"),
        (Job(extra=("sing",)), "sing"),
        (Job(without=("isolate",)), "isolate"),
        (Job(without=("spin the wheel",)), "spin the wheel"),
    ],
)
def test_a_job_that_cannot_be(job, name):
    with pytest.raises(TaskError, match=name) as caught:
        planned(job, None)
    assert name in caught.value.names


@pytest.mark.property
def test_a_label_decides_how_long_it_stays():
    label = Chemical(name="coil cleaner", use="coil", dwell_least=300.0, dwell_most=600.0)
    found = {one.code: one for one in planned(Job(chemical=(label,)), None)}
    assert found["spray the coil"].idle == (300.0, 300.0, 300.0)
    assert found["rinse the coil"].limit == 600.0
    usual = {one.code: one for one in planned(None, None)}
    assert usual["rinse the coil"].limit == usual["spray the coil"].idle.most
    order = order_of(tuple(found.values()), 1)
    place = {code: k for k, code in enumerate(found)}
    end = order.start[place["spray the coil"]] + sum(found["spray the coil"].hands) / 3
    assert 300.0 - 1e-6 <= order.start[place["rinse the coil"]] - end <= 600.0 + 1e-6


@pytest.mark.property
def test_every_extra_costs_less_now_than_on_a_visit_of_its_own(book):
    """The opening is counted: so each number is a difference of whole plans, worked out here anew by hand."""
    found = extras(None, book.system)
    assert {one.code for one in found} == {c for c in EXTRAS if fits(MADE.task[c], book.system)}
    usual = order_of(planned(None, book.system), 1).finish
    for one in found:
        assert one.now < one.own
        job = Job(without=(one.code,)) if one.chosen else Job(extra=(one.code,))
        other = order_of(planned(job, book.system), 1).finish
        assert one.now == pytest.approx(usual - other if one.chosen else other - usual)
        assert one.own == pytest.approx(order_of(planned_alone(one.code, None, book.system), 1).finish + TRAVEL)
    wall = next(one for one in found if one.code == "look at the seams")
    assert wall.now < 10 * 60 < 120 * 60 < wall.own  # ten minutes now and two hours on another day
