"""What to do when something sticks: a guide ends in a stop, a step says what it takes, its risk and when to go on."""

import copy
import re
import tomllib
from importlib.resources import files

import pytest

from drawthrough.trade import guides as module
from drawthrough.trade.cautions import cautions
from drawthrough.trade.guides import GuideFault, guides, guides_at, read_guides
from drawthrough.trade.tasks import tasks
from drawthrough.trade.truck_items import items

STEPS = [(guide, step) for guide in guides().values() for step in guide.step]
WAYS = {  # common practice, no source: the order in which each is tried
    "hub": "screws bright oil soak by hand again soak again break loose puller stop",
    "set screw": "clean socket right key grip drill out new screw stop",
    "wheel": "look turn weights size stop",
    "coil": "light loose dirt from behind second spray second rinse stop",
    "water": "no more where ports line trap pan dry out stop",
}


def table():
    return tomllib.loads((files("drawthrough.trade") / "guides.toml").read_text(encoding="utf-8"))


@pytest.mark.restated
def test_the_ways_are_those_of_the_trade():
    """Patience before force, by hand before a wrench, a wrench before the puller (common practice)."""
    assert {code: " ".join(step.code for step in guide.step) for code, guide in guides().items()} == WAYS


@pytest.mark.restated
def test_a_time_to_stop_is_reached_by_likely_hands():
    """45 minutes (judgement) let every step of a guide be tried once at its likely time, waiting apart."""
    told = {code: guide for code, guide in guides().items() if guide.told}
    assert set(told) == {"hub", "coil"}
    for guide in told.values():
        assert guide.stop_after == 2700
        assert guide.hands.likely <= guide.stop_after < guide.hands.most
        assert guide.told.count("{stop_after}") == 1
        assert guide.told_amount.count("{amount}") == 1


@pytest.mark.property
@pytest.mark.parametrize(("guide", "step"), STEPS, ids=lambda one: one.code)
def test_a_step_is_whole(guide, step):
    for text in (step.text, step.risk, step.go_on):
        assert text.endswith(".")
        assert text[0].isupper()
    assert 0 <= step.takes.least <= step.takes.likely <= step.takes.most
    assert set(step.tools) <= set(items())
    assert set(step.cautions) <= set(cautions())
    assert step.stop == (step is guide.step[-1])
    assert step.stop == step.text.startswith("Stop.")
    assert not step.stop or "ustomer" in step.go_on


@pytest.mark.property
@pytest.mark.parametrize(("guide", "step"), STEPS, ids=lambda one: one.code)
def test_nothing_is_struck_and_nothing_heated(guide, step):
    """A blow ruins the motor's bearing; oil and flame do not meet: wherever oil is used, the caution stands by."""
    assert not re.search(r"\b(hammer|strike|hit|torch|heat gun)\b", step.text, re.I)
    if guide.code == "hub" and "penetrating oil" in step.tools and step.code in ("oil", "again", "puller"):
        assert "flame and heat" in step.cautions
    if step.code in ("break loose", "puller"):
        assert "motor shaft" in step.cautions


@pytest.mark.property
def test_hands_leave_the_waiting_out():
    hub = guides()["hub"]
    waiting = [step for step in hub.step if step.wait]
    assert [step.code for step in waiting] == ["soak", "soak again"]
    assert hub.takes.most - hub.hands.most == sum(step.takes.most for step in waiting)


@pytest.mark.property
def test_guides_are_at_hand_at_tasks_that_are_there():
    assert {task for guide in guides().values() for task in guide.applies} <= set(tasks().task)
    for task in tasks().task.values():
        if task.guide:
            assert guides()[task.guide] in guides_at(task.code)
    assert [one.code for one in guides_at("try the hub")] == ["hub", "set screw"]
    assert guides_at("arrive") == ()


@pytest.mark.property
def test_every_sentence_is_a_message():
    said = set(module.messages())
    for guide, step in STEPS:
        assert {guide.title, guide.sign, step.text, step.risk, step.go_on} <= said
        assert {guide.told, guide.told_amount} - {""} <= said
    assert "" not in said
    assert {guide.source for guide in guides().values()} == {"common practice"}
    assert {guide.minutes_source for guide in guides().values()} == {"judgement"}


def _step(key, value):
    def change(data):
        data["hub"]["step"][1][key] = value

    return change


def _guide(key, value):
    def change(data):
        data["hub"][key] = value

    return change


@pytest.mark.property
@pytest.mark.parametrize(
    ("change", "says"),
    [
        (_step("minutes", [5, 3, 9]), 'step "bright": minutes are [5, 3, 9]'),
        (_step("minutes", [-1, 3, 9]), "minutes"),
        (_step("minutes", [1, 2]), "minutes"),
        (_step("minutes", [1, float("nan"), 2]), "minutes"),
        (_step("minutes", ["1", 2, 3]), "minutes"),
        (_step("cautions", ["dragons"]), 'step "bright": there is no caution "dragons"'),
        (_step("cautions", "cleaner"), "cautions has to be a list"),
        (_step("tools", ["rags", "rags"]), "tools has a code twice"),
        (_step("code", "oil"), 'step "oil" stands there twice'),
        (_step("stop", True), "last step"),
        (_step("colour", "red"), "colour"),
        (_guide("applies", "try the hub"), "applies has to be a list"),
        (_guide("applies", []), "applies has to be a list"),
        (_guide("applies", ["try the hub", 7]), "applies has to be a list"),
        (_guide("applies", ["a", "a"]), "applies has a code twice"),
        (_guide("step", []), "step has to be a list"),
        (_guide("stop_after", "45"), "stop_after cannot be read"),
        (_guide("stop_after", "0 min"), "above zero"),
        (_guide("told", ""), "belong together"),
        (_guide("source", ""), "no source"),
        (_guide("colour", "red"), "colour"),
    ],
)
def test_a_guide_that_is_wrong_is_named(change, says):
    data = copy.deepcopy(table())
    read_guides(data)
    change(data)
    with pytest.raises(GuideFault, match=r'^Guide "hub"') as caught:
        read_guides(data)
    assert says in str(caught.value)
