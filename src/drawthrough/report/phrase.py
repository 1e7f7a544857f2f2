"""Fills a sentence with a judgement's figures, each in the unit of the field that the sentence asks for.

In a template stands `{name}` for a name, and for a figure `{figure:unit}` or `{figure:unit form}`. Forms: `value` and
`interval` round by the figure's own ends (`figure_low`, `figure_high`), `range` gives the ends alone, `~other` rounds
by a standard uncertainty of that name, `half` gives 95 % either way of a standard uncertainty, `signed` shows a plus.
The unit `log` is a logarithm of a ratio. `{*:unit}` lists all figures with their names. What stands in square
brackets is left out where a figure in it was not given.
"""

import math
import re
from collections.abc import Mapping

from drawthrough.report.field import FIELD, Shown, plain, shown, within

_SLOT = re.compile(r"\{([\w* ]+)(?::(\S+?)(?: (\S+?))?)?\}")
_OPTIONAL = re.compile(r"\[([^\]]*)\]")
_LARGEST = 300.0  # logarithm beyond which a ratio is as good as without end
_K95 = 1.959963984540054


def fill(template: str, figures: Mapping[str, float], names: Mapping[str, str]) -> str:
    """Return a sentence with its figures and names.

    Raises
    ------
    KeyError
        The template asks for a figure or a name that was not given.
    """

    def slot(match: re.Match[str]) -> str:
        name, unit, form = match.groups()
        if unit is None:
            return names[name]
        if name == "*":
            return ", ".join(f"{key} {_figure(key, unit, form, figures)} {FIELD[unit].label}" for key in figures)
        return _figure(name, unit, form, figures)

    def optional(match: re.Match[str]) -> str:
        return match[1] if all(name in figures or name in names for name in slots(match[1])) else ""

    return _SLOT.sub(slot, _OPTIONAL.sub(optional, template))


def slots(template: str) -> list[str]:
    """Return the names of what a template asks for."""
    return [match[1] for match in _SLOT.finditer(template)]


def _figure(name: str, unit: str, form: str | None, figures: Mapping[str, float]) -> str:
    value = figures[name]
    if form in ("value", "interval", "range"):
        made = _ends(name, unit, figures)
        if form == "range":
            return made.interval
        return made.value if form == "value" else f"{made.value} (95 %: {made.interval})"
    field = FIELD[unit]
    if form is not None and form.startswith("~"):
        return within(value, figures[form[1:]], field)
    if form == "half":
        return within(_K95 * value, value, field)
    text = plain(value, field)
    return f"+{text}" if form == "signed" and value > 0.0 else text


def _ends(name: str, unit: str, figures: Mapping[str, float]) -> Shown:
    stem = name if f"{name}_low" in figures else name.removesuffix("_change")
    value, low, high = figures[name], figures[f"{stem}_low"], figures[f"{stem}_high"]
    if unit == "log":
        value, low, high = (math.exp(min(one, _LARGEST)) for one in (value, low, high))
        return shown(value, low, high, 1.0)
    field = FIELD[unit]
    return shown(field.of(value), field.of(low), field.of(high), 1.0 if unit == "1" else None)
