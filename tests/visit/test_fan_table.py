"""Fan tables as they are pasted: every form of it gives the same table, and what cannot be told apart is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.report.refusals import refusal
from drawthrough.units import CFM, INWC
from drawthrough.visit.entry import EntryError
from drawthrough.visit.fan_table import fan_table_of

pytestmark = pytest.mark.property

BESIDE = {"static_unit": "inwc", "airflow_unit": "cfm"}
LOW = ("Low", (0.1, 0.2), (900, 850))
HIGH = ("Med High", (0.1, 0.2, 0.3), (1190, 1150, 1105))


def read(text, speed="Med High", fields=BESIDE):
    """Return the tables of a text in the units of the trade."""
    return [
        (one.speed, tuple(round(x / INWC, 6) for x in one.static), tuple(round(x / CFM, 3) for x in one.airflow))
        for one in fan_table_of(text, speed, fields)
    ]


TWO = {
    "rows of speeds, tabs": "Speed\t0.1\t0.2\t0.3\nLow\t900\t850\t-\nMed High\t1190\t1150\t1105",
    "rows of speeds, single spaces": "Speed 0.1 0.2 0.3 in. w.c.\nLow 900 850 — cfm\nMed High 1,190 1,150 1,105 cfm",
    "rows of speeds, semicolons, decimal commas": "Velocidad;0,1;0,2;0,3\nLow;900;850;\nMed High;1190;1150;1105",
    "rows of speeds, falling statics": "Speed\t0.3\t0.2\t0.1\nLow\t*\t850\t900\nMed High\t1105\t1150\t1190",
    "columns of speeds, tabs": "ESP (inwc)\tLow\tMed High\n0.1\t900\t1190\n0.2\t850\t1150\n0.3\t\t1105\nAirflow in cfm",
    "columns of speeds, wide": "CFM\nESP (inwc)  Low   Med High\n0.1   900   1190\n0.2   850   1150\n0.3   n/a   1105",
    "columns of speeds, commas": 'static inwc,Low cfm,Med High cfm\n0.1,900,"1,190"\n0.2,850,"1,150"\n0.3,,1105',
    "columns of speeds, bars": (
        "| ESP | Low | Med High |\n|-----|-----|-----|\n| .10 | 900 | 1190 |\n| .20 | 850 | 1150 |\n| .30 | - | 1105 |"
    ),
}
ONE = {
    "two columns without a head": "0.1 1190\n0.2 1150\n0.3 1105",
    "two columns, commas": "0.1, 1190\n0.2, 1150\n0.3, 1105",
    "two columns with a head": "Static (inwc)\tAirflow (cfm)\n0.1\t1190\n0.2\t1150\n0.3\t1105",
    "two columns, units in the cells": "0.1 inwc;1190 cfm\n0.2 inwc;1150 cfm\n0.3 inwc;1105 cfm",
    "two rows": "0.1 0.2 0.3 inwc\n1190 1150 1105 cfm",
    "two rows with words": "static 0.1 0.2 0.3 inwc\nairflow 1190 1150 1105 cfm",
}


@pytest.mark.parametrize("name", TWO)
def test_two_speeds(name):
    assert read(TWO[name]) == [LOW, HIGH]
    assert read(TWO[name].replace("\n", "\r\n") + "\n\n") == [LOW, HIGH]


@pytest.mark.parametrize("name", ONE)
def test_one_speed_is_called_as_it_is_given(name):
    assert read(ONE[name]) == [HIGH]


def test_units_of_the_text_win_and_metric_ones_are_read():
    (one,) = fan_table_of("presión (Pa);caudal (m3/h)\n25,5;1500\n50;1450,5\n75;1400", "alta", BESIDE)
    assert one.static == pytest.approx((25.5, 50.0, 75.0))
    assert one.airflow == pytest.approx((1500 / 3600, 1450.5 / 3600, 1400 / 3600))
    assert one.speed == "alta"


def test_taps_called_by_numbers_are_told_from_statics():
    down = read("static\t1\t2\n0.10\t900\t1190\n0.2\t850\t1150")
    along = read("Tap\t0.10\t0.2\n1\t900\t850\n2\t1190\t1150")
    corner = read("Tap no.\t25\t50\n1\t900\t850\n2\t1190\t1150", fields={"static_unit": "Pa", "airflow_unit": "cfm"})
    assert [one[0] for one in down] == [one[0] for one in along] == [one[0] for one in corner] == ["1", "2"]
    assert down == along


def test_what_is_said_beside_belongs_to_each_of_them():
    tables = fan_table_of(TWO["columns of speeds, tabs"], fields={**BESIDE, "coil": "wet", "volts": "230 V"})
    assert {(one.coil, one.volts) for one in tables} == {("wet", 230.0)}
    assert fan_table_of(ONE["two rows"].replace("cfm", "acfm"), "high")[0].flow_basis == "acfm"


@pytest.mark.parametrize(
    ("text", "kind", "reason", "line"),
    [
        ("", "wrong shape", "table", None),
        ("hello\nworld", "wrong shape", "table", None),
        ("0.1 1190", "table too short", "", 1),
        ("Speed;0.1;0.2;0.3\nHigh;1190;1150", "unequal lengths", "row", 2),
        ("Speed;0.1;0.2;0.3\nHigh;1190;abc;1105", "not a number", "cell", 2),
        ("Static Med Low Med High\n0.1 900 1190\n0.2 850 1150", "unequal lengths", "row", 1),
        ("Speed;0.1;0.1;0.3\nHigh;1190;1150;1105", "static not rising", "", 2),
        ("Speed;0.1;0.2;0.3\nHigh;1190;1150;0", "out of range", "no airflow", 2),
        ("Speed;0.1;0.2;0.3\nHigh;-;-;-", "table too short", "", 1),
        ("ESP inwc;cfm;L/s\n0.1;1190;560\n0.2;1150;540", "wrong shape", "units", 1),
        ("?\t25\t50\n1\t900\t850\n2\t1190\t1150", "wrong shape", "table", 1),
    ],
)
def test_what_is_no_table_is_refused_with_its_line(text, kind, reason, line):
    with pytest.raises(EntryError) as caught:
        fan_table_of(text, "high", BESIDE)
    fault = caught.value.faults[0]
    assert (fault.kind, fault.reason, fault.line) == (kind, reason, line)
    assert "{" not in refusal(fault)


def test_a_missing_unit_is_asked_for():
    with pytest.raises(EntryError) as caught:
        fan_table_of("0.1 1190\n0.2 1150", "high")
    (fault,) = caught.value.faults
    assert (fault.field, fault.kind, fault.reason) == ("static", "missing unit", "table")


cells = st.sampled_from(["0.1", "0.2", "900", "1,150", "-", "Low", "Med High", "ESP", "inwc", "cfm", "Speed", "", "1"])
lines = st.lists(cells, max_size=5)


@settings(max_examples=400, deadline=None)
@given(
    st.text(max_size=80)
    | st.builds(
        lambda mark, rows: "\n".join(map(mark.join, rows)),
        st.sampled_from(["\t", ";", ",", " ", "  ", "|"]),
        st.lists(lines, max_size=5),
    )
)
def test_nothing_pasted_makes_it_fail_otherwise(text):
    faults = ()
    try:
        tables = fan_table_of(text, "high", BESIDE)
        assert all(len(one.static) == len(one.airflow) > 1 for one in tables)
        assert tables
    except EntryError as error:
        faults = error.faults
    assert all(refusal(fault) for fault in faults)


def test_empty_columns_of_a_spreadsheet_are_passed_over():
    text = TWO["rows of speeds, tabs"].replace("\n", "\t\t\n") + "\t\t"
    assert read(text) == [LOW, HIGH]
    assert read(text.replace("\t", ";")) == [LOW, HIGH]


def test_a_speed_without_any_point_is_left_out():
    assert read("Speed;0.1;0.2\nLow;-;-\nHigh;1190;1150") == [("High", (0.1, 0.2), (1190, 1150))]
    assert read("ESP;Low;High\n0.1;-;1190\n0.2;-;1150") == [("High", (0.1, 0.2), (1190, 1150))]
