"""Which reading not taken is worth most for each minute of it: the Next line of a visit.

While the state as found can still be read, the question is what is wrong with it; afterwards it is whether there is
more air than before, and then what remains. Readings that check others come last: they settle nothing unless one is
wrong.
"""

from collections.abc import Iterator
from typing import NamedTuple

from drawthrough.errors import DrawthroughError
from drawthrough.judge import derived, outlook
from drawthrough.judge.accuracy import PRESSURES
from drawthrough.judge.causes import Weighed, possible, verdict
from drawthrough.judge.ends import path_of
from drawthrough.judge.joint import Joint
from drawthrough.judge.judgement import Finding, NextReading, ReadingStanding
from drawthrough.judge.outlook import Prospect
from drawthrough.judge.pair import Pair
from drawthrough.judge.priors import Priors
from drawthrough.judge.unknowns import touched
from drawthrough.trade.causes import beliefs
from drawthrough.trade.next_readings import Offer, offers
from drawthrough.visit.state import Run, Visit, When

LEAST = 0.1  # bits below which a reading is not worth its way (judgement)
_OPEN = (0.25, 0.75)  # between these odds a cause is open beside one that is said (judgement)
_PRESSURE_READ = 0.03  # scatter of ln of a pressure as read (judgement)
_SHARE = 0.4  # of the most that a reading settles: what less of it is settled is not named (judgement)
_SETTLED = 0.03  # width of ln(airflow ratio), k=1, from which on it needs no further reading (judgement)


class Known(NamedTuple):
    """What the engine has made of a visit so far, as far as a next reading needs it."""

    joint: Joint | None  # under the usual beliefs; None: nothing read speaks of air
    wide: Joint
    weighed: Weighed
    pair: Pair | None
    run: Run | None


def next_readings(
    visit: Visit,
    known: Known | None,
    readings: tuple[ReadingStanding, ...],
    findings: tuple[Finding, ...],
    priors: Priors,
) -> tuple[NextReading, ...]:
    """Return the readings worth taking next, the best for each minute first.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    known : Known or None
        What was made of it; None: nothing yet speaks of air.
    readings, findings : tuple
        What is said of it.
    priors : Priors
        Beliefs, for what blurs a reading.
    """
    told = [*_again(readings)]
    begun = any(run.when == "as left" for run in visit.run) or any(work.action != "inspected" for work in visit.work)
    when: When = "as left" if begun else "as found"
    if known is None or not any(run.when == when for run in visit.run):
        return (NextReading(code=f"read {when}", when=when, settles=("airflow",), minutes=15.0), *told)
    ranked = sorted(_worth(visit, known, when, priors), key=lambda offer: -offer.bits / offer.minutes)
    listed: dict[str, NextReading] = {}
    for offer in (*told, *ranked, *_checks(visit, known, when, findings)):
        listed.setdefault(offer.code, offer)
    return tuple(listed.values())


def _again(readings: tuple[ReadingStanding, ...]) -> Iterator[NextReading]:
    """Yield the readings that the others contradict: nothing else is worth more than to read them again."""
    for standing in readings:
        if any(reason.code in ("contradicts the others", "looks like a slip") for reason in standing.reasons):
            code = f"again: {standing.what} {standing.at} in {standing.run}"
            yield NextReading(code=code, when=standing.when, settles=(standing.what,), minutes=1.0)


def _worth(visit: Visit, known: Known, when: When, priors: Priors) -> list[NextReading]:
    """Return each reading that would settle something of the leading question."""
    number = _number(known) if when == "as left" else None
    if number is not None:
        worth = list(_each(visit, known, when, number, priors))
        if worth:
            return worth
    return list(_each(visit, known, when, None, priors)) if _open(known.weighed, when == "as left") else []


def _each(
    visit: Visit, known: Known, when: When, number: dict[int, float] | None, priors: Priors
) -> Iterator[NextReading]:
    for offer in offers().offer:
        try:
            fall = _bits(visit, known, offer, when, number, priors)
        except (DrawthroughError, ValueError):  # a pressure that this air path has not, or one of no size
            continue
        bits = sum(fall.values())
        if bits >= LEAST:
            most = max(fall.values())
            settles = tuple(sorted((n for n, b in fall.items() if b >= _SHARE * most), key=lambda name: -fall[name]))
            yield NextReading(code=offer.code, when=when, settles=settles, minutes=offer.minutes, bits=bits)


def _open(weighed: Weighed, left: bool) -> bool:
    """Whether it is open which causes are so: a tie, or a cause as likely as not beside one that is said."""
    said = verdict(weighed, left=left)
    if said.tie:
        return len(said.causes) > 1
    low, high = _OPEN
    return any(low < (weighed.left if left else weighed.found)(name) < high for name in beliefs().cause)


def _number(known: Known) -> dict[int, float] | None:
    """Return ln of the airflow ratio as weights on the fit's unknowns, while it is not yet settled."""
    if known.pair is None or known.joint is None:
        return None
    ratio = derived.airflow_ratio(known.joint, known.pair.found, known.pair.left)
    return ratio.gradient if ratio.gradient and known.joint.sd(ratio) > _SETTLED else None


