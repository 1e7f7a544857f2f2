"""What people read of the engine's labels: the lines of a budget, what is believed, what kind of number a result is.

The engine writes them in English out of words of the house and of names that the user gave. Here they are taken apart,
so that each can be said in a language; what is not known is told as it stands.
"""

import re
from collections.abc import Iterator

from drawthrough import vocabulary
from drawthrough.report.voice import ENGLISH, N_, Voice

# What is believed before any reading, as the lines of a budget name it: the start of its name, and how it is told.
BELIEFS = (
    ("exponent ", "exponent of the {}"),
    ("hole ", "placement of the hole, {}"),
    ("gain ", "gain, {}"),
    ("zero ", "zero, {}"),
    ("offset ", "offset, {}"),
    ("strength ", "blower against clean, {}"),
    ("change ", "change of the {}"),
    ("resistance ", "resistance of the {}"),
    ("rated ", "{} in the cabinet that the fan table was made with"),
    ("airflow ", "airflow of {}"),
    ("damp ", "how damp the coil was in {}"),
    ("no zero ", "leaks and evaporation without a zero, {}"),
    ("wet coil in ", "what a wet coil adds in {} alone"),
    ("wet coil", "what a wet coil adds"),
    ("table level", "level of the fan table{}"),
    ("table slope", "slope of the fan table"),
    ("strip probe", "place of the supply probe with strips"),
    ("gas probe", "place of the supply probe with gas"),
    ("held short", "how far the held airflow fell short"),
    ("leak behind coil", "share of the leak behind the coil"),
    ("leak", "leak between filter and blower{}"),
)
# Words that stand in beliefs alone.
_IN_BELIEFS = ("duct", "return duct", "supply duct", "heater", "strength", "strip power", "gas heat")

# Labels made of parts, the most particular first.
SHAPES = (
    "prior: {belief}",
    "offset of {probe}",
    "actual volume at the blower, {mode}",
    "{run}: fan table",
    "{run}: strip rise",
    "{run}: gas rise",
    "{run}: {reading}",
    "{at} against {against}",
)
# Labels that are whole as they stand.
WHOLE = (
    "everything else", "correction to one condition", "repeatability of the machine", "speed against static",
    "capacitor amps", "capacitor volts", "capacitance meter", "mass flow", "at equal airflow",
    "wheel, motor, voltage and capacitor together", "rpm taken out", "rpm at held airflow",
    "net of the fan, between the probes", "at the condition as found", "meter, part isolated and discharged",
    "volts across it and amps in its lead, running", "ducts", "return dry bulb", "return wet bulb",
    "wattmeter", "tachometer",
    "speed against pressure",
)  # fmt: skip

BELIEF = N_("belief: {belief}")
AGAINST = N_("{at} against {against}")
PLACED = N_("{what} {at}")  # a reading by its quantity and place
PLACED_AGAINST = N_("{what} {at} against {against}")
_OF_INSTRUMENT = N_("{instrument} {what}")
_NEVER_ZEROED = N_("{instrument} never zeroed")

_PATTERNS = [(re.compile(re.sub(r"\\\{(\w+)\\\}", r"(?P<\1>.+)", re.escape(shape))), shape) for shape in SHAPES]
_QUANTITIES = sorted((name.replace("_", " ") for name in vocabulary.QUANTITIES), key=len, reverse=True)


def labelled(label: str, voice: Voice = ENGLISH) -> str:
    """Return what is told of a label of the engine: a line of a budget, or what kind of number a result is."""
    if label in WHOLE:
        return voice.say(label)
    for pattern, shape in _PATTERNS:
        match = pattern.fullmatch(label)
        if match is not None:
            told = BELIEF if shape.startswith("prior") else shape
            return voice.say(told, **{slot: _slot(slot, found, voice) for slot, found in match.groupdict().items()})
    return part(label, voice)


def belief(name: str, voice: Voice = ENGLISH) -> str:
    """Return how a belief is called."""
    for start, told in BELIEFS:
        if name.startswith(start):
            rest = name.removeprefix(start)
            blank = " " if rest.startswith(" ") else ""
            return voice.say(told).replace("{}", blank + part(rest.strip(), voice))
    return voice.say(name)


def part(text: str, voice: Voice = ENGLISH) -> str:
    """Return a part of a label or of a code in a language: a word of the house, or what the user calls something."""
    plain = text.replace("_", " ")
    instrument = plain.removesuffix(" never zeroed")
    if instrument != plain:
        return voice.say(_NEVER_ZEROED, instrument=instrument)
    at, _, against = plain.partition(" against ")
    if against:
        return voice.say(AGAINST, at=voice.say(at), against=voice.say(against))
    return voice.say(plain)


def _slot(slot: str, found: str, voice: Voice) -> str:
    if slot == "run":
        return found
    if slot == "belief":
        return belief(found.replace("_", " "), voice)
    if slot == "reading":
        return _placed(found.replace("_", " "), voice)
    if slot == "probe":
        return _of_instrument(found.replace("_", " "), voice)
    return part(found, voice)


def _placed(text: str, voice: Voice) -> str:
    """Return a reading that the engine wrote as quantity and places."""
    first, _, against = text.partition(" against ")
    for what in _QUANTITIES:
        if first.startswith(f"{what} "):
            at = voice.say(first.removeprefix(f"{what} "))
            if against:
                return voice.say(PLACED_AGAINST, what=voice.say(what), at=at, against=voice.say(against))
            return voice.say(PLACED, what=voice.say(what), at=at)
    return part(text, voice)


def _of_instrument(text: str, voice: Voice) -> str:
    """Return what the engine wrote as an instrument and the quantity that it reads."""
    for what in _QUANTITIES:
        if text.endswith(f" {what}"):
            return voice.say(_OF_INSTRUMENT, instrument=text.removesuffix(f" {what}"), what=voice.say(what))
    return part(text, voice)


def messages() -> Iterator[str]:
    """Yield every text of this module that people read."""
    yield from (told for _, told in BELIEFS)
    yield from _IN_BELIEFS
    yield from SHAPES[1:]
    yield from WHOLE
