"""The lead map: each lead between the terminal where it was found and the one where it is left.

The terminals stand in the same order at both edges, so what was put back right is its own mirror image; a lead that was
put back wrong is the one thick curve.
"""

from collections.abc import Collection, Iterator
from typing import NamedTuple

from drawthrough.report.charts.canvas import WIDTH, Canvas
from drawthrough.report.charts.chart import Chart, Table
from drawthrough.report.charts.landing import EDGE, empty, landing
from drawthrough.report.charts.widths import width_of, wrapped
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words_leads import lead_told, listed, state_told
from drawthrough.visit.lead_compare import Comparison
from drawthrough.visit.lead_known import recognised
from drawthrough.visit.lead_map import LeadMap, RowState, name_of, role_of
from drawthrough.visit.lead_points import Points
from drawthrough.visit.lead_terms import plain
from drawthrough.visit.state import Lead, Terminal, TerminalKind, When

ROW = 50.0
_TOP = 26.0  # where the rows begin, below the heads
_CLEAR = 19.0  # from an edge to what is written beside its landing point
_NAMES = 112.0  # how far a terminal's name reaches
_MIDDLE = 104.0  # how wide what a lead does may be written
# What carries speed leads stands first and together: there two leads are most often exchanged.
_ORDER: tuple[TerminalKind, ...] = ("live", "park", "cap", "capacitor", "strips", "control", "ground")
_WRONG: tuple[RowState, ...] = ("moved", "new")
NOTHING = N_("nothing on it")
NOT_YET = N_("not looked at yet")
# What stands under a landing point, beside its symbol.
KINDS: dict[TerminalKind, str] = {
    "live": "", "capacitor": N_("capacitor"), "strips": N_("strips"), "control": N_("24 V"), "ground": N_("ground"),
    "park": N_("park"), "cap": N_("cap"),
}  # fmt: skip
ENERGISED = N_("energised")


class _Wire(NamedTuple):
    """One lead and its row; `before` is kept back while its second look is due."""

    before: Lead | None
    after: Lead | None
    state: RowState


class _Slot(NamedTuple):
    """One terminal and the rows of the leads that were found on it."""

    terminal: Terminal
    rows: tuple[int, ...]


def lead_chart(
    found: LeadMap, left: LeadMap, comparison: Comparison, voice: Voice = ENGLISH, *, blind: bool = False
) -> Chart | None:
    """Return the lead map drawn, or None where no lead was seen.

    Parameters
    ----------
    found, left : LeadMap
        The leads of the two times.
    comparison : Comparison
        How they differ.
    voice : Voice
        How it is told.
    blind : bool
        Is it kept back where a lead was found that has not been looked at as left?
    """
    if not (found.lead or left.lead):
        return None
    points = Points(found, left)
    wires = _wires(found, left, comparison, points)
    hidden = [wire for wire in wires if blind and wire.after is None]
    shown = [wire for wire in wires if wire not in hidden]
    slots, order = _slots(found, left, shown, points)
    order += hidden
    canvas = Canvas(_TOP + ROW * len(order) + 6.0)
    canvas.text((0.0, 12.0), voice.say("as found"), "soft")
    if left.lead:
        canvas.text((WIDTH, 12.0), voice.say("as left"), "words left", "end")
    whole = not any(wire.after is None for wire in wires)
    _draw_found(canvas, slots, order, hidden, voice)
    if left.lead:
        _draw_left(canvas, slots, order, left, whole, voice)
    _draw_names(canvas, order, voice)
    sentence = " ".join(_sentences(found, left, wires, bool(hidden), voice))
    return Chart(canvas.render("leads", sentence), sentence, _table(wires, hidden, voice))


def _wires(found: LeadMap, left: LeadMap, comparison: Comparison, points: Points) -> list[_Wire]:
    known = recognised(found, left, points)
    states = {(row.lead, row.function, row.found, row.left): row.state for row in comparison.rows}

    def wire(before: Lead | None, after: Lead | None) -> _Wire:
        one = before or after
        assert one is not None
        key = (
            name_of(one), one.function, before.terminal if before else None, after.terminal if after else None,
        )  # fmt: skip
        return _Wire(before, after, states[key])

    made = [wire(before, after) for before, after in known.pairs]
    made += [wire(before, None) for before in known.unmatched]
    return made + [wire(None, after) for after in known.added]


