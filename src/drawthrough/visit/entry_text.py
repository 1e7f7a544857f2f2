"""What a hand types into a form, brought into the shape in which a sheet would have it.

Numbers. A comma between a first group that does not begin with 0 and groups of exactly three digits stands between
thousands, as on every sheet: "1,200 cfm" is 1200. Any other single comma is a decimal sign: "0,48 inwc", "-,398",
"0,398", "21,5 C"; so it is in "1.234,5". Anything else with commas is left as it is, and is refused. Who means 1.2 by
"1,200" is shown 1200 before it is written, and mostly told that no such quantity is so large.
"""

import re
from typing import Any

from drawthrough import units
from drawthrough.visit.form import Key

_LETTERS = str.maketrans(
    {"‐": "-", "‑": "-", "‒": "-", "–": "-", "﹣": "-", "－": "-", "⁄": "/", "”": '"', "″": '"', "’": "'", "′": "'"}
    | {"¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)
_NUMBER = re.compile(r"(?<![\w.,])(?:\d[\d.,]*\d|,\d+)")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?")
_DECIMAL_COMMA = re.compile(r"\d*,\d+")
_POINTS_AND_COMMA = re.compile(r"[1-9]\d{0,2}(?:\.\d{3})+,\d+")
_WHOLE = re.compile(r"[-+−]?\d{1,9}")
_BARE = re.compile(r"[-+−]?\s*(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_CLOCK = re.compile(r"\d{2}:\d{2}")
_LINE_ENDS = re.compile(r"\r\n?")

_WITH_UNIT = ("quantity", "quantities", "value", "difference", "accuracy")


def cleaned(text: str) -> str:
    """Return what a field holds, without the blanks around it and with plain line ends."""
    return _LINE_ENDS.sub("\n", text).strip()


def with_point(text: str) -> str:
    """Return a text whose numbers have a decimal point, and signs and fractions in plain letters."""
    return _NUMBER.sub(_pointed, text.translate(_LETTERS).strip())


def _pointed(match: re.Match[str]) -> str:
    number = match[0]
    if "," not in number or _THOUSANDS.fullmatch(number):
        return number
    if _DECIMAL_COMMA.fullmatch(number):
        return number.replace(",", ".")
    if _POINTS_AND_COMMA.fullmatch(number):
        return number.replace(".", "").replace(",", ".")
    return number


def _row(text: str) -> str:
    """Return a row of numbers parted by spaces. In a row a comma may part them as well."""
    return with_point(_NUMBER.sub(_parted, text.translate(_LETTERS).replace(";", " ").strip()))


def _parted(match: re.Match[str]) -> str:
    number = match[0]
    if "," not in number or _THOUSANDS.fullmatch(number):
        return number
    left, _, right = number.partition(",")
    if "." in number or "," in right or len(left) > 3 or len(right) > 3:
        return number.replace(",", " ")
    return number


def with_unit(text: str, unit: str) -> str:
    """Return a text with the unit of the key that was pressed beside it; a unit in the text itself wins."""
    if not unit:
        return text
    try:
        typed = units.split(_row(text).split()[-1] if text.split() else "")[1]
    except (units.UnitError, ValueError, OverflowError):
        return text
    return text if typed else f"{text} {unit}"


def raw(key: Key, text: str, unit: str = "") -> Any:
    """Return what a sheet would hold for a key; what cannot be brought into that shape stays as it is typed."""
    sort = key.sort
    if sort in _WITH_UNIT:
        text = with_unit(text, unit)
        return _row(text) if sort == "quantities" else with_point(text)
    if sort == "switch":
        return {"yes": True, "no": False}.get(text, text)
    if sort == "whole":
        return int(text.replace("−", "-")) if _WHOLE.fullmatch(text) else text
    if sort == "number":
        pointed = with_point(text)
        return float(units.split(pointed)[0]) if _BARE.fullmatch(pointed.replace(",", "")) else text
    if sort == "moments":
        return _moments(text)
    if sort == "words":
        return [word.strip() for word in re.split(r"[,;\n]", text) if word.strip()]
    if sort == "texts":
        return _labels(text)
    return text


def _moments(text: str) -> list[str]:
    found: list[str] = []
    for part in re.split(r"[,;\n]", text):
        words = part.split()
        for k, word in enumerate(words):
            if k and _CLOCK.match(word) and _DATE.fullmatch(words[k - 1]):
                found[-1] = f"{found[-1]} {word}"
            else:
                found.append(word)
    return found


def _labels(text: str) -> Any:
    """Return the lines of labels by their names, "blower: 1/2 hp, 230 V" each on a line of its own."""
    made: dict[str, str] = {}
    for line in filter(None, map(str.strip, text.split("\n"))):
        name, colon, said = line.partition(":")
        if not colon or not name.strip():
            return text
        made[name.strip()] = said.strip()
    return made
