"""A lead from a few words, in two languages, and the usual leads of a kind of motor."""

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.visit.lead_map import LeadMapError, lead_map, role_of
from drawthrough.visit.lead_rules import broken_rules
from drawthrough.visit.lead_terms import COLOURS, kind_of_point, role_of_function
from drawthrough.visit.lead_words import lead_of, usual
from drawthrough.visit.state import Lead, LeadRole, Motor, TerminalKind

SAID = [
    # words, mark, colour, function, terminal, role
    ("black high relay 4", "", "black", "high", "relay 4", "speed"),
    ("azul media estacionado 2", "", "blue", "medium", "park 2", "speed"),
    ("Azul velocidad media poste 2", "", "blue", "medium", "post 2", "speed"),
    ("brown white capacitor herm", "", "brown/white", "capacitor", "herm", "capacitor"),
    ("BRN/WHT cap C2", "", "brown/white", "capacitor", "C2", "capacitor"),
    ("café con raya blanca capacitor C2", "", "brown/white", "capacitor", "C2", "capacitor"),
    ("brown with white stripe capacitor C2", "", "brown/white", "capacitor", "C2", "capacitor"),
    ("#3 rojo baja tapado", "3", "red", "low", "cap of 3 red", "speed"),
    ("red low capped", "", "red", "low", "cap of red", "speed"),
    ("mark 3 high relay 4", "3", "", "high", "relay 4", "speed"),
    ("black tag 7 line L1", "7", "black", "line", "L1", "line"),
    ("negro línea L1", "", "black", "line", "L1", "line"),
    ("blanca común al neutro", "", "white", "common", "neutral", "common"),
    ("verde tierra", "", "green", "ground", "ground", "ground"),
    ("green ground chassis", "", "green", "ground", "chassis", "ground"),
    ("orange blower interlock relay 2", "", "orange", "blower interlock", "relay 2", "blower interlock"),
    ("yellow tap 4 board out", "", "yellow", "tap 4", "board out", "speed"),
    ("purple medium high park 1", "", "purple", "medium high", "park 1", "speed"),
    ("line plug line cabinet harness", "", "line plug", "line", "cabinet harness", "line"),
    ("pink unknown relay 6", "", "pink", "other", "relay 6", "other"),
]


@pytest.mark.restated
@pytest.mark.parametrize(
    ("words", "mark", "colour", "function", "terminal", "role"), SAID, ids=[row[0] for row in SAID]
)
def test_a_lead_in_a_few_words(words: str, mark: str, colour: str, function: str, terminal: str, role: str) -> None:
    said = lead_of(words, "as left", "blower motor")
    assert (said.mark, said.colour, said.function, said.terminal) == (mark, colour, function, terminal)
    assert role_of(said) == role
    assert (said.when, said.origin) == ("as left", "blower motor")


@pytest.mark.property
@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("", "lead without colour or mark"), ("relay 4", "lead without colour or mark"),
        ("high relay 4", "lead without colour or mark"), ("black", "lead without function"),
        ("black relay 4", "lead without function"), ("mark 3", "lead without function"),
        ("black high", "lead to nowhere"), ("azul media al", "lead to nowhere"),
        ("brown white capacitor", "lead to nowhere"),
    ],
)  # fmt: skip
def test_what_is_missing_is_named(words: str, kind: str) -> None:
    with pytest.raises(LeadMapError) as refusal:
        lead_of(words, "as found")
    assert refusal.value.kind == kind
    assert words in str(refusal.value)


@pytest.mark.property
@given(
    st.lists(st.sampled_from(["black", "azul", "high", "media", "capacitor", "to", "#", "mark", "4", "park", "y", "ñ"]))
)
def test_any_words_give_a_lead_or_a_refusal(words: list[str]) -> None:
    try:
        said = lead_of(" ".join(words), "as found")
    except LeadMapError:
        return
    assert said.terminal
    assert said.function
    assert said.colour or said.mark
    lead_map([said], (), "as found")


