"""Why it was so: what may be said of the causes first, then each likely one with what speaks for and against it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import msgspec

from drawthrough.judge.causes import SAID
from drawthrough.judge.judgement import Cause, Causes, Judgement, Verdict
from drawthrough.report.layout import paragraph
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words_causes import CAUSES, evidence_told, hundredths, in_a_hundred, named, seen_told
from drawthrough.trade.causes import MISREAD, NOTHING, beliefs

LIKELY = 0.05  # from which on a cause is told by itself (judgement)
COUNTED = 0.01  # below it a figure says no more
_ROWS = 5  # causes that are told by themselves
_UNMOVED = 1.5  # factor of odds within which nothing read has moved a cause (judgement)
_RESTS = 3.0  # factor of odds by which a cause rests on what was believed beforehand (judgement)
_EVEN, _NEAR_SURE = 0.5, 0.9  # what it then must cross or fall from, to be worth saying (judgement)
_REMAINS = 0.98  # share of a cause as found from which on nothing has removed it (judgement)

HEADINGS = (N_("Why it was so"), N_("Why it is so"))  # with readings of both states, and of one


class _Verdict(NamedTuple):
    """What may be said, by what is known."""

    nothing: str
    nothing_likely: str
    nothing_or: str
    one: str
    likely: str
    two: str
    three: str
    tie: str
    tie_or_nothing: str
    open: str


_WAS = _Verdict(
    nothing=N_("Nothing was wrong as found ({odds})."),
    nothing_likely=N_("Most likely nothing was wrong as found ({odds})."),
    nothing_or=N_("Most likely nothing was wrong as found ({odds}); if anything, {causes}."),
    one=N_("What was wrong: {causes}."),
    likely=N_("What was wrong, most likely: {causes}."),
    two=N_("Two things were wrong: {causes}."),
    three=N_("Three things were wrong: {causes}."),
    tie=N_("At least one of these was there, and the readings cannot tell which: {causes}."),
    tie_or_nothing=N_(
        "At least one of these was there, or nothing was wrong ({odds}), and the readings cannot tell which: {causes}."
    ),
    open=N_("What was wrong is not resolved: nothing that was read speaks of it."),
)
_IS = _Verdict(
    nothing=N_("{When}, nothing is wrong ({odds})."),
    nothing_likely=N_("{When}, most likely nothing is wrong ({odds})."),
    nothing_or=N_("{When}, most likely nothing is wrong ({odds}); if anything, {causes}."),
    one=N_("What is wrong {when}: {causes}."),
    likely=N_("What is wrong {when}, most likely: {causes}."),
    two=N_("Two things are wrong {when}: {causes}."),
    three=N_("Three things are wrong {when}: {causes}."),
    tie=N_("At least one of these is there {when}, and the readings cannot tell which: {causes}."),
    tie_or_nothing=N_(
        "At least one of these is there {when}, or nothing is wrong ({odds}), and the readings cannot tell which: "
        "{causes}."
    ),
    open=N_("What is wrong {when} is not resolved: nothing that was read speaks of it."),
)
_REMAINING = _Verdict(
    nothing=N_("What remains as left: nothing ({odds})."),
    nothing_likely=N_("What remains as left: most likely nothing ({odds})."),
    nothing_or=N_("What remains as left: most likely nothing ({odds}); if anything, {causes}."),
    one=N_("What remains as left: {causes}."),
    likely=N_("What remains as left, most likely: {causes}."),
    two=N_("Two things remain as left: {causes}."),
    three=N_("Three things remain as left: {causes}."),
    tie=N_("At least one of these remains as left, and the readings cannot tell which: {causes}."),
    tie_or_nothing=N_(
        "At least one of these remains as left, or nothing ({odds}), and the readings cannot tell which: {causes}."
    ),
    open=N_("What remains as left is not resolved: nothing that was read speaks of it."),
)

_WITH_ODDS = N_("{cause} ({odds})")
_AS_WELL = N_("Likely as well: {causes}.")
_AND_UNSPOKEN = N_("{causes}, or what nothing read speaks of: {unread}")


class CauseView(msgspec.Struct, frozen=True, kw_only=True):
    """One cause: how likely, and what that rests on."""

    name: str
    odds: str
    lines: tuple[str, ...]


class CausesView(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that is said of why it was so."""

    heading: str
    found: str
    left: str  # empty where nothing was read as left
    unread: str  # what nothing read speaks of, though the tie that was said holds it too; or empty
    rows: tuple[CauseView, ...]
    beside: tuple[str, ...]  # what is less likely, and what nothing read speaks of


