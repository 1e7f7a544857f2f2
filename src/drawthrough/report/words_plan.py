"""The plan in words: how long things last, when the day is over, what an extra costs, what is waited for."""

import math
import re
from collections.abc import Callable, Iterable

from drawthrough import units
from drawthrough.plan.job import Planned
from drawthrough.plan.timeline import Timeline
from drawthrough.plan.truck import FILTER, CapacitorWanted, Mixture, TruckLine
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.trade.guides import guides_at
from drawthrough.trade.truck_items import items
from drawthrough.units import MINUTE

Clock = Callable[[float], str]  # seconds since 1970, or since midnight, as a time of day

STEP = 5 * MINUTE  # finer than this no end of a day is told: it would claim more than the times carry (judgement)
PROMISE = 15 * MINUTE  # what is promised is told in quarters of an hour (judgement)
_WITHIN = re.compile(r"(?<=\d) (?=(?:h|min)\b)|(?<=\dh) (?=\d)|(?<=\d h) (?=\d)")
_LETTERS = ("A", "B")  # of a crew of two
_KINDS = {
    "protection": N_("Protection"),
    "instrument": N_("Instruments"),
    "tool": N_("Tools"),
    "consumable": N_("Used up on the way"),
    "part": N_("Parts"),
}
_WAITING = {
    "soaking": N_("soaking"),
    "dwell": N_("cleaner at work"),
    "dripping": N_("dripping"),
}


def lasting(seconds: float, voice: Voice = ENGLISH) -> str:
    """Return how long something lasts, in whole minutes: "25 min", "2 h", "2 h 10 min"."""
    minutes = math.floor(abs(seconds) / MINUTE + 0.5)
    hours, rest = divmod(minutes, 60)
    if not hours:
        return voice.say(N_("{minutes} min"), minutes=rest)
    if not rest:
        return voice.say(N_("{hours} h"), hours=hours)
    return voice.say(N_("{hours} h {minutes} min"), hours=hours, minutes=rest)


def tied(text: str) -> str:
    """Return a text whose lines do not break within a time that something lasts."""
    return _WITHIN.sub("\N{NO-BREAK SPACE}", text)


def finish_words(plan: Timeline, clock: Clock, voice: Voice = ENGLISH, *, begun: bool = True) -> str:
    """Return when the day is over, as an interval: never narrower than what was reckoned."""
    if all_done(plan):
        return voice.say(N_("All done at {time}."), time=clock(max(slot.end for slot in plan.slots)))
    best, low, high = (clock(moment) for moment in finish_told(plan))
    text = (
        N_("Over at about {best}, between {low} and {high}.")
        if begun
        else N_("Begun now, it is over at about {best}, between {low} and {high}.")
    )
    return voice.say(text, best=best, low=low, high=high)


def all_done(plan: Timeline) -> bool:
    """Is nothing ahead any more?"""
    return bool(plan.slots) and all(slot.state == "done" for slot in plan.slots)


def finish_told(plan: Timeline) -> tuple[float, float, float]:
    """Return the finish as it is told: its best value to five minutes, its ends outward to five minutes. [s]"""
    finish = plan.finish
    low, high = math.floor(finish.low / STEP) * STEP, math.ceil(finish.high / STEP) * STEP
    return min(max(round(finish.best / STEP) * STEP, low), high), low, high


def promised(plan: Timeline) -> float:
    """Return the time that can be promised: the late end, in the next quarter of an hour. [s]"""
    return math.ceil(plan.finish.high / PROMISE) * PROMISE


def promise_words(plan: Timeline, clock: Clock, voice: Voice = ENGLISH) -> str:
    """Return what can be promised, and what that rests on; nothing once all is done."""
    if all_done(plan):
        return ""
    text = N_("Promise {promise}: by these times, 39 of 40 such days are over by then.")
    return voice.say(text, promise=clock(promised(plan)))


def length_of(plan: Timeline) -> float:
    """Return how long the day is as planned, each time at its mean. [s]"""
    return max((slot.over for slot in plan.slots), default=plan.begin) - plan.begin


def overlap_words(plan: Timeline, voice: Voice = ENGLISH) -> str:
    """Return what it brings that work goes on while something soaks or drips."""
    text = N_("{length} as planned; in a row the same tasks take {row}.")
    return voice.say(text, length=lasting(length_of(plan), voice), row=lasting(plan.in_row, voice))


def extra_words(now: float, own: float, voice: Voice = ENGLISH) -> str:
    """Return what an extra costs while it is open, and as a visit of its own."""
    text = N_("now +{now}; on a visit of its own {own}")
    if now < MINUTE / 2:
        text = N_("now nothing, it fits in beside the rest; on a visit of its own {own}")
    return voice.say(text, now=lasting(max(now, 0.0), voice), own=lasting(own, voice))


def late_words(code: str, voice: Voice = ENGLISH) -> str:
    """Return that a task comes later than a label lets it."""
    text = N_("{task}: later than the label lets what was sprayed stay. Rinse in between, and spray again.")
    return voice.say(text, task=task_title(code, voice))


