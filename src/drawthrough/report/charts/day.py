"""The day of a visit: one row a task, solid and outlined bars for hands, hatched ones for what soaks and drips alone.

Ink is done, an outline lies ahead; what is in hand is ink up to now. The name stands beside its bar, on the side that
has room, so that the bars have the whole width of a phone.
"""

import math
from typing import NamedTuple

from drawthrough.plan.timeline import Slot, Timeline
from drawthrough.report.charts.canvas import WIDTH, Anchor, Box, Canvas, Face
from drawthrough.report.charts.chart import Chart, Table
from drawthrough.report.charts.widths import width_of
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words_plan import Clock, all_done, finish_words, lasting, person, task_title, waiting_word
from drawthrough.trade.tasks import Tasks, tasks
from drawthrough.units import HOUR, MINUTE

_ROW, _BAR = 18.0, 11.0
_TWO = 15.0  # more, where a name stands above its bar
_HEAD, _FOOT = 22.0, 20.0
_INSET, _GAP = 2.0, 5.0
_THIN = 2.0  # no bar is drawn thinner than this
_APART = 42.0  # from one written hour to the next
STATES: tuple[str, ...] = (N_("done"), N_("in hand"), N_("ahead"))


class _Scale(NamedTuple):
    """From moments to the drawing."""

    low: float
    high: float

    def at(self, moment: float) -> float:
        share = (moment - self.low) / (self.high - self.low)
        return _INSET + min(max(share, 0.0), 1.0) * (WIDTH - 2 * _INSET)


def day_chart(
    plan: Timeline,
    clock: Clock,
    voice: Voice = ENGLISH,
    *,
    crew: int = 1,
    now: float | None = None,
    hour: float = 0.0,
    made: Tasks | None = None,
) -> Chart | None:
    """Return the day of a visit, or None where it has no tasks.

    Parameters
    ----------
    plan : Timeline
        The day.
    clock : callable
        Turns a moment of the day into the time of day.
    voice : Voice
        How it is told.
    crew : int
        How many people; two are told apart by a letter before each name.
    now : float, optional
        What time it is, once the work goes on. [s]
    hour : float
        Any moment at which the clock of the place shows a full hour. [s]
    made : Tasks, optional
        The tasks; those that the tool brings.
    """
    if not plan.slots:
        return None
    made = made or tasks()
    low = min(plan.begin, *(slot.start for slot in plan.slots))
    over = all_done(plan)
    high = max(slot.over for slot in plan.slots)
    if not over:
        high = max(high, plan.finish.high, now or low)
    scale = _Scale(low, max(high, low + MINUTE))
    names = [_name(slot, crew, voice) for slot in plan.slots]
    rows = [_row(slot, name, scale) for slot, name in zip(plan.slots, names, strict=True)]
    foot = _HEAD + sum(row.height for row in rows) + _ROW
    canvas = Canvas(foot + _FOOT)
    _hours(canvas, scale, clock, hour, foot)
    top = _HEAD
    for slot, name, row in zip(plan.slots, names, rows, strict=True):
        _draw(canvas, slot, name, row, scale, top + row.height, now)
        top += row.height
    if not over:
        _finish(canvas, plan, scale, foot, voice)
    if now is not None and not over:
        canvas.line((scale.at(now), _HEAD - 4), (scale.at(now), foot), "now")
    sentence = finish_words(plan, clock, voice) + " " + _counted(plan, voice)
    return Chart(canvas.render("day", sentence), sentence, day_table(plan, clock, voice, crew=crew, made=made))


class _Row(NamedTuple):
    """Where the name of a row stands, and how high the row is."""

    x: float
    anchor: Anchor
    above: bool

    @property
    def height(self) -> float:
        return _ROW + (_TWO if self.above else 0.0)


def _name(slot: Slot, crew: int, voice: Voice) -> str:
    name = voice.say(slot.code)
    return f"{person(slot.who)}: {name}" if crew > 1 else name


def _face(slot: Slot) -> Face:
    return "words" if slot.state == "ahead" else "words left"


def _row(slot: Slot, name: str, scale: _Scale) -> _Row:
    wide = width_of(name, _face(slot)) + _GAP
    left, right = scale.at(slot.start), max(scale.at(slot.over), scale.at(slot.start) + _THIN)
    if right + wide <= WIDTH:
        return _Row(right + _GAP, "start", False)
    if left - wide >= 0.0:
        return _Row(left - _GAP, "end", False)
    return _Row(min(left, max(WIDTH - wide, 0.0)), "start", True)


