"""The reader of published rows: what a row must say, how it is judged, and that its text is the same everywhere."""

from pathlib import Path
from typing import Any

import pytest

from tests.published import rows

GOOD = {
    "id": "table-1-row-1",
    "function": "physics.electrical.capacitance",
    "inputs": {"amps": "2 A", "volts": "330 V", "frequency": "60 Hz"},
    "expect": "16.08 uF",
    "quantity": "capacitance",
    "abs": "0.005 uF",
    "because": "printed to 0.01 uF",
    "source": "a table",
    "place": "row 1",
    "word": "published",
}


def written(folder: Path, **changes: Any) -> Path:
    """Write one row with changes; a change to None leaves the field out."""
    lines = ["[[row]]"]
    for name, value in {**GOOD, **changes}.items():
        if isinstance(value, dict):
            pairs = ", ".join(f"{key} = {_toml(entry)}" for key, entry in value.items())
            lines.append(f"{name} = {{ {pairs} }}")
        elif value is not None:
            lines.append(f"{name} = {_toml(value)}")
    (folder / "table.toml").write_text("\n".join(lines), encoding="utf-8")
    return folder


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else repr(value)


def outcome(folder: Path, **changes: Any) -> rows.Outcome:
    """Return what becomes of one row."""
    (row,) = rows.load(written(folder, **changes))
    return rows.work_out(row)


def test_good_row_agrees(tmp_path: Path) -> None:
    """Read, worked out, told."""
    found = outcome(tmp_path)
    assert found.passes
    assert found.verdict == "agrees"
    assert rows.shown(found) == ("16.08 uF", "16.0763 uF", "-0.0037", "0.005 uF")


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"source": ""}, "source is empty"),
        ({"source": None}, "missing required field"),
        ({"word": "certain"}, "Invalid enum value"),
        ({"colour": "red"}, "unknown field"),
        ({"rel": 0.1}, "exactly one of rel and abs"),
        ({"abs": None}, "exactly one of rel and abs"),
        ({"abs": "0 uF"}, "greater than 0"),
        ({"abs": None, "rel": 1.5}, "rel lies between"),
        ({"abs": "0.005 V"}, "unit of voltage"),
        ({"expect": "16.08"}, "has no unit"),
        ({"expect": None}, "expect is missing"),
        ({"because": "so"}, "because is missing"),
        ({"disagrees": "a bit"}, "size and cause"),
        ({"expect_refused": True}, "neither expect nor rel nor abs"),
        ({"quantity": "dry_bulb", "expect": "80 F", "abs": None, "rel": 1e-3}, "a temperature takes abs"),
        ({"quantity": "nonsense"}, "not in the vocabulary"),
    ],
)
def test_faulty_row_is_refused(changes: dict[str, Any], told: str, tmp_path: Path) -> None:
    """A row that does not say what it must is no row."""
    with pytest.raises(rows.RowFault, match=told):
        rows.load(written(tmp_path, **changes))


def test_bare_number_for_a_quantity_is_refused(tmp_path: Path) -> None:
    """A number without a unit would be read as SI by accident."""
    with pytest.raises(rows.RowFault, match="has no unit"):
        outcome(tmp_path, inputs={"amps": 2, "volts": "330 V", "frequency": "60 Hz"})


def test_miss_is_seen(tmp_path: Path) -> None:
    """Beyond the tolerance the row fails, unless it says that it disagrees; then agreeing fails."""
    missed = outcome(tmp_path, expect="16.2 uF")
    assert not missed.passes
    assert missed.verdict == "MISSES"
    stated = outcome(tmp_path, expect="16.2 uF", disagrees="0.8 % above ours, by rounding")
    assert stated.passes
    assert stated.verdict == "disagrees, stated"
    healed = outcome(tmp_path, disagrees="0.8 % above ours, by rounding")
    assert not healed.passes
    assert healed.verdict == "agrees now"


def test_refusal_is_judged(tmp_path: Path) -> None:
    """A row may demand a refusal; an answer in its place fails, as a refusal does where an answer is wanted."""
    bare = {"expect": None, "quantity": None, "abs": None, "because": None, "expect_refused": True}
    refused = {"amps": "2 A", "volts": "0 V", "frequency": "60 Hz"}
    assert outcome(tmp_path, inputs=refused, **bare).verdict == "refused"
    assert not outcome(tmp_path, **bare).passes
    assert not outcome(tmp_path, inputs=refused).passes


def test_difference_of_temperatures_has_no_zero(tmp_path: Path) -> None:
    """A tolerance of 0.5 F is 0.28 K, not 255 K."""
    found = outcome(
        tmp_path,
        function="physics.charge.target_superheat",
        inputs={"wet_bulb": "68 F", "outdoor": "95 F"},
        expect="14 F",
        quantity="superheat",
        abs="0.5 F",
    )
    assert found.tolerance == pytest.approx(0.5 / 1.8)
    assert rows.difference_of("temperature") == "temperature_difference"


@pytest.mark.parametrize("nudge", [1.0, 1.0 + 2**-51, 1.0 - 2**-51])
def test_text_does_not_depend_on_last_places(nudge: float, tmp_path: Path) -> None:
    """Ours on a tie of the rounding, nudged by some units in the last place: the page stays as it is."""
    found = outcome(tmp_path)._replace(ours=16.07625e-6 * nudge)
    assert rows.shown(found)[1:3] == ("16.0763 uF", "-0.0038")


def test_tolerance_that_is_met_exactly_is_met(tmp_path: Path) -> None:
    """On every machine."""
    found = outcome(tmp_path)
    assert found.published is not None
    assert found.tolerance is not None
    for nudge in (1.0, 1.0 + 2**-50, 1.0 - 2**-50):
        assert found._replace(ours=(found.published + found.tolerance) * nudge).within
    assert not found._replace(ours=found.published + found.tolerance * 1.001).within
