"""What the text view says of readings: those that do not plainly stand, and those that would settle what is open."""

from collections.abc import Iterator

from drawthrough.judge.judgement import Judgement, NextReading, ReadingStanding
from drawthrough.report.field import within
from drawthrough.report.figures import clause, label
from drawthrough.report.labels import PLACED, PLACED_AGAINST
from drawthrough.report.layout import paragraph
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words import reading_to_take

_NAMED = 4  # readings of one group that are named; the others are counted
_AGAINST = "contradicts the others"


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
    if all(reason.code != _AGAINST for reason in reading.reasons):
        return ""
    # Suction may have been typed without its minus: what is expected is told the same way.
    turned = reading.value is not None and reading.value < 0.0 and not reading.typed.lstrip().startswith(("-", "−"))
    unit = voice.unit_of_result(reading.unit)
    value = within(-reading.expected if turned else reading.expected, reading.expected_sd, unit)
    return f"{value} {voice.say(unit.written)}"


MISSED = N_("The state as found is past, so these can no longer be read; next time they would settle:")


def offers(judgement: Judgement) -> tuple[list[NextReading], list[NextReading]]:
    """Return the readings worth taking, and those that can no longer be taken since their state is past."""
    gone = any(reading.when == "as left" for reading in judgement.readings)
    past = [offer for offer in judgement.next_readings if gone and offer.when == "as found"]
    return [offer for offer in judgement.next_readings if offer not in past], past


def offered(offer: NextReading, voice: Voice = ENGLISH) -> tuple[str, str]:
    """Return what to read and what it would settle, as a sentence; and how long it takes."""
    settles = ", ".join(label(name, voice) for name in offer.settles)
    told = voice.say("{reading} For: {settles}.", reading=reading_to_take(offer.code, voice), settles=settles)
    return told, f"{offer.minutes:.0f} min"


def nexts(judgement: Judgement, width: int, *, voice: Voice = ENGLISH) -> Iterator[str]:
    """Yield the readings worth taking, those that can no longer be taken last."""
    worth, missed = offers(judgement)
    for offer in worth:
        yield from _offered(offer, width, voice)
    if missed:
        yield from paragraph(voice.say(MISSED), width)
        for offer in missed:
            yield from _offered(offer, width, voice)


def _offered(offer: NextReading, width: int, voice: Voice) -> Iterator[str]:
    told, minutes = offered(offer, voice)
    yield from paragraph(told, width, f"  {minutes:>6}  ")
