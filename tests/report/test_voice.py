"""English stays as it was, Spanish is told whole, and SI figures are the field's figures in other units."""

import re
import string
import tomllib
from functools import cache
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough import units, vocabulary
from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Judgement
from drawthrough.report import figures, labels, names, phrase
from drawthrough.report.field import FIELD, NAME_OF_RESULT, SI, plain, shown
from drawthrough.report.text import text
from drawthrough.report.voice import ENGLISH, LANGUAGES, MEASURES, N_, Voice, _catalogue
from drawthrough.report.words import RESULTS, WORDS, reading_to_take, words_of
from drawthrough.visit import sheet, state
from drawthrough.visit.form import keys
from drawthrough.visit.meaning import MEANING
from drawthrough.visit.state import Reading, Visit
from tests.house import walk
from tools import catalogue

SPANISH = Voice("es")
EXAMPLES = sorted(path.stem for path in (walk.CHECKOUT / "examples").glob("*.toml"))
TABLES = [kind for name, kind in vars(state).items() if isinstance(kind, type) and name in MEANING]


@pytest.fixture(autouse=True, scope="module")
def compiled() -> None:
    """Spanish is read from what the build compiles."""
    catalogue.compile_stale()
    _catalogue.cache_clear()


@cache
def visit_of(name: str) -> Visit:
    """Return an example's visit."""
    return sheet.load(walk.CHECKOUT / "examples" / f"{name}.toml")


@cache
def judged(name: str) -> Judgement:
    """Return an example's judgement."""
    return judge(visit_of(name))


# --- the voice itself ---


@pytest.mark.property
def test_english_is_the_message_itself() -> None:
    """No catalogue stands between the code and what is read."""
    for message in catalogue.found():
        if isinstance(message, str):
            assert ENGLISH.say(message) == message
    assert N_("as found") == "as found"
    assert ENGLISH.say("") == SPANISH.say("") == ""


@pytest.mark.property
def test_a_missing_catalogue_falls_back_to_english() -> None:
    """Nobody loses a page over a file."""
    assert Voice("xx").say("as found") == "as found"
    assert Voice("xx").count("{n} day", "{n} days", 2) == "2 days"
    assert Voice("../es").say("as found") == "as found"


@pytest.mark.property
def test_what_is_unknown_is_said_as_it_stands() -> None:
    """Names that the user gave go through unchanged."""
    assert SPANISH.say("manometer of the red truck") == "manometer of the red truck"


@pytest.mark.property
def test_plural_and_placeholders() -> None:
    """One or many, and every placeholder."""
    assert ENGLISH.count("{n} hole in {what}", "{n} holes in {what}", 1, what="x") == "1 hole in x"
    assert ENGLISH.count("{n} hole in {what}", "{n} holes in {what}", 0, what="x") == "0 holes in x"
    assert SPANISH.say("{low} to {high}", low="1", high="2") == "1 a 2"


@pytest.mark.property
@given(st.text(alphabet=string.ascii_letters + " .,:{}[]%", max_size=40))
def test_any_text_that_is_no_message_is_left_alone(said: str) -> None:
    """Braces of a user's text are not taken for placeholders."""
    assert Voice("es").say(f"~{said}") == f"~{said}"


# --- units ---


@pytest.mark.published
@pytest.mark.parametrize(
    ("name", "of_the_field", "in_si", "digits"),
    [  # NIST SP 811 (2008), appendix B.8
        ("inwc", 1.0, 249.0889, 7),  # inch of water, conventional: 2.490 889 E+02 Pa
        ("cfm", 1.0, 0.4719474, 7),  # cubic foot per minute: 4.719 474 E-04 m3/s
        ("kBtu/h", 1.0, 0.2930711, 7),  # British thermal unit (IT) per hour: 2.930 711 E-01 W
        ("dF", 1.8, 1.0, 12),  # degree Fahrenheit: 5/9 K
        ("F", 32.0, 0.0, 12),  # (t/F - 32)/1.8
        ("F", 212.0, 100.0, 12),
    ],
)
def test_si_against_the_published_factors(name: str, of_the_field: float, in_si: float, digits: int) -> None:
    """The same SI value in either unit, to the digits that are published."""
    si = (of_the_field - FIELD[name].offset) / FIELD[name].factor
    assert SI[name].of(si) == pytest.approx(in_si, rel=0.5 * 10.0 ** (1 - digits), abs=1e-9)


