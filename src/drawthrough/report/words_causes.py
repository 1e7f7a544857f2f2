"""The words of causes: what each is called, what each mark says of it, and what may be said of all of them.

Odds are told as how often in a hundred such cases. Nothing here is a rating: each sentence says what was read beside
what is usual, and which way that speaks.
"""

from collections.abc import Iterator
from typing import NamedTuple

from drawthrough.judge.judgement import Evidence
from drawthrough.report.field import ENDS, shown
from drawthrough.report.figures import label
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.trade.causes import MISREAD, NOTHING

_TIED = "\N{NO-BREAK SPACE}"
_FEWEST, _MOST = 1, 99  # in a hundred that are told as a figure
_MOST_TO_ONE = 1000.0  # odds beyond which a figure says no more
_DIGITS, _FINEST = ((3.0, 0), (0.3, 1), (0.02, 2)), 3  # half widths, and the decimals of their ends
_TENTHS_BELOW = 9.95
_EITHER_WAY = 1.5  # factor of odds that is not worth calling for or against (judgement)


class CauseWords(NamedTuple):
    """How a cause is called, and how it is said that it was so, and is so."""

    noun: str
    was: str
    present: str


CAUSES: dict[str, CauseWords] = {
    "wheel": CauseWords("a dirty blower wheel", "the blower wheel was dirty", "the blower wheel is dirty"),
    "coil": CauseWords("a dirty coil", "the coil was dirty", "the coil is dirty"),
    "filter": CauseWords("a loaded filter", "the filter was loaded", "the filter is loaded"),
    "tight return": CauseWords("a tight return", "the return was tight", "the return is tight"),
    "tight supply": CauseWords("a tight supply", "the supply was tight", "the supply is tight"),
    "wrong speed": CauseWords(
        "the wrong speed lead", "the wrong speed lead was in use", "the wrong speed lead is in use"
    ),
    "weak capacitor": CauseWords("a weak run capacitor", "the run capacitor was weak", "the run capacitor is weak"),
    "low voltage": CauseWords("low voltage", "the voltage was low", "the voltage is low"),
    "backwards": CauseWords("a wheel turning backwards", "the wheel turned backwards", "the wheel turns backwards"),
    "leak": CauseWords(
        "a leak between filter and blower",
        "air leaked in between filter and blower",
        "air leaks in between filter and blower",
    ),
    "low charge": CauseWords("too little charge", "there was too little charge", "there is too little charge"),
    "high charge": CauseWords("too much charge", "there was too much charge", "there is too much charge"),
    MISREAD: CauseWords("a bad reading", "a reading was bad", "a reading is bad"),
    NOTHING: CauseWords("nothing wrong", "nothing was wrong", "nothing is wrong"),
}  # fmt: skip


class MarkWords(NamedTuple):
    """What a mark says: beside what is usual, and as found beside as left; of a difference also where it is less."""

    usual: str
    moved: str
    usual_less: str = ""
    moved_less: str = ""
    unit: str = "1"


