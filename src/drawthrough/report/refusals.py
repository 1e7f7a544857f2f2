"""What a form says of a value that it cannot take: one short sentence for each kind of fault."""

from collections.abc import Iterator

from drawthrough import units
from drawthrough.report.names import code_name, quantity_name
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.visit.entry import EntryFault

# By kind and reason. `{choices}` are the names that would do, `{read}` is what was typed.
WORDS: dict[tuple[str, str], str] = {
    ("unknown key", ""): N_("This form has no field {field}."),
    ("missing key", ""): N_("Fill this in: {meaning}."),
    ("wrong shape", ""): N_("This cannot be read: {read}."),
    ("wrong shape", "whole"): N_("Write a whole number from {low} to {high}."),
    ("wrong shape", "switch"): N_("Answer yes or no."),
    ("wrong shape", "number"): N_("Write a number, without a currency sign."),
    ("wrong shape", "labels"): N_("Write each label on a line of its own: its name, a colon, what it says."),
    ("wrong shape", "table"): N_(
        "No fan table is to be made out here: a row or a column of statics is needed, and airflows beside each."
    ),
    ("wrong shape", "units"): N_(
        "Two units stand in this table: {unit} and {other}. Paste the figures of one of them."
    ),
    ("not a number", ""): N_("Begin with a number, and write its unit after it."),
    ("not a number", "row"): N_("Write all the numbers first, then their unit once."),
    ("not a number", "cell"): N_("Line {line}: {read} is not a number. Leave the cell empty, or write a dash."),
    ("missing unit", ""): N_("The unit is missing. Units that fit: {choices}."),
    ("missing unit", "table"): N_("Say in which unit: write it at the head of the {wanted}, or choose it."),
    ("unknown unit", ""): N_("{unit} is not a unit known here. Units that fit: {choices}."),
    ("unknown unit", "close"): N_("{unit} is not a unit known here; is {close} meant? Units that fit: {choices}."),
    ("wrong quantity", ""): N_("{unit} measures {measured}, and here {wanted} is read. Units that fit: {choices}."),
    ("out of range", ""): N_("Look at number and unit again. The range of {wanted} is {low} to {high} {unit}."),
    ("out of range", "whole"): N_("Write a whole number from {low} to {high}."),
    ("out of range", "both ways"): N_("Write it without a sign: it counts both ways."),
    ("out of range", "bill"): N_("Write an amount that a bill could show."),
    ("out of range", "no airflow"): N_("Leave out the points without an airflow: the blower may not run there."),
    ("not a choice", ""): N_("Choose one of these: {choices}."),
    ("not a choice", "currency"): N_("Write three capital letters, such as USD or MXN."),
    ("not a time", ""): N_("Write a time such as 14:05, a date such as 2026-04-14, or both."),
    ("not an accuracy", ""): N_("Write it as the data sheet has it, such as 1 % + 0.1 F."),
    ("not an accuracy", "twice"): N_("Write the share of the reading once, and the fixed part once."),
    ("not an accuracy", "coverage"): N_("Write the coverage as (k=2); it lies between 0.5 and 5."),
    ("not an accuracy", "digits"): N_("Give the smallest step of the display as well: digits are counted in it."),
    ("not an accuracy", "percentage"): N_("Say of what the percentage is: 2 % rh, or 2 % of reading."),
    ("unknown quantity", ""): N_("{read} is no quantity that is read here. Choose one from the list."),
    ("unknown place", ""): N_("{read} is no place for this reading. Places that fit: {choices}."),
    ("place not here", ""): N_("This equipment has no such place: {read}. It has these: {choices}."),
    ("place not here", "strips"): N_("This equipment has no strips. Mend the place, or describe the strips."),
    ("one end", ""): N_("Say where the other hose was, or that it was open to the room."),
    ("two ends", ""): N_("Only a pressure has a second place: leave it empty."),
    ("same ends", ""): N_("A pressure lies between two places: name another one here."),
    ("sign against place", "below"): N_(
        "With the blower on, the pressure there lies below the other: {place} against {other}. Is it the right place, "
        "and was the hose on the right port?"
    ),
    ("sign against place", "above"): N_(
        "With the blower on, the pressure there lies above the other: {place} against {other}. Is it the right place, "
        "and was the hose on the right port?"
    ),
    ("sign not known", ""): N_("Write it with + or −: the two places do not tell which."),
    ("sign not known", "equipment"): N_(
        "Write it with + or −, or describe the equipment first: then the places tell which."
    ),
    ("wet bulb above dry bulb", ""): N_(
        "Air of {dry} cannot have a wet bulb of {wet}. Is the wick wet, was it the same moment, are the two swapped?"
    ),
    ("unequal lengths", ""): N_("There are {statics} statics and {airflows} airflows: write one for each."),
    ("unequal lengths", "row"): N_("Line {line} has {cells} cells, the head has {head}. Mark empty cells with a dash."),
    ("static not rising", ""): N_("Write the statics from the lowest to the highest: {before} stands before {after}."),
    ("table rises", ""): N_(
        "Compare with the maker's table: on this motor the airflow falls as the static rises. Motor: {motor}."
    ),
    ("table too short", ""): N_("Copy at least two points of the maker's table."),
    ("sea-level barometer", ""): N_(
        "Write the pressure on site, near {here} inHg at this altitude; a weather report is reduced to sea level."
    ),
    ("same id", ""): N_("There is one called {of} already: give this one another name."),
    ("unknown id", "run"): N_("There is no such run: {of}. Choose one of these: {choices}."),
    ("unknown id", "instrument"): N_("There is no such instrument: {of}. Add it, or choose one of these: {choices}."),
    ("wrong instrument", ""): N_("{of} measures {measured}, and here {wanted} is read. Name the instrument used."),
    ("zero of another time", ""): N_(
        "That run is of another time: {of}, {when}. A zero is taken right before or right after its run."
    ),
    ("zero without its run", ""): N_("Say to which run this zero belongs: {choices}."),
    ("zero without its run", "mode"): N_(
        "Only a zero belongs to another run: leave this empty, or call the run a zero."
    ),
    ("ends before it starts", ""): N_("It started {start}: mend one of the two."),
    ("speed spelled otherwise", ""): N_("Write {speed}, as in the fan table, so that the two are found together."),
}

