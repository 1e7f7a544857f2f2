"""How one person wants to be told things: language, measures, light. Kept in cookies; first taken from the browser."""

from typing import NamedTuple

from starlette.requests import Request

from drawthrough.report.voice import LANGUAGES, MEASURES, Voice

LIGHTS = ("", "light", "dark")  # empty: as the system has it


class Preferences(NamedTuple):
    """What one person has chosen, or what their browser says of them."""

    language: str
    measures: str
    light: str

    @property
    def voice(self) -> Voice:
        """The voice that speaks so."""
        return Voice(self.language, self.measures)


# Name of each cookie (and field of the form that sets it) with what may stand in it.
CHOICES: dict[str, tuple[str, ...]] = {"language": tuple(LANGUAGES), "measures": tuple(MEASURES), "light": LIGHTS}


def preferences_of(request: Request) -> Preferences:
    """Return what a request says of the person behind it."""
    kept = {name: value for name in CHOICES if (value := request.cookies.get(name)) in CHOICES[name]}
    return Preferences(
        language=kept.get("language") or _first_language(request.headers.get("accept-language", "")),
        measures=kept.get("measures") or MEASURES[0],
        light=kept.get("light", ""),
    )


def _first_language(header: str) -> str:
    """Return the language that a browser would rather have, of those that there are (RFC 9110, section 12.5.4)."""
    wanted: list[tuple[float, str]] = []
    for part in header.split(","):
        tag, _, weight = part.strip().partition(";")
        try:
            quality = float(weight.strip().removeprefix("q=")) if weight else 1.0
        except ValueError:
            continue
        wanted.append((-quality, tag.split("-")[0].strip().lower()))
    return next((tag for quality, tag in sorted(wanted) if tag in LANGUAGES and quality < 0.0), next(iter(LANGUAGES)))
