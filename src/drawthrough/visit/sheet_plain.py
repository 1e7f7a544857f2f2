"""Reading what needs no unit: texts, choices, whole numbers, switches, names of quantities."""

from typing import Any

from drawthrough import vocabulary
from drawthrough.visit.form import Key
from drawthrough.visit.sheet_fault import Refused, listed, nearest, shown


def _text_of(key: Key, raw: Any) -> str:
    if key.or_number and type(raw) is int:
        return shown(raw)
    if not isinstance(raw, str):
        raise Refused("wrong shape", f'write a text in quotes, such as {key.name} = "…"')
    return raw


def _choice(key: Key, raw: Any) -> str:
    if not isinstance(raw, str) or raw not in key.choices:
        guess = nearest(raw, key.choices) if isinstance(raw, str) else ""
        raise Refused("not a choice", f"{guess}write one of {listed(key.choices)}", choices=key.choices)
    return raw


def _whole(key: Key, raw: Any) -> int:
    low, high = key.limits
    if type(raw) is not int:
        raise Refused(
            "wrong shape", f"write a whole number without quotes, {low} to {high}", "whole", low=low, high=high
        )
    if not low <= raw <= high:
        raise Refused("out of range", f"write a whole number from {low} to {high}", "whole", low=low, high=high)
    return raw


def _switch(key: Key, raw: Any) -> bool:
    if not isinstance(raw, bool):
        raise Refused("wrong shape", "write true or false, without quotes", "switch")
    return raw


def _number(key: Key, raw: Any) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float)):
        raise Refused("wrong shape", "write a number without quotes and without a currency", "number")
    if not -1e12 <= raw <= 1e12:
        raise Refused("out of range", "write a number that a bill could show", "bill")
    return float(raw)


def _texts(key: Key, raw: Any) -> dict[str, str]:
    if not isinstance(raw, dict) or not all(isinstance(value, str) for value in raw.values()):
        remedy = 'write each line of a label as a text, such as blower = "1/2 hp, 230 V"'
        raise Refused("wrong shape", remedy, "labels")
    return dict(raw)


def _what(key: Key, raw: Any) -> str:
    if not isinstance(raw, str) or raw not in vocabulary.QUANTITIES:
        guess = nearest(raw, vocabulary.QUANTITIES) if isinstance(raw, str) else ""
        usual = "static, pressure_drop, dry_bulb, wet_bulb, volts, amps, speed, blower_power, airflow"
        raise Refused(
            "unknown quantity", f"{guess}write a name of the vocabulary: {usual} and others (docs/vocabulary.md)"
        )
    return raw


PLAIN = {
    "text": _text_of, "choice": _choice, "whole": _whole, "switch": _switch, "number": _number, "texts": _texts,
    "what": _what, "place": _text_of,
}  # fmt: skip