_ENDS = "(95 %: {range}; usual {usual})"
MARKS: dict[str, MarkWords] = {
    "coil": MarkWords(
        f"{{When}}, the coil drops {{value}} times what is usual at its airflow {_ENDS}",
        f"As found, the coil resisted {{value}} times what it does as left {_ENDS}",
    ),
    "filter": MarkWords(
        f"{{When}}, the filter drops {{value}} times what is usual at its airflow {_ENDS}",
        f"As found, the filter resisted {{value}} times what it does as left {_ENDS}",
    ),
    "return duct": MarkWords(
        f"{{When}}, the return drops {{value}} times what is usual at its airflow {_ENDS}",
        f"As found, the return resisted {{value}} times what it does as left {_ENDS}",
    ),
    "supply duct": MarkWords(
        f"{{When}}, the supply drops {{value}} times what is usual at its airflow {_ENDS}",
        f"As found, the supply resisted {{value}} times what it does as left {_ENDS}",
    ),
    "leak": MarkWords(
        f"{{When}}, {{value}} % of the air more than is usual leaks in {_ENDS}",
        f"As found, {{value}} % of the air more than as left leaked in {_ENDS}",
        f"{{When}}, {{value}} % of the air less than is usual leaks in {_ENDS}",
        f"As found, {{value}} % of the air less than as left leaked in {_ENDS}",
        "percent",
    ),
    "blower": MarkWords(
        f"{{When}}, the blower moves {{value}} times the air that is usual of a clean one at equal work {_ENDS}",
        f"As found, the blower moved {{value}} times the air that it moves as left, at equal work {_ENDS}",
    ),
    "speed": MarkWords(
        f"{{When}}, the blower turns {{value}} times as fast as is usual {_ENDS}",
        f"As found, the blower turned {{value}} times as fast as it does as left, at equal work {_ENDS}",
    ),
    "capacitance": MarkWords(
        f"{{When}}, the capacitor has {{value}} times what is usual of its print {_ENDS}",
        f"As found, the capacitor had {{value}} times what it has as left {_ENDS}",
    ),
    "volts": MarkWords(
        f"{{When}}, the voltage is {{value}} times what is usual {_ENDS}",
        f"As found, the voltage was {{value}} times that as left {_ENDS}",
    ),
    "subcooling": MarkWords(
        f"{{When}}, the subcooling is {{value}} {{unit}} more than is usual {_ENDS}",
        f"As found, the subcooling was {{value}} {{unit}} more than as left {_ENDS}",
        f"{{When}}, the subcooling is {{value}} {{unit}} less than is usual {_ENDS}",
        f"As found, the subcooling was {{value}} {{unit}} less than as left {_ENDS}",
        "dF",
    ),
    "superheat": MarkWords(
        f"{{When}}, the superheat is {{value}} {{unit}} more than is usual {_ENDS}",
        f"As found, the superheat was {{value}} {{unit}} more than as left {_ENDS}",
        f"{{When}}, the superheat is {{value}} {{unit}} less than is usual {_ENDS}",
        f"As found, the superheat was {{value}} {{unit}} less than as left {_ENDS}",
        "dF",
    ),
}  # fmt: skip

# What a speed means depends on the cause.
SPEED_MEANS: dict[str, str] = {
    "wheel": "A dirty wheel turns faster: it loads the motor less, or makes up for it where the airflow is held.",
    "wrong speed": "On a lower speed lead the blower turns slower.",
    "weak capacitor": "With a weak capacitor the motor slips and turns slower.",
    "low voltage": "At low voltage the motor slips and turns slower.",
    "backwards": "A wheel that turns backwards moves little air, so it turns no slower.",
}

IN_A_HUNDRED = N_("{n} in 100")
_MORE_THAN, _LESS_THAN = N_("more than {n}"), N_("less than {n}")
_TO_ONE = N_("{n} to 1")
_SPEAKS_FOR, _SPEAKS_AGAINST = N_("{evidence}: speaks for it, {odds}."), N_("{evidence}: speaks against it, {odds}.")
_SPEAKS_NEITHER = N_("{evidence}: says little either way.")
_SEEN_FOR = N_("What was seen speaks for it, {odds}.")
_SEEN_AGAINST = N_("What was seen speaks against it, {odds}.")
_SEEN_NEITHER = N_("What was seen says little either way.")


def hundredths(probability: float, voice: Voice = ENGLISH) -> str:
    """Return how many of a hundred a probability is."""
    number = 100.0 * probability
    if number > _MOST:
        return voice.say(_MORE_THAN, n=_MOST)
    return voice.say(_LESS_THAN, n=_FEWEST) if number < _FEWEST else f"{number:.0f}"


def _tied(text: str) -> str:
    """Return a text that is never parted at the end of a line."""
    return text.replace(" ", _TIED)


def in_a_hundred(probability: float, voice: Voice = ENGLISH) -> str:
    """Return a probability in plain words: how many in a hundred."""
    return _tied(voice.say(IN_A_HUNDRED)).format(n=hundredths(probability, voice))