@pytest.mark.analytic
def test_composed_units_follow_from_their_parts() -> None:
    """Airflow per capacity and power per airflow are quotients of the units above."""
    ton = units.to_si(1.0, "ton", "power") / 1000
    litres = 400 * 0.3048**3 / 60 * 1000
    assert SI["cfm/ton"].of(400 / FIELD["cfm/ton"].factor) == pytest.approx(litres / ton, rel=1e-12)
    assert SI["W/cfm"].of(0.5 / FIELD["W/cfm"].factor) == pytest.approx(0.5 / (0.3048**3 / 60 * 1000), rel=1e-12)


@pytest.mark.property
def test_both_tables_have_the_same_names_and_a_label_each() -> None:
    """A sentence that asks for a unit gets one in either, and no unit of the field is left in SI."""
    assert set(FIELD) == set(SI)
    for name, unit in SI.items():
        assert bool(unit.label) == bool(FIELD[name].label)
        assert not re.search(r"cfm|in\.|Btu|ton|^F$", unit.written)
    for name in NAME_OF_RESULT.values():
        assert Voice(measures="SI").unit(name) is SI[name]
        assert ENGLISH.unit(name) is FIELD[name]


@pytest.mark.property
@given(st.sampled_from(sorted(FIELD)), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_units_are_straight_lines_that_rise(name: str, one: float, other: float) -> None:
    """The larger value is larger in either unit, and going there and back gives it again."""
    for unit in (FIELD[name], SI[name]):
        assert unit.factor > 0.0
        assert (unit.of(one) <= unit.of(other)) == (one <= other) or unit.of(one) == pytest.approx(unit.of(other))
        assert (unit.of(one) - unit.offset) / unit.factor == pytest.approx(one, rel=1e-9, abs=1e-6)


@pytest.mark.property
@given(st.floats(0.05, 3.0), st.floats(0.001, 0.5))
def test_an_interval_is_the_same_one_in_either_unit(value: float, half: float) -> None:
    """Told in Pa and in inches of water, both ends agree to the step to which they are rounded."""
    ends = [units.to_si(x, "inwc", "pressure") for x in (value, value - half, value + half)]
    for told in zip(*(shown(*map(unit.of, ends)) for unit in (FIELD["inwc"], SI["inwc"])), strict=True):
        inches, pascals = float(told[0]), float(told[1]) / SI["inwc"].of(units.to_si(1.0, "inwc", "pressure"))
        assert inches == pytest.approx(pascals, abs=half * 1.01)


# --- templates ---


@pytest.mark.property
def test_a_unit_comes_from_the_voice() -> None:
    """After a value, after a rounded one, after a list; a figure that the sentence states is converted too."""
    given_ = {"p": 124.544, "t": 285.92778, "a": 1.0, "u": 0.4}
    si = Voice(measures="SI")
    assert ENGLISH.fill("{p:inwc unit}, {p:inwc}", given_, {}) == "0.50 in. w.c., 0.50"
    assert si.fill("{p:inwc unit}, {p:inwc}", given_, {}) == "125 Pa, 125"
    assert ENGLISH.fill("{a:dF ~u unit} of {=1:dF unit}", given_, {}) == "1.8 F of 1 F"
    assert si.fill("{a:dF ~u unit} of {=1:dF unit}", given_, {}) == "1.0 K of 0.6 K"
    assert ENGLISH.fill("{t:F unit} {=55:F unit}", given_, {}) == "55 F 55 F"
    assert si.fill("{t:F unit} {=55:F unit}", given_, {}) == "12.8 °C 12.8 °C"
    assert si.fill("{*:dF signed}", {"outdoor": 1.0}, {}) == "outdoor +1.0 K"
    assert phrase.slots("{p:inwc unit} {=55:F unit} {When}") == ["p", "When"]


@pytest.mark.property
def test_names_are_said_but_not_those_that_the_user_gave() -> None:
    """A run that happens to be called like a word of the house keeps its name."""
    assert SPANISH.fill("{When}: {run}", {}, {"when": "as left", "run": "fan"}) == "Como se dejó: fan"
    assert ENGLISH.fill("{When}: {run}", {}, {"when": "as left", "run": "fan"}) == "As left: fan"


@pytest.mark.property
def test_no_sentence_writes_a_unit_of_the_field_itself() -> None:
    """Else it would stand there in SI too."""
    for words in WORDS.values():
        for template in words:
            bare = re.sub(r"\{[^}]*\}", "#", template)
            assert not re.search(r"# (?:F|V|uF|kW|cfm|in\. w\.c\.)(?!\w)|\d+ F\b|\bcfm\b|w\.c\.", bare), template
    for row in RESULTS.values():
        assert "cfm" not in row.changed + row.unresolved


@pytest.mark.property
def test_a_reading_to_take_is_told_with_its_parts() -> None:
    """Parts of a code are said; the run keeps its name."""
    code = "again: pressure_drop after filter in fan-found"
    assert (
        reading_to_take(code) == words_of(code).reading == "Read again: pressure drop at after filter (in fan-found)."
    )
    assert reading_to_take(code, SPANISH) == "Vuelva a leer: caída de presión, después del filtro (en fan-found)."
    assert "como se dejó" in reading_to_take("read as left", SPANISH)


# --- labels of the engine ---


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_each_line_of_a_budget_is_told_in_either_language(name: str) -> None:
    """English as the engine has it; in Spanish every word of the house is Spanish."""
    own = {instrument.id for instrument in visit_of(name).instrument}
    for result in judged(name).results:
        for label in [part.label for part in result.budget]:
            english = labels.labelled(label)
            if not label.startswith("prior: "):
                assert english == label.replace("_", " ")
            said = labels.labelled(label, SPANISH)
            assert said != english or label in own, label
            assert not re.search(r"\b(against|the|of|static|bulb|belief|as found|as left|fan table)\b", said), said


@pytest.mark.property
@given(
    st.sampled_from(["", "offset of ", "actual volume at the blower, ", "a run: ", "a run: static "]),
    st.text(alphabet=string.ascii_lowercase + " :{}", max_size=30),
    st.sampled_from(["", " against room", " never zeroed", " dry bulb", ": fan table"]),
)
@settings(deadline=None)
def test_english_tells_a_label_as_the_engine_wrote_it(start: str, middle: str, end: str) -> None:
    """Taken apart and put together again, whatever the user's names are."""
    label = f"{start}{middle}{end}"
    assert labels.labelled(label) == label


@pytest.mark.property
def test_an_instrument_keeps_the_name_that_it_was_given() -> None:
    """Also where it begins with the name of a quantity."""
    label = "offset of temperature probe dry_bulb"
    assert labels.labelled(label, SPANISH) == "desvío de bulbo seco con temperature probe"
    assert (
        labels.labelled("prior: zero red gauge never_zeroed", SPANISH)
        == "supuesto: cero, red gauge, nunca puesto a cero"
    )
    assert labels.labelled("Mi manómetro", SPANISH) == "Mi manómetro"


# --- the text view ---


@pytest.mark.property
@pytest.mark.parametrize("measures", MEASURES)
@pytest.mark.parametrize("name", EXAMPLES)
def test_spanish_text_is_spanish(name: str, measures: str) -> None:
    """Headings, sentences, names; nothing unfilled, and no line too long."""
    for width in (80, 96):
        said = text(judged(name), width, budget=True, voice=Voice("es", measures))
        assert not re.search(r"[{}\[\]]", said)
        assert all(len(line) <= width for line in said.splitlines())
        for heading in ("Qué cambió", "Lecturas", "Qué dice la estática|Por qué (?:subió|bajó) la estática"):
            assert re.search(rf"^(?:{heading})$", said, re.MULTILINE), heading
        body = " ".join(said.partition("\n\n")[2].split())
        own = "|".join(re.escape(i.id) for i in visit_of(name).instrument) or "^$"
        left = re.sub(own, "", body)
        assert not re.search(r"\b(?:the|and|not resolved|it stands|as (?:found|left)|airflow|with|this)\b", left)


@pytest.mark.property
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_unit_of_the_field_where_si_is_asked_for(name: str, language: str) -> None:
    """What was typed stays as it was typed; everything else is in SI."""
    said = text(judged(name), voice=Voice(language, "SI"))
    for reading in judged(name).readings:
        said = " ".join(said.split()).replace(reading.typed, "")
    assert not re.search(r"\bcfm\b|in\. w\.c\.|kBtu|\d F\b|\bton(?:elada)?\b", said)


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_ratios_are_the_same_in_either_measure(name: str) -> None:
    """A ratio has no unit: nothing may turn it."""
    for result in judged(name).results:
        if result.unit == "1":
            assert figures.cell(result) == figures.cell(result, Voice(measures="SI"))


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_default_voice_is_english_in_units_of_the_field(name: str) -> None:
    """The command line's text does not depend on who else was asked before."""
    text(judged(name), voice=Voice("es", "SI"))
    assert text(judged(name)) == text(judged(name), voice=Voice("en", "field"))
    assert (Path(__file__).with_name("snapshots") / f"{name}.txt").read_text(encoding="utf-8") == text(judged(name))


# --- names ---


@pytest.mark.property
@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.__name__)
def test_each_key_of_a_form_has_a_label_and_a_help(table: type[msgspec.Struct]) -> None:
    """In either language."""
    for name in keys(table):
        assert (table.__name__, name) in names.LABELS_IN or name in names.LABELS
        for voice in (ENGLISH, SPANISH):
            label = names.field_label(name, voice, table.__name__)
            assert label[0].isupper() or label.startswith("cfm ")
            assert "_" not in label
            assert names.field_help(table.__name__, name, voice)


