"""What the text view says of readings: those that do not plainly stand, and those that would settle what is open."""

from collections.abc import Iterator

from drawthrough.judge.judgement import Judgement, NextReading, ReadingStanding
from drawthrough.report.field import within
from drawthrough.report.figures import clause
from drawthrough.report.labels import PLACED, PLACED_AGAINST
from drawthrough.report.layout import paragraph
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words import reading_to_take
from drawthrough.report.words_causes import named

_NAMED = 4  # readings of one group that are named; the others are counted
_AGAINST = ("contradicts the others", "looks like a slip")


def told(judgement: Judgement, width: int, *, voice: Voice = ENGLISH) -> Iterator[str]:
    """Yield the lines on the readings of a visit."""
    for k, one in enumerate(sentences(judgement, voice=voice)):
        yield from paragraph(one, width) if k == 0 else paragraph(one, width, "  ", "    ")


def sentences(judgement: Judgement, *, voice: Voice = ENGLISH) -> list[str]:
    """Return how the readings stand: all of them counted, then those that do not plainly stand, and why."""
    everything = judgement.readings
    if not everything:
        return []
    groups: dict[tuple[str, str], list[ReadingStanding]] = {}
    for reading in everything:
        clauses = "; ".join(clause(reason, voice) for reason in reading.reasons)
        if reading.standing != "it stands" or clauses:
            groups.setdefault((reading.standing, clauses), []).append(reading)
    marked = sum(map(len, groups.values()))
    used = sum(reading.used for reading in everything)
    found = [
        voice.say(
            "{n} readings; {plain} stand without remark. {used} entered the joint fit of the air side and are held "
            "against each other; the others are taken as read.",
            n=len(everything),
            plain=len(everything) - marked,
            used=used,
        )
    ]
    for (standing, clauses), members in sorted(groups.items(), key=lambda item: item[0][0] == "it stands"):
        named = "; ".join(called(reading, voice) for reading in members[:_NAMED])
        if len(members) > _NAMED:
            named = voice.say("{readings}; and {n} more", readings=named, n=len(members) - _NAMED)
        reasons = f", {clauses}" if clauses else ""
        found.append(f"{capital(voice.say(standing))}{reasons}: {named}.")
    if judgement.fit is not None:
        notes: dict[str, list[str]] = {}
        for note in judgement.fit.notes:
            notes.setdefault(clause(note, voice), []).append(note.names.get("run", ""))
        found.extend(f"{', '.join(runs)}: {said}." for said, runs in notes.items())
    return found


def called(reading: ReadingStanding, voice: Voice = ENGLISH) -> str:
    """Return a reading by quantity and places, as it was typed, and what is expected where it contradicts."""
    places = {"what": voice.say(reading.what.replace("_", " ")), "at": voice.say(reading.at)}
    if reading.against:
        name = voice.say(PLACED_AGAINST, **places, against=voice.say(reading.against))
    else:
        name = voice.say(PLACED, **places)
    expected = _expected(reading, voice)
    if expected:
        return voice.say(
            "{reading}, {typed} ({run}), where the others expect {expected}",
            reading=name,
            typed=reading.typed,
            run=reading.run,
            expected=expected,
        )
    return f"{name}, {reading.typed} ({reading.run})"


def _expected(reading: ReadingStanding, voice: Voice) -> str:
    if reading.unit != "Pa" or reading.expected is None or not reading.expected_sd:
        return ""
    if all(reason.code not in _AGAINST for reason in reading.reasons):
        return ""
    # Suction may have been typed without its minus: what is expected is told the same way.
    turned = reading.value is not None and reading.value < 0.0 and not reading.typed.lstrip().startswith(("-", "−"))
    unit = voice.unit_of_result(reading.unit)
    value = within(-reading.expected if turned else reading.expected, reading.expected_sd, unit)
    return f"{value} {voice.say(unit.written)}"


_FOR = N_("{reading} For: {settles}.")
_NEXT = N_("Next ({minutes} min): {reading} It settles most about: {settles}.")
_NEXT_CHECK = N_("Next ({minutes} min): {reading} For: {settles}.")
_AGAIN = N_("{reading} The others contradict it.")
_NEXT_AGAIN = N_("Next ({minutes} min): {reading} The others contradict it.")
_MORE_AGAIN = N_("First ({minutes} min): {reading} The others contradict it.")
_MORE = N_("What settles most for its minutes ({minutes} min): {reading} For: {settles}.")  # beside a Next line


def worth(judgement: Judgement) -> tuple[NextReading, ...]:
    """Return the readings worth taking that still can be: none as found, once anything was read as left."""
    past = any(reading.when == "as left" for reading in judgement.readings)
    return tuple(offer for offer in judgement.next_readings if not (past and offer.when == "as found"))


def offered(offer: NextReading, voice: Voice = ENGLISH) -> tuple[str, str]:
    """Return what to read and what it would settle, as a sentence; and how long it takes."""
    slots = {"reading": reading_to_take(offer.code, voice), "settles": _settles(offer, voice)}
    told = voice.say(_AGAIN if again(offer) else _FOR, **slots)
    return told, f"{offer.minutes:.0f} min"


def best(judgement: Judgement, voice: Voice = ENGLISH, *, beside: bool = False) -> str:
    """Return the reading that is worth most for its minutes as a sentence, or an empty text where there is none.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    voice : Voice
        How it is told.
    beside : bool
        Another line says what is next.
    """
    offer = next(iter(worth(judgement)), None)
    if offer is None:
        return ""
    slots = {"reading": reading_to_take(offer.code, voice), "settles": _settles(offer, voice)}
    if again(offer):
        told = _MORE_AGAIN if beside else _NEXT_AGAIN
    else:
        told = _MORE if beside else _NEXT if offer.bits > 0.0 else _NEXT_CHECK
    return voice.say(told, minutes=f"{offer.minutes:.0f}", **slots)


def again(offer: NextReading) -> bool:
    """Is it a reading that the others contradict, to be read again?"""
    return offer.code.startswith("again: ")


def _settles(offer: NextReading, voice: Voice) -> str:
    return ", ".join(named(name, voice) for name in offer.settles)


def nexts(judgement: Judgement, width: int, *, voice: Voice = ENGLISH) -> Iterator[str]:
    """Yield the reading worth most for its minutes, then the others that are worth taking."""
    first = best(judgement, voice)
    if first:
        yield from paragraph(first, width)
    for offer in worth(judgement)[1:]:
        told, minutes = offered(offer, voice)
        yield from paragraph(told, width, f"  {minutes:>6}  ")
