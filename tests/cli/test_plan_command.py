"""`drawthrough plan`: the ordered day, the same as JSON, and one clear refusal for whatever cannot be planned."""

import io
import json
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from drawthrough.cli import main
from drawthrough.plan.job import planned
from drawthrough.trade.tasks import tasks
from drawthrough.visit import sheet
from tests.house import walk

pytestmark = pytest.mark.property
DEMO = walk.CHECKOUT / "examples" / "dirty-wheel-psc.toml"
EXAMPLES = sorted((walk.CHECKOUT / "examples").glob("*.toml"))
BARE = """
[site]
name = "A house"
altitude = "300 m"
[system]
name = "Air handler"
arrangement = "draw-through"
motor = "psc"
coil_inside_taps = true
"""


def told(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert main(["plan", *words, "--json"]) == 0
    out = capsys.readouterr()
    assert out.err == ""
    found: dict[str, Any] = json.loads(out.out)
    return found


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_day_in_its_order(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every task once, none before what it waits for, each line no wider than a terminal."""
    assert main(["plan", str(path)]) == 0
    out = capsys.readouterr()
    assert out.err == ""
    assert max(map(len, out.out.splitlines())) <= 80
    visit = sheet.load(path)
    codes = {one.code for one in planned(visit.job, visit.system)}
    rows = re.findall(r"^  \d\d:\d\d-\d\d:\d\d  (?:[AB]  )?(\S.*?)(?:  .*)?$", out.out, re.MULTILINE)
    order = [row[:1].lower() + row[1:] for row in rows]
    assert sorted(order) == sorted(codes)
    for code in codes:
        for before in set(tasks().before[code]) & codes:
            assert order.index(before) < order.index(code)


def test_text_and_data_say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    """Finish, times and truck list of the text are those of the data."""
    data = told(capsys, str(DEMO), "--begin", "07:30")
    assert main(["plan", str(DEMO), "--begin", "7:30"]) == 0
    text = capsys.readouterr().out
    assert data["begin"] == 7.5 * 3600
    assert "Begins at 07:30, one person." in text
    assert data["finish"]["low"] < data["finish"]["best"] < data["finish"]["high"] <= data["promise"]
    assert f"Promise {int(data['promise'] // 3600):02d}:{int(data['promise'] % 3600 // 60):02d}" in text
    assert data["length"] < data["in_row"]
    for one in data["truck"]:
        assert one["name"] in text or one["name"].split()[0] in text
    assert text.count("[ ]") + text.count("[x]") == len(data["truck"]) + len(data["extras"])
    wanted = next(one["capacitor"] for one in data["truck"] if one["item"] == "run capacitor")
    assert wanted == {"capacitance": pytest.approx(7.5e-6), "volts_least": 370.0, "tolerance_most": 0.06}
    assert "at least 370 V" in text


def test_two_people_are_done_sooner(capsys: pytest.CaptureFixture[str]) -> None:
    """The crew of the command goes before the sheet's; each task says who."""
    one, two = (told(capsys, str(DEMO), "--crew", crew) for crew in "12")
    assert two["finish"]["best"] < one["finish"]["best"]
    assert {task["who"] for task in one["tasks"]} == {0}
    assert {task["who"] for task in two["tasks"]} == {0, 1}
    assert main(["plan", str(DEMO), "--crew", "2"]) == 0
    out = capsys.readouterr().out
    assert "two people" in out
    assert re.search(r"^  \d\d:\d\d-\d\d:\d\d  B  ", out, re.MULTILINE)


def test_a_visit_that_is_still_to_come_needs_no_run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Read from the standard input, past midnight said so; an empty list of runs is refused as it stands."""
    monkeypatch.setattr(sys, "stdin", type("In", (), {"buffer": io.BytesIO(BARE.encode())})())
    assert main(["plan", "-", "--begin", "21:00"]) == 0
    out = capsys.readouterr().out
    assert "Plan: Air handler, A house" in out
    assert "(+1 d)" in out
    monkeypatch.setattr(sys, "stdin", type("In", (), {"buffer": io.BytesIO(b"run = []\n" + BARE.encode())})())
    assert main(["plan", "-"]) == 1
    assert "no runs" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("job", "named"),
    [
        ('scope = ["ducts"]', "ducts"),
        ('extra = ["paint the house"]', "paint the house"),
        ('without = ["discharge"]', "discharge"),
        ('extra = ["fire the strips"]', "fire the strips"),
    ],
)
@pytest.mark.parametrize("as_json", [False, True])
def test_what_cannot_be_planned_is_named(
    job: str, named: str, as_json: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 1, one line that names the purpose or the task; as data too where that was asked for."""
    path = tmp_path / "sheet.toml"
    path.write_text(f"{BARE}[job]\n{job}\n", encoding="utf-8")
    assert main(["plan", str(path), *(["--json"] if as_json else [])]) == 1
    out = capsys.readouterr()
    assert named in out.err
    if as_json:
        assert named in json.loads(out.out)["error"]
    else:
        assert out.out == ""


def test_a_sheet_with_faults(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No such file, and a fault other than the run that is not there yet."""
    assert main(["plan", str(tmp_path / "none.toml")]) == 1
    assert "no such file" in capsys.readouterr().err
    path = tmp_path / "sheet.toml"
    path.write_text(BARE.replace('"psc"', '"steam"'), encoding="utf-8")
    assert main(["plan", str(path), "--json"]) == 1
    out = capsys.readouterr()
    assert "steam" in out.err
    assert [fault["kind"] for fault in json.loads(out.out)["faults"]] == ["not a choice"]


@pytest.mark.parametrize("words", [["--begin", "25:00"], ["--begin", "noon"], ["--crew", "3"], []])
def test_a_command_line_that_cannot_be_read(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2."""
    with pytest.raises(SystemExit) as ended:
        main(["plan", *([str(DEMO)] if words else []), *words])
    assert ended.value.code == 2
    capsys.readouterr()