_NONE = N_("none yet")
_DECIMALS = {"here": ".2f"}
_HOUSE_CHOICES = ("not a choice", "unknown place", "place not here")  # elsewhere: units, and what people called things


def refusal(fault: EntryFault, voice: Voice = ENGLISH) -> str:
    """Return the sentence that tells one fault of a form."""
    template = WORDS.get((fault.kind, fault.reason)) or WORDS[(fault.kind, "")]
    slots: dict[str, object] = {"read": fault.read, "line": fault.line, "field": fault.field}
    slots |= {name: _name(name, text, voice) for name, text in fault.names.items()}
    slots |= {name: format(figure, _DECIMALS.get(name, ".4g")) for name, figure in fault.figures.items()}
    house = fault.kind in _HOUSE_CHOICES
    choices = (code_name(choice, voice) if house else choice for choice in fault.choices)
    slots["choices"] = ", ".join(choices) or voice.say(_NONE)
    said = voice.say(template).format(**slots)
    # A figure without a unit, or a meaning that is a question, may stand at the end.
    return said.replace(" .", ".").replace("?.", "?")


def _name(name: str, text: str, voice: Voice) -> str:
    if name == "measured" and text.replace(" ", "_") in units.UNITS:
        return voice.say(text)
    if name in ("wanted", "measured"):
        return quantity_name(text, voice)
    if name in ("place", "other", "motor", "when"):
        return code_name(text, voice)
    return voice.say(text) if name == "meaning" else text


def messages() -> Iterator[str]:
    """Yield every sentence, and the names of what units measure."""
    yield from WORDS.values()
    yield from (dimension.replace("_", " ") for dimension in units.UNITS)
    yield "share"