def causes_view(judgement: Judgement, voice: Voice = ENGLISH) -> CausesView | None:
    """Return what is said of the causes, or None where none could be weighed.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    voice : Voice
        How it is told.
    """
    causes = judgement.causes
    if causes is None:
        return None
    states = {reading.when for reading in judgement.readings}
    when = "as left" if states == {"as left"} else "as found"
    both = causes.left is not None
    wrong = [cause for cause in causes.each if cause.name not in (NOTHING, MISREAD)]
    unread = [cause for cause in wrong if unspoken(cause) or not causes.told]
    shown = [c for c in wrong if c not in unread and max(c.found, c.left or 0.0) >= LIKELY][:_ROWS]
    less = [cause for cause in wrong if cause not in unread and cause not in shown]
    beside = []
    counted = [cause for cause in less if cause.found >= COUNTED]
    if counted:
        beside.append(voice.say(N_("Less likely: {causes}."), causes=_listed(counted, voice)))
    uncounted = [cause for cause in less if cause not in counted]
    if uncounted:
        beside.append(voice.say(N_("Less than 1 in 100 each: {causes}."), causes=_names(uncounted, voice)))
    found = _said(causes, causes.found, _WAS if both else _IS, when, voice)
    left = _said(causes, causes.left, _REMAINING, when, voice) if causes.left is not None else ""
    among = {*causes.found.causes, *(causes.left.causes if causes.left is not None else ())}
    in_sight = [one for one in unread if one.name in among and named(one.name, voice) not in f"{found} {left}"]
    beside.extend(_silent([cause for cause in unread if cause not in in_sight], voice))
    return CausesView(
        heading=voice.say(HEADINGS[0] if both else HEADINGS[1]),
        found=found,
        left=left,
        unread=" ".join((*_misread(causes, voice), *_silent(in_sight, voice))),
        rows=tuple(_row(cause, when, voice) for cause in shown),
        beside=tuple(beside),
    )


def _misread(causes: Causes, voice: Voice) -> Iterator[str]:
    """Yield that a reading is bad, where that is likely: the readings say which."""
    for cause in causes.each:
        if cause.name == MISREAD and cause.found >= _EVEN:
            yield voice.say(N_("A reading is bad ({odds}): see the readings."), odds=in_a_hundred(cause.found, voice))


def _silent(causes: Sequence[Cause], voice: Voice) -> tuple[str, ...]:
    return (voice.say(N_("Nothing read speaks of: {causes}."), causes=_names(causes, voice)),) if causes else ()


def unspoken(cause: Cause) -> bool:
    """Is a cause just as likely as before any reading, and no reading of it at hand? Then it is not suspected."""
    return not cause.evidence and cause.looked == 1.0 and _apart(cause.found, cause.often) < _UNMOVED


def _apart(one: float, other: float) -> float:
    """Return by which factor the odds of two probabilities differ."""
    a, b = (min(max(p, 1e-12), 1.0 - 1e-12) for p in (one, other))
    ratio = a * (1.0 - b) / (b * (1.0 - a))
    return max(ratio, 1.0 / ratio)


def _said(causes: Causes, verdict: Verdict, words: _Verdict, when: str, voice: Voice) -> str:
    """Return a verdict as a sentence."""
    known = {cause.name: cause for cause in causes.each}
    remains = words is _REMAINING

    def share(name: str) -> float:
        cause = known[name]
        return cause.found if not remains or cause.left is None else cause.left

    slots = {"When": capital(voice.say(when)), "when": voice.say(when), "odds": in_a_hundred(share(NOTHING), voice)}
    wrong = [name for name in verdict.causes if name != NOTHING]
    if not verdict.tie:
        if not wrong:
            return voice.say(words.nothing, **slots)
        told = "; ".join(_so(name, share(name), words is _WAS, voice) for name in wrong)
        template = {1: words.one, 2: words.two}.get(len(wrong), words.three)
        also = [c.name for c in causes.each if c.name not in (*wrong, NOTHING, MISREAD) and share(c.name) >= _EVEN]
        more = "; ".join(_so(name, share(name), words is _WAS, voice) for name in also)
        said = voice.say(template, **slots, causes=told)
        return f"{said} {voice.say(_AS_WELL, causes=more)}" if more else said
    if not _told(causes, known):
        return voice.say(words.open, **slots)
    if NOTHING in verdict.causes and share(NOTHING) >= _EVEN:
        read = [name for name in wrong if not unspoken(known[name])]
        if not read:
            return voice.say(words.nothing_likely, **slots)
        return voice.say(words.nothing_or, **slots, causes=_tied(known, read, share, voice))
    if len(verdict.causes) == 1:
        return voice.say(words.likely, **slots, causes=_so(wrong[0], share(wrong[0]), words is _WAS, voice))
    template = words.tie_or_nothing if NOTHING in verdict.causes else words.tie
    return voice.say(template, **slots, causes=_tied(known, wrong, share, voice))


def _told(causes: Causes, known: Mapping[str, Cause]) -> bool:
    """Does anything that was read speak of what may be said?"""
    if not causes.told:
        return False
    moved = NOTHING in causes.found.causes and _apart(known[NOTHING].found, known[NOTHING].often) >= _UNMOVED
    return moved or not all(unspoken(known[name]) for name in causes.found.causes if name != NOTHING)


