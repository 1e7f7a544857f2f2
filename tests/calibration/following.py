"""Following the Next line: how many readings until the causes are told, beside other orders of the same readings.

Each visit begins as found with one total static. Then one reading after the other is taken from a menu, by the Next
line, by chance, or in a fixed order, until one cause is named (by itself, or alone in a tie) or the menu ends.
"""

import math
import random
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from typing import NamedTuple

import msgspec

from drawthrough.judge import judgement
from drawthrough.judge.broad import broad_fit
from drawthrough.judge.causes import verdict, weighed
from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import NextReading
from drawthrough.judge.marks import marks_of
from drawthrough.judge.priors import Priors
from drawthrough.trade.next_readings import offers
from drawthrough.visit.state import Reading, Run, Visit, Work
from tests.calibration.counting import Count, counted
from tests.simulate.visits import MOTORS, simulated

STATICS = {
    "static at the return plenum": "return plenum",
    "static between filter and coil": "after filter",
    "static after the coil": "after coil",
    "static at the supply plenum": "supply plenum",
}
LOOKS = {"look at the wheel": "wheel", "look at the coil": "coil", "look at the filter": "filter"}
MISTAKEN = 0.05  # of looks (judgement)
_MINUTES = {offer.code: offer.minutes for offer in offers().offer}
_MOTORS = {offer.code: offer.motor for offer in offers().offer}

Shown = Callable[[Visit], Visit]  # adds what a step shows


class Start(NamedTuple):
    """A visit as it begins, and what each step of its menu would show."""

    seed: int
    motor: str
    visit: Visit
    menu: Mapping[str, Shown]
    true: frozenset[str]


class Followed(NamedTuple):
    """One way through the menu."""

    motor: str
    steps: tuple[str, ...]
    told: bool  # a cause is named
    right: bool  # and all that are named are so

    @property
    def minutes(self) -> float:
        """How long the steps take, the total static at the beginning left out."""
        return sum(_MINUTES[step] for step in self.steps)


def start(seed: int, motor: str) -> Start:
    """Return a simulated visit as found, before anything but its total static was read."""
    # The house, what is wrong with it and the holes in its cabinet are the same whatever is read there.
    sides = {
        readings: {run.id: run for run in simulated(seed, motor=motor, readings=readings)[0].run}
        for readings in ("tesp", "four holes")
    }
    full, truth = simulated(seed, motor=motor, readings="full and cooling")
    runs = {run.id: run for run in full.run}
    first, holes = sides["tesp"]["fan-found"], sides["four holes"]["fan-found"]
    strips, cooling = runs["strips-found"], runs["cooling-found"]
    chance = random.Random(f"looks {seed}")
    menu: dict[str, Shown] = {}
    for code, place in STATICS.items():
        menu[code] = _reads(_of(holes, at=place, against="room"))
    across = _of(holes, at="after filter", against="after coil")
    if across:
        menu["drop across the coil"] = _reads(across)
    warm = tuple(r for r in strips.reading if r.what == "dry_bulb" or r.at == "strips")
    zeros = tuple(run for run in runs.values() if run.when == "as found" and run.mode == "zero")
    menu["strips"] = _runs(msgspec.structs.replace(strips, reading=warm), *zeros)
    menu["rpm"] = _reads(_of(strips, what="speed"))
    if motor == "psc":
        menu["capacitor on a meter"] = _reads(_of(strips, what="capacitance"))
    menu["volts at the blower"] = _reads(_of(holes, what="volts"))
    gauges = tuple(
        r
        for r in cooling.reading
        if r.at in ("suction line", "liquid line", "outdoor")
        or (r.what in ("dry_bulb", "wet_bulb") and r.at == "return")
    )
    menu["superheat and subcooling"] = _runs(msgspec.structs.replace(cooling, reading=gauges))
    for code, part in LOOKS.items():
        dirty = (part in truth.found) != (chance.random() < MISTAKEN)
        menu[code] = _looks(part, "still dirty" if dirty else "seen clean")
    menu = {code: shown for code, shown in menu.items() if not _MOTORS[code] or motor in _MOTORS[code]}
    total = msgspec.structs.replace(first, reading=_of(first, at="supply plenum", against="after filter"))
    visit = msgspec.structs.replace(full, run=(total,), work=())
    return Start(seed, motor, visit, menu, truth.found)