def _bits(
    visit: Visit, known: Known, offer: Offer, when: When, number: dict[int, float] | None, priors: Priors
) -> dict[str, float]:
    """Return by how many bits a reading would settle each part of the question."""
    left = when == "as left"
    if offer.motor and visit.system.motor not in offer.motor:
        return {}
    if offer.kind == "look":
        if number is not None or offer.cause not in {cause.name for cause in possible(visit)} or _looked(visit, offer):
            return {}
        look = offers().look
        return outlook.bits_of_look(known.weighed, offer.cause, look.seen, look.mistaken, left=left)
    if offer.kind == "mark":
        prospect = _mark(visit, known.weighed, offer, when)
        if number is not None or prospect is None:
            return {}
        return outlook.bits_of_reading(known.weighed, prospect, left=left)
    run = _run(known, when)
    if run is None:
        return {}
    joint = known.wide if number is None or known.joint is None else known.joint
    gradient, noise = _on_fit(visit, joint, offer, run, priors)
    if not gradient:
        return {}
    if number is not None and known.joint is not None:
        return {"airflow": outlook.bits_of_number(known.joint, number, gradient, noise)}
    prospect = outlook.of_unknowns(known.wide, known.weighed, gradient, noise)
    return outlook.bits_of_reading(known.weighed, prospect, left=left)


def _looked(visit: Visit, offer: Offer) -> bool:
    """Whether a part was seen already: taken out, washed, inspected, or its dirt written down."""
    return (
        touched(visit, offer.cause)
        or any(work.part == offer.cause and work.action == "inspected" for work in visit.work)
        or any(pattern.surface == offer.cause for pattern in visit.pattern)
    )


def _run(known: Known, when: When) -> Run | None:
    if known.pair is None:
        return known.run if known.run is not None and known.run.when == when else None
    return known.pair.left if when == "as left" else known.pair.found


def _mark(visit: Visit, weighed: Weighed, offer: Offer, when: When) -> Prospect | None:
    """Return what a reading of a mark would show, or None where it was read already or the system has it not."""
    base, moved = (weighed.marks.place(offer.mark, moved=each) for each in (False, True))
    if base is None or any(_shows(run, offer) for run in visit.run if run.when == when):
        return None
    weights = {base: 1.0}
    if moved is not None and when == "as found":
        weights[moved] = 1.0
    return Prospect(weights, offer.sd**2)


_SHOWN = {"speed": ("speed",), "capacitance": ("capacitance",), "volts": ("volts",), "subcooling": ("gauge_pressure",)}


def _shows(run: Run, offer: Offer) -> bool:
    places = ("line", "blower") if offer.mark == "volts" else None
    return any(r.what in _SHOWN[offer.mark] and (places is None or r.at in places) for r in run.reading)


def _on_fit(visit: Visit, joint: Joint, offer: Offer, run: Run, priors: Priors) -> tuple[dict[int, float], float]:
    """Return how a reading goes with the unknowns of a fit, and its own blur; nothing where it was taken already."""
    if offer.kind == "airflow":
        heated = any(other.when == run.when and other.mode in ("strips", "gas") for other in visit.run)
        if visit.system.strips is None or heated or run.id not in joint.model.streams:
            return {}, 0.0
        return derived.airflow(joint, run).gradient, offer.sd
    assert offer.at is not None
    assert offer.against is not None
    path = path_of(visit.system)
    ends = {path.station(offer.at), path.station(offer.against)}
    for reading in run.reading:
        if reading.what not in PRESSURES or reading.against is None:
            continue
        if {path.station(reading.at), path.station(reading.against)} == ends:
            return {}, 0.0
    static = derived.static_between(joint, visit, run, (offer.at, offer.against))
    if not static.gradient:
        return {}, 0.0
    value = _size(joint, visit, run, offer)
    blur = (priors.placement_sd * 1.4 + priors.static_swing) / value
    return static.gradient, (_PRESSURE_READ**2 + blur**2) ** 0.5


def _size(joint: Joint, visit: Visit, run: Run, offer: Offer) -> float:
    """Return how large a pressure is expected to be [Pa]."""
    assert offer.at is not None
    assert offer.against is not None
    stream = joint.model.streams[run.id]
    parts = path_of(visit.system).span(offer.at, offer.against)
    return abs(sum(sign * stream.section[n].evaluate(joint.mean)[0] for n, sign in parts if n in stream.section))


def _checks(visit: Visit, known: Known, when: When, findings: tuple[Finding, ...]) -> Iterator[NextReading]:
    """Yield what no question of odds asks for: what proves the wheel later, closes a loop, or frees a result."""
    runs = [run for run in visit.run if run.when == when]
    if not any(r.what == "speed" for run in runs for r in run.reading):
        yield NextReading(code="rpm", when=when, settles=("wheel_against_clean",), minutes=3.0)
    for run in runs:
        if run.mode == "strips" and not any(zero.zero_for == run.id for zero in visit.run):
            yield NextReading(code="zero", when=when, settles=("airflow",), minutes=8.0)
    for finding in findings:
        if finding.code == "capacitor not resolved":
            yield NextReading(code="capacitor on a meter", when=when, settles=("capacitance",), minutes=6.0)
        if finding.code in ("only the return side moved", "both sides moved alike", "the supply side moved"):
            yield NextReading(code="statics again", when=when, settles=("ducts",), minutes=4.0)
