"""Worked scenarios of leads put back, each with the reason of the trade beside it (common practice, no source)."""

import pytest

from drawthrough.visit.lead_compare import Comparison, compare, look_alike
from drawthrough.visit.lead_map import LeadMapError, lead_map, name_of
from drawthrough.visit.lead_words import lead_of
from drawthrough.visit.state import Change, Lead, Terminal
from tests.visit.harnesses import SOUND, Harness, at, lead, post

pytestmark = pytest.mark.restated

FOUND = [
    "black high relay 4", "blue medium park 1", "red low park 2", "white common L2", "brown capacitor C1",
    "brown white capacitor C2", "green ground chassis",
]  # fmt: skip
POSTS = (post("park 1"), post("park 2"))


def of(
    *left: str, found: list[str] = FOUND, terminals: tuple[Terminal, ...] = POSTS, changes: tuple[Change, ...] = ()
) -> Comparison:
    """Compare leads that are said in a few words."""
    leads = [*(lead_of(words, "as found") for words in found), *(lead_of(words, "as left") for words in left)]
    return compare(lead_map(leads, terminals, "as found"), lead_map(leads, terminals, "as left"), changes)


def but(**words: str) -> list[str]:
    """Return the words as found, some leads said otherwise; a colour is told by its first letters."""
    return [next((said for colour, said in words.items() if one.startswith(colour + " ")), one) for one in FOUND]


def told(seen: Comparison) -> list[tuple[str, tuple[str, ...], str]]:
    return [(one.kind, one.leads, one.expected) for one in seen.findings]


def states(seen: Comparison) -> dict[str, str]:
    return {row.lead: row.state for row in seen.rows}


@pytest.mark.parametrize("harness", SOUND, ids=lambda harness: harness.name)
def test_a_sound_harness_agrees_with_itself(harness: Harness) -> None:
    """Leads that were put back as they were raise nothing, whatever the motor."""
    assert compare(harness.map(), harness.map("as left")).agrees


def test_high_and_medium_put_back_the_other_way_round() -> None:
    """The lead on the relay decides the speed: the blower would run, slower, and nobody would see why."""
    seen = of(*but(black="black high park 1", blue="blue medium relay 4"))
    assert told(seen) == [("exchanged", ("black", "blue"), "")]
    assert not seen.agrees


def test_the_fault_is_gone_when_the_leads_are_moved_back() -> None:
    """The map is held against the last word: put right, it agrees."""
    assert of(*FOUND).agrees


def test_brown_leads_turned_on_the_capacitor() -> None:
    """A run capacitor has no polarity: which end of the winding is on which terminal makes no difference."""
    assert of(*(one.replace("C1", "C9").replace("C2", "C1").replace("C9", "C2") for one in FOUND)).agrees


def test_brown_leads_turned_where_the_line_feeds_one_terminal() -> None:
    """Where one terminal is joined to the line as well, turning the ends puts the line on the wrong end."""
    found = [*FOUND, "white line C2"]
    left = [*but(brown="brown capacitor C2"), "white line C2"]
    left[5] = "brown white capacitor C1"
    assert told(of(*left, found=found)) == [("exchanged", ("brown", "brown/white"), "")]


def test_both_brown_leads_on_one_terminal() -> None:
    """The start winding then has no capacitor in it: the motor hums and does not start."""
    left = [*FOUND]
    left[5] = "brown white capacitor C1"
    assert told(of(*left)) == [("moved", ("brown/white",), "C2")]


def test_parked_leads_on_each_others_posts() -> None:
    """Dead posts are alike: it does not matter which of them holds which lead."""
    assert of(*but(blue="blue medium park 2", red="red low park 1")).agrees


def test_a_parked_lead_capped_instead() -> None:
    """A cap of its own is as good as a post."""
    assert of(*but(blue="blue medium capped")).agrees


def test_a_parked_lead_on_a_post_that_nobody_tested() -> None:
    """A name proves no post dead: a new one counts only when it was tested, and none that was found live."""
    assert told(of(*but(blue="blue medium park 3"))) == [("moved", ("blue",), "park 1")]
    assert of(*but(blue="blue medium park 3"), terminals=(*POSTS, post("park 3"))).agrees
    live = Terminal(name="park 3", kind="park", proved_dead=False)
    assert not of(*but(blue="blue medium park 3"), terminals=(*POSTS, live)).agrees


def test_two_parked_leads_on_one_post() -> None:
    """Two speed leads joined are a shorted part of the winding, though both are parked."""
    assert told(of(*but(red="red low park 1"))) == [("moved", ("red",), "park 2")]


def test_the_ground_on_another_ground_point() -> None:
    """One screw into bare metal is as good as another."""
    assert of(*but(green="green ground ground lug")).agrees


def test_the_ground_left_off() -> None:
    """Until all leads were looked at, a lead that is not there is one to look at; then it is missing."""
    seen = of(*FOUND[:-1])
    assert (seen.agrees, seen.open, seen.findings) == (False, ("green",), ())
    assert states(seen)["green"] == "not looked at yet"


def test_a_map_of_nothing_does_not_agree() -> None:
    """That nobody wrote a lead down is no proof that every lead is where it was."""
    assert not of(found=[]).agrees


def test_a_lead_that_was_not_there() -> None:
    """With as many leads seen as were found, what has no fellow is missing, and what nobody knew is new."""
    seen = of(*but(green="yellow ground chassis"))
    assert told(seen) == [("missing", ("green",), "chassis"), ("new", ("yellow",), "")]