def task_title(code: str, voice: Voice = ENGLISH) -> str:
    """Return what a task is called, with a capital."""
    return capital(voice.say(code))


def waiting_word(waiting: str, voice: Voice = ENGLISH) -> str:
    """Return what goes on after the hands of a task."""
    return voice.say(_WAITING[waiting]) if waiting in _WAITING else ""


def person(who: int) -> str:
    """Return the letter of one of a crew of two."""
    return _LETTERS[who]


def crew_words(crew: int, voice: Voice = ENGLISH) -> str:
    """Return how many people a day is planned for."""
    return voice.count("one person", "two people", crew)


def money(amount: float, currency: str) -> str:
    """Return an amount with its currency."""
    return f"{amount:,.2f} {currency}".strip()


def volume(cubic_metres: float, voice: Voice = ENGLISH) -> str:
    """Return a volume as a jug is marked: gallons and fluid ounces, or litres and millilitres."""
    names = ("L", "mL") if voice.measures == "SI" else ("gal", "fl oz")
    number = units.from_si(cubic_metres, names[0], "volume")
    name = names[0]
    if number < 1.0 - 1e-9:
        name = names[1]
        number = units.from_si(cubic_metres, name, "volume")
    return f"{float(f'{number:.2g}'):g} {name}" if number < 100 else f"{number:.0f} {name}"


def capacitor_words(wanted: CapacitorWanted, voice: Voice = ENGLISH) -> str:
    """Return what a new run capacitor must have."""
    capacitance = f"{voice.unit('uF').of(wanted.capacitance):g} {voice.unit('uF').label}"
    volts = "" if wanted.volts_least is None else f"{wanted.volts_least:g}"
    tolerance = "" if wanted.tolerance_most is None else f"{100 * wanted.tolerance_most:g}"
    if volts and tolerance:
        text = N_("{capacitance}, the same as the old one; at least {volts} V; no wider than ±{tolerance} %")
    elif volts:
        text = N_("{capacitance}, the same as the old one; at least {volts} V; read its tolerance off the old one")
    elif tolerance:
        text = N_(
            "{capacitance}, the same as the old one; no wider than ±{tolerance} %; read its volts off the old one"
        )
    else:
        text = N_("{capacitance}, the same as the old one; read volts and tolerance off the old one")
    return voice.say(text, capacitance=capacitance, volts=volts, tolerance=tolerance)


def mixture_words(mixture: Mixture, voice: Voice = ENGLISH) -> str:
    """Return how much of a chemical is taken along, and the water that it is mixed with."""
    if mixture.concentrate is None or mixture.water is None:
        return voice.say(N_("{name}: how much is not known until the sprayer's volume is given"), name=mixture.chemical)
    given = {"name": mixture.chemical, "cleaner": volume(mixture.concentrate, voice)}
    if not mixture.water_parts:
        return voice.count("{name}: {cleaner} as it comes, {n} fill", "{name}: {cleaner} as it comes, {n} fills",
                           mixture.fills, **given)  # fmt: skip
    return voice.count(
        "{name}: {cleaner} of cleaner and {water} of water (1 to {parts}), {n} fill",
        "{name}: {cleaner} of cleaner and {water} of water (1 to {parts}), {n} fills",
        mixture.fills, water=volume(mixture.water, voice), parts=f"{mixture.water_parts:g}", **given,
    )  # fmt: skip


def truck_words(line: TruckLine, voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return what is to be known of a line of the truck list besides its name."""
    told = []
    if line.capacitor is not None:
        told.append(capacitor_words(line.capacitor, voice))
    if line.item == FILTER and line.merv is not None:
        told.append(voice.say(N_("MERV {merv}, the size printed on the old one's edge"), merv=line.merv))
    told += [mixture_words(one, voice) for one in line.mixtures]
    if line.volume is not None and not line.mixtures:
        told.append(voice.say(N_("{volume} for mixing, besides rinsing"), volume=volume(line.volume, voice)))
    if line.hopefully_not:
        told.append(voice.say(N_("hopefully not needed")))
    return tuple(told)


def truck_name(line: TruckLine, voice: Voice = ENGLISH) -> str:
    """Return what an item is called, with its number where it takes more than one."""
    name = voice.say(line.name)
    return f"{name} × {line.number}" if line.number > 1 else name


def kind_name(kind: str, voice: Voice = ENGLISH) -> str:
    """Return what a group of the truck list is called."""
    return voice.say(_KINDS.get(kind, kind))


def wanted_items(planned: Iterable[Planned]) -> set[str]:
    """Return the items that the tasks of a day want, and those of the guides that are at hand at them."""
    found: set[str] = set()
    for one in planned:
        found |= {*one.task.tools, *one.task.materials}
        for guide in guides_at(one.code):
            found |= {tool for step in guide.step for tool in step.tools}
    return found & items().keys()
