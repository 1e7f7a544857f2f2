"""What the text view says of readings: those that do not plainly stand, and those that would settle what is open."""

from collections.abc import Iterator

from drawthrough.judge.judgement import Judgement, NextReading, ReadingStanding
from drawthrough.report.field import OF_RESULT, within
from drawthrough.report.figures import clause, label
from drawthrough.report.layout import paragraph
from drawthrough.report.words import words_of

_NAMED = 4  # readings of one group that are named; the others are counted
_AGAINST = "contradicts the others"


def told(judgement: Judgement, width: int) -> Iterator[str]:
    """Yield the lines on the readings of a visit."""
    everything = judgement.readings
    if not everything:
        return
    groups: dict[tuple[str, str], list[ReadingStanding]] = {}
    for reading in everything:
        clauses = "; ".join(map(clause, reading.reasons))
        if reading.standing != "it stands" or clauses:
            groups.setdefault((reading.standing, clauses), []).append(reading)
    marked = sum(map(len, groups.values()))
    used = sum(reading.used for reading in everything)
    yield from paragraph(
        f"{len(everything)} readings; {len(everything) - marked} stand without remark. {used} entered the joint fit of "
        "the air side and are held against each other; the others are taken as read.",
        width,
    )
    for (standing, clauses), members in sorted(groups.items(), key=lambda item: item[0][0] == "it stands"):
        named = "; ".join(_called(reading) for reading in members[:_NAMED])
        more = f"; and {len(members) - _NAMED} more" if len(members) > _NAMED else ""
        reasons = f", {clauses}" if clauses else ""
        yield from paragraph(f"{standing.capitalize()}{reasons}: {named}{more}.", width, "  ", "    ")
    if judgement.fit is not None:
        notes: dict[str, list[str]] = {}
        for note in judgement.fit.notes:
            notes.setdefault(clause(note), []).append(note.names.get("run", ""))
        for said, runs in notes.items():
            yield from paragraph(f"{', '.join(runs)}: {said}.", width, "  ", "    ")


def _called(reading: ReadingStanding) -> str:
    ends = f"{reading.at} against {reading.against}" if reading.against else reading.at
    expects = ""
    unit = OF_RESULT.get(reading.unit) if reading.unit == "Pa" else None
    if (
        unit
        and reading.expected is not None
        and reading.expected_sd
        and any(r.code == _AGAINST for r in reading.reasons)
    ):
        # Suction may have been typed without its minus: what is expected is told the same way.
        turned = reading.value is not None and reading.value < 0.0 and not reading.typed.lstrip().startswith(("-", "−"))
        expected = -reading.expected if turned else reading.expected
        expects = f", where the others expect {within(expected, reading.expected_sd, unit)} {unit.label}"
    return f"{reading.what.replace('_', ' ')} {ends}, {reading.typed} ({reading.run}){expects}"


def nexts(judgement: Judgement, width: int) -> Iterator[str]:
    """Yield the readings worth taking, those that can no longer be taken last."""
    gone = any(reading.when == "as left" for reading in judgement.readings)

    def past(offer: NextReading) -> bool:
        return gone and offer.when == "as found"

    for offer in judgement.next_readings:
        if not past(offer):
            yield from _offered(offer, width)
    missed = [offer for offer in judgement.next_readings if past(offer)]
    if missed:
        yield from paragraph(
            "The state as found is past, so these can no longer be read; next time they would settle:", width
        )
        for offer in missed:
            yield from _offered(offer, width)


def _offered(offer: NextReading, width: int) -> Iterator[str]:
    settles = ", ".join(label(name) for name in offer.settles)
    minutes = f"{offer.minutes:.0f} min"
    yield from paragraph(f"{words_of(offer.code).reading} For: {settles}.", width, f"  {minutes:>6}  ")
