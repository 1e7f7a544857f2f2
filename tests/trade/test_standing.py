"""The rules of standing hang together, and the engine uses each of them and no other."""

import ast
import copy
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from drawthrough.trade.standing import RuleError, read_rules, rules

pytestmark = pytest.mark.property
JUDGE = Path(__file__).parents[2] / "src" / "drawthrough" / "judge"


def _data():
    return copy.deepcopy(tomllib.loads((files("drawthrough.trade") / "standing.toml").read_text(encoding="utf-8")))


def test_the_engine_uses_every_rule_and_no_other():
    """Every code that is given to `reason` or `say` in the room that judges; one comes by way of a finding."""
    used = {"strip power does not fit the kit"}
    for path in JUDGE.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            named = isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("reason", "say")
            if named and node.args and isinstance(node.args[0], ast.Constant):
                used.add(node.args[0].value)
    assert used == set(rules().rule)


def test_a_ring_is_refused_and_named():
    data = _data()
    data["needs"].append({"of": "a", "on": ["b"], "source": "x"})
    data["needs"].append({"of": "b", "on": ["a"], "source": "x"})
    with pytest.raises(RuleError, match="ring") as caught:
        read_rules(data)
    assert set(caught.value.names) == {"a", "b"}


def test_faults_are_named():
    data = _data()
    data["needs"][0]["on"] = ["moonlight"]
    with pytest.raises(RuleError, match="moonlight"):
        read_rules(data)
    data = _data()
    data["rule"].append(data["rule"][0])
    with pytest.raises(RuleError, match="instrument assumed"):
        read_rules(data)
    data = _data()
    data["rule"][0]["gives"] = "splendid"
    with pytest.raises(RuleError, match="splendid"):
        read_rules(data)


def test_each_rule_has_its_source_and_word():
    for rule in rules().rule.values():
        assert rule.source
        assert rule.word
        assert rule.worse is None or rule.worse != rule.gives
