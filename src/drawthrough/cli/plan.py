"""`drawthrough plan`: the day of a visit before it begins: its order, its finish, what is on the truck."""

import argparse
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from drawthrough.visit.state import Visit

REFUSED = 1
_STANDS_IN = b'\n[[run]]\nid = "to come"\nwhen = "as found"\nmode = "fan"\nspeed = "to come"\n'
_BEGIN = "08:00"  # where nothing is said (judgement)


def add_parser(subparsers: Any) -> None:
    """Add the command to the command line."""
    parser = subparsers.add_parser(
        "plan",
        help="plan the day of a visit: its order, when it is over, what to take along",
        description="Reads a visit sheet, readings or none, and orders the tasks of its job so that work goes on while "
        "something soaks or drips; says when the day is over as an interval, what else costs little while it is open, "
        "and what is to be on the truck.",
        epilog="The times of the tasks are judgement. The job is the sheet's [job]; without one, the usual deep clean.",
    )
    parser.add_argument("file", metavar="SHEET", help="the visit sheet; - reads it from the standard input")
    parser.add_argument(
        "--begin", metavar="TIME", type=_time, default=_time(_BEGIN), help=f"when the day begins (default: {_BEGIN})"
    )
    parser.add_argument("--crew", type=int, choices=(1, 2), help="how many people (default: as the sheet has it)")
    parser.add_argument("--json", action="store_true", help="print the plan as one JSON object, values in SI")


def _time(text: str) -> float:
    """Return a time of day in seconds after midnight."""
    found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", text, re.ASCII)
    if found is None:
        raise argparse.ArgumentTypeError(f"{text!r} is no time of day; write it such as {_BEGIN}")
    return int(found[1]) * 3600.0 + int(found[2]) * 60.0


def _read(file: str) -> "Visit":
    """Return the visit of a sheet, whose runs may still be to come."""
    from drawthrough.visit import sheet
    from drawthrough.visit.sheet_fault import SheetError

    if file != "-" and not Path(file).is_file():
        return sheet.load(Path(file))  # says what is wrong with the path
    source = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    try:
        return sheet.read(source, file)
    except SheetError as error:
        others = [fault for fault in error.faults if fault.kind != "no runs"]
        if others:
            raise SheetError(others) from None
        # Readings are judged, not planned: where there is no run yet, one without readings stands in its place.
        try:
            return sheet.read(source + _STANDS_IN, file)
        except SheetError:
            raise error from None


def run(arguments: argparse.Namespace) -> int:
    """Plan the visit of the sheet that was named and print it."""
    import msgspec

    from drawthrough.report.text_plan import data, day_plan, text
    from drawthrough.visit.sheet_fault import SheetError
    from drawthrough.visit.state import Job

    try:
        visit = _read(arguments.file)
    except SheetError as error:
        if arguments.json:
            refused = msgspec.json.encode({"error": str(error), "faults": error.faults})
            print(msgspec.json.format(refused, indent=2).decode())
        print(error, file=sys.stderr)
        return REFUSED
    job = visit.job or Job()
    if arguments.crew is not None:
        job = msgspec.structs.replace(job, crew=arguments.crew)
    day = day_plan(visit.system, job, arguments.begin, f"{visit.system.name}, {visit.site.name}")
    if arguments.json:
        print(msgspec.json.format(msgspec.json.encode(data(day)), indent=2).decode())
    else:
        print(text(day), end="")
    return 0
