"""Finds the command, runs it, and turns what it refuses into one clear line. Exit codes: 0, 1 refused, 2 usage."""

import argparse
import importlib
import os
import sys
from typing import Any

from drawthrough.errors import DrawthroughError

REFUSED = 1
FAULT = 3  # of the program, not of what it was given
TRACE = "DRAWTHROUGH_TRACE"  # set it to see where a fault arose

# Each command: its module, which has `add_parser(subparsers)` and `run(arguments) -> int`, and its line of help.
# Only the module of the command that was asked for is imported: start-up is most of what a small command costs.
COMMANDS: dict[str, tuple[str, str]] = {
    "serve": ("drawthrough.cli.serve", "open the application: record a visit and read what it proves"),
    "judge": ("drawthrough.cli.judge", "say what a visit's readings prove, and what they cannot"),
    "plan": ("drawthrough.cli.plan", "plan the day of a visit: its order, when it is over, what to take along"),
    "calc": ("drawthrough.cli.calc", "work out one thing by hand: moist air, airflow, a capacitor, dust shares, ..."),
    "sheet": ("drawthrough.cli.sheet", "check a visit sheet, start an empty one, or print its JSON Schema"),
    "import": ("drawthrough.cli.import_log", "read a logger's CSV, find its steady windows, write them as a run"),
}


def build_parser(chosen: str | None = None) -> argparse.ArgumentParser:
    """Return the parser, with the options of the chosen command alone; `"*"` gives those of every command."""
    parser = argparse.ArgumentParser(
        prog="drawthrough",
        description="Proof, from readings taken before and after, of what cleaning an air handler changed.",
        epilog="Each command has its own help: drawthrough COMMAND --help. Values carry their unit: 0.48inwc, 80F.",
    )
    parser.add_argument("--version", action="store_true", help="print the version and end")
    subparsers = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name, (module, line) in COMMANDS.items():
        if chosen in (name, "*"):
            importlib.import_module(module).add_parser(subparsers)
        else:
            subparsers.add_parser(name, help=line)
    return parser


def main(argv: list[str] | None = None) -> int:
    """Run the command line on its arguments and return the exit code."""
    words = sys.argv[1:] if argv is None else argv
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without the degree sign still gets its line
    try:
        code = _run(words)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # whoever read us has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 128 + 13
    except KeyboardInterrupt:
        return 128 + 2


def _run(words: list[str]) -> int:
    chosen = next((word for word in words if not word.startswith("-")), None)
    parser = build_parser(chosen if chosen in COMMANDS else None)
    arguments = parser.parse_args(words)
    if arguments.version:
        from drawthrough import __version__

        print(__version__)
        return 0
    if arguments.command is None:
        parser.print_help()
        return 0
    as_json = bool(getattr(arguments, "json", False))
    try:
        return int(importlib.import_module(COMMANDS[arguments.command][0]).run(arguments))
    except DrawthroughError as error:
        return _refuse(str(error), as_json)
    except BrokenPipeError:
        raise
    except OSError as error:
        named = f"{error.filename}: " if error.filename else ""
        return _refuse(f"{named}{error.strerror or error}.", as_json)
    except UnicodeDecodeError as error:
        return _refuse(f"The file is not UTF-8 text (byte {error.start}: {error.reason}).", as_json)
    except Exception as error:  # a fault of ours is told in one line too, but never passed off as the user's
        if os.environ.get(TRACE):
            raise
        text = f"A fault of the program, not of your input: {type(error).__name__}: {error}. {TRACE}=1 shows where."
        return _refuse(text, as_json, code=FAULT)


def _refuse(text: str, as_json: bool, code: int = REFUSED) -> int:
    """Say why nothing was done: a line for people on stderr, and with --json an object on stdout."""
    if as_json:
        import json

        answer: dict[str, Any] = {"error": text}
        print(json.dumps(answer, ensure_ascii=False))
    print(f"drawthrough: {text}", file=sys.stderr)
    return code
