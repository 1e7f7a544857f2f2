"""A lead from a few spoken or typed words, in English or Spanish, and the leads that a kind of motor usually has."""

from typing import NamedTuple

from drawthrough.visit.lead_map import LeadMapError
from drawthrough.visit.lead_terms import (
    CAP_WORDS,
    COLOURS,
    FUNCTIONS,
    MARK,
    PARK_WORDS,
    PLUGS,
    POINTS,
    SPEEDS,
    STRIPE,
    TAPS,
    plain,
    role_of_function,
)
from drawthrough.visit.state import Lead, LeadRole, Motor, When

# Before a point: they name nothing.
_LEADING = frozenset(("to", "on", "at", "the", "with", "a", "al", "en", "el", "la", "con", "borne", "bornes", "de"))
USUAL_SOURCE = "common practice"  # of `usual`: colours lie, the diagram on the unit decides


class UsualLead(NamedTuple):
    """A lead that a kind of motor usually has; where it lands is not said."""

    colour: str
    function: str
    role: LeadRole
    origin: str = "motor"


_PSC = (
    UsualLead("black", "high", "speed"),
    UsualLead("blue", "medium", "speed"),
    UsualLead("red", "low", "speed"),
    UsualLead("white", "common", "common"),
    UsualLead("brown", "capacitor", "capacitor"),
    UsualLead("brown/white", "capacitor", "capacitor"),
    UsualLead("green", "ground", "ground"),
)
_CONSTANT_TORQUE = (
    *(UsualLead("", f"tap {number}", "speed") for number in range(1, 6)),
    UsualLead("", "24 V common", "control"),
    UsualLead("black", "line L1", "line"),
    UsualLead("white", "line L2 or neutral", "line"),
    UsualLead("green", "ground", "ground"),
)
_CONSTANT_AIRFLOW = (
    UsualLead("line plug", "line supply", "line"),
    UsualLead("control plug", "24 V control", "control"),
)
_STRIPS = (
    UsualLead("", "strips", "strips", "strips"),
    UsualLead("", "blower interlock", "blower interlock", "strips"),
)
_BY_MOTOR: dict[Motor, tuple[UsualLead, ...]] = {
    "psc": _PSC,
    "constant torque": _CONSTANT_TORQUE,
    "constant airflow": _CONSTANT_AIRFLOW,
}


def usual(motor: Motor, has_strips: bool) -> tuple[UsualLead, ...]:
    """Return the leads from which the map of a kind of motor is begun (common practice, no source)."""
    return _BY_MOTOR[motor] + (_STRIPS if has_strips else ())


def lead_of(words: str, when: When, origin: str = "motor") -> Lead:
    """Return the lead of which a few words tell: colour or mark, function, and the rest is the terminal.

    "black high relay 4", "azul media estacionado 2", "mark 3 brown white capacitor herm", "red low capped".
    """
    rest = words.replace("/", " ").replace(",", " ").replace("-", " ").replace("#", " mark ").split()
    mark, rest = _mark(rest)
    colour, rest = _colour(rest)
    if not mark:
        mark, rest = _mark(rest)
    if not (colour or mark):
        raise LeadMapError("lead without colour or mark", words.strip())
    function, after = _function(rest)
    if not function:
        raise LeadMapError("lead without function", words.strip())
    point = _point(after)
    if function == "ground" and not point:
        point = "ground"  # one ground point is as good as another
    if not point:
        raise LeadMapError("lead to nowhere", words.strip())
    called = " ".join(part for part in (mark, colour) if part)
    if point == "capped":
        point = f"cap of {called}"  # a cap of its own, so that no other lead is taken to be under it
    role = role_of_function(function)
    return Lead(
        colour=colour, function=function, origin=origin, terminal=point, when=when, mark=mark,
        role=None if role == "other" and function != "other" else role,
    )  # fmt: skip


def _mark(words: list[str]) -> tuple[str, list[str]]:
    """Return the mark with which the words begin, and the words after it."""
    if len(words) > 1 and plain(words[0]) in MARK:
        return words[1], words[2:]
    return "", words


def _colour(words: list[str]) -> tuple[str, list[str]]:
    """Return the colour with which the words begin, a stripe after a slash, and the words after it."""
    colours: list[str] = []
    number = 0
    while number < len(words):
        ahead = number
        while colours and ahead < len(words) and plain(words[ahead]) in STRIPE:
            ahead += 1
        if ahead < len(words) and plain(words[ahead]) in COLOURS:
            colours.append(COLOURS[plain(words[ahead])])
            number = ahead + 1
            continue
        break
    while colours and number < len(words) and plain(words[number]) in STRIPE - {"y", "and", "with", "con"}:
        number += 1
    if not colours and len(words) > 1 and plain(words[1]) in PLUGS:
        return f"{words[0].lower()} plug", words[2:]
    return "/".join(colours), words[number:]


def _function(words: list[str]) -> tuple[str, list[str]]:
    """Return the function with which the words begin, and the words after it.

    Words that say how fast belong together, and a number after "tap" or "speed" to them.
    """
    said: list[str] = []
    for word in words:
        short = plain(word)
        if short in SPEEDS:
            said.append(SPEEDS[short])
        elif short in TAPS:
            said.append("tap")
        elif said and said[-1] == "tap" and short.isdigit():
            said.append(short)
        else:
            break
    after = words[len(said) :]
    if said:
        named = [word for word in said if word != "tap"]
        numbered = bool(named) and named[-1].isdigit()
        return " ".join(said if numbered or not named else named), after
    first = plain(words[0]) if words else ""
    if first == "blower" and len(words) > 1 and FUNCTIONS.get(plain(words[1])) == "blower interlock":
        return "blower interlock", words[2:]
    if first in FUNCTIONS:
        return FUNCTIONS[first], words[1:]
    return "", words


def _point(words: list[str]) -> str:
    """Return a landing point in the words of the house; names of terminals stay as they were said."""
    said = [POINTS.get(plain(word), word) for word in words]
    while said and said[0] in _LEADING:  # as written: a terminal may be called A
        said = said[1:]
    if len(said) == 1 and said[0].lower() in CAP_WORDS - PARK_WORDS and said[0].lower() in ("capped", "cap"):
        return "capped"
    return " ".join(said)