def _slots(found: LeadMap, left: LeadMap, shown: list[_Wire], points: Points) -> tuple[list[_Slot], list[_Wire | None]]:
    """Return the terminals with their rows, and what stands in each row: None where nothing was found."""
    by_place: dict[str, list[_Wire]] = {}
    for wire in shown:
        if wire.before is not None:
            by_place.setdefault(plain(wire.before.terminal), []).append(wire)
    fresh = [wire for wire in shown if wire.before is None]
    landed = {plain(wire.after.terminal) for wire in shown if wire.after is not None}
    declared = {plain(one.name) for side in (found, left) for one in side.terminal if one.name not in side.guessed}
    names = sorted(
        by_place.keys() | landed | declared,
        key=lambda name: (
            not by_place.get(name),
            points.kind(name) not in ("park", "cap") and not any(_is_speed(wire) for wire in by_place.get(name, ())),
            _ORDER.index(points.kind(name)),
            name,
        ),
    )
    slots: list[_Slot] = []
    order: list[_Wire | None] = []
    for name in names:
        here = by_place.get(name) or [
            wire for wire in fresh if wire.after is not None and plain(wire.after.terminal) == name
        ]
        rows = range(len(order), len(order) + max(1, len(here)))
        slots.append(_Slot(points.terminals[name], tuple(rows)))
        order += here or [None]
        fresh = [wire for wire in fresh if wire not in here]
    return slots, [*order, *fresh]


def _is_speed(wire: _Wire) -> bool:
    return wire.before is not None and role_of(wire.before) == "speed"


def _y(row: int) -> float:
    return _TOP + ROW * row + ROW / 2.0


def _half(wire: _Wire, voice: Voice) -> float:
    """Return half the width of a lead's name, with some air."""
    one = wire.before or wire.after
    assert one is not None
    return width_of(lead_told(name_of(one), voice), "words left") / 2.0 + 6.0


def _draw_found(
    canvas: Canvas, slots: list[_Slot], order: list[_Wire | None], hidden: list[_Wire], voice: Voice
) -> None:
    for slot in slots:
        on = [row for row in slot.rows if (wire := order[row]) is not None and wire.before is not None]
        top = _y(slot.rows[0])
        for row in on:
            wire = order[row]
            assert wire is not None
            canvas.line((EDGE, _y(row)), (WIDTH / 2.0 - _half(wire, voice), _y(row)), "wire found")
        if len(on) > 1:
            canvas.line((EDGE, top), (EDGE, _y(on[-1])), "wire found")
        leads = [wire.before for row in on if (wire := order[row]) is not None and wire.before is not None]
        if leads or not hidden:  # what seems empty may be where a lead was that is kept back
            _terminal(canvas, slot.terminal, top, "found", leads, True, voice)
    for row, kept in enumerate(order):
        if kept is not None and kept in hidden:
            canvas.text((_CLEAR, _y(row) + 20.0), voice.say(NOT_YET), "soft")


def _draw_left(
    canvas: Canvas, slots: list[_Slot], order: list[_Wire | None], left: LeadMap, whole: bool, voice: Voice
) -> None:
    places = {plain(slot.terminal.name): slot for slot in slots}
    ends: dict[str, list[float]] = {}
    for row, wire in enumerate(order):
        if wire is None or wire.after is None:
            continue
        slot = places[plain(wire.after.terminal)]
        begin = (WIDTH / 2.0 + _half(wire, voice), _y(row))
        if row in slot.rows:
            kind = "wire left wrong" if wire.state in _WRONG else "wire left"
            canvas.line(begin, (WIDTH - EDGE, _y(row)), kind)
            ends.setdefault(plain(slot.terminal.name), []).append(_y(row))
        else:
            kind = "wire left wrong" if wire.state in _WRONG else "wire left"
            canvas.curve(_bow(begin, (WIDTH - EDGE, _y(slot.rows[0]))), kind)
    for name, slot in places.items():
        top = _y(slot.rows[0])
        if (low := max(ends.get(name, [top]))) > top:
            canvas.line((WIDTH - EDGE, top), (WIDTH - EDGE, low), "wire left")
        _terminal(canvas, slot.terminal, top, "left", left.landed().get(name, []), whole, voice)


def _bow(begin: tuple[float, float], end: tuple[float, float]) -> list[tuple[float, float]]:
    """Return a curve that leaves and arrives level."""
    (x0, y0), (x1, y1) = begin, end
    across = (x1 - x0) * 0.55
    made = []
    for k in range(25):
        t = k / 24.0
        u = 1.0 - t
        a, b, c, d = u**3, 3 * u * u * t, 3 * u * t * t, t**3
        made.append((a * x0 + b * (x0 + across) + c * (x1 - across) + d * x1, (a + b) * y0 + (c + d) * y1))
    return made