def to_one(odds: float, voice: Voice = ENGLISH) -> str:
    """Return by which factor odds change, either way, in plain words."""
    larger = max(odds, 1.0 / odds) if odds > 0.0 else _MOST_TO_ONE * 2
    if larger > _MOST_TO_ONE:
        return voice.say(_MORE_THAN, n=_tied(voice.say(_TO_ONE, n=f"{_MOST_TO_ONE:.0f}")))
    tenths = larger < _TENTHS_BELOW
    return _tied(voice.say(_TO_ONE, n=f"{larger:.1f}" if tenths else f"{float(f'{larger:.2g}'):.0f}"))


def named(cause: str, voice: Voice = ENGLISH) -> str:
    """Return what a cause is called; what is no cause, but can be settled, by the name that it has elsewhere."""
    words = CAUSES.get(cause)
    return voice.say(words.noun) if words is not None else label(cause, voice)


def evidence_told(cause: str, evidence: Evidence, when: str, voice: Voice = ENGLISH) -> str:
    """Return what one mark says of a cause, with its interval, what is usual, and which way it speaks.

    Parameters
    ----------
    cause : str
        The cause's name.
    evidence : Evidence
        What the mark says.
    when : str
        The state that was read, where there was only one: as found or as left.
    voice : Voice
        How it is told.
    """
    words = MARKS[evidence.mark]
    moved = evidence.when == "as found over as left"
    less = bool(words.usual_less) and evidence.value < 0.0
    unit = voice.unit(words.unit)
    turned = -unit.factor if less else unit.factor  # a difference: the zero of its unit counts for nothing
    low, high = sorted((turned * evidence.low, turned * evidence.high))
    made = shown(turned * evidence.value, low, high, None if words.usual_less else 1.0)
    template = (words.moved_less if moved else words.usual_less) if less else (words.moved if moved else words.usual)
    told = voice.say(
        template,
        When=capital(voice.say(when if evidence.when == "as found" else evidence.when)),
        value=made.value,
        unit=voice.say(unit.written),
        range=voice.ends(made),
        usual=_usual(turned * evidence.usual_low, turned * evidence.usual_high, voice),
    )
    said = _speaks(evidence.odds, voice, evidence=told)
    means = SPEED_MEANS.get(cause, "") if evidence.mark == "speed" else ""
    return f"{said} {voice.say(means)}" if means else said


def _usual(low: float, high: float, voice: Voice) -> str:
    """Return the ends of what is usual, to two digits of its half width or so: it is a belief."""
    low, high = sorted((low, high))
    digits = next((digits for least, digits in _DIGITS if high - low >= 2.0 * least), _FINEST)
    low, high = (round(end, digits) + 0.0 for end in (low, high))
    return voice.say(ENDS, low=f"{low:.{digits}f}", high=f"{high:.{digits}f}")


def _speaks(odds: float, voice: Voice, evidence: str) -> str:
    if max(odds, 1.0 / odds) < _EITHER_WAY:
        return voice.say(_SPEAKS_NEITHER, evidence=evidence)
    return voice.say(_SPEAKS_FOR if odds > 1.0 else _SPEAKS_AGAINST, evidence=evidence, odds=to_one(odds, voice))


def seen_told(odds: float, voice: Voice = ENGLISH) -> str:
    """Return which way speaks what was seen of a cause's part."""
    if max(odds, 1.0 / odds) < _EITHER_WAY:
        return voice.say(_SEEN_NEITHER)
    return voice.say(_SEEN_FOR if odds > 1.0 else _SEEN_AGAINST, odds=to_one(odds, voice))


def messages() -> Iterator[str]:
    """Yield every text of this module that people read and that no marker shows."""
    for cause in CAUSES.values():
        yield from cause
    for mark in MARKS.values():
        yield from filter(None, (mark.usual, mark.moved, mark.usual_less, mark.moved_less))
    yield from SPEED_MEANS.values()
