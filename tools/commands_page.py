"""Makes `docs/commands.md`: every command with its options, and every calculation with its keys."""

import argparse

from drawthrough.cli.calc import field_unit, in_unit
from drawthrough.cli.calculations import CALCULATIONS
from drawthrough.cli.calculations.table import Calculation, Key
from drawthrough.cli.main import COMMANDS, build_parser
from tools.markdown import table


def render() -> str:
    """Return the page."""
    parser = build_parser("*")
    parts = [
        "# Commands",
        "",
        parser.description or "",
        "Every value carries its unit (`0.48inwc`, `80F`, `1/16in`); a dimensionless one may stand bare. With `--json`",
        'a command prints one object, values in SI; what is refused is `{"error": "..."}` on standard output, beside',
        "the line on standard error.",
        "",
        *table(
            ["exit code", "meaning"],
            [
                ["0", "done"],
                ["1", "refused, with the reason"],
                ["2", "the command line itself cannot be read"],
                ["3", "a fault of the program"],
            ],
        ),
    ]
    for name in COMMANDS:
        parts += ["", f"## drawthrough {name}", "", *_command(_subparser(parser, name))]
    parts += ["", "## Calculations"]
    for calculation in CALCULATIONS.values():
        parts += ["", f"### {calculation.name}", "", *_calculation(calculation)]
    return "\n".join(parts) + "\n"


def _subparser(parser: argparse.ArgumentParser, name: str) -> argparse.ArgumentParser:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            return action.choices[name]
    raise KeyError(name)


def _command(parser: argparse.ArgumentParser) -> list[str]:
    lines = [parser.description or ""]
    rows = []
    for action in parser._actions:
        if isinstance(action, argparse._HelpAction):
            continue
        name = ", ".join(action.option_strings) or str(action.metavar or action.dest)
        if action.option_strings and action.nargs != 0:
            name += f" {action.metavar or action.dest.upper()}"
        rows.append([f"`{name}`", (action.help or "").replace("%(default)s", str(action.default)).replace("%%", "%")])
    lines += ["", *table(["argument", "meaning"], rows)]
    if parser.epilog:
        lines += ["", parser.epilog]
    return lines


def _calculation(calculation: Calculation) -> list[str]:
    return [
        calculation.says[0].upper() + calculation.says[1:] + ".",
        "",
        f"`drawthrough calc {calculation.name} {calculation.example}`",
        "",
        f"Keys: `{calculation.usage}`",
        "",
        *table(["key", "meaning", "accepted", "if left out"], [_key(calculation, key) for key in calculation.keys]),
        "",
        *table(
            ["result", "meaning", "SI unit"],
            [
                [f"`{name}`", calculation.quantity_of_result(name).meaning, calculation.quantity_of_result(name).unit]
                for name in calculation.results
            ],
        ),
        "",
        f"Equation: {calculation.equation}.",
        "",
        f"Sources: {'; '.join(calculation.sources)}.",
        *(["", " ".join(calculation.notes)] if calculation.notes else []),
    ]


def _key(calculation: Calculation, key: Key) -> list[str]:
    if key.choices:
        return [f"`{key.name}`", "one of " + ", ".join(f"`{choice}`" for choice in key.choices), "", key.default]
    low, high, source = key.range
    unit = field_unit(key.row)
    accepted = f"{in_unit(low, unit, key.row)} to {in_unit(high, unit, key.row)} ({source})"
    groups = [group for group in (*calculation.one_of, *calculation.at_most_one) if key.name in group]
    absent = key.default or ("one of these is needed" if groups and groups[0] in calculation.one_of else "")
    return [f"`{key.name}`", key.row.meaning, accepted, absent]
