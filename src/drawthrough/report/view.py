"""A judgement as it is shown on a page or on paper: sentences first, then drawings with their numbers, then reasons.

The sentences are those of the text view; nothing is worded twice.
"""

import msgspec

from drawthrough.judge.judgement import Judgement, Result
from drawthrough.report import figures, readings, text
from drawthrough.report.charts import Chart, fan_chart, path_chart, ratio_chart, strip_chart
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, Voice
from drawthrough.report.words import RESULTS

_RATIOS = ("as left over as found", "as found over as left")


class ChartView(msgspec.Struct, frozen=True, kw_only=True):
    """A drawing with the sentence that says what it shows and its numbers as a table."""

    svg: str
    sentence: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class StripView(msgspec.Struct, frozen=True, kw_only=True):
    """One quantity: as found and as left, each with its interval and its standing."""

    name: str
    unit: str
    standing: str  # code of the least certain of them
    standing_word: str
    chart: ChartView
    why: tuple[str, ...]
    ratio: str = ""  # what it became, in a sentence


class OfferView(msgspec.Struct, frozen=True, kw_only=True):
    """A reading that would settle something, and how long it takes."""

    text: str
    minutes: str


class ProofView(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a page says of a judgement."""

    headline: str
    standing: str  # code of the headline's standing; empty where there is none
    standing_word: str
    more: tuple[str, ...]  # what else changed, a sentence each
    static_heading: str
    static: tuple[str, ...]
    fan: ChartView | None
    path: ChartView | None
    ratios: ChartView | None
    strips: tuple[StripView, ...]
    gains_lead: str
    gains: tuple[tuple[str, str], ...]
    checks: tuple[str, ...]
    others: tuple[str, ...]
    readings: tuple[str, ...]
    worth: tuple[OfferView, ...]
    missed: tuple[OfferView, ...]
    missed_lead: str
    bases: str
    compared: str


_CERTAINTY = ("it stands", "in doubt", "not resolved", "set aside", "not yet read")


def proof_view(judgement: Judgement, voice: Voice = ENGLISH) -> ProofView:
    """Return everything that a page says of a judgement.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    voice : Voice
        How it is told.
    """
    changed = text.changed(judgement, voice=voice) or [""]
    first = next((judgement.result("airflow", when) for when in (*_RATIOS, "as found", "as left")
                  if judgement.result("airflow", when) is not None), None)  # fmt: skip
    worth, missed = readings.offers(judgement)
    lead, gains = text.gains(judgement, voice=voice)
    ratios = [one for one in figures.in_order(judgement) if one.when == _RATIOS[0]]
    return ProofView(
        headline=changed[0],
        standing=first.standing if first is not None else "",
        standing_word=voice.say(first.standing) if first is not None else "",
        more=tuple(changed[1:]),
        static_heading=voice.say(text.static_heading(judgement)),
        static=tuple(
            filter(None, (text.static_said(judgement, voice=voice), *text.static_beside(judgement, voice=voice)))
        ),
        fan=_chart(fan_chart(judgement, voice)),
        path=_chart(path_chart(judgement, voice)),
        ratios=_chart(ratio_chart(ratios, voice)),
        strips=tuple(_strips(judgement, voice)),
        gains_lead=lead,
        gains=tuple(gains),
        checks=tuple(text.checks(judgement, voice=voice)),
        others=tuple(text.others(judgement, voice=voice)),
        readings=tuple(readings.sentences(judgement, voice=voice)),
        worth=tuple(
            OfferView(text=told, minutes=time) for told, time in (readings.offered(one, voice) for one in worth)
        ),
        missed=tuple(
            OfferView(text=told, minutes=time) for told, time in (readings.offered(one, voice) for one in missed)
        ),
        missed_lead=voice.say(readings.MISSED),
        bases=figures.bases(judgement, voice=voice),
        compared=text.compared(judgement, voice=voice),
    )


def _chart(chart: Chart | None) -> ChartView | None:
    if chart is None:
        return None
    return ChartView(svg=chart.svg, sentence=chart.sentence, heads=chart.table.heads, rows=chart.table.rows)


def _strips(judgement: Judgement, voice: Voice) -> list[StripView]:
    found: list[StripView] = []
    for name in RESULTS:
        states = [judgement.result(name, when) for when in ("as found", "as left")]
        results = [one for one in states if one is not None]
        if not results:
            continue
        chart = _chart(strip_chart(states[0], states[1], voice))
        if chart is None:
            continue
        standing = max((one.standing for one in results), key=_CERTAINTY.index)
        found.append(
            StripView(
                name=capital(figures.label(name, voice)),
                unit=voice.unit_of_result(results[0].unit).label,
                standing=standing,
                standing_word=voice.say(standing),
                chart=chart,
                why=tuple(dict.fromkeys(figures.clause(reason, voice) for one in results for reason in one.reasons)),
                ratio=_ratio(judgement, name, voice),
            )
        )
    return found


def _ratio(judgement: Judgement, name: str, voice: Voice) -> str:
    result: Result | None = next((one for when in _RATIOS if (one := judgement.result(name, when)) is not None), None)
    return text.of_ratio(result, voice) if result is not None and RESULTS[name].changed else ""
