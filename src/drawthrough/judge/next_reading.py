"""Which reading not taken would settle what is open: simple rules, fewest minutes first."""

from drawthrough.judge.accuracy import PRESSURES
from drawthrough.judge.judgement import Finding, NextReading, ReadingStanding, Result
from drawthrough.judge.model import has_pressures
from drawthrough.judge.unknowns import touched
from drawthrough.visit.state import Run, Visit, When

_RESISTANCES = ("coil_resistance", "blower_against_clean")


def _ends(run: Run) -> set[frozenset[str]]:
    return {frozenset((r.at, r.against or "")) for r in run.reading if r.what in PRESSURES}


def next_readings(
    visit: Visit, results: tuple[Result, ...], readings: tuple[ReadingStanding, ...], findings: tuple[Finding, ...]
) -> tuple[NextReading, ...]:
    """Return the readings worth taking next, each with what it would settle and its minutes (judgement)."""
    offers: list[NextReading] = []

    def offer(code: str, minutes: float, *settles: str, when: When | None = None) -> None:
        if all(known.code != code for known in offers):
            offers.append(NextReading(code=code, when=when, settles=settles, minutes=minutes))

    moments: tuple[When, ...] = ("as found", "as left")
    for when in moments:
        runs = [run for run in visit.run if run.when == when]
        if not runs:
            offer(f"read {when}", 15.0, "airflow", when=when)
            continue
        pressed = [run for run in runs if has_pressures(run)]
        if not pressed:
            offer(f"statics {when}", 6.0, "airflow", "coil_resistance", "blower_against_clean", when=when)
        elif not any(_splits(run) for run in pressed):
            # One total static cannot tell coil from wheel: a tie by algebra.
            offer(f"holes around the coil {when}", 4.0, *_RESISTANCES, when=when)
        elif not any(_closed(run) for run in pressed):
            offer(f"drop across the coil {when}", 1.0, "what checks the holes", when=when)
        strips = [run for run in runs if run.mode == "strips"]
        if visit.system.strips is not None and not strips:
            offer(f"strips {when}", 20.0, "airflow", "blower_against_clean", when=when)
        for run in strips:
            if not any(zero.zero_for == run.id for zero in visit.run):
                offer(f"zero {when}", 8.0, "airflow", when=when)
        if not any(r.what == "speed" for run in runs for r in run.reading):
            offer(f"rpm {when}", 2.0, "wheel_against_clean", when=when)
    for finding in findings:
        if finding.code == "capacitor not resolved":
            offer("capacitor on a meter", 5.0, "capacitance")
        if finding.code in ("only the return side moved", "both sides moved alike", "the supply side moved"):
            offer("statics again", 4.0, "ducts")
    for standing in readings:
        if any(reason.code == "contradicts the others" for reason in standing.reasons):
            offer(f"again: {standing.what} {standing.at} in {standing.run}", 1.0, standing.what, when=standing.when)
    open_results = {r.name for r in results if r.standing == "not resolved"}
    if "coil_resistance" in open_results and not touched(visit, "coil"):
        offer("look at the coil", 5.0, "coil_resistance")
    return tuple(sorted(offers, key=lambda known: known.minutes))


def _splits(run: Run) -> bool:
    """Whether the run tells the coil's drop from the rest."""
    places = {place for ends in _ends(run) for place in ends}
    return bool(places & {"after coil", "before blower", "before coil", "after filter"}) and len(_ends(run)) > 1


def _closed(run: Run) -> bool:
    """Whether some pressure is known by two routes: a reading across what two single-sided ones already span."""
    ends = _ends(run)
    across = {pair for pair in ends if "room" not in pair and len(pair) == 2}
    return any(all(frozenset((place, "room")) in ends for place in pair) for pair in across)