def _of(run: Run, **wanted: str) -> tuple[Reading, ...]:
    return tuple(r for r in run.reading if all(getattr(r, name) == value for name, value in wanted.items()))


def _reads(readings: Sequence[Reading]) -> Shown:
    def shown(visit: Visit) -> Visit:
        first, *others = visit.run
        first = msgspec.structs.replace(first, reading=(*first.reading, *readings))
        return msgspec.structs.replace(visit, run=(first, *others))

    return shown


def _runs(*runs: Run) -> Shown:
    return lambda visit: msgspec.structs.replace(visit, run=(*visit.run, *runs))


def _looks(part: str, condition: str) -> Shown:
    look = msgspec.convert({"part": part, "action": "inspected", "condition": condition}, Work)
    return lambda visit: msgspec.structs.replace(visit, work=(*visit.work, look))


class Answer(NamedTuple):
    """What is said after some steps."""

    told: bool
    causes: frozenset[str]
    sure: float  # of the likeliest


def answered(visit: Visit) -> Answer:
    """Return what is said of the causes as found: the engine's verdict, without all that it does besides."""
    fit = broad_fit(visit, Priors())
    assert fit is not None
    run = next(run for run in visit.run if run.mode != "zero")
    known = weighed(visit, marks_of(visit, fit, None, run, Priors()))
    said = verdict(known)
    return Answer(_named(said), frozenset(said.causes), known.found(said.causes[0]))


def _named(said: judgement.Verdict) -> bool:
    return not said.tie or len(said.causes) == 1


def in_order(begin: Start, order: Sequence[str]) -> Followed:
    """Take the steps of the menu in an order, until one cause is said by itself."""
    visit, taken = begin.visit, []
    answer = answered(visit)
    for step in order:
        if answer.told:
            break
        if step in begin.menu:
            visit = begin.menu[step](visit)
            taken.append(step)
            answer = answered(visit)
    return Followed(begin.motor, tuple(taken), answer.told, answer.told and answer.causes <= begin.true)


def by_chance(begin: Start, draw: int) -> Followed:
    """Take the steps by chance."""
    order = sorted(begin.menu)
    random.Random(f"{begin.seed} {draw}").shuffle(order)
    return in_order(begin, order)


def by_the_next_line(begin: Start, *, minutes: bool = True) -> Followed:
    """Take what the engine names next, the best for each minute first, or the best whatever it takes."""
    visit = begin.visit
    taken: list[str] = []
    while True:
        said = judge(visit)
        assert said.causes is not None
        if _named(said.causes.found):
            return Followed(begin.motor, tuple(taken), True, set(said.causes.found.causes) <= begin.true)
        named = [one for one in said.next_readings if one.code in begin.menu and one.code not in taken]
        if not named:
            return Followed(begin.motor, tuple(taken), False, False)
        step = named[0] if minutes else max(named, key=_bits)
        visit = begin.menu[step.code](visit)
        taken.append(step.code)


def _bits(reading: NextReading) -> float:
    return reading.bits


def best_order(begins: Sequence[Start]) -> tuple[str, ...]:
    """Return the fixed order that names a cause soonest in these visits, built greedily, one step after the other.

    Each place goes to the reading after which the most visits are told; among equals, to the one that leaves the
    likeliest cause likeliest.
    """
    left = [(begin, begin.visit) for begin in begins]
    order: list[str] = []
    open_steps = sorted({step for begin in begins for step in begin.menu})
    while open_steps:
        gains: dict[str, tuple[int, float]] = {}
        for step in open_steps:
            answers = [answered(v) for v in [b.menu[step](visit) if step in b.menu else visit for b, visit in left]]
            gains[step] = sum(a.told for a in answers), sum(a.sure for a in answers)
        best = max(open_steps, key=lambda step: gains[step])
        order.append(best)
        open_steps.remove(best)
        after = [(b, b.menu[best](visit) if best in b.menu else visit) for b, visit in left]
        told = [answered(visit) for _, visit in after]
        left = [one for one, answer in zip(after, told, strict=True) if not answer.told]
        if not left:
            break
    return (*order, *open_steps)


