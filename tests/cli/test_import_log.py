"""The import command: from a logger's file to a run that the visit sheet takes."""

import argparse
import json
import os
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drawthrough.cli import import_log
from drawthrough.cli.main import main
from drawthrough.units import RANKINE
from drawthrough.visit import logger, sheet
from drawthrough.visit.logger_steady import find_windows
from tests.measure.made_day import as_csv, made_day

pytestmark = pytest.mark.analytic

SITE = """
[site]
name = "A made house"
altitude = "0 ft"

[system]
name = "A made system"
arrangement = "draw-through"
motor = "psc"
coil_inside_taps = true
"""


@pytest.fixture
def day(tmp_path: Path) -> Path:
    """A made day as a file."""
    path = tmp_path / "day.csv"
    path.write_text(as_csv(made_day()), encoding="utf-8")
    return path


def test_a_run_that_the_sheet_takes(day: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The block goes into a sheet as it is; its means are those of the rows, each with its uncertainty."""
    assert main(["import", str(day), "--when", "as left", "--speed", "low", "--id", "afternoon"]) == 0
    out, err = capsys.readouterr()
    visit = sheet.read(SITE + out)
    (run,) = visit.run
    assert (run.id, run.when, run.mode, run.speed) == ("afternoon", "as left", "cooling", "low")
    window = find_windows(logger.load(day), "cooling").windows[0]
    means = {one.column.meaning[:2]: one for one in window.means}
    assert len(run.reading) == 6
    for reading in run.reading:
        mean = means[reading.what, reading.at]
        assert reading.uncertainty == pytest.approx(mean.uncertainty, rel=0.06)
        assert abs(reading.value - mean.mean.value) <= 0.06 * mean.uncertainty
    rows = made_day()[window.first : window.last + 1]
    supply = next(reading for reading in run.reading if reading.at == "supply" and reading.what == "dry_bulb")
    assert supply.value == pytest.approx(
        (sum(row.supply_temp for row in rows) / len(rows) + 459.67) * RANKINE, abs=0.01
    )
    assert "steady window" in err


def test_rows_of_the_window_are_steady(day: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The window lies wholly in one stage, more than eight minutes after it began."""
    assert main(["import", str(day), "--json", "--best", "3"]) == 0
    answer = json.loads(capsys.readouterr().out)
    rows = made_day()
    assert len(answer["windows"]) == len(answer["run"]) == 3
    assert len({run["id"] for run in answer["run"]}) == 3
    for window in answer["windows"]:
        hour, minute = map(int, window["start"].split()[1].split(":"))
        first = hour * 60 + minute - 480
        part = rows[first : first + window["rows"]]
        assert len({row.stage for row in part}) == 1
        assert part[0].since > 8
        assert part[0].stage > 0
        assert window["settled"] >= 480.0


def test_length_of_a_window(day: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--window says how long; where nothing is steady for that long, the longest is taken and it is said."""
    assert main(["import", str(day), "--json", "--window", "20"]) == 0
    assert json.loads(capsys.readouterr().out)["windows"][0]["rows"] == 20
    assert main(["import", str(day), "--json", "--window", "600"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert 20 < answer["windows"][0]["rows"] < 200
    assert any(finding["kind"] == "short" for finding in answer["findings"])


def test_strips_against_a_zero(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A log of strips off, on, off: the strips run and its zero come from where each of them ran."""
    lines = ["Time,Return DB (F),Supply DB (F),Strip volts (V),Strip amps (A),Blower power (W)"]
    supply = 71.3
    for minute in range(75):
        on = 20 <= minute < 50
        supply += ((96.0 if on else 71.3) - supply) * 0.45
        jitter = 0.05 * ((minute * 7) % 5 - 2)
        lines.append(f"10:{minute:02d}" if minute < 60 else f"11:{minute - 60:02d}")
        lines[-1] += (
            f",{70 + jitter:.1f},{supply + jitter:.1f},{236 + jitter:.1f},{39.5 + jitter / 5 if on else 0.0:.2f},412"
        )
    path = tmp_path / "strips.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    found = {}
    for mode in ("strips", "zero"):
        assert main(["import", str(path), "--mode", mode, "--json", "--window", "6"]) == 0
        (run,) = json.loads(capsys.readouterr().out)["run"]
        found[mode] = {(one["what"], one["at"]): one["value"] for one in run["reading"]}
        assert run.get("wetness", "dry") == "dry"
    rise = {mode: one["dry_bulb", "supply"] - one["dry_bulb", "return"] for mode, one in found.items()}
    assert rise["strips"] / RANKINE == pytest.approx(26.0, abs=0.3)
    assert rise["zero"] / RANKINE == pytest.approx(1.3, abs=0.2)
    assert found["strips"]["amps", "strips"] == pytest.approx(39.5, abs=0.1)


@pytest.mark.parametrize("with_dew_points", [False, True])
def test_wetness_as_the_record_shows_it(
    with_dew_points: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Wet where the supply's dew point lies below the return's and the coil has run for 15 minutes; else damp."""
    text = as_csv(made_day())
    if with_dew_points:
        head, *lines = text.splitlines()
        lines = [f"{head},Return dew point (F),Supply dew point (F)", *(f"{line},58.0,52.0" for line in lines)]
        text = "\n".join(lines)
    path = tmp_path / "day.csv"
    path.write_text(text, encoding="utf-8")
    assert main(["import", str(path), "--json", "--best", "50"]) == 0
    answer = json.loads(capsys.readouterr().out)
    found = [(run["wetness"], window["settled"]) for run, window in zip(answer["run"], answer["windows"], strict=True)]
    assert len({settled >= 900.0 for _, settled in found}) == 2
    for wetness, settled in found:
        assert wetness == ("wet steady" if with_dew_points and settled >= 900.0 else "damp")
    assert main(["import", str(path), "--wetness", "dry"]) == 0
    assert sheet.read(SITE + capsys.readouterr().out).run[0].wetness == "dry"


def test_pressures_without_a_sign_stay_without(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A static is written as its logger wrote it: its sign follows from its places when the sheet is read."""
    head, *lines = as_csv(made_day()).splitlines()
    noisy = (f"{line},0.2{i % 3},0.31" for i, line in enumerate(lines))
    path = tmp_path / "day.csv"
    path.write_text("\n".join([f"{head},Return static (inwc),Supply static (inwc)", *noisy]), encoding="utf-8")
    assert main(["import", str(path)]) == 0
    run = sheet.read(SITE + capsys.readouterr().out).run[0]
    values = {reading.at: reading.value for reading in run.reading if reading.what == "static"}
    assert values["return plenum"] < 0.0 < values["supply plenum"]


def test_barometer_is_the_station_pressure(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It becomes a key of the run, no reading."""
    head, *lines = as_csv(made_day()).splitlines()
    path = tmp_path / "day.csv"
    path.write_text("\n".join([f"{head},Barometer (inHg)", *(f"{line},29.85" for line in lines)]), encoding="utf-8")
    assert main(["import", str(path)]) == 0
    run = sheet.read(SITE + capsys.readouterr().out).run[0]
    assert run.station_pressure == pytest.approx(29.85 * 3386.389, rel=1e-5)
    assert all(reading.what != "pressure" for reading in run.reading)


def test_output_is_written_whole_or_not_at_all(
    day: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A new file; an old one only with --force; nothing is left behind when the last step fails."""
    target = tmp_path / "run.toml"
    assert main(["import", str(day), "-o", str(target)]) == 0
    first = target.read_text(encoding="utf-8")
    assert tomllib.loads(first)["run"][0]["mode"] == "cooling"
    assert capsys.readouterr().out == ""
    assert main(["import", str(day), "-o", str(target), "--id", "other"]) == 1
    assert target.read_text(encoding="utf-8") == first
    assert main(["import", str(day), "-o", str(target), "--id", "other", "--force"]) == 0
    assert tomllib.loads(target.read_text(encoding="utf-8"))["run"][0]["id"] == "other"
    assert main(["import", str(day), "-o", str(tmp_path / "no" / "folder.toml")]) == 1

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fail)
    before = sorted(path.name for path in tmp_path.iterdir())
    assert main(["import", str(day), "-o", str(tmp_path / "new.toml")]) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == before
    assert "No space" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "options", "part"),
    [
        ("", [], "no line of values"),
        ("Time,stg\n10:00,1\n10:01,1\n", [], "no column can be used"),
        (as_csv(made_day()[:40]), [], "nothing in it is steady"),
        (as_csv(made_day()), ["--mode", "strips"], "nothing in it is steady"),
        (as_csv(made_day()), ["--map", "nothing=skip"], "no column 'nothing'"),
        (as_csv(made_day()), ["--map", "what?"], "cannot be read"),
    ],
)
def test_refusals(text: str, options: list[str], part: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 1, one line with the reason; with --json an object beside it, and no file."""
    path, target = tmp_path / "log.csv", tmp_path / "run.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["import", str(path), *options, "--json", "-o", str(target)]) == 1
    out, err = capsys.readouterr()
    assert part in err
    assert len(err.splitlines()) == 1
    assert part in json.loads(out)["error"]
    assert not target.exists()


@pytest.mark.parametrize("name", ["no/such/file.csv", "."])
def test_files_that_cannot_be_opened(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A missing file and a folder are refusals as well."""
    assert main(["import", name]) == 1
    assert name in capsys.readouterr().err


@pytest.mark.parametrize(
    "options", [["--mode", "swim"], ["--window", "0"], ["--window", "x"], ["--best", "0"], ["--when", "now"]]
)
def test_usage(options: list[str], day: Path) -> None:
    """What argparse refuses has exit code 2."""
    with pytest.raises(SystemExit) as ended:
        main(["import", str(day), *options])
    assert ended.value.code == 2


def run_on(source: bytes, folder: Path) -> int:
    """Run the command by itself, without the net that catches a fault of the program."""
    path = folder / "any.csv"
    path.write_bytes(source)
    parser = argparse.ArgumentParser()
    import_log.add_parser(parser.add_subparsers())
    return import_log.run(parser.parse_args(["import", str(path)]))


@pytest.mark.property
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(source=st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode()))
def test_no_file_makes_a_traceback(source: bytes, tmp_path: Path) -> None:
    """Any bytes: refused or imported, nothing else."""
    assert run_on(source, tmp_path) in (0, 1)


@pytest.mark.property
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(data=st.data())
def test_no_spoiled_day_makes_a_traceback(data: st.DataObject, tmp_path: Path) -> None:
    """A real day in which lines, cells and letters were damaged: refused or imported, and what is imported is a run."""
    lines = as_csv(made_day(length=180)).splitlines()
    for _ in range(data.draw(st.integers(1, 12))):
        row = data.draw(st.integers(0, len(lines) - 1))
        cells = lines[row].split(",")
        cell = data.draw(st.integers(0, len(cells) - 1))
        cells[cell] = data.draw(
            st.sampled_from(["", "Err", "OL", "1e308", "-1", '"', "12:00", ";", "\t", "1,5", "NaN", "∞"])
        )
        lines[row] = ",".join(cells)
        if data.draw(st.booleans()):
            lines.insert(data.draw(st.integers(0, len(lines))), lines[row])
    assert run_on("\n".join(lines).encode(), tmp_path) in (0, 1)