@pytest.mark.property
def test_labels_are_of_keys_that_there_are() -> None:
    """None is left over."""
    there = {(table.__name__, name) for table in TABLES for name in keys(table)}
    assert set(names.LABELS) <= {name for _, name in there}
    assert set(names.LABELS_IN) <= there


@pytest.mark.property
def test_codes_are_those_of_the_state() -> None:
    """Choices, places and standings, deep within a field as well."""
    codes = set(names.codes())
    assert {"as found", "draw-through", "return plenum", "strip element", "wheel", "film", "none", "it stands"} <= codes
    for table in TABLES:
        for key in keys(table).values():
            assert set(key.choices) <= codes


@pytest.mark.property
def test_each_name_is_said_in_spanish() -> None:
    """Words that both languages share are few, and listed."""
    shared = {"gas", "motor", "psc", "scfm", "acfm", "volts", "control"}
    for name in vocabulary.QUANTITIES:
        english = names.quantity_name(name)
        assert "_" not in english
        assert names.quantity_name(name, SPANISH) != english or english in shared | {"capacitor"}, name
    for code in names.codes():
        assert names.code_name(code, SPANISH) != code or code in shared | {"capacitor"}, code


@pytest.mark.property
@pytest.mark.parametrize(
    ("reading", "english", "spanish"),
    [
        (("static", "after filter", "room"), "Static after the filter, against the room",
         "Estática después del filtro, contra el cuarto"),
        (("static", "supply plenum", "return plenum"), "Static in the supply plenum, less that in the return plenum",
         "Estática en el plénum de suministro, menos la que hay en el plénum de retorno"),
        (("pressure_drop", "before coil", "after coil"), "Drop across the coil",
         "Caída de presión en el serpentín"),
        (("pressure_drop", "after filter", "after coil"), "Drop, after filter to after coil",
         "Caída de presión, después del filtro a después del serpentín"),
        (("wet_bulb", "return", None), "Wet bulb, return", "Bulbo húmedo, retorno"),
        (("speed", "blower", None), "Wheel speed", "Velocidad de la turbina"),
        (("dew_point", "supply", None), "Dew point, supply", "Punto de rocío, suministro"),
    ],
)  # fmt: skip
def test_a_reading_is_called_as_a_technician_would(
    reading: tuple[str, str, str | None], english: str, spanish: str
) -> None:
    """By a name of its own, or by quantity and place."""
    what, at, against = reading
    made = Reading(what=what, at=at, against=against, value=1.0, typed="1")
    assert names.reading_name(made) == english
    assert names.reading_name(made, SPANISH) == spanish
    named = msgspec.structs.replace(made, hole="2")
    assert names.reading_name(named) == f"{english}, hole 2"


