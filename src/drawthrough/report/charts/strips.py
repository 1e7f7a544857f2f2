"""Interval strips: each bar is a 95 % interval with a notch at the best value; two bars never share a row."""

from collections.abc import Iterator, Sequence

from drawthrough.judge.judgement import Result
from drawthrough.report.charts.axis import axis
from drawthrough.report.charts.canvas import WIDTH, Box, Canvas, Face
from drawthrough.report.charts.chart import Chart, Table, figure, signed, title
from drawthrough.report.charts.widths import width_of
from drawthrough.report.field import FieldUnit, Shown, shown
from drawthrough.report.figures import label
from drawthrough.report.voice import ENGLISH, N_, Voice

_BAR, _ROW = 11.0, 20.0
_INSET = 6.0
_SQUARES = 10
_WHEN = {"as found": "found", "as left": "left"}
NAMES: tuple[str, ...] = (N_("as found"), N_("as left"), N_("as left over as found"), N_("as found over as left"))


def strip_chart(found: Result | None, left: Result | None = None, voice: Voice = ENGLISH) -> Chart | None:
    """Return the intervals of one quantity as found and as left on one scale, or None where neither is given."""
    results = [result for result in (found, left) if result is not None]
    if not results:
        return None
    unit = voice.unit_of_result(results[0].unit)
    return _strips(results, [voice.say(result.when) for result in results], unit, voice, None)


def ratio_chart(ratios: Sequence[Result], voice: Voice = ENGLISH) -> Chart | None:
    """Return the intervals of one or more ratios on one scale with a heavy line at 1, or None where none is given."""
    if not ratios:
        return None
    names = [label(result.name, voice) for result in ratios]
    return _strips(list(ratios), names, voice.unit("1"), voice, 1.0)


def _strips(
    results: Sequence[Result], names: Sequence[str], unit: FieldUnit, voice: Voice, reference: float | None
) -> Chart:
    made = [_shown(result, unit, reference) for result in results]
    heights = [_ROW if reference is None else _ROW + 14.0 for _ in results]
    foot = 4.0 + sum(heights)
    canvas = Canvas(foot + 22.0)
    ends = [unit.of(end) for result in results for end in (result.low, result.high)]
    low, high = min(ends), max(ends)
    if reference is not None:
        low, high = min(low, reference), max(high, reference)
    spare = 0.06 * (high - low)
    least = low if low < spare else low - spare  # nothing here falls below zero for the sake of room
    # As found and as left are named ahead of their bars, ratios above theirs.
    gutter = 8.0 + max(width_of(name, "words left") for name in names) if reference is None else 0.0
    scale = axis(least, high + spare, _INSET + gutter, WIDTH - _INSET, _SQUARES)
    for value in scale.squares():
        canvas.line((scale.at(value), 4.0), (scale.at(value), foot), "square")
    canvas.line((scale.start, foot), (scale.end, foot), "axis")
    for value, text in scale.ticks(44.0):
        if scale.start + 8.0 < scale.at(value) < scale.end - 8.0 or abs(value) < 1e-12:
            x = min(max(scale.at(value), width_of(text, "figure") / 2), WIDTH - width_of(text, "figure") / 2)
            canvas.text((x, foot + 16.0), text, "figure", "middle")
    if reference is not None:
        canvas.line((scale.at(reference), 2.0), (scale.at(reference), foot + 4.0), "one")
    top = 4.0
    for result, name, height in zip(results, names, heights, strict=True):
        bar_top = top + height - _BAR - 4.0
        bar = Box(scale.at(unit.of(result.low)), bar_top, scale.at(unit.of(result.high)), bar_top + _BAR)
        kind = _WHEN.get(result.when, "left")
        resolved = result.standing != "not resolved"
        canvas.bar(bar, f"bar {kind}" if resolved else f"bar {kind} open", hatched=resolved and kind == "found")
        if resolved:  # what is not resolved has an interval and no best value
            notch = scale.at(unit.of(result.value))
            canvas.line((notch, bar.top - 2.0), (notch, bar.bottom + 2.0), f"notch {kind}")
        face: Face = "words left" if kind == "left" and reference is None else "soft"
        if reference is None:
            canvas.text((_INSET, bar.bottom - 1.0), name, face)
        else:
            x = min(bar.left, WIDTH - _INSET - width_of(name, face))
            canvas.text((max(x, _INSET), bar.top - 5.0), name, face, halo=True)
        top += height
    sentence = " ".join(_sentences(results, made, unit, voice, reference))
    heads = ("", voice.say("best value"), voice.say("95 % interval"), voice.say("standing"))
    rows = tuple(
        (
            title(name, unit),
            one.value if result.standing != "not resolved" else "",
            voice.ends(one),
            voice.say(result.standing),
        )
        for result, name, one in zip(results, names, made, strict=True)
    )
    return Chart(canvas.render("strip", sentence), sentence, Table(heads, rows))


def _shown(result: Result, unit: FieldUnit, reference: float | None) -> Shown:
    found = shown(unit.of(result.value), unit.of(result.low), unit.of(result.high), reference)
    return Shown(*map(signed, found))


def _sentences(
    results: Sequence[Result], made: Sequence[Shown], unit: FieldUnit, voice: Voice, reference: float | None
) -> Iterator[str]:
    for result, one in zip(results, made, strict=True):
        name = label(result.name, voice)
        given = {
            "name": name[:1].upper() + name[1:],
            "when": voice.say(result.when),
            "value": one.value if reference is not None else figure(one.value, unit),
            "interval": voice.ends(one),
        }
        if result.standing == "not resolved":
            yield voice.say("{name}, {when}: not resolved (95 %: {interval}).", **given)
        else:
            yield voice.say("{name}, {when}: {value} (95 %: {interval}).", **given)
    if reference is not None:
        yield voice.say("The heavy line at 1 is no change.")
