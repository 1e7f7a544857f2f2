"""The command line as a whole: exit codes, one line for a refusal, no traceback, small start-up."""

import argparse
import json
import subprocess
import sys
from typing import Any

import pytest

import drawthrough
from drawthrough.cli import main as entry
from drawthrough.cli.main import COMMANDS, FAULT, TRACE, build_parser
from drawthrough.errors import OutOfRange
from tests.house import walk


def stand_in(monkeypatch: pytest.MonkeyPatch, answer: Any) -> None:
    """Put a command in the place of `calc` that raises or returns what a test wants."""

    class Command:
        @staticmethod
        def add_parser(subparsers: Any) -> None:
            subparsers.add_parser("calc").add_argument("--json", action="store_true")

        @staticmethod
        def run(arguments: argparse.Namespace) -> int:
            if isinstance(answer, BaseException):
                raise answer
            return int(answer)

    monkeypatch.setitem(sys.modules, "stand_in", Command)  # type: ignore[arg-type]
    monkeypatch.setitem(COMMANDS, "calc", ("stand_in", "a stand-in"))


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    """One line, the version."""
    assert entry(["--version"]) == 0
    assert capsys.readouterr().out == f"{drawthrough.__version__}\n"


def test_without_a_command_the_help_is_shown(capsys: pytest.CaptureFixture[str]) -> None:
    """Every command is in it, with its line."""
    assert entry([]) == 0
    out = capsys.readouterr().out
    for name in COMMANDS:
        assert f"\n    {name}" in out


@pytest.mark.parametrize("words", [["nonsense"], ["calc", "--nonsense"], ["--nonsense"]])
def test_usage_ends_with_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be read as a command line is a matter of usage."""
    with pytest.raises(SystemExit) as ended:
        entry(words)
    assert ended.value.code == 2
    assert "usage: drawthrough" in capsys.readouterr().err


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_a_parser_and_its_line(command: str) -> None:
    """The line of the table is the line of the command's own parser, so that both helps say the same."""
    parser = build_parser(command)
    action = next(action for action in parser._actions if isinstance(action, argparse._SubParsersAction))
    lines = {choice.dest: choice.help for choice in action._choices_actions}
    assert lines[command] == COMMANDS[command][1]
    assert any("--json" in option.option_strings for option in action.choices[command]._actions)


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (OutOfRange("dry_bulb", 500.0, (200.0, 400.0), "the table"), "dry_bulb = 500 lies outside 200 to 400"),
        (FileNotFoundError(2, "No such file or directory", "visit.toml"), "visit.toml: No such file or directory."),
        (PermissionError(13, "Permission denied", "visit.toml"), "visit.toml: Permission denied."),
        (UnicodeDecodeError("utf-8", b"\xff", 0, 1, "invalid start byte"), "not UTF-8 text (byte 0"),
    ],
)
def test_what_is_refused_is_one_line(
    error: Exception, told: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On standard error, with exit code 1; with --json an object on standard output as well."""
    stand_in(monkeypatch, error)
    assert entry(["calc"]) == 1
    plain = capsys.readouterr()
    assert plain.out == ""
    assert plain.err.startswith("drawthrough: ")
    assert told in plain.err
    assert plain.err.count("\n") == 1
    assert entry(["calc", "--json"]) == 1
    as_json = capsys.readouterr()
    assert told in json.loads(as_json.out)["error"]
    assert as_json.err == plain.err


def test_a_fault_of_the_program_is_not_passed_off_as_the_users(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line and a code of its own; with the trace asked for, the traceback."""
    stand_in(monkeypatch, ZeroDivisionError("division by zero"))
    monkeypatch.delenv(TRACE, raising=False)
    assert entry(["calc"]) == FAULT
    assert "A fault of the program, not of your input: ZeroDivisionError" in capsys.readouterr().err
    monkeypatch.setenv(TRACE, "1")
    with pytest.raises(ZeroDivisionError):
        entry(["calc"])


def test_the_code_of_the_command_is_the_code_of_the_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever a command returns."""
    stand_in(monkeypatch, 1)
    assert entry(["calc"]) == 1


def test_an_interrupt_is_quiet(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """As a shell reports it."""
    stand_in(monkeypatch, KeyboardInterrupt())
    assert entry(["calc"]) == 130
    assert capsys.readouterr().err == ""


def test_a_closed_pipe_is_quiet() -> None:
    """`drawthrough calc | head -1` says nothing of a broken pipe."""
    script = f"{sys.executable} -m drawthrough calc | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True, cwd=walk.CHECKOUT)
    assert done.stderr == ""
    assert done.stdout.splitlines()[-1] in ("0", "141")


def test_module_and_command_are_one() -> None:
    """`python -m drawthrough` runs the same, whatever the terminal can show."""
    done = subprocess.run(
        [sys.executable, "-m", "drawthrough", "calc", "capacitor", "amps=2A", "volts=330V", "frequency=60Hz"],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONIOENCODING": "ascii", "PATH": "/usr/bin:/bin"},
    )
    assert "16.0763 uF" in done.stdout


def test_only_the_command_asked_for_is_loaded() -> None:
    """Start-up is most of what a small command costs: help loads no command, calc no judgement."""
    script = (
        "import sys; from drawthrough.cli import main; main(sys.argv[1:]); "
        "print(sorted(name for name in sys.modules if name.startswith('drawthrough.')))"
    )

    def loaded(*words: str) -> set[str]:
        done = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, check=True)
        return set(json.loads(done.stdout.splitlines()[-1].replace("'", '"')))

    assert loaded("--version") == {"drawthrough.cli", "drawthrough.cli.main", "drawthrough.errors"}
    by_calc = loaded("calc", "capacitor", "amps=2A", "volts=330V", "frequency=60Hz")
    assert not {name for name in by_calc if name.split(".")[1] in ("judge", "measure", "visit")}
