"""What is wrong with a house as found, what the work removes, and what remains."""

import random
from typing import NamedTuple

from drawthrough.visit.state import Work
from tests.simulate.airpath import Duct, Opening, Path
from tests.simulate.fans import Wheel
from tests.simulate.house import VOLTS_RATED, House, draw

CAUSES = (
    "wheel", "coil", "filter", "tight supply", "tight return", "wrong speed", "weak capacitor", "low voltage",
    "backwards", "leak", "low charge", "high charge", "nothing wrong",
)  # fmt: skip
ONLY = {  # causes that some motors cannot have, or that would not show on them
    "wrong speed": ("psc", "constant torque"),
    "weak capacitor": ("psc",),
    "low voltage": ("psc",),
    "backwards": ("psc", "constant torque"),
}
# How often each is drawn where it can be (judgement: this is a tool for dirty blowers).
WEIGHTS = {
    "wheel": 6.0, "coil": 4.0, "filter": 3.0, "tight supply": 1.0, "tight return": 1.2, "wrong speed": 0.7,
    "weak capacitor": 1.0, "low voltage": 0.4, "backwards": 0.3, "leak": 1.0, "low charge": 0.8, "high charge": 0.4,
    "nothing wrong": 2.5,
}  # fmt: skip
TWO = 0.45  # share of visits with two at once, where anything is wrong
APART = ({"tight supply", "tight return"}, {"low charge", "high charge"}, {"wrong speed", "backwards"})


class State(NamedTuple):
    """What differs between as found and as left."""

    dirt: tuple[float, float] = (1.0, 1.0)  # airflow and pressure scale of the wheel
    backwards: tuple[float, float] = (1.0, 1.0)
    coil: float = 1.0  # resistance over clean at the reference airflow
    coil_exponent: float = 0.0  # what dirt adds to its power
    filter: float = 1.0  # load of its medium
    return_duct: float = 1.0
    supply_duct: float = 1.0
    tap: str = "high"
    capacitor: float = 1.0
    volts: float = 239.0
    leaks: float = 1.0  # share of the house's own leaks that is still open
    leak: float = 0.0  # on top, at 25 Pa [m3/s]
    leak_before_coil: float = 0.5
    charge: float = 1.0


class Case(NamedTuple):
    """A visit's causes as found and as left, the two states, and the work that made one of the other."""

    found: frozenset[str]
    left: frozenset[str]
    before: State
    after: State
    work: tuple[Work, ...]
    new_filter: bool
    rinsed: bool


def possible(motor: str) -> tuple[str, ...]:
    """Return the causes that a kind of motor can have."""
    return tuple(cause for cause in CAUSES if motor in ONLY.get(cause, (motor,)))


def chosen(motor: str, rng: random.Random) -> frozenset[str]:
    """Draw one cause, or two that can go together."""
    names = possible(motor)
    first = rng.choices(names, [WEIGHTS[name] for name in names])[0]
    if first == "nothing wrong" or rng.random() > TWO:
        return frozenset({first})
    rest = [n for n in names if n not in (first, "nothing wrong") and not any({n, first} <= pair for pair in APART)]
    return frozenset({first, rng.choices(rest, [WEIGHTS[name] for name in rest])[0]})


def drawn(motor: str, causes: frozenset[str], rng: random.Random) -> Case:
    """Draw how bad each cause is, and what the work did about it."""

    def of(name: str, group: str = "cause") -> float:
        return draw(rng, group, name)

    wrong = causes - {"nothing wrong"}
    power = of("wheel_power")

    def dirt(scale: float) -> tuple[float, float]:
        return scale, scale**power

    before = State(
        dirt=dirt(of("wheel") if "wheel" in wrong else 1.0 - min(of("wheel_clean"), 0.03)),
        coil=of("coil") if "coil" in wrong else min(of("coil_clean"), 1.15),
        coil_exponent=of("coil_dirt_exponent") if "coil" in wrong else 0.0,
        filter=of("filter") if "filter" in wrong else min(of("filter_used"), 1.6),
        return_duct=of("tight return") if "tight return" in wrong else 1.0,
        supply_duct=of("tight supply") if "tight supply" in wrong else 1.0,
        tap=rng.choice(("medium", "medium", "low")) if "wrong speed" in wrong else "high",
        capacitor=of("weak capacitor") if "weak capacitor" in wrong else of("capacitor_good"),
        volts=of("low voltage") if "low voltage" in wrong else of("volts"),
        leak=of("leak") * 4.7194745e-4 if "leak" in wrong else 0.0,
        leak_before_coil=rng.uniform(0.1, 0.9),
        charge=of("low charge") if "low charge" in wrong else of("high charge") if "high charge" in wrong else 1.0,
    )
    if "backwards" in wrong:
        scale = of("backwards")
        before = before._replace(backwards=(scale, scale ** of("backwards_power")))
    return _worked(before, causes, wrong, dirt, rng)


