"""The one place where each code of a judgement has its words. How a template names its figures: see `phrase`.

A code that is made of parts stands here with `{}` for each part, as `read {}` for `read as left`.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from drawthrough.report.labels import part
from drawthrough.report.voice import ENGLISH, Voice


class Words(NamedTuple):
    """What is said of one code.

    `sentence` says a finding and `unresolved` replaces it where the finding is not resolved; `clause` is a reason
    within a sentence; `reading` says which reading to take.
    """

    sentence: str = ""
    clause: str = ""
    unresolved: str = ""
    reading: str = ""


_STATICS = "[ (read: {static_found:inwc unit} as found, {static_left:inwc} as left)]"
_OPEN_STATIC = (
    "Whether the static over the ducts moved together with the airflow is not resolved (static as left over as found, "
    "95 %: {static_ratio:1 range})."
)
_SIDES = "return side {return_change:log interval}, supply side {supply_change:log interval}, as left over as found"
_MICROFARADS = "{capacitance:uF value unit} (95 %: {capacitance:uF range})"
_PRINT = "its print, {capacitance_rated:uF unit} within {tolerance:percent} %"
_ZERO = (
    "With the strips off ({run}) the air rose by {rise:dF ~sd unit}, where the blower's own heat makes "
    "{expected:dF ~sd unit}, within {sd:dF half unit}"
)

WORDS: dict[str, Words] = {
    # --- the fit as a whole ---
    "no reading speaks of air": Words(
        "Nothing can be said of the air: no static, no rise with strips or gas and no airflow was read."
    ),
    "readings contradict each other": Words(
        "The readings contradict each other so far that nothing fits them all; until the wrong one is found, "
        "nothing is resolved.",
        "the readings contradict each other",
        "The readings contradict each other so far that nothing fits them all; until the wrong one is found, "
        "nothing is resolved.",
    ),
    "beyond what can be worked with": Words(clause="no air and no machine of this kind reads so, so it is left out"),
    "label altered": Words(clause="a label was altered, so nobody knows whose fan table it is"),
    "motor not original": Words(clause="the motor is not the maker's own, so the fan table does not describe it"),
    "beyond the limit to which airflow is held": Words(
        clause="the static lies beyond the limit up to which the motor holds its airflow, so the fan table is left out"
    ),
    "beyond the fan table": Words(
        clause="the fan table had to be followed beyond its ends: to {static:inwc unit}, where it goes from "
        "{low:inwc} to {high:inwc}"
    ),
    "strips on without a rise": Words(clause="the strips were on, yet the supply was no warmer than the return"),
    # --- why a result does not simply stand ---
    "interval holds no change": Words(clause="its interval holds 1, which would be no change at all"),
    "interval leans": Words(clause="what is likely leans further to one side than the interval can follow"),
    "level rests on its prior": Words(
        clause="rests on what is believed of a fan table's level beforehand; the readings tell its change alone"
    ),
    "airflow hardly measured": Words(clause="nothing that was read ties the airflow down"),
    "nothing read tells this": Words(clause="nothing that was read tells it from the other parts"),
    "motor was touched": Words(clause="the motor was worked on too, so its speed does not speak of the wheel alone"),
    "compared across modes": Words(clause="the two runs were not in one mode, and each mode may move another airflow"),
    "compared across speeds": Words(
        clause="the two runs were not at one speed, so the comparison is a result of the model"
    ),
    "compared across wetness": Words(clause="the coil was not equally wet in the two runs"),
    "coil not wet and steady": Words(clause="the coil was not wet and steady"),
    "conditions not read": Words(
        clause="return dry and wet bulb and outdoor temperature were not all read both times, so it could not be "
        "brought to one condition"
    ),
    "conditions apart": Words(clause="the conditions of the two runs lie apart ({*:dF signed})"),
    "capacity not rated": Words(clause="no rated capacity is given by which to bring it to one condition"),
    "conditions beyond the curves": Words(clause="the conditions lie beyond the curves that bring it to one condition"),
    "airflow does not stand": Words(clause="the airflow does not stand, and charge is read only after it"),
    "too little air": Words(
        clause="too little air ({airflow_per_capacity:cfm/ton unit}) for charge readings to be believed"
    ),
    # --- readings ---
    "instrument assumed": Words(clause="accuracy of an ordinary instrument of its kind assumed"),
    "door off": Words(clause="read with a door off, which lets air past the path that is measured"),
    "something else heats": Words(clause="something else heated the air, which volts times amps do not count"),
    "supply points disagree": Words(
        clause="two supply points lie {apart:dF unit} apart and should agree within {=1:dF unit}[; their probes may "
        "differ by {probes:dF unit}]"
    ),
    "no zero": Words(clause="no zero with the strips off, so leaks and evaporation stay in the rise"),
    "no such air": Words(clause="no air at its dry bulb could read so"),
    "no outdoor temperature": Words(
        clause="no outdoor temperature was read, and charge readings need {=55:F unit} outdoors"
    ),
    "too cold outdoors": Words(clause="{outdoor:F unit} outdoors, and charge readings need {=55:F unit}"),
    "contradicts the others": Words(
        clause="contradicts the other readings[, or one of {count} does]"
    ),
    "looks like a slip": Words(
        clause="looks like a slip of the hand ({slip}[: {hole}])[; {meant} would fit]"
        "[; one of {count} readings is wrong, and nothing tells which]"
    ),
    "nothing checks it": Words(clause="nothing checks it: no other reading would show an error in it"),
    # --- why the static moved ---
    "more air meets the same ducts": Words(
        f"The static over the ducts rose{_STATICS} because more air meets the same ducts. Through ducts that did not "
        "change, {airflow_ratio:1 value} times the air needs {expected_ratio:1 value} times the pressure; "
        "{static_ratio:1 interval} times was found. So the risen static is the gain in air, seen from the ducts.",
        unresolved=_OPEN_STATIC,
    ),
    "less air meets the same ducts": Words(
        f"The static over the ducts fell{_STATICS} because less air meets the same ducts: {{airflow_ratio:1 value}} "
        "times the air, {static_ratio:1 interval} times the static. A tighter filter, another speed lead, or a wheel "
        "that turns or sits the wrong way does this.",
        unresolved=_OPEN_STATIC,
    ),
    "airflow is held, so the static stays": Words(
        f"This motor holds its airflow, so the static should stay as it was, and does not tell what the work did"
        f"{_STATICS}: {{static_ratio:1 interval}} times. Dirt shows in its speed and its watts instead.",
        unresolved=f"This motor holds its airflow, so the static should stay as it was{_STATICS}, and a change of it "
        "is not resolved (as left over as found, 95 %: {static_ratio:1 range}). Dirt shows in its speed and its watts "
        "instead.",
    ),
    "the coil counts as duct": Words(
        f"The coil lies outside the blower's cabinet and counts as duct here{_STATICS}. Cleaning it lowers the static "
        "at equal airflow, while more air raises it: {static_ratio:1 interval} times is what was left of both.",
        unresolved=_OPEN_STATIC,
    ),
    "static and airflow moved apart": Words(
        f"Static and airflow did not move together{_STATICS}: {{static_ratio:1 interval}} times the static at "
        "{airflow_ratio:1 value} times the air. Something between the two holes was not the same both times.",
        unresolved=_OPEN_STATIC,
    ),
    "static above the nameplate": Words(
        "{When}, {static:inwc unit} was read, above the nameplate's maximum of {static_rated:inwc}, which by "
        "itself does not mean little air."
    ),
    "static within the nameplate": Words(
        "{When}, {static:inwc unit} was read, within the nameplate's maximum of {static_rated:inwc}."
    ),
    "voltage moved": Words(
        "The line voltage moved by {change:percent signed} % between the two runs, and a motor's speed with it: part "
        "of the change may be the voltage's."
    ),
    # --- what checks it ---
    "ducts as before": Words(
        f"The ducts' own resistance is as before, by the readings alone: {_SIDES}. Ducts left alone do not change, "
        "so this checks airflow, holes and leaks on both sides."
    ),
    "ducts not checked": Words(
        unresolved="Whether the ducts' own resistance stayed is not resolved: by the readings alone, as left over as "
        "found, the return side lies within {return_change:log range} and the supply side within "
        "{supply_change:log range} (95 %). So the ducts check little."
    ),
    "both sides moved alike": Words(
        f"Both duct sides seem to have moved alike: {_SIDES}. Ducts do not do that; look for an error in the airflow."
    ),
    "only the return side moved": Words(
        f"Only the return side moved: {_SIDES}. That is a leak sealed or opened, a grille or a door, not a bad reading."
    ),
    "the supply side moved": Words(
        f"The supply side moved: {_SIDES}. Registers, a damper or the hole itself were not the same both times."
    ),
    "zero is the blower's heat": Words(f"{_ZERO}: the zero holds."),
    "zero is colder than the blower's heat": Words(
        f"{_ZERO}. That is too little: the coil still evaporates, or cold air leaks in."
    ),
    "zero is warmer than the blower's heat": Words(
        f"{_ZERO}. That is too much: hot air leaks in, or the elements were still warm."
    ),
    "all elements work": Words(
        "{nearest:count} of {fitted:count} strip elements work ({run}): {power:kW unit}, as the kit's nameplate has it."
    ),
    "elements missing": Words(
        "By amps only {nearest:count} of {fitted:count} strip elements work ({run}): {power:kW unit}."
    ),
    "strip power does not fit the kit": Words(
        "The strips' power ({run}: {power:kW unit}) is that of {elements:tenths} elements, and the kit has "
        "{fitted:count}: it does not fit a whole number of them.",
        "the strips' power does not fit a whole number of the kit's elements",
    ),
    # --- electrical and charge ---
    "capacitor within its print": Words(
        f"{{When}}, the run capacitor has {_MICROFARADS}, within {_PRINT}."
    ),
    "capacitor outside its print": Words(
        f"{{When}}, the run capacitor has {_MICROFARADS}, outside {_PRINT}."
    ),
    "capacitor not resolved": Words(
        unresolved=f"{{When}}, whether the run capacitor is within its print is not resolved: "
        f"{{capacitance:uF range unit}} (95 %) reaches across an end of {_PRINT}."
    ),
    "line voltage low": Words(
        "{volts:V unit} at the line ({run}) is {deviation:percent signed} % from the "
        "nameplate's {volts_rated:V unit}: low."
    ),
    "line voltage high": Words(
        "{volts:V unit} at the line ({run}) is {deviation:percent signed} % from the "
        "nameplate's {volts_rated:V unit}: high."
    ),
    "superheat beside its chart": Words(
        "{When}, the superheat was {superheat:dF unit}; the published chart for a fixed orifice gives {target:dF unit}."
    ),
    "no target superheat here": Words(
        unresolved="{When}, the published chart for a fixed orifice gives no superheat for this return wet bulb and "
        "outdoor temperature: what it should be is not resolved."
    ),
    # --- readings to take ---
    "read {}": Words(reading="Read the system {}: statics at least."),
    "zero": Words(reading="Read the rise with the strips off, right before or after the strips run."),
    "rpm": Words(reading="Read the blower's speed: it tells the wheel from the motor."),
    "capacitor on a meter": Words(reading="Put the capacitor, isolated and discharged, on a meter."),
    "statics again": Words(reading="Read the statics again, registers and doors as they were as found."),
    "again: {} {} in {}": Words(reading="Read again: {} at {} (in {})."),
    "total static": Words(reading="Read the total static, both hoses: supply plenum against after the filter."),
    "static at the return plenum": Words(reading="Read the static at the return plenum."),
    "static between filter and coil": Words(reading="Read the static between filter and coil."),
    "static after the coil": Words(reading="Read the static after the coil."),
    "static at the supply plenum": Words(reading="Read the static at the supply plenum."),
    "drop across the coil": Words(reading="Read straight across the coil, both hoses."),
    "strips": Words(reading="Run the strips, someone watching, and read the rise, with a zero before or after."),
    "volts at the blower": Words(reading="Read the voltage at the blower while it runs."),
    "superheat and subcooling": Words(reading="Read superheat and subcooling once the cooling is steady."),
    "look at the wheel": Words(reading="With the power off and locked out, look at the wheel's blades, with a photo."),
    "look at the coil": Words(reading="Look at the coil's entering face, with a photo."),
    "look at the filter": Words(reading="Look at the filter's dirty side, with a photo."),
    "see which way the wheel turns": Words(reading="See which way the wheel turns as it coasts to a stop."),
    "trace the live speed lead": Words(reading="Trace which speed lead is in use, power off and proved dead."),
    "smoke along the seams": Words(reading="Pass smoke along the seams between filter and blower while it runs."),
}  # fmt: skip


class Row(NamedTuple):
    """How one result is told: its name in a table, its SI unit, and what is said of its ratio (the range if open).

    `in_si` replaces the name where figures stand in SI and the name holds a unit of the field.
    """

    label: str
    unit: str = "1"
    changed: str = ""
    unresolved: str = ""
    in_si: str = ""


RESULTS: dict[str, Row] = {
    "airflow": Row(
        "airflow",
        "m3/s",
        "The blower moves {value} times the air it moved as found (95 %: {range}).",
        "Whether the blower moves more or less air than as found is not resolved (95 %: {range} times).",
    ),
    "airflow_at_equal_filter": Row(
        "airflow at equal filter",
        "1",
        "With the same filter both times it would be {value} times the air (95 %: {range}).",
        "Whether it would be more or less air with the same filter both times is not resolved (95 %: {range} times).",
    ),
    "airflow_per_capacity": Row("airflow per ton", "m3/s/W", in_si="airflow per kW of cooling"),
    "external_static": Row("external static", "Pa"),
    "duct_static": Row("static over the ducts", "Pa"),
    "specific_fan_power": Row(
        "fan power",
        "W/(m3/s)",
        "Each {airflow} takes {value} times the blower power it took as found (95 %: {range}).",
        "Whether a {airflow} takes more or less blower power than as found is not resolved (95 %: {range} times).",
    ),
    "blower_against_clean": Row(
        "blower against clean",
        "1",
        "The blower as found, with its motor, stood at {value} of the blower as left (95 %: {range}).",
        "Whether the blower changed is not resolved (as found over as left, 95 %: {range}).",
    ),
    "wheel_against_clean": Row(
        "wheel against clean",
        "1",
        "The wheel as found stood at {value} of the wheel as left (95 %: {range}).",
        "Whether the wheel changed is not resolved (as found over as left, 95 %: {range}).",
    ),
    "coil_resistance": Row(
        "coil resistance",
        "1",
        "The coil resists {value} times as much as it did as found, at equal airflow (95 %: {range}).",
        "Whether the coil resists more or less than as found is not resolved (95 %: {range} times).",
    ),
    "filter_resistance": Row("filter resistance"),
    "return_duct_resistance": Row("return duct resistance"),
    "supply_duct_resistance": Row("supply duct resistance"),
    "sensible_capacity": Row(
        "sensible cooling",
        "W",
        "Sensible cooling is {value} times that as found, at one condition (95 %: {range}).",
        "Whether sensible cooling changed is not resolved (95 %: {range} times).",
    ),
    "total_capacity": Row(
        "total cooling",
        "W",
        "Total cooling is {value} times that as found, at one condition (95 %: {range}).",
        "Whether total cooling changed is not resolved (95 %: {range} times).",
    ),
    "superheat": Row("superheat", "K"),
    "subcooling": Row("subcooling", "K"),
    "capacitance": Row("run capacitor", "F"),
}

PARTS = {
    "blower": "blower",
    "coil": "coil",
    "filter": "filter",
    "return duct": "return ducts",
    "supply duct": "supply ducts",
}  # fmt: skip

CLOSING = (
    "Intervals hold the true value 95 times in 100. This tool reads and computes; it does not make anyone qualified. "
    "Work on the charge is licensed work; local codes and a licensed person decide."
)

_PATTERNS = [
    (re.compile(re.escape(code).replace(r"\{\}", "(.+?)")), words) for code, words in WORDS.items() if "{}" in code
]


def words_of(code: str) -> Words:
    """Return the words of a code, the parts of a code that is made of parts put into its sentence.

    A code without words is told as it stands, since a code is itself in words: whoever waits for a judgement on site is
    not to lose it over a sentence. A test demands that there is no such code.
    """
    known = WORDS.get(code)
    if known is not None and "{}" not in code:
        return known
    for pattern, words in _PATTERNS:
        if pattern.fullmatch(code) is not None:
            return words._replace(reading=reading_to_take(code))
    whole = f"{code[:1].upper()}{code[1:]}."
    return Words(whole, code, whole, whole)


def reading_to_take(code: str, voice: Voice = ENGLISH) -> str:
    """Return which reading a code says to take."""
    known = WORDS.get(code)
    if known is not None and "{}" not in code:
        return voice.say(known.reading)
    for pattern, words in _PATTERNS:
        match = pattern.fullmatch(code)
        if match is not None:
            told = voice.say(words.reading)
            for found in match.groups():
                told = told.replace("{}", part(found, voice), 1)
            return told
    return words_of(code).reading


def messages() -> Iterator[str]:
    """Yield every text of this module that people read."""
    for words in WORDS.values():
        yield from filter(None, words)
    for row in RESULTS.values():
        yield from filter(None, (row.label, row.changed, row.unresolved, row.in_si))
    yield from PARTS.values()
    yield CLOSING
