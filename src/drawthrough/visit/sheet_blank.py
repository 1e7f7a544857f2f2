"""A blank sheet: every table with its keys, what they mean and what may stand there."""

import msgspec

from drawthrough import vocabulary
from drawthrough.visit import sheet_values
from drawthrough.visit.form import Key, keys
from drawthrough.visit.state import Visit

_SHOWN = {
    "whole": "1", "switch": "true", "number": "100", "moment": '"14:05"', "moments": '["08:40"]',
    "words": "[]",
    "value": '"0.31 inwc"', "difference": '"0.001 inwc"', "accuracy": '"1 % + 0.003 inwc"', "what": '"static"',
    "place": '"room"', "text": '""', "texts": '""',
}  # fmt: skip


def blank() -> str:
    """Return a sheet to fill in: what is required stands empty, what is not is commented out."""
    opening = (
        "# A visit sheet. Fill in what stands empty, take the # away from what you have, throw away the rest.\n"
        "# A value is a number with its unit, in quotes. A table under [[ ]] may stand as often as it is needed.\n\n"
    )
    return opening + _table(Visit, "", "").lstrip("\n")


def _table(table: type[msgspec.Struct], header: str, opening: str) -> str:
    text = f"\n{opening}\n" if opening else ""
    for key in keys(table).values():
        path = f"{header}.{key.name}" if header else key.name
        if key.table is not None:
            needed = key.required or path == "run"
            brackets = f"[{path}]" if key.sort == "table" else f"[[{path}]]"
            inner = _table(key.table, path, f"{brackets}  # {key.meaning}")
            text += inner if needed else _commented(inner)
        elif key.sort == "texts":
            text += f'\n# [{path}]  # {key.meaning}\n# blower = "1/2 hp, 230 V"\n'
        else:
            hash_mark = "" if key.required else "# "
            text += f"{hash_mark}{key.name} = {_example(key)}  # {key.meaning}{_choices(key)}\n"
    return text


def _commented(text: str) -> str:
    return "".join(
        line if not line.strip() or line.startswith("#") else f"# {line}" for line in text.splitlines(keepends=True)
    )


def _example(key: Key) -> str:
    if key.required:
        return '""'
    if key.choices:
        return f'"{key.choices[0]}"'
    if key.quantity:
        unit = sheet_values.usual_unit(key.quantity, vocabulary.quantity_of(key.quantity).dimension)
        return f'"0.1 0.2 0.3 {unit}"' if key.sort == "quantities" else f'"1 {unit}"'
    return _SHOWN[key.sort]


def _choices(key: Key) -> str:
    return ": " + " | ".join(key.choices) if key.choices else ""
