"""Why: every number of every example leads down to readings, and what is in doubt has a reason with a source."""

from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from drawthrough.judge.engine import judge
from drawthrough.judge.why import why
from drawthrough.trade.standing import rules
from drawthrough.visit.sheet import load

pytestmark = pytest.mark.property
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@cache
def judged(path):
    return judge(load(path))


def leaves(ground):
    return [one for below in ground.below for one in leaves(below)] if ground.below else [ground]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_number_leads_down_to_readings(path):
    judgement = judged(path)
    for result in judgement.results:
        assert result.name in rules().needs, result.name
        ground = why(judgement, result.name, result.when)
        assert (ground.standing, ground.reasons) == (result.standing, result.reasons)
        found = leaves(ground)
        assert any(one.readings for one in found), (result.name, result.when)
        for one in found:
            for run, index in one.readings:
                assert any((known.run, known.index) == (run, index) for known in judgement.readings)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_what_does_not_stand_has_a_reason_with_a_source(path):
    judgement = judged(path)
    for one in (*judgement.results, *judgement.readings):
        if one.standing not in ("it stands", "not yet read"):
            assert one.reasons
        for reason in one.reasons:
            assert reason.source == rules().rule[reason.code].source


def test_charge_rests_on_airflow_and_says_so():
    """2008 RA3.2.2: airflow before charge. Without readings of the air the charge is in doubt for that reason."""
    visit = load(EXAMPLES[[path.stem for path in EXAMPLES].index("dirty-wheel-psc")])
    bare = replace(
        visit,
        run=tuple(
            replace(
                run,
                reading=tuple(
                    one for one in run.reading if one.what in ("gauge_pressure", "temperature") or one.at == "outdoor"
                ),
            )
            for run in visit.run
            if run.mode == "cooling"
        ),
    )
    judgement = judge(bare)
    ground = why(judgement, "superheat", "as found")
    assert ground.standing == "in doubt"
    assert "airflow does not stand" in [reason.code for reason in ground.reasons]
    assert [one.name for one in ground.below] == ["line readings"]


def test_a_voided_fan_table_is_a_ground_that_is_set_aside():
    path = next(path for path in EXAMPLES if path.stem == "nothing-resolved")
    ground = why(judged(path), "airflow", "as found")
    table = next(one for one in ground.below if one.name == "fan table")
    assert table.standing == "set aside"
    assert [reason.code for reason in table.reasons] == ["motor not original"]


def test_there_is_no_why_of_a_number_that_is_not_there():
    assert why(judged(EXAMPLES[0]), "airflow", "tomorrow") is None