class Ways(NamedTuple):
    """One visit followed in each way."""

    seed: int
    motor: str
    ways: Mapping[str, tuple[Followed, ...]]  # several draws of an order by chance


NEXT, BITS, FIXED, CHANCE = "the Next line", "most bits first", "best fixed order", "by chance"
WAYS = (NEXT, BITS, FIXED, CHANCE)
DRAWS = 3


def every_way(fixed: Mapping[str, Sequence[str]], one: tuple[int, str]) -> Ways:
    """Follow one visit in each way."""
    seed, motor = one
    begin = start(seed, motor)
    return Ways(seed, motor, {
        NEXT: (by_the_next_line(begin),),
        BITS: (by_the_next_line(begin, minutes=False),),
        FIXED: (in_order(begin, fixed[motor]),),
        CHANCE: tuple(by_chance(begin, draw) for draw in range(DRAWS)),
    })  # fmt: skip


def search(of: tuple[str, int, int]) -> tuple[str, ...]:
    """Return the best fixed order of a kind of motor, from so many visits of the seeds that follow the first."""
    motor, visits, first = of
    return best_order([start(seed, motor) for seed in range(first, first + visits)])


class Taken(NamedTuple):
    """How many readings, and how many minutes, one way takes."""

    visits: int
    named: Count  # among all ways followed: at the end a cause is named
    right: Count  # of those
    readings: tuple[float, float, float]  # quartiles, among visits that can be told: not told counts as infinite
    minutes: tuple[float, float, float]


def can_be_told(ways: Ways) -> bool:
    """Whether any way through the menu names a cause, and none was named before the first step."""
    every = [followed for each in ways.ways.values() for followed in each]
    return any(f.told for f in every) and any(f.steps for f in every)


def taken(ways: Sequence[Ways], way: str) -> Taken:
    """Return how long a way takes to a resolved answer, in visits that can be told."""
    able = [w for w in ways if can_be_told(w)]
    every = [followed for w in able for followed in w.ways[way]]
    return Taken(
        visits=len(able),
        named=counted(f.told for f in every),
        right=counted(f.right for f in every if f.told),
        readings=_quartiles([len(f.steps) if f.told else math.inf for f in every]),
        minutes=_quartiles([f.minutes if f.told else math.inf for f in every]),
    )


def _quartiles(values: Sequence[float]) -> tuple[float, float, float]:
    ordered = sorted(values)
    if not ordered:
        return math.nan, math.nan, math.nan
    first, second, third = (ordered[min(len(ordered) - 1, int(len(ordered) * k / 4))] for k in (1, 2, 3))
    return first, second, third


def run(visits: int, trained: int, seeds: int, processes: int = 1) -> tuple[dict[str, tuple[str, ...]], list[Ways]]:
    """Return the best fixed order of each motor, from seeds of its own, and so many visits followed in each way."""
    first = seeds * 1_000_000
    motors = [(motor, trained, first + 500_000) for motor in MOTORS]
    seen = [(first + k, MOTORS[k % len(MOTORS)]) for k in range(visits)]
    if processes == 1:
        fixed = dict(zip(MOTORS, map(search, motors), strict=True))
        return fixed, [every_way(fixed, one) for one in seen]
    with ProcessPoolExecutor(processes) as pool:
        fixed = dict(zip(MOTORS, pool.map(search, motors), strict=True))
        return fixed, list(pool.map(partial(every_way, fixed), seen, chunksize=5))
