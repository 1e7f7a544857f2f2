"""Fills a sentence with a judgement's figures, each in the unit in which it is shown.

In a template stands `{name}` for a name (`{Name}` begins a sentence with it), and for a figure `{figure:unit}` or
`{figure:unit form}`, the unit being a name of `field.FIELD`. Forms: `value` and `interval` round by the figure's own
ends (`figure_low`, `figure_high`), `range` gives the ends alone, `~other` rounds by a standard uncertainty of that
name, `half` gives 95 % either way of a standard uncertainty, `signed` shows a plus. A last word `unit` adds the unit as
it is written: `{static:inwc unit}`, `{rise:dF ~sd unit}`. `{=55:F unit}` is a figure that the sentence itself states,
in that unit of the field. The unit `log` is a logarithm of a ratio. `{*:unit}` lists all figures with their names. What
stands in square brackets is left out where a figure in it was not given.
"""

import math
import re
from collections.abc import Callable, Mapping

from drawthrough.report.field import FIELD, FieldUnit, Shown, plain, shown, within

Say = Callable[[str], str]

_SLOT = re.compile(r"\{(=[\d.]+|[\w* ]+)(?::([^\s}]+)(?: (?!unit\})([^\s}]+))?( unit)?)?\}")
_OPTIONAL = re.compile(r"\[([^\]]*)\]")
_LARGEST = 300.0  # logarithm beyond which a ratio is as good as without end
_K95 = 1.959963984540054
_OWN = ("run", "meant", "count")  # the user's own, and figures: no words of a language


def fill(
    template: str,
    figures: Mapping[str, float],
    names: Mapping[str, str],
    units: Mapping[str, FieldUnit] = FIELD,
    say: Say = str,
) -> str:
    """Return a sentence with its figures and names.

    Parameters
    ----------
    template : str
        The sentence, in the language in which it is told.
    figures : mapping of str to float
        In SI.
    names : mapping of str to str
        Said in the language, all but those that the user gave.
    units : mapping of str to FieldUnit
        The units to show, by the names that a template uses.
    say : callable
        Says a name or a unit in the language.

    Raises
    ------
    KeyError
        The template asks for a figure or a name that was not given.
    """

    def name_of(name: str) -> str:
        if name not in names and name[:1].isupper():
            return capital(name_of(name[:1].lower() + name[1:]))
        return names[name] if name in _OWN else say(names[name])

    def slot(match: re.Match[str]) -> str:
        name, unit, form, written = match.groups()
        if unit is None:
            return name_of(name)
        if name == "*":
            label = say(units[unit].written)
            return ", ".join(f"{say(key)} {_figure(key, unit, form, figures, units, say)} {label}" for key in figures)
        told = _stated(name[1:], unit, units) if name[0] == "=" else _figure(name, unit, form, figures, units, say)
        return f"{told} {say(units[unit].written)}" if written else told

    def optional(match: re.Match[str]) -> str:
        return match[1] if all(name in figures or name in names for name in slots(match[1])) else ""

    return _SLOT.sub(slot, _OPTIONAL.sub(optional, template))


def slots(template: str) -> list[str]:
    """Return the names of what a template asks for."""
    return [match[1] for match in _SLOT.finditer(template) if match[1][0] != "="]


def capital(text: str) -> str:
    """Return a text with its first letter a capital, as it begins a sentence."""
    return text[:1].upper() + text[1:]


def _stated(number: str, unit: str, units: Mapping[str, FieldUnit]) -> str:
    field, wanted = FIELD[unit], units[unit]
    return number if wanted == field else plain((float(number) - field.offset) / field.factor, wanted)


def _figure(
    name: str, unit: str, form: str | None, figures: Mapping[str, float], units: Mapping[str, FieldUnit], say: Say
) -> str:
    value = figures[name]
    if form in ("value", "interval", "range"):
        made = _ends(name, unit, figures, units)
        if form == "range":
            return made.told(say)
        return made.value if form == "value" else f"{made.value} (95 %: {made.told(say)})"
    field = units[unit]
    if form is not None and form.startswith("~"):
        return within(value, figures[form[1:]], field)
    if form == "half":
        return within(_K95 * value, value, field)
    text = plain(value, field)
    return f"+{text}" if form == "signed" and value > 0.0 else text


def _ends(name: str, unit: str, figures: Mapping[str, float], units: Mapping[str, FieldUnit]) -> Shown:
    stem = name if f"{name}_low" in figures else name.removesuffix("_change")
    value, low, high = figures[name], figures[f"{stem}_low"], figures[f"{stem}_high"]
    if unit == "log":
        value, low, high = (math.exp(min(one, _LARGEST)) for one in (value, low, high))
        return shown(value, low, high, 1.0)
    field = units[unit]
    return shown(field.of(value), field.of(low), field.of(high), 1.0 if unit == "1" else None)
