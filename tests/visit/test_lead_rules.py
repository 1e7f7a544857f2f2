"""Electrical rules: sound harnesses raise nothing, and each short is found and names its leads."""

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.visit.lead_map import Finding, FindingKind, lead_map, name_of, role_of
from drawthrough.visit.lead_rules import LACKS, RULES, broken_rules
from drawthrough.visit.lead_words import lead_of
from drawthrough.visit.state import Lead, Motor, Terminal
from tests.visit.harnesses import SOUND, Harness, changed, harnesses, lead, post

PARKS = ("park", "cap")


def rules_of(harness: Harness) -> tuple[Finding, ...]:
    return broken_rules(harness.map(), strips=harness.strips, motor=harness.motor)


def told(findings: tuple[Finding, ...]) -> set[tuple[str, tuple[str, ...]]]:
    return {(one.kind, one.leads) for one in findings}


def moved(harness: Harness, gone: Lead, terminal: str) -> Harness:
    """Return a harness of which one lead lands elsewhere; the points stay what they are."""
    declared = harness.map().terminal
    leads = tuple(changed(one, terminal=terminal) if one is gone else one for one in harness.leads)
    return harness._replace(leads=leads, terminals=declared)


@pytest.mark.restated
@pytest.mark.parametrize("harness", SOUND, ids=lambda harness: harness.name)
def test_a_sound_harness_breaks_no_rule(harness: Harness) -> None:
    """As such equipment is usually wired: a rule that fires here would be switched off in the reader's mind."""
    assert rules_of(harness) == ()


@pytest.mark.property
@given(harnesses())
def test_a_drawn_sound_harness_breaks_no_rule(harness: Harness) -> None:
    assert rules_of(harness) == ()


@pytest.mark.property
@given(harnesses(motor="psc"), st.data())
def test_every_short_of_a_speed_lead_is_found(harness: Harness, data: st.DataObject) -> None:
    """A speed lead joined to any other point, live or parked or on the capacitor or on ground."""
    kind = {one.name: one.kind for one in harness.map().terminal}
    speed = data.draw(st.sampled_from([one for one in harness.leads if role_of(one) == "speed"]))
    other = data.draw(st.sampled_from([one for one in harness.leads if one is not speed]))
    found = rules_of(moved(harness, speed, other.terminal))
    mine = {one.kind for one in found if name_of(speed) in one.leads}
    both = tuple(sorted([name_of(speed), name_of(other)]))
    place = kind[other.terminal]
    assert mine
    if role_of(other) == "speed" and place != "cap":
        assert ("speed leads on one terminal", both) in told(found)
    elif place == "cap":
        assert ("capped together", both) in told(found)
    elif role_of(other) == "common":
        assert ("speed lead on common", both) in told(found)
    elif place in ("ground", "capacitor"):
        assert {"ground": "live lead on ground", "capacitor": "foreign lead on capacitor"}[place] in mine
    elif place == "live" and kind[speed.terminal] in PARKS:
        assert "two speed leads live" in mine
    elif place in ("control", "strips"):
        assert "speed lead out of place" in mine


@pytest.mark.property
@given(harnesses(motor="psc"), st.data())
def test_every_fault_of_a_capacitor_lead_is_found(harness: Harness, data: st.DataObject) -> None:
    """Joined to the other end, put on any other point, or left off."""
    ends = [one for one in harness.leads if role_of(one) == "capacitor"]
    end, far = data.draw(st.permutations(ends))
    found = rules_of(moved(harness, end, far.terminal))
    assert ("capacitor leads on one terminal", tuple(sorted(map(name_of, ends)))) in told(found)
    other = data.draw(st.sampled_from([one for one in harness.leads if one not in ends]))
    found = rules_of(moved(harness, end, other.terminal))
    assert ("capacitor lead missing", (name_of(end),)) in told(found)
    found = rules_of(harness._replace(leads=tuple(one for one in harness.leads if one is not end)))
    assert ("capacitor lead missing", (name_of(far),)) in told(found)
    found = rules_of(harness._replace(leads=tuple(one for one in harness.leads if one not in ends)))
    assert ("capacitor lead missing", ()) in told(found)


@pytest.mark.property
@given(harnesses(motor="psc"), st.sampled_from(["common", "ground", "speed", "blower interlock"]))
def test_what_must_be_there_is_missed(harness: Harness, role: str) -> None:
    kept = tuple(one for one in harness.leads if role_of(one) != role)
    kinds = {one.kind for one in rules_of(harness._replace(leads=kept))}
    strips = any(role_of(one) == "strips" for one in kept)
    lock = "strips without interlock" if strips else None
    expected = {"common": "no common", "ground": "no ground", "speed": "no speed lead live"}.get(role, lock)
    assert kinds == ({expected} if expected else set())
    assert kinds <= LACKS


