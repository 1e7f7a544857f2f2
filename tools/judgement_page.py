"""Makes `docs/judgement.md` and `docs/judgement.schema.json`: the JSON form of a judgement, field by field."""

import json
import typing
from collections.abc import Iterator
from typing import Any

import msgspec

from drawthrough.judge import drawing
from drawthrough.judge import judgement as form
from drawthrough.report.field import OF_RESULT
from drawthrough.report.words import PARTS, RESULTS, WORDS, Words
from drawthrough.report.words_causes import CAUSES, MARKS
from tools.markdown import table

STRUCTURES: tuple[type[msgspec.Struct], ...] = (
    form.Judgement,
    form.Result,
    form.Reason,
    form.Contribution,
    form.ReadingStanding,
    form.Finding,
    form.Gain,
    form.NextReading,
    form.Causes,
    form.Verdict,
    form.Cause,
    form.Evidence,
    form.FitReport,
    drawing.Drawing,
    drawing.OperatingPoint,
    drawing.Curve,
    drawing.Spot,
    drawing.PrintedTable,
    drawing.Claim,
    drawing.PathRun,
    drawing.PathPlace,
    drawing.Note,
)

# What each field says; a test demands that none is missing and none is too many.
MEANING: dict[str, dict[str, str]] = {
    "Judgement": {
        "engine": "version of the program that judged",
        "site": "name of the site, from the sheet",
        "system": "name of the system, from the sheet",
        "compared": "ids of the run as found and the run as left that the air side compares; null: nothing is compared",
        "results": "every number that is given",
        "readings": "the standing of every reading, in the order of the sheet",
        "findings": "everything that is said in words",
        "gains": "how the change of airflow divides among the parts; empty without a fan table for the speed",
        "next_readings": "readings not taken that would settle something, worth most for its minutes first",
        "fit": "how the joint fit went; null: there was nothing to fit",
        "causes": "why it was so; null: it could not be weighed",
        "drawing": "what its charts are drawn from; null: nothing can be drawn",
        "form": "version of this JSON form; a field may be added within a version, none is renamed or dropped",
    },
    "Result": {
        "name": "which number; see Results",
        "when": "the state it belongs to, or which state is divided by which",
        "unit": "SI unit of value, low and high",
        "value": "best value (the median)",
        "low": "lower end of the 95 % interval",
        "high": "upper end of the 95 % interval",
        "standing": "whether it can be believed; a value that is not resolved is no result, only its interval counts",
        "reasons": "why it does not simply stand",
        "budget": "what its variance is made of, largest share first",
        "basis": "what kind of number it is, then, after a semicolon, the run it belongs to",
        "leans": "true: what is likely leans further to one side than the interval can follow",
        "rests_on": "what it rests on by the rules of standing: other results, kinds of readings, the fan table",
    },
    "Reason": {
        "code": "which reason; see Codes",
        "source": "whose rule it is",
        "figures": "the figures of the reason, in SI; of a ratio's change the logarithm",
        "names": "the names in it, such as the run",
    },
    "Contribution": {
        "label": "a reading, an instrument, or `prior: ` and the name of a belief held before any reading",
        "share": "its share of the variance, 0 to 1",
    },
    "ReadingStanding": {
        "run": "id of its run",
        "when": "as found or as left",
        "index": "its place among the readings of the run, from 0",
        "what": "vocabulary name of what was read",
        "at": "where; of a pressure the first end",
        "against": "of a pressure the other end; else null",
        "typed": "what the hand typed",
        "standing": "whether it can be believed",
        "reasons": "what there is to say of it",
        "used": "true: it entered the joint fit",
        "unit": "SI unit of value, expected, expected_sd and smallest_detectable",
        "value": "the reading in SI",
        "expected": "what all others expect of it; null where it is one of several that make one observation",
        "expected_sd": "standard uncertainty of that expectation",
        "redundancy": "share of an error in it that the others would show, 0 to 1; null: not in the fit",
        "standardised": "how far it lies from the fit, in standard deviations of that distance",
        "smallest_detectable": "smallest error that would show (alpha 0.1 %, power 80 %); null: nothing checks it",
    },
    "Finding": {
        "code": "what is found; see Codes",
        "standing": "whether the finding can be believed",
        "figures": "its figures, in SI; of a ratio's change the logarithm",
        "names": "the names in it, such as the run and when",
    },
    "Gain": {
        "part": "what changed: " + ", ".join(f"`{part}`" for part in PARTS),
        "value": "its share of ln(airflow as left over as found)",
        "low": "lower end of the 95 % interval",
        "high": "upper end of the 95 % interval",
        "standing": "not resolved where the interval holds 0",
    },
    "NextReading": {
        "code": "which reading; see Codes",
        "when": "when it belongs; null: at any time",
        "settles": "names of the results, of the causes, or of what else it would settle",
        "minutes": "how long it takes",
        "bits": "expected fall of what is open of the leading question; 0: it checks what is there",
    },
    "Causes": {
        "found": "what may be said as found",
        "left": "what may be said to remain as left; null: readings of only one state",
        "each": "every cause that the system can have, and that there was none; likeliest first",
        "told": "false: nothing that was read or seen speaks of any, and their odds are those before any reading",
    },
    "Verdict": {
        "causes": "which causes; see Names of causes",
        "tie": "false: each of them is so; true: at least one of them is, and the readings cannot tell which",
        "probability": "that at least one of them is so; where each is said by itself, of the least likely",
    },
    "Cause": {
        "name": "which cause; see Names of causes",
        "often": "probability before any reading",
        "found": "probability that it was there as found",
        "found_halved": "the same with all widths of belief halved",
        "found_doubled": "the same with all widths of belief doubled",
        "left": "probability that it is there as left; null: readings of only one state",
        "evidence": "what each mark says of it, all else as usual; what says most first",
        "looked": "factor by which what was seen changes its odds",
    },
    "Evidence": {
        "mark": "which number it is that causes shift; see Names of causes",
        "when": "the state that was read, or how it moved between them",
        "value": "ratio to what is usual, or as found over as left; of leak, subcooling and superheat the difference",
        "low": "lower end of the 95 % interval",
        "high": "upper end of the 95 % interval",
        "usual_low": "lower end of what is usual, 95 in 100",
        "usual_high": "upper end of what is usual, 95 in 100",
        "odds": "factor by which it changes the odds of the cause; below 1 it speaks against it",
    },
    "FitReport": {
        "unknowns": "number of unknowns",
        "observations": "number of observations",
        "iterations": "rounds that the fit took",
        "settled": "false: it did not come to rest, and nothing stands",
        "notes": "what was left out of the fit, and why",
    },
    "Drawing": {
        "ends": "the two places between which the static over the ducts is held",
        "points": "where each run ran; as found before as left",
        "ducts": "one curve for both runs where the fit is sure that the ducts stayed as they were, else one for each",
        "blowers": "the blower's curve of each run, over the range of its fan table alone",
        "tables": "the maker's table of each speed that enters the fit",
        "claims": "what a maker's table alone would say of each run",
        "path": "the static along the air path in each run",
        "notes": "what could not be drawn, and why",
    },
    "OperatingPoint": {
        "run": "id of the run",
        "when": "as found or as left",
        "airflow": "actual airflow at the blower [m3/s]",
        "static": "static over the ducts [Pa]",
        "covariance": "covariance of ln(airflow) and ln(static)",
    },
    "Curve": {
        "of": "whose curve it is",
        "when": "the states for which it stands",
        "points": "points of it, in order of airflow for the ducts and of the table's static for the blower",
    },
    "Spot": {
        "airflow": "actual airflow at the blower; in a maker's table the airflow as printed [m3/s]",
        "static": "static over the ducts; in a maker's table the static as printed [Pa]",
    },
    "PrintedTable": {
        "speed": "the speed for which it was printed",
        "points": "its points",
        "flow_basis": "standard or actual airflow",
        "coil": "state of the coil inside the rated cabinet",
        "filter": "whether a filter was inside",
        "heater": "whether a heater was inside",
    },
    "Claim": {
        "run": "id of the run",
        "when": "as found or as left",
        "airflow": "airflow of the table [m3/s]",
        "static": "external static that was read [Pa]",
        "set_aside": "code that says why it is set aside; empty: it lies within the interval of all readings",
    },
    "PathRun": {
        "run": "id of the run",
        "when": "as found or as left",
        "places": "its places, from the room at the return to the room at the supply",
    },
    "PathPlace": {
        "place": "name of the place",
        "after": "the section that the air has just passed; empty at the beginning",
        "value": "static against the room, as the fit has it [Pa]",
        "low": "lower end of its 95 % interval",
        "high": "upper end of its 95 % interval",
        "read": "what was typed of it where it was read against the room",
    },
    "Note": {
        "run": "id of the run",
        "what": "what is missing",
        "why": "code that says why",
    },
}


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a judgement, with the meaning of each field."""
    made = msgspec.json.schema(form.Judgement)
    for name, meanings in MEANING.items():
        for field, meaning in meanings.items():
            described = made["$defs"][name]["properties"][field]
            # Beside a `$ref` a description would replace nothing and is allowed by draft 2020-12.
            described["description"] = meaning.replace("`", "")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Judgement of a visit", **made}


def render_schema() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"


def render() -> str:
    """Return the page."""
    parts = [
        "# The judgement as JSON",
        "",
        "`drawthrough judge SHEET --json` prints one object of this form; its JSON Schema is",
        "`docs/judgement.schema.json`. All values are in SI, whatever was typed. A sheet that is refused gives `error`",
        "and `faults` instead, and exit code 1. Sentences are not part of the form: a finding is a code with its",
        "figures, and the table of codes below has its words.",
        "",
        "Standing is one of " + ", ".join(f"`{word}`" for word in typing.get_args(form.Standing)) + ".",
    ]
    for structure in STRUCTURES:
        name = structure.__name__
        parts += ["", f"## {name}", "", (structure.__doc__ or "").strip(), ""]
        parts += table(["field", "type", "meaning"], _fields(structure))
    parts += ["", "## Results", "", "Ratios are dimensionless whatever their result's unit.", ""]
    parts += table(
        ["name", "told as", "SI unit", "shown in"],
        [[f"`{name}`", row.label, row.unit, OF_RESULT[row.unit].label or "1"] for name, row in RESULTS.items()],
    )
    parts += ["", "## Names of causes", "", "Each shifts marks from what is usual: beliefs before any reading.", ""]
    parts += table(["name", "told as"], [[f"`{name}`", words.noun] for name, words in CAUSES.items()])
    parts += ["", "Marks: " + ", ".join(f"`{mark}`" for mark in MARKS) + "."]
    parts += [
        "",
        "## Codes",
        "",
        "In the words stands `{figure:unit form}` for a figure of the code, in the unit in which it is shown, and",
        "`{name}` for a name; with `unit` at its end it is followed by its unit, and `{=55:F unit}` is a figure that",
        "the sentence itself states. Square brackets enclose what is left out where a figure was not given. In a code",
        "`{}` stands for a part that varies. A reason is a clause within a sentence.",
        "",
        *table(["code", "used as", "words"], [line for code in WORDS for line in _code(code, WORDS[code])]),
    ]
    return "\n".join(parts) + "\n"


def _fields(structure: type[msgspec.Struct]) -> Iterator[list[str]]:
    hints = typing.get_type_hints(structure)
    for field in msgspec.structs.fields(structure):
        yield [f"`{field.name}`", _told(hints[field.name]), MEANING[structure.__name__][field.name]]


def _told(hint: Any) -> str:
    if hint is type(None):
        return "null"
    if isinstance(hint, type) and not typing.get_args(hint):
        return {"str": "text", "float": "number", "int": "whole number", "bool": "true or false"}.get(
            hint.__name__, hint.__name__
        )
    origin, parts = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Literal:
        return "Standing" if parts == typing.get_args(form.Standing) else " or ".join(f"`{part}`" for part in parts)
    if origin is tuple:
        return f"list of {_told(parts[0])}" if parts[-1] is ... else " and ".join(map(_told, parts))
    if origin is dict:
        return f"names with {_told(parts[1])}"
    return " or ".join(map(_told, parts))


def _code(code: str, words: Words) -> Iterator[list[str]]:
    for used, said in (
        ("finding", words.sentence),
        ("finding, not resolved", words.unresolved),
        ("reason", words.clause),
        ("reading to take", words.reading),
    ):
        if said:
            yield [f"`{code}`", used, said]
