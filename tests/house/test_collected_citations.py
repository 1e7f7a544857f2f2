"""The cited rules against the collected ones, where those lie beside the checkout."""

import csv
from pathlib import Path

import pytest

from tests.trade.test_cautions import RULES

COLLECTED = Path(__file__).parents[3] / "shared" / "published" / "safety_citations.csv"


@pytest.mark.restated
def test_the_rules_agree_with_the_collected_ones() -> None:
    """Every topic is restated, each number and its trust as it was collected."""
    if not COLLECTED.exists():
        pytest.skip("the collected citations lie beside the checkout, and are not here")
    lines = [line for line in COLLECTED.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    rows = {row["topic"]: row for row in csv.DictReader(lines)}
    assert set(rows) == set(RULES)
    for topic, (numbers, confidence, _) in RULES.items():
        assert [number for number in numbers if number not in rows[topic]["citation"]] == []
        assert rows[topic]["confidence"].split(" (")[0] == confidence