def _worked(before: State, causes: frozenset[str], wrong: frozenset[str], dirt, rng: random.Random) -> Case:  # type: ignore[no-untyped-def]
    """What the work did: each part is taken on or not, and left clean, nearly so, or as it was."""
    after, work, gone = before, [], set()

    def of(name: str) -> float:
        return draw(rng, "cause", name)

    if rng.random() < (0.92 if "wheel" in wrong else 0.5):
        seen = rng.random() < 0.88
        remains = min(of("wheel_remains" if seen else "wheel_likely"), 1.0 - before.dirt[0])
        after = after._replace(dirt=dirt(1.0 - remains))
        work.append(Work(part="wheel", action="cleaned", condition="seen clean" if seen else "likely clean"))
        gone.add("wheel")
    rinsed = rng.random() < (0.88 if "coil" in wrong else 0.4)
    if rinsed:
        seen = rng.random() < 0.85
        remains = min(of("coil_remains") if seen else of("coil_clean") * 1.08, before.coil)
        after = after._replace(coil=remains, coil_exponent=before.coil_exponent * 0.1)
        work.append(Work(part="coil", action="cleaned", condition="seen clean" if seen else "likely clean"))
        gone.add("coil")
    new_filter = rng.random() < (0.85 if "filter" in wrong else 0.45)
    if new_filter:
        after = after._replace(filter=of("filter_other"))
        work.append(Work(part="filter", action="replaced", condition="seen clean"))
        gone.add("filter")
    after = _mended(before, after, wrong, work, gone, rng)
    volts = after.volts + of("volts_moved")
    remaining = frozenset(wrong - gone) or frozenset({"nothing wrong"})
    return Case(causes, remaining, before, after._replace(volts=volts), tuple(work), new_filter, rinsed)


def _mended(
    before: State, after: State, wrong: frozenset[str], work: list[Work], gone: set[str], rng: random.Random
) -> State:
    """The causes that are not dirt: some are mended on the day, all of them in words on the sheet."""
    if "weak capacitor" in wrong and rng.random() < 0.75:
        after = after._replace(capacitor=draw(rng, "cause", "capacitor_good"))
        work.append(Work(part="capacitor", action="replaced"))
        gone.add("weak capacitor")
    if "wrong speed" in wrong and rng.random() < 0.7:
        after = after._replace(tap="high")
        work.append(Work(part="speed lead", action="altered"))
        gone.add("wrong speed")
    if "backwards" in wrong and rng.random() < 0.9:
        after = after._replace(backwards=(1.0, 1.0))
        work.append(Work(part="motor", action="altered", note="Turned the other way."))
        gone.add("backwards")
    if "low voltage" in wrong and rng.random() < 0.3:
        after = after._replace(volts=rng.uniform(232.0, 242.0))
        gone.add("low voltage")
    for cause, part, field in (
        ("tight return", "return ducts", "return_duct"),
        ("tight supply", "registers", "supply_duct"),
    ):
        if cause in wrong and rng.random() < 0.4:
            after = after._replace(**{field: rng.uniform(1.0, 1.1)})
            work.append(Work(part=part, action="altered"))  # type: ignore[arg-type]
            gone.add(cause)
    if rng.random() < (0.6 if "leak" in wrong else 0.1):
        share = draw(rng, "cause", "sealed")
        after = after._replace(leaks=share, leak=before.leak * share)
        work.append(Work(part="seams", action="sealed"))
        gone.add("leak")
    return after


def wheel(house: House, state: State) -> Wheel:
    """Return the wheel and its motor in a state."""
    slip = 0.0
    if house.motor == "psc":
        slip = house.slip_voltage * ((VOLTS_RATED / state.volts) ** 2 - 1.0)
        slip += house.slip_capacitor * (1.0 - state.capacitor)
    (a, b), (c, d) = state.dirt, state.backwards
    return Wheel(a * c, b * d, house.taps[state.tap], slip)


def path(house: House, state: State) -> Path:
    """Return the air path in a state."""
    clean = house.clean

    def scaled(duct: Duct, factor: float) -> Duct:
        return Duct(duct.drop * factor, duct.exponent)

    def opened(leak: Opening, extra: float) -> Opening:
        return Opening(leak.airflow * state.leaks + extra, leak.crack)

    return clean._replace(
        return_duct=scaled(clean.return_duct, state.return_duct),
        filter=clean.filter._replace(load=state.filter),
        coil=Duct(clean.coil.drop * state.coil, clean.coil.exponent + state.coil_exponent),
        supply_duct=scaled(clean.supply_duct, state.supply_duct),
        coil_leak=opened(clean.coil_leak, state.leak * state.leak_before_coil),
        blower_leak=opened(clean.blower_leak, state.leak * (1.0 - state.leak_before_coil)),
    )
