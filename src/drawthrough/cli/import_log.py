"""`drawthrough import`: reads a logger's CSV, finds its steady windows, and writes them as runs of a visit sheet."""

import argparse
import json
import os
import sys
import tempfile
from pathlib import Path
from typing import Any, get_args

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.visit import logger
from drawthrough.visit.logger_run import run_of, run_text
from drawthrough.visit.logger_steady import LENGTH, Window, Windows, find_windows
from drawthrough.visit.state import Mode, Run, Wetness, When

REFUSED = 1


def add_parser(subparsers: Any) -> None:
    """Add the command to the command line."""
    parser = subparsers.add_parser(
        "import",
        help="read a logger's CSV, find its steady windows, write them as a run",
        description=(
            "Reads the CSV of a logger, finds where the system ran steadily, and writes the means there, each with its "
            "standard uncertainty, as a [[run]] of a visit sheet."
        ),
        epilog=(
            "Columns are understood by their names; --map says what one holds: --map 'T1=dry_bulb@supply:F', "
            "--map 'P2=static@supply plenum/room:inwc', --map 'When=time', --map '7=skip'."
        ),
    )
    parser.add_argument("log", metavar="LOG.csv", help="the logger's file; - reads it from the standard input")
    parser.add_argument("--when", choices=get_args(When), default="as found", help="before or after the work")
    parser.add_argument("--mode", choices=get_args(Mode), default="cooling", help="what ran (default: cooling)")
    parser.add_argument("--speed", default="not recorded", help="the speed commanded, spelled as in the fan table")
    parser.add_argument("--wetness", choices=get_args(Wetness), help="state of the coil (default: as the log shows it)")
    parser.add_argument("--id", help="what to call the run (default: mode and when)")
    parser.add_argument(
        "--map",
        action="append",
        default=[],
        metavar="COLUMN=QUANTITY@PLACE:UNIT",
        help="what a column holds; repeatable",
    )
    parser.add_argument(
        "--window", type=_minutes, default=LENGTH / 60.0, metavar="MINUTES", help="length of a window (default: 10)"
    )
    parser.add_argument("--best", type=_count, default=1, metavar="N", help="write the N best windows (default: 1)")
    parser.add_argument("--json", action="store_true", help="print one JSON object, values in SI")
    parser.add_argument("-o", "--output", metavar="FILE", help="write into a new file instead of the standard output")
    parser.add_argument("--force", action="store_true", help="replace the file of -o if it is there already")


def run(arguments: argparse.Namespace) -> int:
    """Import the log that was named."""
    try:
        log = _read(arguments.log, arguments.map)
        found = find_windows(log, arguments.mode, arguments.window * 60.0)
        chosen = sorted(found.windows[: arguments.best], key=lambda window: window.first)
        runs = [_run(arguments, log, window, i, len(chosen)) for i, window in enumerate(chosen)]
        text = _json(log, found, chosen, runs) if arguments.json else _toml(log, found, runs)
        if arguments.output is None:
            sys.stdout.write(text)
        else:
            _write(Path(arguments.output), text, arguments.force)
    except BrokenPipeError:
        raise
    except (DrawthroughError, OSError) as error:
        return _refuse(_reason(error), arguments.json)
    if not arguments.json:
        _tell(arguments, found, chosen)
    return 0


def _minutes(text: str) -> float:
    value = float(text)
    if not 1.0 <= value <= 1440.0:
        raise argparse.ArgumentTypeError("a window has 1 to 1440 minutes")
    return value


def _count(text: str) -> int:
    value = int(text)
    if not 1 <= value <= 1000:
        raise argparse.ArgumentTypeError("write a number from 1 to 1000")
    return value


def _read(name: str, maps: list[str]) -> logger.Log:
    if name == "-":
        return logger.read(sys.stdin.buffer.read(), maps, "standard input")
    return logger.load(name, maps)


def _run(arguments: argparse.Namespace, log: logger.Log, window: Window, index: int, count: int) -> Run:
    name = arguments.id or f"{arguments.mode} {arguments.when}"
    run_id = name if count == 1 else f"{name} {index + 1}"
    return run_of(log, window, run_id, arguments.when, arguments.mode, arguments.speed, arguments.wetness)


def _toml(log: logger.Log, found: Windows, runs: list[Run]) -> str:
    guessed = [f"# {one.text}\n" for one in found.findings if one.kind in ("unit guessed", "short", "no power")]
    return "".join(guessed) + "\n".join(run_text(run) for run in runs)


def _json(log: logger.Log, found: Windows, chosen: list[Window], runs: list[Run]) -> str:
    windows = [
        {
            "start": log.moments[window.first],
            "end": log.moments[window.last],
            "rows": window.rows,
            "settled": log.seconds[window.first] - log.seconds[window.start],
            "drifts": [drift._asdict() for drift in window.drifts],
            "means": [
                {
                    "column": one.column.header,
                    "quantity": one.column.meaning.quantity,
                    "at": one.column.meaning.at,
                    "against": one.column.meaning.against,
                    "value": one.mean.value,
                    "uncertainty": one.uncertainty,
                    "scatter": one.mean.scatter,
                    "readings": one.mean.readings,
                    "effective": one.mean.effective,
                }
                for one in window.means
            ],
        }
        for window in chosen
    ]
    steady = found.steady
    answer = {
        "log": log.file,
        "rows": len(log.seconds),
        "spacing": steady.spacing,
        "steady_rows": sum(steady.marked),
        "stretches": [
            {"start": log.moments[one.first], "end": log.moments[one.last], "rows": one.rows}
            for one in steady.stretches
        ],
        "refused": steady.refused,
        "found": len(found.windows),
        "windows": windows,
        "run": [msgspec.to_builtins(one) for one in runs],
        "findings": [one._asdict() for one in found.findings],
    }
    return json.dumps(answer, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _write(path: Path, text: str, force: bool) -> None:
    """Write a file whole or not at all."""
    if path.exists() and not force:
        raise logger.LoggerError(f"{path}: it is there already; name a new file, or add --force to replace it.")
    handle, name = tempfile.mkstemp(dir=path.parent or Path(), prefix=f".{path.name[:40]}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _tell(arguments: argparse.Namespace, found: Windows, chosen: list[Window]) -> None:
    """Say on the standard error what was found, and what had to be put right: the run itself goes to the output."""
    steady = found.steady
    minutes = sum(steady.marked) * steady.spacing / 60.0
    length = chosen[0].rows * steady.spacing / 60.0
    count = f"{len(found.windows)} steady window{'' if len(found.windows) == 1 else 's'} of {length:.3g} min"
    lines = [f"{arguments.log}: {count} in {minutes:.0f} steady min; wrote {len(chosen)}."]
    for one in found.findings:
        where = "" if one.line is None else f"line {one.line}: "
        often = "" if one.times == 1 else f" ({one.times} times)"
        lines.append(f"  {where}{one.text}{often}")
    print("\n".join(lines), file=sys.stderr)


def _reason(error: Exception) -> str:
    if isinstance(error, OSError):
        named = f"{error.filename}: " if error.filename else ""
        return f"{named}{error.strerror or error}."
    return str(error)


def _refuse(text: str, as_json: bool) -> int:
    if as_json:
        print(json.dumps({"error": text}, ensure_ascii=False))
    print(f"drawthrough: {text}", file=sys.stderr)
    return REFUSED