@pytest.mark.property
@given(
    st.sampled_from(sorted(vocabulary.QUANTITIES)),
    st.sampled_from(sorted(names.AT)),
    st.none() | st.sampled_from(sorted(names.AT)),
)
@settings(max_examples=60, deadline=None)
def test_any_reading_has_a_name(what: str, at: str, against: str | None) -> None:
    """Capital first, no underscore, no open slot, in either language."""
    made = Reading(what=what, at=at, against=against, value=1.0, typed="1")
    for voice in (ENGLISH, SPANISH):
        said = names.reading_name(made, voice)
        assert said[0].isupper()
        assert not re.search(r"[_{}]", said)


@pytest.mark.property
def test_plain_figures_round_as_their_unit_has_it() -> None:
    """Nothing below zero is told as minus zero."""
    assert plain(units.to_si(0.48, "inwc", "pressure"), SI["inwc"]) == "120"
    assert plain(-0.2, SI["inwc"]) == "0"
    assert plain(units.to_si(92.0, "F", "temperature"), SI["F"]) == "33.3"


@pytest.mark.property
def test_the_wheel_carries_the_compiled_catalogues() -> None:
    """What `pyproject.toml` packs beside the code."""
    project = tomllib.loads((walk.CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
    assert "**/*.mo" in project["tool"]["setuptools"]["package-data"]["drawthrough"]
