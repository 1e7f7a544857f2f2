"""`drawthrough sheet`: what was read, or every fault; the schema; a blank sheet. Exit codes 0, 1, 2."""

import io
import json
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from drawthrough.cli import main
from drawthrough.visit import sheet

CHECKOUT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((CHECKOUT / "examples").glob("*.toml"))
DEMO = CHECKOUT / "examples" / "dirty-wheel-psc.toml"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_example_is_told(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every run with its readings as they were typed; exit 0."""
    assert main(["sheet", str(path)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "read without a fault" in out
    visit = sheet.load(path)
    for run in visit.run:
        assert f"run         {run.id}: {run.when}, {run.mode}" in out
        for reading in run.reading:
            assert reading.typed in out


def test_json_is_the_visit_in_si(capsys: pytest.CaptureFixture[str]) -> None:
    """One object, from which the same visit can be had."""
    assert main(["sheet", str(DEMO), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    visit = told["visit"]
    assert visit["site"]["altitude"] == 1020 * 0.3048
    assert visit["run"][1]["reading"][0]["typed"] == "-0.092 inwc"
    assert told["sheet"] == str(DEMO)


def test_faults_go_to_stderr(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """All of them, with lines and remedies; nothing on stdout; exit 1."""
    path = tmp_path / "visit.toml"
    text = DEMO.read_text(encoding="utf-8").replace('"1020 ft"', "1020")
    path.write_text(text.replace('metering = "expansion valve"', 'metering = "valve"'), encoding="utf-8")
    assert main(["sheet", str(path)]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("2 faults in the sheet.")
    for part in (
        f"{path}, line 8, site.altitude: missing unit",
        '"1020 ft"',
        "system.metering: not a choice",
        "fixed orifice",
    ):
        assert part in err
    assert "Traceback" not in err


def test_faults_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same as data."""
    path = tmp_path / "visit.toml"
    path.write_text(DEMO.read_text(encoding="utf-8").replace('"1020 ft"', "1020"), encoding="utf-8")
    assert main(["sheet", str(path), "--json"]) == 1
    (fault,) = json.loads(capsys.readouterr().out)["faults"]
    assert fault | {"remedy": ""} == {
        "file": str(path), "place": "site.altitude", "line": 8, "kind": "missing unit", "read": "1020", "remedy": "",
    }  # fmt: skip


@pytest.mark.parametrize("data", [b"", b"\x00\x01", b"\xff\xfe", b"a = [", b"[" * 50_000, b"= = =", b"name = 1\n"])
def test_whatever_the_file_holds(data: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One refusal, no traceback."""
    path = tmp_path / "odd.toml"
    path.write_bytes(data)
    assert main(["sheet", str(path)]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert str(path) in err
    assert "do:" in err
    assert "Traceback" not in err


def test_no_such_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A name that is nowhere, and a folder."""
    assert main(["sheet", str(tmp_path / "none.toml")]) == 1
    assert main(["sheet", str(tmp_path)]) == 1
    assert capsys.readouterr().err.count("no such file") == 2


def test_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """By the name -."""

    class Input:
        buffer = io.BytesIO(DEMO.read_bytes())

    monkeypatch.setattr(sys, "stdin", Input())
    assert main(["sheet", "-"]) == 0
    assert "strips-found" in capsys.readouterr().out


def test_nothing_asked_is_a_fault_of_usage(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 2, and what could be asked."""
    assert main(["sheet"]) == 2
    assert "--schema" in capsys.readouterr().err


def test_schema_and_blank(capsys: pytest.CaptureFixture[str]) -> None:
    """The published schema; a sheet to fill in."""
    assert main(["sheet", "--schema"]) == 0
    assert capsys.readouterr().out == (CHECKOUT / "docs" / "visit-sheet.schema.json").read_text(encoding="utf-8")
    assert main(["sheet", "--blank"]) == 0
    parsed: dict[str, Any] = tomllib.loads(capsys.readouterr().out)
    assert parsed.keys() == {"site", "system", "run"}


def test_whole_process() -> None:
    """As it is started from a shell, with a file that holds what no terminal can show."""
    command = [sys.executable, "-m", "drawthrough", "sheet", "-"]
    done = subprocess.run(
        command, input='[site]\nname = "\u2603\U0001f300"\n'.encode(), capture_output=True, check=False
    )
    assert done.returncode == 1
    assert b"missing key" in done.stderr
    assert b"Traceback" not in done.stderr
