"""What a judgement says to whoever lives in the house: before and after, in plain sentences, each with its interval.

Percent more or less instead of ratios; no watts for each cfm, no capacities. What the readings cannot tell is said too.
"""

from dataclasses import dataclass
from typing import NamedTuple

import msgspec

from drawthrough.judge.judgement import Judgement, Result
from drawthrough.report import figures, text
from drawthrough.report.charts import strip_chart
from drawthrough.report.field import Shown, shown
from drawthrough.report.view import ChartView, LineView, SaidView, bound, chart_view, said_views
from drawthrough.report.voice import ENGLISH, N_, Voice

POINTS = 3  # sentences that a customer is told of what changed

# Codes that a customer has other words for.
_WORDS = {"as found": N_("before"), "as left": N_("after")}


@dataclass(frozen=True)
class CustomerVoice(Voice):
    """How things are told to a customer: as found is before, as left is after."""

    def say(self, text: str, /, **values: object) -> str:
        """Return a message in this language, in a customer's words."""
        return super().say(_WORDS.get(text, text), **values)


class _Plain(NamedTuple):
    """How one change is told: less of it, more of it, or not to be told; and the words at an interval's ends."""

    less: str
    more: str
    unresolved: str
    end_less: str = N_("{value} % less")
    end_more: str = N_("{value} % more")


_SLOWER, _FASTER = N_("{value} % slower"), N_("{value} % faster")

# A blower's strength scales its airflow as the fan law of speed does: 0.84 is the same blower turning at 84 %.
PLAIN: dict[str, _Plain] = {
    "airflow": _Plain(
        N_("Your system moves {value} % less air than before the work (between {low} and {high} %)."),
        N_("Your system moves {value} % more air than before the work (between {low} and {high} %)."),
        N_("These readings cannot tell whether your system moves more or less air than before the work "
           "(between {low} and {high})."),
    ),
    "airflow_at_equal_filter": _Plain(
        N_("With the same filter both times it would be {value} % less (between {low} and {high} %)."),
        N_("With the same filter both times it would be {value} % more (between {low} and {high} %)."),
        N_("With the same filter both times, whether it would be more or less cannot be told "
           "(between {low} and {high})."),
    ),
    "wheel_against_clean": _Plain(
        N_("Before the work the blower wheel did what today's would do turning {value} % slower "
           "(between {low} and {high} %)."),
        N_("Before the work the blower wheel did what today's would do turning {value} % faster "
           "(between {low} and {high} %)."),
        N_("These readings cannot tell whether the blower wheel does more or less than before the work (before, it did "
           "what today's would do turning between {low} and {high})."),
        _SLOWER,
        _FASTER,
    ),
    "blower_against_clean": _Plain(
        N_("Before the work the blower with its motor did what today's would do turning {value} % slower "
           "(between {low} and {high} %)."),
        N_("Before the work the blower with its motor did what today's would do turning {value} % faster "
           "(between {low} and {high} %)."),
        N_("These readings cannot tell whether the blower does more or less than before the work (before, it did what "
           "today's would do turning between {low} and {high})."),
        _SLOWER,
        _FASTER,
    ),
    "coil_resistance": _Plain(
        N_("The coil holds the same amount of air back {value} % less than before (between {low} and {high} %)."),
        N_("The coil holds the same amount of air back {value} % more than before (between {low} and {high} %)."),
        N_("These readings cannot tell whether the coil holds the air back more or less than before "
           "(between {low} and {high})."),
    ),
    "specific_fan_power": _Plain(
        N_("For the air it moves, the blower uses {value} % less electricity than before "
           "(between {low} and {high} %)."),
        N_("For the air it moves, the blower uses {value} % more electricity than before "
           "(between {low} and {high} %)."),
        N_("These readings cannot tell whether the blower uses more or less electricity for the air it moves "
           "(between {low} and {high})."),
    ),
    "sensible_capacity": _Plain(
        N_("In equal weather the system cools the air {value} % less than before, moisture not counted "
           "(between {low} and {high} %)."),
        N_("In equal weather the system cools the air {value} % more than before, moisture not counted "
           "(between {low} and {high} %)."),
        N_("These readings cannot tell whether the system cools the air more or less than before "
           "(between {low} and {high})."),
    ),
}  # fmt: skip

_NOTHING = N_("What the work changed cannot be said: there are no readings of the air both before and after it.")
_AIR = {"field": N_("cubic feet a minute"), "SI": N_("litres a second")}
_KNOW = (
    N_("The same readings were taken before and after the work and are held against each other, all at once."),
    N_("What an instrument gets wrong it gets wrong both times, so it cancels in what changed."),
    N_("Between the two figures in brackets the true value lies 95 times in 100. What the readings cannot tell is said "
       "to be so."),
)  # fmt: skip


