"""The catalogue is in step with the code, each translation has its message's slots, and nothing is fuzzy."""

import ast
import re
import string
from collections import Counter

import pytest
from babel.messages.pofile import read_po

from drawthrough.report.words import WORDS
from drawthrough.visit.meaning import MEANING
from tools import catalogue

pytestmark = pytest.mark.property

TRANSLATED = [
    (language, message, string_)
    for language in catalogue.LANGUAGES
    for message, string_ in catalogue._ids(catalogue.kept(language)).items()
]
_FIELDS = re.compile(r"\{[^{}]*\}|%\(\w+\)s|[\[\]]")


def forms(one: object) -> tuple[str, ...]:
    """Return a message or a translation as its forms."""
    return (one,) if isinstance(one, str) else tuple(one)  # type: ignore[arg-type]


def slots(said: str) -> Counter[str]:
    """Return what a text leaves open, and how often."""
    return Counter(_FIELDS.findall(said))


@pytest.mark.parametrize("language", catalogue.LANGUAGES)
def test_in_step_with_the_code(language: str) -> None:
    """`tools/catalogue.py --check` finds nothing lacking and nothing obsolete."""
    told = catalogue.differences(language)
    assert told == [], "run tools/catalogue.py:\n" + "\n".join(told)


@pytest.mark.parametrize("language", catalogue.LANGUAGES)
def test_each_message_is_translated(language: str) -> None:
    """Every message of the code; what is missing is listed."""
    missing = catalogue.untranslated(language)
    assert missing == [], f"{len(missing)} messages without a translation:\n" + "\n".join(map(str, missing))


@pytest.mark.parametrize("language", catalogue.LANGUAGES)
def test_report_and_sheet_are_translated(language: str) -> None:
    """The part of it that does not wait for any page."""
    missing = set(map(str, catalogue.untranslated(language)))
    for words in WORDS.values():
        assert not missing & set(words)
    for meanings in MEANING.values():
        assert not missing & set(meanings.values())


def test_each_slot_stands_in_the_translation_and_no_other() -> None:
    """Brackets and units included, and as often: a slot that is lost is a figure that is lost."""
    for language, message, translation in TRANSLATED:
        one, *more = forms(message)
        many = more[0] if more else one
        for k, said in enumerate(forms(translation)):
            if said:
                # In the form for one, "{n} reading" may be told without its number.
                wanted, found = slots(many if k else one), slots(said)
                if more and k == 0:
                    wanted.pop("{n}", None)
                    found.pop("{n}", None)
                assert wanted == found, f"{language}: {message!r} -> {said!r}"


def test_each_translation_ends_as_its_message_does() -> None:
    """A sentence stays a sentence, a clause a clause, a heading a heading."""
    for language, message, translation in TRANSLATED:
        for one, said in zip(forms(message), forms(translation), strict=True):
            if said:
                assert (said[-1] in ".:?") == (one[-1] in ".:?"), f"{language}: {one!r} -> {said!r}"
                assert said == said.strip()
                if one[0] in string.ascii_letters and one.endswith(".") and " " in one:
                    assert not said[0].isalpha() or said[0].isupper() == one[0].isupper(), said


def test_the_wheel_is_a_turbina() -> None:
    """Never a rueda; and the two states are called by one name."""
    for _, message, translation in TRANSLATED:
        for one, said in zip(forms(message), forms(translation), strict=True):
            if said:
                assert not re.search(r"\bruedas?\b", said, re.IGNORECASE), said
                if re.search(r"\bwheel\b", one, re.IGNORECASE):
                    assert re.search(r"\bturbinas?\b", said, re.IGNORECASE), (one, said)
                for word, told in (("as found", r"se encontr|que se hall"), ("as left", r"se dej")):
                    if re.search(rf"\b{word}\b(?! over)", one, re.IGNORECASE):
                        assert re.search(told, said, re.IGNORECASE), (one, said)


@pytest.mark.parametrize("language", catalogue.LANGUAGES)
def test_nothing_is_fuzzy_or_dated(language: str) -> None:
    """No guess, no line number, no time: writing the file anew changes nothing."""
    path = catalogue.path_of(language)
    text = path.read_text(encoding="utf-8")
    assert "fuzzy" not in text
    assert "POT-Creation-Date" not in text
    assert not re.search(r"^#: .*:\d", text, re.MULTILINE)
    with path.open("rb") as stream:
        assert not any(message.fuzzy for message in read_po(stream, locale=language) if message.id)
    if not catalogue.differences(language):
        assert catalogue.merged(language) == text, "written by hand out of order: run tools/catalogue.py"


def test_messages_are_found_in_python() -> None:
    """Said, marked, counted, one of two, and one within the other."""
    source = """
voice.say("plain")
voice.say("joined " "text", value=1)
say(N_("within"))
voice.count("{n} day", "{n} days", n)
N_("yes" if it else "no")
voice.say(variable)
voice.fill("sentence", {}, {})
other("not a message")
"""
    found = list(catalogue.in_python(ast.parse(source)))
    assert set(found) == {"plain", "joined text", "within", ("{n} day", "{n} days"), "yes", "no", "sentence"}


def test_messages_are_found_in_templates() -> None:
    """By call, by plural call and by block."""
    source = b"""<h1>{{ _("Road") }}</h1>{{ ngettext("%(num)s run", "%(num)s runs", n) }}
{{ count("{n} day", "{n} days", n, what=_("within")) }}{{ _("for {name}", name=user) }}
{% trans name=x %}Of {{ name }}{% endtrans %}<p>not a message</p>"""
    assert set(catalogue.in_template(source)) == {
        "Road", ("%(num)s run", "%(num)s runs"), ("{n} day", "{n} days"), "within", "for {name}", "Of %(name)s",
    }  # fmt: skip


def test_translations_outlive_a_message_and_come_back(tmp_path: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """A message that is gone for a while keeps its translation aside, and counts as obsolete until then."""
    path = tmp_path / "drawthrough.po"  # type: ignore[operator]
    monkeypatch.setattr(catalogue, "path_of", lambda language, ending="po": path)
    monkeypatch.setattr(catalogue, "found", lambda: {"here": ["a.py"], "soon gone": ["a.py"]})
    path.write_text(catalogue.merged("es").replace('msgid "soon gone"\nmsgstr ""', 'msgid "soon gone"\nmsgstr "se va"'))
    assert catalogue.untranslated("es") == ["here"]
    monkeypatch.setattr(catalogue, "found", lambda: {"here": ["a.py"]})
    path.write_text(catalogue.merged("es"))
    assert '#~ msgstr "se va"' in path.read_text()
    assert catalogue.differences("es") == ["obsolete: soon gone"]
    assert "soon gone" not in catalogue.merged("es", prune=True)
    monkeypatch.setattr(catalogue, "found", lambda: {"here": ["a.py"], "soon gone": ["b.py"]})
    path.write_text(catalogue.merged("es"))
    assert catalogue.differences("es") == []
    assert catalogue.untranslated("es") == ["here"]
    assert "#~" not in path.read_text()


def test_options(capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown one is refused and changes nothing."""
    assert catalogue.main(["--nonsense"]) == 2
    assert "--check" in capsys.readouterr().err
