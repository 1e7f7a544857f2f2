"""Why, in words: every number of every example is followed to its readings, in both languages, with its sources."""

from pathlib import Path

import pytest

from drawthrough.judge.engine import judge
from drawthrough.report.view import proof_view
from drawthrough.report.voice import Voice
from drawthrough.report.words_why import grounds_told
from drawthrough.visit.sheet import load

pytestmark = pytest.mark.property
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("voice", [Voice(), Voice("es"), Voice("es", "SI")], ids=str)
def test_every_number_is_followed_to_its_readings(path, voice):
    judgement = judge(load(path))
    for result in judgement.results:
        told = grounds_told(judgement, result, voice)
        assert any("reading" in one or "lectura" in one for one in told[1:]), result.name
        for one in told:
            assert "{" not in one
            assert "_" not in one
        for reason in result.reasons:
            assert voice.say(reason.source) in told[0]


def test_the_page_of_the_proof_tells_each_number_s_grounds():
    judgement = judge(load(EXAMPLES[2]))
    strips = proof_view(judgement).strips
    assert strips
    for strip in strips:
        assert len(strip.grounds) > 1
        assert len(set(strip.grounds)) == len(strip.grounds)