def _terminal(
    canvas: Canvas, terminal: Terminal, y: float, side: str, leads: list[Lead], known: bool, voice: Voice
) -> None:
    """Draw a terminal at its edge: the symbol on the line, its name above it, and what it is below it."""
    if leads or not known:
        landing(canvas, terminal.kind, y, side)
        fed = terminal.kind == "live" and any(role_of(lead) == "speed" for lead in leads)
        below = voice.say(ENERGISED if fed else KINDS[terminal.kind])
    else:
        empty(canvas, y, side)
        below = voice.say(NOTHING)
    x, anchor = (_CLEAR, "start") if side == "found" else (WIDTH - _CLEAR, "end")
    lines = wrapped(terminal.name, "words left", _NAMES)
    if len(lines) > 2:
        lines = [lines[0], lines[1] + "…"]
    for k, text in enumerate(reversed(lines)):
        at = (x, y - 6.5 - 14.5 * k)
        canvas.text(at, text, "words left" if side == "left" else "words", "end" if anchor == "end" else "start", True)
    if below and below.casefold() != terminal.name.casefold():
        canvas.text((x, y + 15.0), below, "soft", "end" if anchor == "end" else "start", True)


def _draw_names(canvas: Canvas, order: list[_Wire | None], voice: Voice) -> None:
    for row, wire in enumerate(order):
        if wire is None:
            continue
        one = wire.before or wire.after
        assert one is not None
        wrong = wire.state in (*_WRONG, "missing")
        name = lead_told(name_of(one), voice)
        canvas.text((WIDTH / 2.0, _y(row) + 4.5), name, "words left" if wrong else "words", "middle", True)
        does = voice.say(one.function)
        if does and does.casefold() != name.casefold():
            canvas.text((WIDTH / 2.0, _y(row) + 19.0), wrapped(does, "soft", _MIDDLE)[0], "soft", "middle", True)


def energised(map: LeadMap) -> tuple[str, ...]:
    """Return the names of the speed leads that land on live terminals."""
    known = map.by_name()
    speeds = [lead for lead in map.lead if role_of(lead) == "speed"]
    return tuple(name_of(lead) for lead in speeds if known[plain(lead.terminal)].kind == "live")


def energised_told(map: LeadMap, voice: Voice = ENGLISH) -> str:
    """Return the sentence that says which speed lead is energised, or an empty text where no lead was seen."""
    if not any(role_of(lead) == "speed" for lead in map.lead):
        return ""
    when: When = map.when
    names = listed([lead_told(name, voice) for name in energised(map)], voice) if energised(map) else ""
    if not names:
        return voice.say("No speed lead is energised, {when}.", when=voice.say(when))
    if len(energised(map)) == 1:
        return voice.say("Energised speed lead, {when}: {lead}.", when=voice.say(when), lead=names)
    return voice.say("Speed leads on live terminals, {when}: {leads}.", when=voice.say(when), leads=names)


def energised_both(
    found: LeadMap, left: LeadMap, voice: Voice = ENGLISH, *, whole: bool, kept: bool
) -> tuple[str, ...]:
    """Return what is said of both times.

    Parameters
    ----------
    found, left : LeadMap
        The leads of the two times.
    voice : Voice
        How it is told.
    whole : bool
        Was every lead looked at as left? Before, none on a live terminal says nothing.
    kept : bool
        Is it kept back where some were found?
    """
    sides = [] if kept else [found]
    if whole or energised(left):
        sides.append(left)
    return tuple(told for side in sides if (told := energised_told(side, voice)))


def _sentences(found: LeadMap, left: LeadMap, wires: list[_Wire], kept: bool, voice: Voice) -> Iterator[str]:
    yield voice.count("Lead map of {n} lead.", "Lead map of {n} leads.", len(wires))
    yield from energised_both(found, left, voice, whole=all(wire.after is not None for wire in wires), kept=kept)
    if left.lead:
        wrong = [wire for wire in wires if wire.state in (*_WRONG, "missing")]
        names = [lead_told(name_of(one), voice) for wire in wrong if (one := wire.before or wire.after)]
        if names:
            yield voice.say("Not where it was: {leads}.", leads=listed(names, voice))
        elif all(wire.after is not None for wire in wires):
            yield voice.say("The drawing is its own mirror image, up to what was meant.")


def _table(wires: list[_Wire], hidden: Collection[_Wire], voice: Voice) -> Table:
    say = voice.say
    heads = (say("lead"), say("what it does"), say("as found"), say("as left"), say("how it stands"))
    rows = []
    for wire in wires:
        one = wire.before or wire.after
        assert one is not None
        rows.append(
            (
                lead_told(name_of(one), voice),
                say(one.function),
                "–" if wire in hidden or wire.before is None else wire.before.terminal,
                "–" if wire.after is None else wire.after.terminal,
                state_told(wire.state, voice),
            )
        )
    return Table(heads, tuple(rows))
