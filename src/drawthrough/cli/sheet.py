"""`drawthrough sheet`: says what a visit sheet was read as, or every fault; prints the schema, or a blank sheet."""

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec

from drawthrough.visit import sheet
from drawthrough.visit.sheet_fault import SheetError
from drawthrough.visit.state import Run, Visit

REFUSED, USAGE = 1, 2


def add_parser(subparsers: Any) -> None:
    """Add the command to the command line."""
    parser = subparsers.add_parser(
        "sheet",
        help="check a visit sheet, start an empty one, or print its JSON Schema",
        description="Reads a visit sheet and prints what was read, or every fault with its line and what would do.",
        epilog="The sheet's tables are explained in docs/visit-sheet.md; whole sheets lie in examples/.",
    )
    parser.add_argument("file", nargs="?", metavar="FILE", help="the sheet; - reads it from the standard input")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of a sheet and end")
    parser.add_argument("--blank", action="store_true", help="print a sheet to fill in and end")
    parser.add_argument("--json", action="store_true", help="print one JSON object, values in SI")


def run(arguments: argparse.Namespace) -> int:
    """Check the sheet that was named, or print what was asked for."""
    if arguments.schema or arguments.blank:
        print(printed_schema() if arguments.schema else _blank())
        return 0
    if arguments.file is None:
        print("drawthrough sheet: name a FILE, or ask for --schema or --blank.", file=sys.stderr)
        return USAGE
    try:
        visit = sheet.read(sys.stdin.buffer.read(), "-") if arguments.file == "-" else sheet.load(Path(arguments.file))
    except SheetError as error:
        if arguments.json:
            faults = msgspec.to_builtins(error.faults)
            print(json.dumps({"error": str(error), "faults": faults}, ensure_ascii=False, indent=2))
        print(error, file=sys.stderr)
        return REFUSED
    if arguments.json:
        print(json.dumps({"sheet": arguments.file, "visit": msgspec.to_builtins(visit)}, ensure_ascii=False, indent=2))
    else:
        print("\n".join(_told(arguments.file, visit)))
    return 0


def printed_schema() -> str:
    """Return the sheet's JSON Schema as it is printed."""
    from drawthrough.visit.schema import schema

    return json.dumps(schema(), ensure_ascii=False, indent=2)


def _blank() -> str:
    from drawthrough.visit.sheet_blank import blank

    return blank().rstrip("\n")


def _told(file: str, visit: Visit) -> Iterator[str]:
    """Yield the lines that tell a person what was read."""
    system = visit.system
    yield f"{file}: read without a fault"
    yield f"  site        {visit.site.name}, {visit.site.altitude / 0.3048:.0f} ft ({visit.site.altitude:.0f} m)"
    yield f"  system      {system.name}: {system.arrangement}, {system.motor} motor"
    for table in system.fan_table:
        yield f"  fan table   speed {table.speed}: {len(table.static)} points, coil {table.coil}, filter {table.filter}"
    for instrument in visit.instrument:
        yield f"  instrument  {instrument.id}: {instrument.measures}"
    for one in visit.run:
        yield from _run_told(one)
    for work in visit.work:
        yield f"  work        {work.part} {work.action}" + (f", {work.condition}" if work.condition else "")
    counts = (("lead", visit.lead), ("gap", visit.gap), ("pattern", visit.pattern), ("price", visit.price))
    told = ", ".join(f"{len(rows)} {name}{'' if len(rows) == 1 else 's'}" for name, rows in counts if rows)
    if told:
        yield f"  and         {told}"


def _run_told(run: Run) -> Iterator[str]:
    times = " to ".join(time for time in (run.start, run.end) if time)
    belongs = f" for {run.zero_for}" if run.zero_for else ""
    how = f"{run.when}, {run.mode}{belongs}, speed {run.speed}, coil {run.wetness}"
    yield f"  run         {run.id}: {how}  {times}".rstrip()
    for reading in run.reading:
        ends = f"{reading.at} against {reading.against}" if reading.against else reading.at
        note = f"  ({reading.note})" if reading.note else ""
        yield f"    {reading.what.replace('_', ' '):16} {ends:36} {reading.typed:>12}{note}"
