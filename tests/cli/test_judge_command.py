"""`drawthrough judge`: text, JSON that its schema accepts, and one clear refusal for whatever is broken."""

import io
import json
import random
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drawthrough.cli import main
from drawthrough.cli.main import FAULT
from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Judgement
from drawthrough.report.text import text
from drawthrough.visit import sheet
from tests.house import walk

EXAMPLES = sorted((walk.CHECKOUT / "examples").glob("*.toml"))
SCHEMA = json.loads((walk.CHECKOUT / "docs" / "judgement.schema.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_text_is_the_view(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 0, the text view on standard output and nothing beside it."""
    assert main(["judge", str(path)]) == 0
    told = capsys.readouterr()
    assert told.out == text(judge(sheet.load(path)))
    assert told.err == ""


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_json_is_what_the_schema_says(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Valid by the published schema, and read back it is the judgement itself."""
    assert main(["judge", str(path), "--json"]) == 0
    out = capsys.readouterr().out
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(out))
    assert msgspec.json.decode(out, type=Judgement) == judge(sheet.load(path))


def test_the_schema_refuses_what_is_not_a_judgement() -> None:
    """Else it would prove nothing."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    good: dict[str, Any] = json.loads(msgspec.json.encode(judge(sheet.load(EXAMPLES[0]))))
    validator = jsonschema.Draft202012Validator(SCHEMA)
    assert validator.is_valid(good)
    assert not validator.is_valid({})
    wrong = json.loads(json.dumps(good))
    wrong["results"][0]["standing"] = "excellent"
    assert not validator.is_valid(wrong)


def test_budget(capsys: pytest.CaptureFixture[str]) -> None:
    """Adds what each figure's uncertainty is made of."""
    assert main(["judge", str(EXAMPLES[0]), "--budget"]) == 0
    assert "belief:" in capsys.readouterr().out


def test_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A dash reads the sheet from there."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(EXAMPLES[0].read_bytes())))
    assert main(["judge", "-"]) == 0
    piped = capsys.readouterr().out
    assert main(["judge", str(EXAMPLES[0])]) == 0
    assert capsys.readouterr().out == piped


def test_usage_ends_with_2(capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet has to be named."""
    with pytest.raises(SystemExit) as ended:
        main(["judge"])
    assert ended.value.code == 2
    assert "SHEET" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "no such file"),
        (b"", "empty sheet"),
        (b"\xff\xfe\x00", "not text"),
        (b"[site", "not TOML"),
        (b"[site]\nname = 'a'\naltitude = '12'\n", "missing unit"),
        (b"[site]\nname = 'a'\naltitude = '12 F'\n", "wrong quantity"),
    ],
)
def test_refusal(content: bytes | None, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 1, nothing half-said on standard output, place and remedy on standard error."""
    path = tmp_path / "visit.toml"
    if content is not None:
        path.write_bytes(content)
    assert main(["judge", str(path)]) == 1
    plain = capsys.readouterr()
    assert plain.out == ""
    assert told in plain.err
    assert "do:" in plain.err
    assert main(["judge", str(path), "--json"]) == 1
    as_json = capsys.readouterr()
    answer = json.loads(as_json.out)
    assert told in answer["error"]
    assert told in {fault["kind"] for fault in answer["faults"]}
    assert "Traceback" not in plain.err + as_json.err


def broken(source: str, chance: random.Random) -> str:
    """Return a sheet with a few lines lost, doubled or exchanged, or a few letters or digits of it changed."""
    lines = source.splitlines()
    for _ in range(chance.randint(1, 4)):
        k = chance.randrange(len(lines))
        what = chance.choice(("lose", "double", "exchange", "letter", "digit", "digit", "lose many"))
        if what == "lose":
            del lines[k]
        elif what == "lose many":
            del lines[k : k + chance.randint(2, 60)]
        elif what == "double":
            lines.insert(k, lines[k])
        elif what == "exchange":
            other = chance.randrange(len(lines))
            lines[k], lines[other] = lines[other], lines[k]
        elif lines[k]:
            at = chance.randrange(len(lines[k]))
            digits = [n for n, letter in enumerate(lines[k]) if letter.isdigit()]
            if what == "digit" and digits:
                at = chance.choice(digits)
                lines[k] = lines[k][:at] + chance.choice("0123456789-") + lines[k][at + 1 :]
            else:
                lines[k] = lines[k][:at] + chance.choice(' "=[]{}#x\\µ') + lines[k][at + 1 :]
        if not lines:
            break
    return "\n".join(lines)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(seed=st.integers(0, 2**32))
def test_no_sheet_gets_a_traceback(path: Path, seed: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet damaged by a slip of the hand is judged or refused: never a fault of the program."""
    damaged = tmp_path / "visit.toml"
    damaged.write_text(broken(path.read_text(encoding="utf-8"), random.Random(seed)), encoding="utf-8")
    code = main(["judge", str(damaged)])
    told = capsys.readouterr()
    assert code in (0, 1), told.err
    assert code != FAULT
    assert "Traceback" not in told.err
    assert bool(told.out) == (code == 0)
    assert code == 0 or "do:" in told.err


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(content=st.binary(max_size=200))
def test_no_bytes_get_a_traceback(content: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever lies in the file."""
    path = tmp_path / "visit.toml"
    path.write_bytes(content)
    assert main(["judge", str(path)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "Traceback" not in told.err


def test_only_what_it_needs_is_loaded() -> None:
    """Start-up is a good part of its time: no other command, no tests' library, no server."""
    script = (
        "import sys; from drawthrough.cli import main; main(sys.argv[1:]); print('\\n' + ' '.join(sorted(sys.modules)))"
    )
    command = [sys.executable, "-c", script, "judge", str(EXAMPLES[0])]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    loaded = set(done.stdout.splitlines()[-1].split())
    assert "drawthrough.report.text" in loaded
    assert not {name for name in loaded if name.startswith("drawthrough.cli.calc")}
    assert not loaded & {"numpy", "asyncio", "socket", "sqlite3", "http", "unittest", "hypothesis"}
