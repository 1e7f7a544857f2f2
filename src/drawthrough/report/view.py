"""A judgement as it is shown on a page or on paper: sentences first, then drawings with their numbers, then reasons.

The sentences are those of the text view; nothing is worded twice.
"""

import re
from collections.abc import Iterable, Mapping
from typing import TypeVar

import msgspec

from drawthrough.judge.judgement import Judgement, NextReading, Result
from drawthrough.report import figures, readings, text
from drawthrough.report.causes_view import CausesView, causes_view
from drawthrough.report.charts import Chart, fan_chart, path_chart, ratio_chart, strip_chart
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words_why import grounds_told

CERTAINTY = ("it stands", "in doubt", "not resolved", "set aside", "not yet read")  # the most certain first
T = TypeVar("T")

_PERCENT = re.compile(r"(?<=\d) (?=%|min\b)")


class ChartView(msgspec.Struct, frozen=True, kw_only=True):
    """A drawing with the sentence that says what it shows and its numbers as a table."""

    svg: str
    sentence: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class SaidView(msgspec.Struct, frozen=True, kw_only=True):
    """A sentence with the standing of what it says."""

    text: str
    standing: str  # code
    standing_word: str


class LineView(msgspec.Struct, frozen=True, kw_only=True):
    """One number with its interval: as found, as left, or one over the other."""

    when: str
    value: str  # empty where it is not resolved: then only the interval counts
    interval: str
    standing: str  # code
    standing_word: str


class StripView(msgspec.Struct, frozen=True, kw_only=True):
    """One quantity: as found, as left and one over the other, each with its interval and its standing."""

    name: str
    unit: str
    standing: str  # code of the least certain of them
    standing_word: str
    alike: bool  # do all of them have that standing?
    lines: tuple[LineView, ...]
    chart: ChartView | None
    beside: str  # what nameplate or print says, or empty
    why: tuple[str, ...]  # why it does not simply stand
    basis: str  # what kind of number it is, or empty where its name says so
    grounds: tuple[str, ...]  # what it rests on, down to the readings


class OfferView(msgspec.Struct, frozen=True, kw_only=True):
    """A reading that would settle something, and how long it takes."""

    text: str
    minutes: str


class ProofView(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a page says of a judgement."""

    headline: SaidView
    more_heading: str
    more: tuple[SaidView, ...]  # what else changed, or what one run alone says
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
    causes: CausesView | None
    next: str  # the reading that is worth most for its minutes, or empty
    worth: tuple[OfferView, ...]  # the others that are worth taking
    compared: str


def proof_view(judgement: Judgement, voice: Voice = ENGLISH) -> ProofView:
    """Return everything that a page says of a judgement.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    voice : Voice
        How it is told.
    """
    headline, *more = said_views(text.changed(judgement, voice=voice), voice)
    lead, gains = text.gains(judgement, voice=voice)
    one_run = judgement.compared is None
    worth = readings.worth(judgement)
    first = next(iter(worth), None)
    settles = first is not None and (first.bits > 0.0 or readings.again(first) or first.code.startswith("read "))
    return bound(
        ProofView(
            headline=headline,
            more_heading=voice.say(N_("What one run alone says")) if one_run else voice.say(N_("What changed")),
            more=tuple(more),
            static_heading=voice.say(text.static_heading(judgement)),
            static=tuple(
                filter(None, (text.static_said(judgement, voice=voice), *text.static_beside(judgement, voice=voice)))
            ),
            fan=chart_view(fan_chart(judgement, voice)),
            path=chart_view(path_chart(judgement, voice)),
            ratios=chart_view(ratio_chart(_ratios(judgement), voice)),
            strips=tuple(
                _strip(judgement, name, turn, row, voice) for (name, turn), row in figures.rows(judgement).items()
            ),
            gains_lead=lead,
            gains=tuple(gains),
            checks=tuple(text.checks(judgement, voice=voice)),
            others=tuple(text.others(judgement, voice=voice)),
            readings=tuple(readings.sentences(judgement, voice=voice)),
            causes=causes_view(judgement, voice),
            next=readings.best(judgement, voice, beside=True) if settles else "",
            worth=_offers(worth[1 if settles else 0 :], voice),
            compared=text.compared(judgement, voice=voice),
        )
    )


def said_views(said: Iterable[text.Said], voice: Voice) -> list[SaidView]:
    """Return sentences with the words of their standing."""
    return [SaidView(text=one.text, standing=one.standing, standing_word=voice.say(one.standing)) for one in said]


def chart_view(chart: Chart | None) -> ChartView | None:
    """Return a chart as a view holds it."""
    if chart is None:
        return None
    return ChartView(svg=chart.svg, sentence=chart.sentence, heads=chart.table.heads, rows=chart.table.rows)


def bound(view: T) -> T:
    """Return a view in whose texts no percent sign or minute is parted from its figure at a line's end."""
    if isinstance(view, str):
        return _PERCENT.sub("\N{NO-BREAK SPACE}", view)  # type: ignore[return-value]
    if isinstance(view, tuple):
        return tuple(map(bound, view))  # type: ignore[return-value]
    if isinstance(view, msgspec.Struct):
        return msgspec.structs.replace(view, **{name: bound(getattr(view, name)) for name in view.__struct_fields__})
    return view


def _ratios(judgement: Judgement) -> list[Result]:
    """Return as left over as found of what the sentences tell; statics and ducts stand among the strips."""
    return [one for one in figures.in_order(judgement) if one.when == text.RATIOS[0] and one.name in text.SAID]


def _offers(offers: Iterable[NextReading], voice: Voice) -> tuple[OfferView, ...]:
    told = (readings.offered(one, voice) for one in offers)
    return tuple(OfferView(text=reading, minutes=minutes) for reading, minutes in told)


def _strip(judgement: Judgement, name: str, turn: int, row: Mapping[str, Result], voice: Voice) -> StripView:
    results = [row[head] for head in figures.HEADS if head in row]
    states = [row.get(head) for head in figures.HEADS[:2]]
    si_unit = next((one.unit for one in states if one is not None), results[0].unit)
    ratio = row.get(figures.HEADS[2])
    chart = strip_chart(states[0], states[1], voice)
    if chart is None and ratio is not None:
        chart = ratio_chart([ratio], voice)
    standing = max((one.standing for one in results), key=CERTAINTY.index)
    named = capital(figures.label(name, voice))
    basis = figures.basis(results, voice)
    return StripView(
        name=f"{named} ({figures.run_of(results[0])})" if turn else named,
        unit=voice.say(voice.unit_of_result(si_unit).label),
        standing=standing,
        standing_word=voice.say(standing),
        alike=all(one.standing == standing for one in results),
        lines=tuple(_line(one, voice) for one in results),
        chart=chart_view(chart),
        beside=figures.beside(judgement, name, si_unit, voice) if not turn else "",
        why=tuple(dict.fromkeys(figures.why_of(one, voice) for one in results if one.standing != "it stands")),
        basis=capital(f"{basis}.") if basis else "",
        grounds=tuple(dict.fromkeys(said for one in results for said in grounds_told(judgement, one, voice))),
    )


def _line(result: Result, voice: Voice) -> LineView:
    made = figures.made_of(result, voice)
    return LineView(
        when=voice.say(result.when),
        value="" if result.standing == "not resolved" else made.value,
        interval=voice.ends(made),
        standing=result.standing,
        standing_word=voice.say(result.standing),
    )
