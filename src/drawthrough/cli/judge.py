"""`drawthrough judge`: says what a visit's readings prove, and what they cannot."""

import argparse
import sys
from pathlib import Path
from typing import Any

REFUSED = 1


def add_parser(subparsers: Any) -> None:
    """Add the command to the command line."""
    parser = subparsers.add_parser(
        "judge",
        help="say what a visit's readings prove, and what they cannot",
        description="Reads a visit sheet, fits all its readings together, and says what changed, with which "
        "confidence, which readings can be believed, and what would settle what is open.",
        epilog="The JSON form is explained in docs/judgement.md; sheets to try it on lie in examples/.",
    )
    parser.add_argument("file", metavar="SHEET", help="the visit sheet; - reads it from the standard input")
    parser.add_argument("--json", action="store_true", help="print the judgement as one JSON object, values in SI")
    parser.add_argument("--budget", action="store_true", help="say under each figure what its uncertainty is made of")


def run(arguments: argparse.Namespace) -> int:
    """Judge the sheet that was named and print what can be said."""
    import msgspec

    from drawthrough.judge.engine import judge
    from drawthrough.visit import sheet
    from drawthrough.visit.sheet_fault import SheetError

    try:
        visit = sheet.read(sys.stdin.buffer.read(), "-") if arguments.file == "-" else sheet.load(Path(arguments.file))
    except SheetError as error:
        if arguments.json:
            refused = msgspec.json.encode({"error": str(error), "faults": error.faults})
            print(msgspec.json.format(refused, indent=2).decode())
        print(error, file=sys.stderr)
        return REFUSED
    judgement = judge(visit)
    if arguments.json:
        print(msgspec.json.format(msgspec.json.encode(judgement), indent=2).decode())
        return 0
    from drawthrough.report.text import text

    print(text(judgement, budget=arguments.budget), end="")
    return 0
