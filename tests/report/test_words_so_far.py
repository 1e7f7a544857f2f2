"""Every code of what a reading means so far, and of the next step, has words; none is left over; each can be filled."""

import ast
from pathlib import Path

import pytest

from drawthrough.judge import next_step, so_far
from drawthrough.judge.engine import judge
from drawthrough.judge.next_step import Step
from drawthrough.report import words_next, words_so_far
from drawthrough.report.voice import Voice
from drawthrough.trade.reading_list import wanted
from drawthrough.visit.sheet import load

pytestmark = pytest.mark.property
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
VOICES = [Voice(language, measures) for language in ("en", "es") for measures in ("field", "SI")]


def first_texts(module, *names: str) -> set[str]:
    """The texts that a module gives as the first argument of some calls, both branches of a choice."""
    found = set()
    for node in ast.walk(ast.parse(Path(module.__file__).read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") in names and node.args:
            first = node.args[0]
            branches = (first.body, first.orelse) if isinstance(first, ast.IfExp) else (first,)
            found |= {one.value for one in branches if isinstance(one, ast.Constant)}
    return found


def keyword_texts(module, name: str) -> set[str]:
    """The texts that a module gives under a keyword."""
    return {
        node.value.value
        for node in ast.walk(ast.parse(Path(module.__file__).read_text(encoding="utf-8")))
        if isinstance(node, ast.keyword) and node.arg == name and isinstance(node.value, ast.Constant)
    }


def test_every_meaning_has_words_and_no_words_are_left_over():
    codes = first_texts(so_far, "mean", "wait") | set(so_far._TAKES.values())
    assert codes == set(words_so_far.WORDS)


def test_every_step_has_words_and_no_words_are_left_over():
    assert keyword_texts(next_step, "code") == set(words_next.WORDS)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("voice", VOICES, ids=lambda voice: f"{voice.language} {voice.measures}")
def test_every_sentence_is_filled(path, voice):
    visit = load(path)
    judgement = judge(visit)
    for run in visit.run:
        for index in range(len(run.reading)):
            for known in (None, judgement):
                for told in words_so_far.told_so_far(so_far.so_far(visit, run.id, index, known), voice):
                    for one in told:
                        assert "{" not in one
                        assert one.endswith(".")
                        assert ".." not in one


@pytest.mark.parametrize("code", sorted(words_next.WORDS))
@pytest.mark.parametrize("voice", VOICES[::2], ids=lambda voice: voice.language)
def test_every_step_is_filled(code, voice):
    visit = load(EXAMPLES[0])
    reading = wanted(visit, visit.run[0]) or [None]
    step = Step(code=code, room="as found", minutes=1.0, run="run 1", mode="fan", reading=reading[0])
    assert "{" not in words_next.step_told(step, voice)