class CustomerView(msgspec.Struct, frozen=True, kw_only=True):
    """What a judgement says to a customer."""

    headline: SaidView
    beside: str  # what belongs to the headline: the same with an equal filter, or empty
    points: tuple[SaidView, ...]  # what else changed
    open: tuple[str, ...]  # what the readings cannot tell
    strip: ChartView | None  # the air, before and after
    strip_unit: str
    strip_lines: tuple[LineView, ...]
    know: tuple[str, ...]  # how it is known


def customer_view(judgement: Judgement, voice: Voice = ENGLISH) -> CustomerView:
    """Return what a judgement says to a customer.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    voice : Voice
        Language and units.
    """
    customer = CustomerVoice(voice.language, voice.measures)
    results = [result for name in PLAIN if (result := _ratio(judgement, name)) is not None]
    told = [one for one in results if one.standing != "not resolved" and one.name != "airflow_at_equal_filter"]
    unresolved = [one for one in results if one.standing == "not resolved" and one.name != "airflow_at_equal_filter"]
    said = [_said(one, customer) for one in (told[:POINTS] or unresolved[:1])]
    if not said:
        said = [_nothing(judgement, voice)]
    equal = _ratio(judgement, "airflow_at_equal_filter")
    of_air = bool(told or unresolved) and (told or unresolved)[0].name == "airflow"
    states = [judgement.result("airflow", when) for when in ("as found", "as left")]
    return bound(
        CustomerView(
            headline=said[0],
            beside=plain(equal, customer) if equal is not None and of_air else "",
            points=tuple(said[1:]),
            open=tuple(plain(one, customer) for one in (unresolved if told else unresolved[1:])[:POINTS]),
            strip=chart_view(strip_chart(states[0], states[1], customer)),
            strip_unit=voice.say(_AIR[voice.measures]),
            strip_lines=tuple(_line(one, customer) for one in states if one is not None),
            know=tuple(map(voice.say, _KNOW)) if results else (),
        )
    )


def plain(result: Result, voice: Voice = ENGLISH) -> str:
    """Return what became of one quantity as percent more or less, with its interval."""
    words = PLAIN[result.name]
    made = percent(result)
    if result.standing == "not resolved" or result.low <= 1.0 <= result.high:
        low, high = (_end(end, words, voice) for end in (made.low, made.high))
        return voice.say(words.unresolved, low=low, high=high)
    if result.value < 1.0:
        turned = Shown(*map(_unsigned, (made.value, made.high, made.low)))
        told = voice.say(words.less, **turned._asdict())
    else:
        told = voice.say(words.more, **made._asdict())
    return told if result.standing == "it stands" else text.marked(result.standing, told, voice)


def percent(result: Result) -> Shown:
    """Return a ratio as percent above 1 (below it with a minus)."""
    value, low, high = (100.0 * (ratio - 1.0) for ratio in (result.value, result.low, result.high))
    return shown(value, low, high, 0.0)


def _unsigned(figure: str) -> str:
    return figure.removeprefix("-")


def _end(figure: str, words: _Plain, voice: Voice) -> str:
    return voice.say(words.end_less if figure.startswith("-") else words.end_more, value=_unsigned(figure))


def _ratio(judgement: Judgement, name: str) -> Result | None:
    """Return one over the other of a quantity; of the blower only where the wheel cannot be told from it."""
    if name == "blower_against_clean" and _ratio(judgement, "wheel_against_clean") is not None:
        return None
    return next((found for when in text.RATIOS if (found := judgement.result(name, when)) is not None), None)


def _nothing(judgement: Judgement, voice: Voice) -> SaidView:
    if judgement.compared is None and not text.speaks_as_a_whole(judgement):
        said = text.Said(voice.say(_NOTHING), "not yet read")
    else:
        said = text.changed(judgement, voice=voice)[0]
    return said_views([said], voice)[0]


def _said(result: Result, voice: Voice) -> SaidView:
    return SaidView(text=plain(result, voice), standing=result.standing, standing_word=voice.say(result.standing))


def _line(result: Result, voice: Voice) -> LineView:
    made = figures.made_of(result, voice)
    return LineView(
        when=voice.say(result.when),
        value="" if result.standing == "not resolved" else made.value,
        interval=voice.ends(made),
        standing=result.standing,
        standing_word=voice.say(result.standing),
    )