def _hours(canvas: Canvas, scale: _Scale, clock: Clock, hour: float, foot: float) -> None:
    """Draw a line at each full hour and write as many of them as stand apart."""
    first = math.ceil((scale.low - hour) / HOUR)
    last = math.floor((scale.high - hour) / HOUR)
    pixels = scale.at(scale.low + HOUR) - scale.at(scale.low)
    every = max(1, math.ceil(_APART / max(pixels, 0.1)))
    written = 0.0  # up to where hours are written
    for k in range(first, last + 1):
        x = scale.at(hour + k * HOUR)
        canvas.line((x, _HEAD - 4.0), (x, foot), "square" if k % every else "axis")
        if k % every == 0:
            text = clock(hour + k * HOUR)
            half = width_of(text, "figure") / 2
            middle = min(max(x, half), WIDTH - half)
            if middle - half < written:
                continue
            written = middle + half + 4.0
            canvas.text((middle, _HEAD - 8.0), text, "figure", "middle")
            canvas.text((middle, foot + 15.0), text, "figure", "middle")


def _draw(canvas: Canvas, slot: Slot, name: str, row: _Row, scale: _Scale, foot: float, now: float | None) -> None:
    top, low = foot - _BAR - 4.0, foot - 4.0
    start, end = scale.at(slot.start), scale.at(slot.end)
    end = max(end, start + _THIN)
    if slot.over > slot.end:
        canvas.bar(Box(end, top + 2.0, max(scale.at(slot.over), end + _THIN), low - 2.0), "bar wait", hatched=True)
    canvas.bar(Box(start, top, end, low), "bar hands left" if slot.state == "done" else "bar hands ahead")
    if slot.state == "in hand" and now is not None:
        reached = min(max(scale.at(now), start), end)
        if reached > start:
            canvas.bar(Box(start, top, reached, low), "bar hands left")
    y = top - 4.0 if row.above else low - 1.0
    canvas.text((row.x, y), name, _face(slot), row.anchor, halo=True)


def _finish(canvas: Canvas, plan: Timeline, scale: _Scale, foot: float, voice: Voice) -> None:
    """Draw the finish as an interval, in the manner of every other one: open, with a notch at its best value."""
    canvas.bar(Box(scale.at(plan.finish.low), foot - _BAR - 4, scale.at(plan.finish.high), foot - 4), "bar finish")
    best = scale.at(plan.finish.best)
    canvas.line((best, foot - _BAR - 6), (best, foot - 2), "notch")
    over = voice.say(N_("all over"))
    canvas.text((scale.at(plan.finish.low) - _GAP, foot - 5.5), over, "soft", "end", halo=True)


def _counted(plan: Timeline, voice: Voice) -> str:
    done = sum(slot.state == "done" for slot in plan.slots)
    if not done:
        return voice.count(
            "{n} task, in the order of its start.", "{n} tasks, in the order of their start.", len(plan.slots)
        )
    return voice.count(
        "{n} task, {done} of it done.", "{n} tasks, {done} of them done.", len(plan.slots), done=done
    )  # fmt: skip


def day_table(
    plan: Timeline, clock: Clock, voice: Voice = ENGLISH, *, crew: int = 1, made: Tasks | None = None
) -> Table:
    """Return the same day as a table: task, from, to, what waits after it, how it stands, and who."""
    made = made or tasks()
    heads = [N_("task"), N_("from"), N_("to"), N_("then waits"), N_("standing")]
    if crew > 1:
        heads.append(N_("who"))
    rows = []
    for slot in plan.slots:
        task = made.task.get(slot.code)
        cells = [task_title(slot.code, voice), clock(slot.start), clock(slot.end)]
        cells.append(_waits(slot, task.waiting if task is not None else "", voice))
        cells.append(voice.say(slot.state))
        if crew > 1:
            cells.append(person(slot.who))
        rows.append(tuple(cells))
    return Table(tuple(map(voice.say, heads)), tuple(rows))


def _waits(slot: Slot, waiting: str, voice: Voice) -> str:
    if slot.over <= slot.end:
        return ""
    word = waiting_word(waiting, voice)
    time = lasting(slot.over - slot.end, voice)
    return voice.say(N_("{time}, {word}"), time=time, word=word) if word else time
