"""How things are told: the language, and whether figures stand in the units of the field or in SI.

A message is its own English text. What is kept as data and said later is marked with `N_`, so that the catalogue finds
it. Translations are compiled into `locale/<language>/LC_MESSAGES/drawthrough.mo`; without that file English is told.

The decimal point stays a point in every language: the Spanish is that of the United States and Mexico, where meters,
nameplates and code books are printed so, and a figure must look on paper as it does on the instrument.
"""

import gettext
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

from drawthrough.report import phrase
from drawthrough.report.field import FIELD, NAME_OF_RESULT, SI, FieldUnit, Shown

LANGUAGES: dict[str, str] = {"en": "English", "es": "Español"}
MEASURES: tuple[str, ...] = ("field", "SI")

_UNITS: dict[str, Mapping[str, FieldUnit]] = {"field": FIELD, "SI": SI}


def N_(message: str) -> str:  # noqa: N802 - the name by which gettext's tools know a marker
    """Mark a text that is said later; return it as it is."""
    return message


@cache
def _catalogue(language: str) -> gettext.NullTranslations:
    if language == "en":
        return gettext.NullTranslations()
    compiled = resources.files(__package__).joinpath("locale", language, "LC_MESSAGES", "drawthrough.mo")
    try:
        with compiled.open("rb") as stream:
            return gettext.GNUTranslations(stream)
    except OSError:
        return gettext.NullTranslations()


@dataclass(frozen=True)
class Voice:
    """A language and a set of units in which to tell something."""

    language: str = "en"
    measures: str = "field"  # of MEASURES

    def say(self, text: str, /, **values: object) -> str:
        """Return a message in this language, its placeholders filled where values are given."""
        told = _catalogue(self.language).gettext(text) if text else text  # gettext keeps its header under ""
        return told.format(**values) if values else told

    def count(self, one: str, many: str, n: int, /, **values: object) -> str:
        """Return the message for one or for many, `{n}` and all other placeholders filled."""
        return _catalogue(self.language).ngettext(one, many, n).format(n=n, **values)

    def fill(self, template: str, figures: Mapping[str, float], names: Mapping[str, str]) -> str:
        """Return a sentence of `phrase`'s kind in this language, with its figures and names."""
        return phrase.fill(self.say(template), figures, names, _UNITS[self.measures], self.say)

    def unit(self, name: str) -> FieldUnit:
        """Return the unit in which figures are shown that a sentence asks for by this name of `FIELD`."""
        return _UNITS[self.measures][name]

    def unit_of_result(self, si_unit: str) -> FieldUnit:
        """Return the unit in which a judgement's result is shown."""
        return self.unit(NAME_OF_RESULT[si_unit])

    def ends(self, shown: Shown) -> str:
        """Return the two ends of an interval."""
        return shown.told(self.say)


ENGLISH = Voice()
