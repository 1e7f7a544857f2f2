"""The lead map: what it refuses, what it guesses, and every change that comparing must find."""

import random
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.visit.lead_compare import Comparison, compare, look_alike
from drawthrough.visit.lead_map import lead_map, name_of, role_of
from drawthrough.visit.state import Change, Lead
from tests.visit.harnesses import Harness, at, changed, harnesses, post

pytestmark = pytest.mark.property
PARKS = ("park", "cap")


def kinds(harness: Harness) -> dict[str, str]:
    return {one.name: one.kind for one in harness.map().terminal}


def left_as(harness: Harness, leads: list[Lead], changes: tuple[Change, ...] = (), whole: bool = False) -> Comparison:
    """Compare what a harness is with what it became."""
    left = lead_map((*harness.leads, *at(leads, "as left")), harness.terminals, "as left")
    return compare(harness.map(), left, changes, whole=whole)


def named(comparison: Comparison) -> set[str]:
    return {name for finding in comparison.findings for name in finding.leads}


def exchanged(harness: Harness, first: int, second: int) -> list[Lead]:
    leads = list(harness.leads)
    one, other = leads[first], leads[second]
    leads[first] = changed(one, terminal=other.terminal)
    leads[second] = changed(other, terminal=one.terminal)
    return leads


def harmless(harness: Harness, first: Lead, second: Lead) -> bool:
    """Does it make no difference which of two leads lands where? Said by the trade, not by the code under test."""
    kind = kinds(harness)
    pair = {kind[first.terminal], kind[second.terminal]}
    return pair == {"ground"} or pair <= set(PARKS) or pair == {"capacitor"}


@given(harnesses())
def test_a_map_agrees_with_itself(harness: Harness) -> None:
    again = compare(harness.map(), harness.map())
    assert again.agrees
    assert not again.findings
    assert {row.state for row in again.rows} == {"as found"}
    assert left_as(harness, list(harness.leads)) == again
    assert look_alike(harness.map()) == ()


@settings(max_examples=20)
@given(harnesses(most=14))
def test_every_swap_is_found(harness: Harness) -> None:
    for first, second in combinations(range(len(harness.leads)), 2):
        seen = left_as(harness, exchanged(harness, first, second))
        pair = (harness.leads[first], harness.leads[second])
        if harmless(harness, *pair):
            assert seen.agrees, pair
        else:
            assert not seen.agrees
            assert named(seen) == {name_of(one) for one in pair}
            assert {row.lead for row in seen.rows if row.state == "moved"} == named(seen)


@given(harnesses(least=20), st.data())
def test_a_swap_in_a_large_harness_is_found(harness: Harness, data: st.DataObject) -> None:
    numbers = st.integers(0, len(harness.leads) - 1)
    first, second = data.draw(st.lists(numbers, min_size=2, max_size=2, unique=True))
    seen = left_as(harness, exchanged(harness, first, second))
    pair = (harness.leads[first], harness.leads[second])
    assert seen.agrees == harmless(harness, *pair)
    assert named(seen) == (set() if seen.agrees else {name_of(one) for one in pair})


@settings(max_examples=30)
@given(harnesses())
def test_every_omission_is_found(harness: Harness) -> None:
    for number, gone in enumerate(harness.leads):
        leads = [*harness.leads[:number], *harness.leads[number + 1 :]]
        seen = left_as(harness, leads)
        assert (seen.agrees, seen.open, seen.findings) == (False, (name_of(gone),), ())
        seen = left_as(harness, leads, whole=True)
        assert not seen.agrees
        assert [(one.kind, one.leads, one.expected) for one in seen.findings] == [
            ("missing", (name_of(gone),), gone.terminal)
        ]


@given(harnesses(), st.data())
def test_a_lead_put_where_another_lands_is_found(harness: Harness, data: st.DataObject) -> None:
    """Whatever it joins: a parked lead a live point, two parked leads each other, an end of a winding the other end."""
    numbers = st.integers(0, len(harness.leads) - 1)
    first, second = data.draw(st.lists(numbers, min_size=2, max_size=2, unique=True))
    moved, joined = harness.leads[first], harness.leads[second]
    leads = list(harness.leads)
    leads[first] = changed(moved, terminal=joined.terminal)
    seen = left_as(harness, leads)
    kind = kinds(harness)
    if (kind[moved.terminal], kind[joined.terminal]) == ("ground", "ground"):
        assert seen.agrees
    else:
        assert [(one.kind, one.leads, one.expected) for one in seen.findings] == [
            ("moved", (name_of(moved),), moved.terminal)
        ]


@given(harnesses(), st.randoms(use_true_random=False))
def test_the_order_of_entry_does_not_matter(harness: Harness, chance: random.Random) -> None:
    leads = list(harness.leads)
    places = [one.terminal for one in leads]
    chance.shuffle(places)
    leads = [changed(one, terminal=place) for one, place in zip(leads, places, strict=True)][1:]
    first = left_as(harness, leads)
    chance.shuffle(leads)
    other = harness._replace(
        leads=tuple(chance.sample(harness.leads, len(harness.leads))),
        terminals=tuple(chance.sample(harness.terminals, len(harness.terminals))),
    )
    assert left_as(other, leads) == first


@given(harnesses(motor="psc"), st.booleans(), st.data())
def test_no_change_that_is_meant_is_a_fault(harness: Harness, own_post: bool, data: st.DataObject) -> None:
    """Another speed and a new capacitor at once; and a fault beside them is still the only one."""
    kind = kinds(harness)
    speeds = [one for one in harness.leads if role_of(one) == "speed"]
    live = next(one for one in speeds if kind[one.terminal] == "live")
    parked = [one for one in speeds if kind[one.terminal] in PARKS]
    turn = data.draw(st.permutations(["new 1", "new 2"]))
    moves = dict(zip((one.mark for one in harness.leads if role_of(one) == "capacitor"), turn, strict=True))
    changes = [Change(kind="new capacitor")]
    if parked:
        chosen = data.draw(st.sampled_from(parked))
        moves |= {chosen.mark: live.terminal, live.mark: "own post" if own_post else chosen.terminal}
        changes.append(Change(kind="other speed", lead=live.mark, to=chosen.mark))
    new = (post("own post"), post("new 1", "capacitor"), post("new 2", "capacitor"))
    meant = harness._replace(terminals=(*harness.terminals, *new))
    leads = [changed(one, terminal=moves.get(one.mark, one.terminal)) for one in harness.leads]
    seen = left_as(meant, leads, tuple(changes))
    assert seen.agrees, seen.findings
    assert {row.lead for row in seen.rows if row.state == "as meant"} == {
        name_of(one) for one in harness.leads if one.mark in moves
    }
    other = data.draw(st.sampled_from([one for one in leads if one.mark not in moves and role_of(one) != "ground"]))
    number = leads.index(other)
    leads[number] = changed(other, terminal=live.terminal if other.terminal != live.terminal else "new 1")
    seen = left_as(meant, leads, tuple(changes))
    assert named(seen) == {name_of(other)}
