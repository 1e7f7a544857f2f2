"""The published schema: valid itself, up to date, and of one mind with the reader."""

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from drawthrough.visit import sheet
from drawthrough.visit.form import keys
from drawthrough.visit.schema import schema
from drawthrough.visit.state import Instrument, Reading, Visit

CHECKOUT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
SCHEMA = schema()

MINIMAL = """\
[site]
name = "House"
altitude = "10 ft"
[system]
name = "Air handler"
arrangement = "draw-through"
motor = "psc"
coil_inside_taps = true
[[run]]
id = "a"
when = "as found"
mode = "fan"
speed = "high"
[[run.reading]]
what = "static"
at = "after coil"
against = "room"
value = "-0.3 inwc"
"""


def faults_of(instance: Any) -> list[str]:
    """Return what a validator of draft 2020-12 finds."""
    jsonschema = pytest.importorskip("jsonschema")
    return [error.json_path for error in jsonschema.Draft202012Validator(SCHEMA).iter_errors(instance)]


def test_schema_is_one() -> None:
    """By its own meta-schema."""
    pytest.importorskip("jsonschema").Draft202012Validator.check_schema(SCHEMA)


def test_published_schema_is_up_to_date() -> None:
    """`drawthrough sheet --schema > docs/visit-sheet.schema.json` would change nothing."""
    published = (CHECKOUT / "docs" / "visit-sheet.schema.json").read_text(encoding="utf-8")
    assert published == json.dumps(SCHEMA, ensure_ascii=False, indent=2) + "\n"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_example_is_valid(path: Path) -> None:
    """As written by hand, and as written back by the program."""
    text = path.read_text(encoding="utf-8")
    assert faults_of(tomllib.loads(text)) == []
    assert faults_of(tomllib.loads(sheet.sheet_text(sheet.read(text)))) == []


def test_minimal_sheet_is_valid() -> None:
    """For the schema and for the reader."""
    assert faults_of(tomllib.loads(MINIMAL)) == []
    assert sheet.examine(MINIMAL)[1] == ()


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ('altitude = "10 ft"', "altitude = 10", "$.site.altitude"),
        ('altitude = "10 ft"', 'altitude = "10"', "$.site.altitude"),
        ('altitude = "10 ft"', 'altitude = "ten feet"', "$.site.altitude"),
        ('altitude = "10 ft"', 'altitude = "10 ft"\naltitud = 1', "$.site"),
        ('motor = "psc"', 'motor = "wind"', "$.system.motor"),
        ("coil_inside_taps = true", 'coil_inside_taps = "yes"', "$.system.coil_inside_taps"),
        ('when = "as found"\n', "", "$.run[0]"),
        ('against = "room"\n', "", "$.run[0].reading[0]"),
        ('at = "after coil"', 'at = "supply"', "$.run[0].reading[0].at"),
        ('what = "static"', 'what = "dry_bulb"', "$.run[0].reading[0].at"),
        ('what = "static"', 'what = "statik"', "$.run[0].reading[0].what"),
        ('value = "-0.3 inwc"', 'value = "some"', "$.run[0].reading[0].value"),
    ],
)
def test_schema_and_reader_refuse_the_same(old: str, new: str, place: str) -> None:
    """Each of these is a fault for both."""
    text = MINIMAL.replace(old, new)
    assert text != MINIMAL
    assert place in faults_of(tomllib.loads(text))
    assert sheet.examine(text)[0] is None


def test_sheet_without_runs_is_invalid() -> None:
    """For both."""
    text = MINIMAL[: MINIMAL.index("[[run]]")]
    assert faults_of(tomllib.loads(text)) == ["$"]
    assert sheet.examine(text)[0] is None


def test_every_key_is_described_and_closed() -> None:
    """Each table names its keys with their meanings, and allows no other."""
    assert SCHEMA["properties"].keys() == set(Visit.__struct_fields__)

    def walk(table: dict[str, Any]) -> int:
        assert table["additionalProperties"] is False
        count = 1
        for key in table["properties"].values():
            assert key["description"]
            inner = key.get("items", key)
            if "properties" in inner:
                count += walk(inner)
        return count

    assert walk(SCHEMA) == 20


def test_keys_are_the_state_s_fields() -> None:
    """But for the accuracy, which a hand writes as one, and `with`."""
    assert {key.field for key in keys(Reading).values()} == set(Reading.__struct_fields__)
    assert "with" in keys(Reading)
    told = {key.field for key in keys(Instrument).values()} - {""}
    assert set(Instrument.__struct_fields__) - told == {"accuracy_relative", "accuracy_absolute", "coverage"}
