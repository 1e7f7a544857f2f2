"""Every code that the engine gives has words, no words lack a code, and every figure that words ask for is given."""

import ast
import re
from collections.abc import Iterator

import pytest

from drawthrough.report import phrase
from drawthrough.report.field import FIELD
from drawthrough.report.labels import belief
from drawthrough.report.words import WORDS, Words, words_of
from drawthrough.trade.next_readings import offers
from tests.house import walk

pytestmark = pytest.mark.property

ADDED = {  # what the text view adds to a finding's own figures
    "airflow_ratio_low", "airflow_ratio_high", "expected_ratio", "expected_ratio_low", "expected_ratio_high", "When",
}  # fmt: skip
CALLS = {"reason": 0, "say": 0, "offer": 0}  # which argument of these is a code


def texts(node: ast.expr | None) -> Iterator[str]:
    """Yield the texts that an expression can be, `{}` for what varies."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from texts(node.body)
        yield from texts(node.orelse)
    elif isinstance(node, ast.JoinedStr):
        yield "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)


def codes_in(tree: ast.Module) -> Iterator[str]:
    """Yield every code that a module of the engine can give."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            for keyword in node.keywords:
                if keyword.arg == "code":
                    yield from texts(keyword.value)
            name = getattr(node.func, "id", "")
            if name in CALLS and node.args:
                yield from texts(node.args[CALLS[name]])
            # builder.notes.append((run.id, "why"))
            target = getattr(node.func, "value", None)
            if getattr(node.func, "attr", "") == "append" and getattr(target, "attr", "") == "notes":
                pair = node.args[0]
                assert isinstance(pair, ast.Tuple)
                yield from texts(pair.elts[1])
        elif isinstance(node, ast.Assign):
            for target in node.targets:
                if getattr(target, "id", "") == "code":
                    yield from texts(node.value)
                elif isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                    for one, value in zip(target.elts, node.value.elts, strict=True):
                        if getattr(one, "id", "") == "code":
                            yield from texts(value)


ELSEWHERE = ("judge.next_step", "judge.so_far")  # their words stand beside the pages: see test_words_so_far.py
CODES = {
    code
    for module in walk.modules()
    if module.room == "judge" and not module.name.endswith(ELSEWHERE)
    for code in codes_in(module.tree)
} | {offer.code for offer in offers().offer}


def stands_for(code: str) -> set[str]:
    """Return the codes with words that a code of the source stands for: `line voltage {}` is low or high."""
    if code in WORDS:
        return {code}
    pattern = re.compile(re.escape(code).replace(r"\{\}", ".+"))
    return {known for known in WORDS if pattern.fullmatch(known)} if "{}" in code else set()


def test_the_source_is_understood() -> None:
    """The reader of the source finds each way in which a code is written there."""
    for code in ("more air meets the same ducts", "static above the nameplate", "door off", "rpm", "no zero"):
        assert code in CODES
    assert len(CODES) > 50


@pytest.mark.parametrize("code", sorted(CODES))
def test_code_has_words(code: str) -> None:
    """A code without words would be a hole in what people read."""
    assert stands_for(code), f"{code!r} has no words in drawthrough.report.words"


@pytest.mark.parametrize("code", WORDS)
def test_words_have_a_code(code: str) -> None:
    """Words that no code calls for are left over from something."""
    assert any(code in stands_for(known) for known in CODES), f"nothing in the engine says {code!r}"


def test_a_code_without_words_is_told_as_it_stands() -> None:
    """Nobody loses a judgement over a sentence."""
    assert words_of("no such code") == Words("No such code.", "no such code", "No such code.", "No such code.")


def test_parts_of_a_code_are_put_into_its_words() -> None:
    """With words in place of names."""
    words = words_of("again: pressure_drop after filter in strips-found")
    assert "pressure drop" in words.reading
    assert "{}" not in words.reading
    assert words_of("read as left").reading == "Read the system as left: statics at least."


@pytest.mark.parametrize("code", WORDS)
def test_units_and_forms_of_a_template_are_known(code: str) -> None:
    """And a sentence ends as one, while a clause does not."""
    words: Words = WORDS[code]
    for template in words:
        for unit, form in re.findall(r"\{(?:=[\d.]+|[\w* ]+):(\S+?)(?: (\S+?))?(?: unit)?\}", template):
            assert unit == "log" or unit in FIELD
            assert form in ("", "value", "interval", "range", "half", "signed", "unit") or form.startswith("~")
    for whole in (words.sentence, words.unresolved, words.reading):
        assert whole == "" or whole.endswith(".")
        assert whole == "" or whole[0] == "{" or whole[0].isupper()
    assert not words.clause.endswith(".")
    assert any(words)


@pytest.mark.parametrize("code", WORDS)
def test_nobody_is_rated_and_as_left_is_said_whole(code: str) -> None:
    """No praise, no blame, no advice on the charge; never a bare "left" where the state as left is meant."""
    for template in WORDS[code]:
        assert not re.search(r"\b(good|excellent|poor|fail|pass|score|grade|improved|healthy|add|recover)\b", template)
        assert (
            not re.search(r"(?<!as )\bleft\b(?! of both| out)", re.sub(r"\{[^}]*\}", "", template))
            or "be left" in (template)
            or "Ducts left alone" in template
        )


def test_what_was_not_given_is_left_out() -> None:
    """Square brackets enclose what needs a figure that is not always there."""
    template = "It rose[ from {first:inwc} to {second:inwc} in. w.c.]."
    assert phrase.fill(template, {"first": 248.84, "second": 497.68}, {}) == "It rose from 1.00 to 2.00 in. w.c.."
    assert phrase.fill(template, {"first": 248.84}, {}) == "It rose."
    with pytest.raises(KeyError):
        phrase.fill("It rose to {second:inwc}.", {}, {})


def test_figures_are_told_in_the_units_of_the_field() -> None:
    """Each form once, by hand."""
    figures = {"dt": 1.0, "u": 0.43, "k": 0.1, "k_low": -0.05, "k_high": 0.25, "c": 7.28e-6}
    assert phrase.fill("{dt:dF ~u}", figures, {}) == "1.8"
    assert phrase.fill("{u:dF half}", figures, {}) == "1.5"
    assert phrase.fill("{k:log interval}", figures, {}) == "1.11 (95 %: 0.95 to 1.28)"
    assert phrase.fill("{c:uF}", figures, {}) == "7.3"
    assert phrase.fill("{*:dF signed}", {"return dry bulb": 1.5}, {}) == "return dry bulb +2.7 F"
    assert phrase.fill("{outdoor:F}", {"outdoor": 285.92778}, {}) == "55"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("exponent duct", "exponent of the duct"),
        ("table level", "level of the fan table"),
        ("hole after coil", "placement of the hole, after coil"),
        ("something new", "something new"),
    ],
)
def test_beliefs_have_names(name: str, told: str) -> None:
    """One that has none is called as the engine calls it."""
    assert belief(name) == told