@pytest.mark.property
@given(st.sampled_from(sorted(COLOURS)), st.sampled_from(["high", "baja", "common", "línea"]), st.integers(1, 9))
def test_what_was_read_reads_the_same_again(colour: str, function: str, number: int) -> None:
    said = lead_of(f"{colour} {function} relay {number}", "as found")
    assert lead_of(f"{said.colour} {said.function} {said.terminal}", "as found") == said


@pytest.mark.restated
@pytest.mark.parametrize(
    ("function", "role"),
    [
        ("tap 4, cooling and strips", "speed"), ("line L1", "line"), ("line 208 V tap", "line"),
        ("low-voltage speed taps", "control"), ("24 V common", "control"), ("common, all speeds", "common"),
        ("start capacitor", "capacitor"), ("low", "speed"), ("alta", "speed"), ("strips 2", "strips"),
        ("blower interlock for strips", "blower interlock"), ("resistencia 1", "strips"), ("tierra", "ground"),
        ("", "other"),
    ],
)  # fmt: skip
def test_a_role_from_its_functions_words(function: str, role: str) -> None:
    assert role_of_function(function) == role


@pytest.mark.restated
@pytest.mark.parametrize(
    ("name", "roles", "kind"),
    [
        ("park 2", {"speed"}, "park"), ("Estacionado 2", {"speed"}, "park"), ("cap of blue", {"speed"}, "cap"),
        ("wire nut 3", {"speed"}, "cap"), ("wire nut 3", {"line", "common"}, "live"),
        ("wire nut", {"ground"}, "ground"),
        ("cap C1", {"capacitor"}, "capacitor"), ("run cap", {"capacitor"}, "capacitor"),
        ("FAN", {"capacitor"}, "capacitor"),
        ("HERM", {"speed"}, "capacitor"), ("C", {"capacitor"}, "capacitor"), ("C", {"control"}, "control"),
        ("C", {"common"}, "live"), ("relay 4", {"speed"}, "live"), ("relé 4", {"capacitor"}, "live"),
        ("chassis", {"line"}, "ground"), ("sequencer M2", {"strips"}, "strips"), ("W2", {"control"}, "control"),
        ("post 7", {"speed"}, "live"), ("post 7", {"other"}, "live"), ("post 7", {"speed", "ground"}, "live"),
    ],
)  # fmt: skip
def test_a_kind_of_point_from_its_name(name: str, roles: set[LeadRole], kind: TerminalKind) -> None:
    """Nothing that might be live is taken for a place to park, and park words say only what a point is called."""
    assert kind_of_point(name, roles) == kind


@pytest.mark.restated
@pytest.mark.parametrize("motor", get_args(Motor))
@pytest.mark.parametrize("has_strips", [True, False])
def test_the_usual_leads_make_a_map_that_is_sound(motor: Motor, has_strips: bool) -> None:
    """Put where such leads usually land, and told apart by colour or mark, they break no rule."""
    speeds = 0
    leads = []
    for number, row in enumerate(usual(motor, has_strips)):
        point = {"speed": "relay 4", "common": "L2", "ground": "chassis"}.get(row.role, f"point {number}")
        if row.role == "speed":
            speeds += 1
            point = point if speeds == 1 else f"cap {number}"
        leads.append(
            Lead(colour=row.colour, function=row.function, role=row.role, origin=row.origin, mark=str(number),
                 terminal=point, when="as found")
        )  # fmt: skip
        assert role_of_function(row.function) == row.role
    assert broken_rules(lead_map(leads, (), "as found"), strips=has_strips, motor=motor) == ()


@pytest.mark.property
@pytest.mark.parametrize(
    ("words", "terminal"),
    [
        ("rojo baja borne de reposo 1", "park 1"),
        ("azul media con capuchón", "cap of blue"),
        ("negro alta al relevador 4", "relay 4"),
        ("white common to the line", "line"),
    ],
)
def test_words_that_name_nothing_are_passed_over(words, terminal):
    assert lead_of(words, "as found").terminal == terminal
