"""The tasks hang together: no ring, every opening made and ended once, every code known; faults are named."""

import copy
import tomllib
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.trade.cautions import cautions
from drawthrough.trade.guides import guides
from drawthrough.trade.hold_points import hold_points, read_hold_points
from drawthrough.trade.ring import ring_in
from drawthrough.trade.tasks import TaskError, read_tasks, tasks
from drawthrough.trade.truck_items import items


def _data(name):
    return tomllib.loads((files("drawthrough.trade") / name).read_text(encoding="utf-8"))


def _changed(code, **keys):
    data = copy.deepcopy(_data("tasks.toml"))
    task = next(one for one in data["task"] if one["code"] == code)
    task.update(keys)
    return data


@pytest.mark.property
def test_every_code_is_known():
    known, warned, made = set(items()), set(cautions()), tasks()
    for one in made.task.values():
        assert set(one.tools) | set(one.materials) <= known, one.code
        assert set(one.cautions) <= warned, one.code
        assert not one.guide or one.guide in guides(), one.code
    for guide in guides().values():
        assert set(guide.applies) <= set(made.task)


@pytest.mark.property
def test_whoever_needs_an_opening_lies_between_its_making_and_its_end():
    made = tasks()
    before = {code: set(ways) for code, ways in made.before.items()}

    def behind(code, seen=None):
        seen = set() if seen is None else seen
        for one in before[code] - seen:
            seen.add(one)
            behind(one, seen)
        return seen

    for opening in made.openings:
        for one in made.made_cheap(opening):
            assert made.opener(opening).code in behind(one.code)
            assert one.code in behind(made.ender(opening).code)


# Common practice, no source: the order that keeps a person safe, written down by itself.
@pytest.mark.independent
@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("isolate", "open the blower door"),
        ("discharge", "release the leads"),
        ("map the leads", "release the leads"),
        ("measure the seat", "pull the blower"),
        ("oil the hub", "try the hub"),
        ("tell the risk", "try the hub"),
        ("prove the drain", "spray the coil"),
        ("cover what stays dry", "spray the coil"),
        ("rinse the coil", "refit the blower"),
        ("wash the wheel", "fit the wheel"),
        ("refit the blower", "spin the wheel"),
        ("map the leads again", "power on"),
        ("spin the wheel", "power on"),
        ("close the blower door", "power on"),
        ("power on", "fire the strips"),
        ("take the readings", "isolate"),
        ("power on", "take the readings again"),
    ],
)
def test_order_that_keeps_a_person_safe(first, then):
    made = tasks()
    todo, seen = [then], set()
    while todo:
        for one in made.before[todo.pop()]:
            if one not in seen:
                seen.add(one)
                todo.append(one)
    assert first in seen


@pytest.mark.property
@pytest.mark.parametrize(
    ("data", "reason", "names"),
    [
        (_changed("isolate", after=["power on"]), "loop", {"isolate", "power on"}),
        (_changed("oil the hub", needs=["attic hatch"]), "no access", {"oil the hub", "attic hatch"}),
        (_changed("oil the hub", minutes=[-1, 2, 3]), "duration", {"oil the hub"}),
        (_changed("oil the hub", wait=[10, 5, 30]), "duration", {"oil the hub"}),
        (_changed("oil the hub", after=["sing"]), "unknown", {"oil the hub", "sing"}),
        (_changed("oil the hub", opens="blower out"), "no access", {"blower out", "oil the hub", "pull the blower"}),
        (_changed("refit the blower", ends=""), "no access", {"blower out"}),
        (_changed("oil the hub", colour="red"), "shape", set()),
    ],
)
def test_faults_are_named(data, reason, names):
    with pytest.raises(TaskError) as caught:
        read_tasks(data)
    assert caught.value.reason == reason
    assert names <= set(caught.value.names)
    assert all(name in str(caught.value) for name in names)


@pytest.mark.property
def test_told_twice():
    data = copy.deepcopy(_data("tasks.toml"))
    data["task"].append(data["task"][3])
    with pytest.raises(TaskError, match="isolate") as caught:
        read_tasks(data)
    assert caught.value.reason == "twice"


@pytest.mark.property
def test_faults_of_hold_points_are_named():
    data = _data("hold_points.toml")
    data["hold"][0]["conditions"][0]["done"] = "sing"
    with pytest.raises(TaskError, match="sing"):
        read_hold_points(data, tasks())
    data["hold"][0]["conditions"][0] = {"code": "x", "text": "y"}
    with pytest.raises(TaskError, match="done"):
        read_hold_points(data, tasks())


@pytest.mark.property
def test_isolation_and_discharge_cannot_be_passed():
    """The issue of safety: whatever asks for either has no way around it."""
    for hold in hold_points().values():
        asks = {condition.done for condition in hold.conditions} & {"isolate", "discharge"}
        assert not (asks and hold.passable), hold.code


@pytest.mark.property
def test_every_task_with_an_opening_is_held_by_isolation():
    dead = [hold for hold in hold_points().values() if any(one.done == "isolate" for one in hold.conditions)]
    for one in tasks().task.values():
        if set(one.needs) & {"blower door", "coil panel", "blower out", "motor off"} or one.opens not in ("", "dead"):
            assert any(hold.holds(one) for hold in dead), one.code


@pytest.mark.property
@settings(deadline=None, max_examples=100)
@given(
    st.integers(2, 12).flatmap(
        lambda n: st.tuples(st.just(n), st.sets(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1))))
    )
)
def test_a_ring_is_found_if_and_only_if_there_is_one(case):
    n, pairs = case
    before = {str(k): {str(a) for b, a in pairs if b == k} for k in range(n)}
    ring = ring_in(before)
    # Independent: take away what has nothing before it until nothing can be taken away.
    rest = dict(before)
    while gone := [code for code, ones in rest.items() if not ones & set(rest)]:
        for code in gone:
            del rest[code]
    assert bool(ring) == bool(rest)
    for one, then in zip(ring, (*ring[1:], ring[0]), strict=True) if ring else ():
        assert one in before[then]