def _so(name: str, probability: float, was: bool, voice: Voice) -> str:
    words = CAUSES[name]
    return voice.say(
        _WITH_ODDS, cause=voice.say(words.was if was else words.present), odds=in_a_hundred(probability, voice)
    )


def _tied(known: Mapping[str, Cause], names: Iterable[str], share: Callable[[str], float], voice: Voice) -> str:
    """Return the causes of a tie with their odds, those last that nothing read speaks of."""
    told: dict[bool, list[str]] = {False: [], True: []}
    for name in names:
        odds = in_a_hundred(share(name), voice)
        told[unspoken(known[name])].append(voice.say(_WITH_ODDS, cause=named(name, voice), odds=odds))
    read, unread = (", ".join(told[each]) for each in (False, True))
    return voice.say(_AND_UNSPOKEN, causes=read, unread=unread) if read and unread else read or unread


def _names(causes: Iterable[Cause], voice: Voice) -> str:
    return ", ".join(named(cause.name, voice) for cause in causes)


def _listed(causes: Iterable[Cause], voice: Voice) -> str:
    return ", ".join(
        voice.say(_WITH_ODDS, cause=named(cause.name, voice), odds=in_a_hundred(cause.found, voice)) for cause in causes
    )


def _row(cause: Cause, when: str, voice: Voice) -> CauseView:
    """Return one cause with what speaks for and against it."""
    found = in_a_hundred(cause.found, voice)
    if cause.left is None:
        odds = voice.say(N_("{odds} {when}"), odds=found, when=voice.say(when))
    else:
        odds = voice.say(N_("{found} as found, {left} as left"), found=found, left=in_a_hundred(cause.left, voice))
    return CauseView(name=capital(named(cause.name, voice)), odds=odds, lines=tuple(_lines(cause, when, voice)))


def _lines(cause: Cause, when: str, voice: Voice) -> Iterator[str]:
    yield voice.say(N_("Before any reading: {odds}."), odds=in_a_hundred(cause.often, voice))
    for one in cause.evidence:
        yield evidence_told(cause.name, one, when, voice)
    if cause.looked != 1.0:
        yield seen_told(cause.looked, voice)
    elif not cause.evidence:
        if cause.found < cause.often:
            yield voice.say(N_("No reading speaks of it by itself; all of them together make it less likely."))
        else:
            yield voice.say(N_("No reading speaks of it by itself; all of them together make it likelier."))
    if cause.left is not None and cause.found >= LIKELY:
        yield _removed(cause, voice)
    if rests_on_beliefs(cause):
        low, high = sorted((cause.found_halved, cause.found_doubled))
        slots = {"low": hundredths(low, voice), "high": hundredths(high, voice)}
        yield voice.say(
            N_("It rests on beliefs: held half as wide or twice as wide, they make it {low} to {high} in 100."),
            **slots,
        )


def _removed(cause: Cause, voice: Voice) -> str:
    """Return what became of a cause."""
    left = cause.left or 0.0
    sure = cause.found >= SAID
    if left >= _REMAINS * cause.found:
        if sure:
            return voice.say(N_("It is still there."))
        return voice.say(N_("If it was there, it still is."))
    ended = in_a_hundred(1.0 - left / cause.found, voice)
    if not beliefs().cause[cause.name].work:  # no work ends it
        return voice.say(N_("If it was there, it has passed by itself: {odds}."), odds=ended)
    if sure:
        return voice.say(N_("The work removed it: {odds}."), odds=ended)
    return voice.say(N_("If it was there, the work removed it: {odds}."), odds=ended)


def rests_on_beliefs(cause: Cause) -> bool:
    """Would it be said otherwise, were all widths of belief halved or doubled?"""
    low, high = sorted((cause.found_halved, cause.found_doubled))
    return _apart(low, high) > _RESTS and (low < _EVEN <= high or low < _NEAR_SURE <= high)


def causes_text(judgement: Judgement, width: int, *, voice: Voice = ENGLISH) -> Iterator[str]:
    """Yield the lines on the causes of a visit, without their heading."""
    view = causes_view(judgement, voice)
    if view is None:
        return
    yield from paragraph(view.found, width)
    if view.left:
        yield from paragraph(view.left, width)
    if view.unread:
        yield from paragraph(view.unread, width)
    for row in view.rows:
        yield from paragraph(voice.say(N_("{name}: {odds}."), name=row.name, odds=row.odds), width, "  ", "    ")
        for line in row.lines:
            yield from paragraph(line, width, "      ", "        ")
    for line in view.beside:
        yield from paragraph(line, width)


def causes_heading(judgement: Judgement) -> str:
    """Return the heading over what is said of the causes."""
    causes = judgement.causes
    return HEADINGS[1] if causes is not None and causes.left is None else HEADINGS[0]
