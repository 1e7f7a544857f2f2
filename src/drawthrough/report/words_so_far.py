"""The words for what a reading means so far and what it cannot mean yet, beside the reading itself."""

import re
from collections.abc import Iterator

from drawthrough.judge.judgement import Finding
from drawthrough.judge.so_far import SoFar
from drawthrough.report.voice import ENGLISH, Voice

_HYPHEN = re.compile(r"(?<!\S)-(?=\d)")

WORDS: dict[str, str] = {
    # --- so far ---
    "the return duct takes": "the return duct takes {drop:inwc3 unit} of what the blower makes.",
    "the supply duct takes": "the supply duct takes {drop:inwc3 unit}.",
    "the filter takes": "the filter takes {drop:inwc3 unit}.",
    "the coil takes": "the coil takes {drop:inwc3 unit}.",
    "static over the ducts": "{static:inwc3 unit} over the ducts, both sides together.",
    "static over the ducts, beside the nameplate": (
        "{static:inwc3 unit} over the ducts, both sides together; the nameplate's maximum is {static_rated:inwc unit}."
    ),
    "beside the two holes": "the two holes make it {holes:inwc3 unit}.",
    "the air is cooled by": "the air is cooled by {change:dF unit}.",
    "the air is warmed by": "the air is warmed by {change:dF unit}.",
    "the blower and the duct alone warm the air by": "without the strips the air is warmed by {change:dF unit}.",
    "all readings together: airflow": (
        "all readings together make it {airflow:cfm value unit} (95 %: {airflow:cfm range})."
    ),
    "boils at": "{refrigerant} boils at {temperature:F unit} at this pressure.",
    "condenses at": "{refrigerant} condenses at {temperature:F unit} at this pressure.",
    "superheat so far": "superheat {change:dF unit}.",
    "subcooling so far": "subcooling {change:dF unit}.",
    "beside the nameplate's volts": "{deviation:percent signed} % from the nameplate's {rated:V unit}.",
    "the strips take": "the strips take {power:kW unit}.",
    "the strips take, beside their kit": (
        "the strips take {power:kW unit}; a whole kit takes {expected:kW unit} at this voltage."
    ),
    "the capacitor has": "the capacitor has {capacitance:uF unit}.",
    "the capacitor has, beside its print": (
        "the capacitor has {capacitance:uF unit}; {printed:uF unit} is printed on it."
    ),
    "beside a sound element": "a sound element of this kit has {expected:ohm unit}.",
    "power for each unit of air": "the air costs {fan_power:W/cfm value unit} (95 %: {fan_power:W/cfm range}).",
    "as found it was": "as found it was {found:inwc3 unit}.",
    "less than as found": "less than the {found:inwc3 unit} as found.",
    "more than as found: more air meets the same ducts": (
        "more than the {found:inwc3 unit} as found: more air meets the same ducts."
    ),
    # --- not yet ---
    "what lies before it needs the hole before it": "what the part before it takes: read the hole before it, {place}.",
    "the static over the ducts needs both plenums": "the static over the ducts: read both plenums.",
    "the fan table holds for a clean wheel": (
        "an airflow from the fan table: it holds for a clean wheel, and a dirty one shows less static than it should."
    ),
    "whether that is much needs the airflow": "whether that is much: it needs the airflow.",
    "the two holes would check it": "whether it is right: read both holes against the room.",
    "it needs the return air's temperature": "by how much the air changed: read the return.",
    "whether that is right needs the wet bulb and the airflow": "whether that is right: read the return's wet bulb.",
    "whether that is right needs the airflow": "whether that is right: it needs the airflow.",
    "the airflow needs the strips' watts": "the airflow: read volts and amps of the strips.",
    "the airflow needs the rest of the system described": "the airflow: nothing judged of it stands yet.",
    "cooling in numbers needs the airflow": "cooling in numbers: it needs the airflow.",
    "it needs the pressure on the same line": "anything: read the pressure on the same line.",
    "it needs the refrigerant": "anything: write down the refrigerant on the system's page.",
    "it needs the pipe's temperature": "superheat or subcooling: read the pipe's temperature.",
    "whether the charge is right needs the airflow first": "whether the charge is right: the airflow comes first.",
    "the strips' watts need volts and amps": "the strips' watts: read volts and amps both.",
    "the capacitor needs volts across it and amps in its lead": (
        "the capacitor: read volts across it and amps in its lead, running."
    ),
    "the wheel's speed tells the wheel from the motor once the airflow is known": (
        "wheel or motor: it tells them apart once the airflow is known."
    ),
    "power for each unit of air needs the airflow": "watts for each cfm: it needs the airflow.",
    "its numbers lie beyond what can be worked out": "anything: the numbers lie beyond what can be worked out.",
}


def told(finding: Finding, voice: Voice = ENGLISH) -> str:
    """Return one thing that a reading means so far, or cannot mean yet, as a sentence without its beginning."""
    said = voice.fill(WORDS[finding.code], finding.figures, finding.names)
    # A unit that ends in a point ends the sentence too, and a minus is no hyphen.
    return _HYPHEN.sub("−", said.replace("..", "."))


def told_so_far(so_far: SoFar, voice: Voice = ENGLISH) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the sentences of what a reading means so far, and of what it cannot mean yet."""
    return (
        tuple(told(finding, voice) for finding in so_far.means),
        tuple(told(finding, voice) for finding in so_far.not_yet),
    )


def messages() -> Iterator[str]:
    """Yield every sentence."""
    yield from WORDS.values()
