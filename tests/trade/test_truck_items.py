"""The truck's items: what tasks and guides name is there, and what belongs together comes together."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.trade import truck_items as module
from drawthrough.trade.guides import guides
from drawthrough.trade.tasks import tasks
from drawthrough.trade.truck_items import ItemFault, item_for, item_of, items, read_items, with_along
from drawthrough.visit.state import Chemical

CLEANERS = {use: {"name": f"{use} stuff", "kind": "consumable", "use": use}
            for use in ("coil", "wheel", "drain", "cabinet")}  # fmt: skip


@pytest.mark.property
def test_what_tasks_and_guides_name_is_there():
    named = {code for task in tasks().task.values() for code in (*task.tools, *task.materials)}
    named |= {code for guide in guides().values() for step in guide.step for code in step.tools}
    assert named - set(items()) == set()


@pytest.mark.property
def test_every_item_gets_onto_some_list():
    """An item that no task names and nothing brings along would never be carried."""
    named = {code for task in tasks().task.values() for code in (*task.tools, *task.materials)}
    left = set(items()) - {one.code for one in with_along(named)}
    assert left == {"cabinet cleaner", "water"}  # these come with the chemicals of the job


@pytest.mark.property
def test_a_guide_s_tools_are_carried_with_the_task_at_which_it_is_at_hand():
    named = {code for task in tasks().task.values() for code in (*task.tools, *task.materials)}
    carried = {one.code for one in with_along(named)}
    assert {code for guide in guides().values() for step in guide.step for code in step.tools} <= carried


@pytest.mark.restated
def test_what_a_deep_clean_takes():
    """The tester's live source, protection and the camera on every visit; the puller in hope (common practice)."""
    always = {one.code for one in items().values() if one.always}
    assert always == {
        "lock and tag", "voltage tester", "live source", "gloves", "eye protection", "mask", "headlamp", "ladder",
        "camera",
    }  # fmt: skip
    assert {one.code for one in items().values() if one.hopefully_not} == {"hub puller", "drill and extractors"}
    assert {one.source for one in items().values()} == {"common practice"}


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(st.lists(st.sampled_from(sorted(items()))), st.lists(st.sampled_from(sorted(items()))))
def test_coming_along_is_closed_and_grows(some, others):
    codes = [one.code for one in with_along(some)]
    assert set(some) <= set(codes)
    assert len(codes) == len(set(codes))
    assert [one.code for one in with_along(codes)] == codes
    assert set(codes) <= {one.code for one in with_along([*some, *others])}


@pytest.mark.property
def test_chemicals_and_names():
    for use in ("coil", "wheel", "drain", "cabinet"):
        assert item_for(Chemical(name="any", use=use).use).use == use
    names = [one.name for one in items().values()]
    assert len(set(names)) == len(names)
    assert {*names, *module.KINDS} == set(module.messages())
    with pytest.raises(ItemFault, match='"crane"'):
        item_of("crane")


@pytest.mark.property
@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"name": "Crane", "kind": "toy"}, '"toy"'),
        ({"name": "Crane", "kind": "tool", "number": 0}, "number is 0"),
        ({"name": "Crane", "kind": "tool", "number": True}, "number is True"),
        ({"name": "Crane", "kind": "tool", "along": ["ship"]}, '"ship"'),
        ({"name": "Crane", "kind": "tool", "use": "moat"}, '"moat"'),
        ({"name": "Crane", "kind": "tool", "source": ""}, "no source"),
        ({"name": "Crane", "kind": "tool", "colour": "red"}, "colour"),
        ({"kind": "tool"}, "name"),
    ],
)
def test_an_item_that_is_wrong_is_named(row, says):
    read_items({"source": "common practice", "items": CLEANERS})
    with pytest.raises(ItemFault, match='"crane"') as caught:
        read_items({"source": "common practice", "items": {**CLEANERS, "crane": row}})
    assert says in str(caught.value)


@pytest.mark.property
def test_a_use_has_one_item():
    with pytest.raises(ItemFault, match='"coil" has 0 items'):
        read_items({"source": "common practice", "items": {}})
    twice = {**CLEANERS, "more": {"name": "More", "kind": "consumable", "use": "coil"}}
    with pytest.raises(ItemFault, match='"coil" has 2 items'):
        read_items({"source": "common practice", "items": twice})