PSC = [
    "black high relay 4", "blue medium park 1", "red low park 2", "white common L2", "brown capacitor C1",
    "brown white capacitor C2", "green ground chassis",
]  # fmt: skip
POSTS = (post("park 1"), post("park 2"))
Case = tuple[str, dict[str, str], tuple[Terminal, ...], set[tuple[str, tuple[str, ...]]]]
CASES: list[Case] = [
    ("untested post", {}, (POSTS[0], Terminal(name="park 2", kind="park")), {("post not proved dead", ("red",))}),
    (
        "a test found it live", {}, (POSTS[0], Terminal(name="park 2", kind="park", proved_dead=False)),
        {("post proved live", ("red",))},
    ),
    (
        "called a park, but live", {}, (POSTS[0], Terminal(name="park 2", kind="live")),
        {("two speed leads live", ("black", "red"))},
    ),
    ("two parked on one post", {"red": "red low park 1"}, POSTS, {("speed leads on one terminal", ("blue", "red"))}),
    (
        "a post for two is still one point", {"red": "red low park 1"}, (post("park 1", holds=2),),
        {("speed leads on one terminal", ("blue", "red"))},
    ),
    (
        "capped together", {"red": "red low cap 1", "blue": "blue medium cap 1"}, (),
        {("capped together", ("blue", "red"))},
    ),
    ("hanging loose", {"red": "red low loose"}, POSTS, {("loose end", ("red",))}),
    ("common parked", {"white": "white common park 3"}, POSTS, {("common not live", ("white",))}),
    (
        "common where the start winding is", {"white": "white common C2"}, POSTS, {("common not live", ("white",))},
    ),
    ("ground on a post", {"green": "green ground park 3"}, POSTS,
        {("no ground", ("green",)), ("ground lead out of place", ("green",))}),
    ("nothing fed", {"black": "black high capped"}, POSTS, {("no speed lead live", ("black", "blue", "red"))}),
    ("two fed, one of them straight from the line", {"red": "red low L1"}, POSTS,
        {("two speed leads live", ("black", "red"))}),
    ("speed on the thermostat's points", {"red": "red low R"}, (*POSTS, Terminal(name="R", kind="control")),
        {("speed lead out of place", ("red",))}),
    ("common on ground", {"white": "white common chassis"}, POSTS, {("live lead on ground", ("white",))}),
    ("more than it holds", {}, (*POSTS, post("L2", "live"), post("relay 4", "live")), set()),
]  # fmt: skip


@pytest.mark.restated
@pytest.mark.parametrize(("said", "terminals", "expected"), [row[1:] for row in CASES], ids=[row[0] for row in CASES])
def test_one_fault_in_a_sound_harness(
    said: dict[str, str], terminals: tuple[Terminal, ...], expected: set[tuple[str, tuple[str, ...]]]
) -> None:
    """Common practice, no source: each case says what the trade would say of it, and nothing more."""
    words = [said.get(one.split()[0], one) if not one.startswith("brown") else one for one in PSC]
    assert told(broken_rules(lead_map(map(_lead, words), terminals, "as found"), strips=False, motor="psc")) == expected


def _lead(words: str) -> Lead:
    return lead_of(words, "as found")


@pytest.mark.restated
def test_more_leads_than_a_terminal_takes() -> None:
    leads = [*map(_lead, PSC), lead("red", "line L2", "L2", "disconnect")]
    found = broken_rules(lead_map(leads, (*POSTS, post("L2", "live")), "as found"), strips=False, motor="psc")
    assert told(found) == {("too many leads", ("red", "white"))}


@pytest.mark.restated
def test_line_voltage_on_the_thermostats_points() -> None:
    leads = [*map(_lead, PSC), lead("red", "line L2", "R", "disconnect")]
    found = broken_rules(lead_map(leads, (*POSTS, post("R", "control")), "as found"), strips=False, motor="psc")
    assert told(found) == {("line lead on control", ("red",))}


@pytest.mark.restated
@pytest.mark.parametrize("strips", [True, False])
def test_an_interlock_that_is_parked(strips: bool) -> None:
    """With strips it is no interlock; without strips it is a lead that nobody needs."""
    leads = [*map(_lead, PSC), lead("orange", "blower interlock", "cap of orange", "sequencer")]
    found = broken_rules(lead_map(leads, POSTS, "as found"), strips=strips, motor="psc")
    assert told(found) == ({("strips without interlock", ("orange",))} if strips else set())


@pytest.mark.restated
@pytest.mark.parametrize(
    ("control", "locked"),
    [
        (lead("", "24 V control", "control board", "motor module", mark="1"), True),
        (lead("green", "control G", "board G", "thermostat cable"), False),
    ],
)
def test_a_board_that_fires_the_strips_must_call_the_blower_too(control: Lead, locked: bool) -> None:
    """A wire from the thermostat to the board says nothing of who starts the blower; one to the motor does."""
    leads = [control, lead("five-way plug", "line supply", "harness"), lead("white", "strips", "board W1", "strip kit")]
    found = broken_rules(lead_map(leads, (), "as found"), strips=True, motor="constant airflow")
    assert told(found) == (set() if locked else {("strips without interlock", ("white",))})


@pytest.mark.restated
def test_free_taps_of_24_volts_are_not_live() -> None:
    """An unused tap of a motor with electronics is an input: loose ends and shared points short no winding."""
    leads = [lead("red", "tap 1", "loose", "board"), lead("blue", "tap 2", "motor tap 2", "board"),
             lead("grey", "tap 3", "motor tap 2", "board"), lead("green", "ground", "chassis")]  # fmt: skip
    map = lead_map(leads, (), "as found")
    assert broken_rules(map, strips=False, motor="constant torque") == ()
    assert {one.kind for one in broken_rules(map, strips=False, motor="psc")} >= {"loose end"}
    unfed = lead_map([leads[0], leads[3]], (), "as found")
    assert told(broken_rules(unfed, strips=False, motor="constant torque")) == {("no speed lead live", ("red",))}


@pytest.mark.property
@pytest.mark.parametrize("motor", [None, *get_args(Motor)])
def test_a_map_of_nothing_breaks_nothing(motor: Motor | None) -> None:
    assert broken_rules(lead_map((), (), "as found"), strips=True, motor=motor) == ()


@pytest.mark.property
def test_each_rule_has_its_reason_and_its_word() -> None:
    """And each kind of finding is of a rule, or of comparing."""
    compared = {"moved", "exchanged", "missing", "new", "not as meant", "change not clear"}
    assert {rule.kind for rule in RULES} == set(get_args(FindingKind)) - compared
    assert len({rule.kind for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.because.endswith(".")
        assert rule.source == "common practice" or rule.source.endswith("from memory")