def test_another_speed_that_was_meant() -> None:
    """The lead that was live goes to the post of the one that takes its place, or gets a cap."""
    change = (Change(kind="other speed", lead="black", to="azul"),)
    seen = of(*but(black="black high park 1", blue="blue medium relay 4"), changes=change)
    assert seen.agrees
    assert states(seen) | {"black": "as meant", "blue": "as meant"} == states(seen)
    assert of(*but(black="black high capped", blue="blue medium relay 4"), changes=change).agrees


def test_another_speed_that_was_meant_but_done_by_half() -> None:
    """The new lead beside the old one on the relay shorts a part of the winding."""
    change = (Change(kind="other speed", lead="black", to="blue"),)
    assert told(of(*but(blue="blue medium relay 4"), changes=change)) == [("not as meant", ("black",), "")]
    assert told(of(*FOUND, changes=change)) == [
        ("not as meant", ("black",), ""), ("not as meant", ("blue",), "relay 4"),
    ]  # fmt: skip


def test_another_speed_of_a_lead_that_is_not_there() -> None:
    """A change that names no lead, or a lead that was not live, cannot be held against anything."""
    for change in (
        Change(kind="other speed", lead="black", to="pink"),
        Change(kind="other speed", lead="red", to="blue"),
    ):
        assert [one.kind for one in of(*FOUND, changes=(change,)).findings] == ["change not clear"]


def test_a_new_capacitor() -> None:
    """The new can's terminals have names of their own; the winding must be across it as before."""
    change = (Change(kind="new capacitor"),)
    left = [*but(brown="brown capacitor new capacitor left")]
    left[5] = "brown white capacitor new capacitor right"
    assert of(*left, changes=change).agrees
    assert not of(*left).agrees
    left[5] = "brown white capacitor new capacitor left"
    assert not of(*left, changes=change).agrees
    left[5] = "brown white capacitor park 3"
    assert told(of(*left, changes=change)) == [("moved", ("brown/white",), "C2")]


def test_a_dual_capacitors_other_section() -> None:
    """Common and fan are not common and herm: the two sections have different capacitances."""
    found = [*but(brown="brown capacitor fan")]
    found[5] = "brown white capacitor C"
    left = [*found]
    left[4] = "brown capacitor herm"
    assert told(of(*left, found=found, changes=(Change(kind="new capacitor"),))) == [("moved", ("brown",), "fan")]


def test_leads_that_look_alike_are_marked_before_they_come_off() -> None:
    """Two black leads on different points cannot be told apart any more once they hang free."""
    leads = (lead("black", "high", "relay 4"), lead("black", "line L1", "relay 2"))
    assert [[name_of(one) for one in group] for group in look_alike(lead_map(leads, (), "as found"))] == [["black"] * 2]
    marked = tuple(lead(one.colour, one.function, one.terminal, mark=str(n)) for n, one in enumerate(leads))
    assert look_alike(lead_map(marked, (), "as found")) == ()
    pair = (lead("brown", "capacitor", "C1"), lead("brown", "capacitor", "C2"))
    assert look_alike(lead_map(pair, (), "as found")) == ()


def test_leads_that_look_alike_stand_for_each_other() -> None:
    """Who cannot tell two leads apart can only see that both points are served."""
    found = lead_map([lead("black", "", "A"), lead("black", "", "B")], (), "as found")
    left = lead_map(at([lead("black", "", "B"), lead("black", "", "A")], "as left"), (), "as left")
    assert compare(found, left).agrees
    wrong = lead_map(at([lead("black", "", "B"), lead("black", "", "B")], "as left"), (), "as left")
    assert told(compare(found, wrong)) == [("moved", ("black",), "A")]


def test_a_lead_is_known_by_its_mark_though_its_colour_was_left_out() -> None:
    """A tag says enough; and a lead whose tag fell off is known where no other has its colour."""
    found = lead_map([lead("black", "high", "A", mark="3"), lead("red", "low", "B", mark="4")], (), "as found")
    left = lead_map(at([lead("", "high", "B", mark="3"), lead("red", "low", "A")], "as left"), (), "as left")
    assert told(compare(found, left)) == [("exchanged", ("3 black", "4 red"), "")]


REFUSED: list[tuple[list[Lead], list[Terminal], str, str]] = [
    ([lead("black", "high", " ")], [], "lead to nowhere", "black"),
    ([lead("", "high", "relay 4")], [], "lead without colour or mark", "high"),
    ([], [post("Park 1"), post("park  1")], "terminal declared twice", "park  1"),
    ([], [post("park 1", holds=0)], "holds below one", "park 1"),
    ([], [post(" ", part="relay")], "terminal without name", "relay"),
]


@pytest.mark.parametrize(("leads", "terminals", "kind", "name"), REFUSED, ids=[row[2] for row in REFUSED])
def test_what_cannot_be_a_map_is_refused(leads: list[Lead], terminals: list[Terminal], kind: str, name: str) -> None:
    with pytest.raises(LeadMapError) as refusal:
        lead_map(leads, terminals, "as found")
    assert (refusal.value.kind, refusal.value.name) == (kind, name)
    assert name in str(refusal.value)


def test_a_time_that_is_none_is_refused() -> None:
    with pytest.raises(LeadMapError, match="not later"):
        lead_map([], [], "later")  # type: ignore[arg-type]


def test_a_wrong_lead_does_not_change_what_its_terminal_is_taken_for() -> None:
    """What a point is follows from how it was found; what nobody declared is told apart."""
    leads = [*(lead_of(words, "as found") for words in FOUND), lead_of("brown capacitor relay 4", "as left")]
    left = lead_map(leads, POSTS, "as left")
    assert {one.name: one.kind for one in left.terminal}["relay 4"] == "live"
    assert left.guessed == {"relay 4"}
