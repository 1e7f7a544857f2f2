"""Visits of simulated houses, as a technician would have written them down, and the truth behind each.

Nothing of the engine is used here: not its model, not its laws, not its beliefs.
"""

import random
from typing import NamedTuple

from drawthrough.visit.state import Reading, Run, Site, Visit
from tests.simulate import blunders, house, refrigerant, runs
from tests.simulate import causes as wrongs
from tests.simulate.blunders import Gross
from tests.simulate.house import House
from tests.simulate.instruments import QUALITIES
from tests.simulate.pages import (
    CLOCK,
    COOLING,
    FULL,
    HOLES,
    LINE,
    MOMENTS,
    READINGS,
    TESP,
    TESP_STRIPS,
    Pages,
    barometer,
)
from tests.simulate.refrigerant import Machine
from tests.simulate.runs import Day, Truly

MOTORS = ("psc", "constant torque", "constant airflow")
OTHER_DAY = 0.12  # share of visits whose as left was read on another day (judgement)
SEEN_DAMP = 2e-5  # water that leaves a coil, from which on it is called damp (judgement) [kg/s]
SEEN_RUNNING = 1e-4  # condensate that is seen to run (judgement) [kg/s]


class Truth(NamedTuple):
    """What is true of a simulated visit."""

    airflow_ratio: float  # mass flow as left over as found, of the strips runs, else of the fan runs
    blower_ratio: float  # as found over as left: s of the fan laws, Q = s * Q_clean(P / s^2), motor and wheel together
    coil_ratio: float  # as found over as left: the dry coil's resistance at 1000 cfm
    sensible_ratio: float | None  # as left at the conditions as found over as found; None: no cooling was read
    found: frozenset[str]
    left: frozenset[str]
    gross: Gross | None
    cell: tuple[str, str, str]  # motor, instruments, readings
    wheel_ratio: float  # as found over as left: s less what the speed differs from a clean blower's at that point
    flows: dict[str, float]  # mass flow through the blower of each run, by its id [kg/s]
    points: dict[str, float]  # how far the air at the two supply points truly lies apart, by its id [K]


def simulated(
    seed: int,
    *,
    motor: str | None = None,
    instruments: str | None = None,
    readings: str | None = None,
    causes: frozenset[str] | set[str] | None = None,
    gross: bool = False,
) -> tuple[Visit, Truth]:
    """Return a visit and its truth; what is not given is drawn by chance.

    `motor` is one of MOTORS, `instruments` one of QUALITIES, `readings` one of READINGS, `causes` a set of names of
    `causes.CAUSES`; `gross` plants one blunder.
    """
    rng = random.Random(seed)
    # Drawn in any case, so that asking for one of them leaves the others as they are.
    motor, instruments, readings = (
        asked or drawn
        for asked, drawn in (
            (motor, rng.choice(MOTORS)), (instruments, rng.choice(QUALITIES)), (readings, rng.choice(READINGS)),
        )
    )  # fmt: skip
    _refuse(motor, instruments, readings, causes)
    other_day = rng.random() < OTHER_DAY
    built = house.drawn(motor, rng)
    case = wrongs.drawn(motor, frozenset(causes) if causes else wrongs.chosen(motor, rng), rng)
    days = runs.days(built, case.rinsed, rng)
    charge = next((name for name in ("low charge", "high charge") if name in case.found), "")
    machine = refrigerant.drawn(built.metering, charge, case.before.charge, rng)
    pages = Pages(instruments, readings, other_day, built.rated, rng)
    written = [
        _written(pages, when, built, state, day, case.new_filter, machine)
        for when, state, day in (("as found", case.before, days[0]), ("as left", case.after, days[1]))
    ]
    sheet = [run for side in written for run, _ in side]
    planted = blunders.planted(sheet, rng) if gross else None
    if planted is not None:
        sheet, mistake = planted
    visit = Visit(
        site=Site(name="Simulated house", altitude=built.altitude), system=house.system(built),
        instrument=pages.instruments(), run=tuple(sheet), work=case.work,
    )  # fmt: skip
    flows = {run.id: true.point.mass for side in written for run, true in side}
    mains = [next(true for run, true in side if run.mode in ("strips", "fan")) for side in written]
    return visit, Truth(
        airflow_ratio=mains[1].point.mass / mains[0].point.mass,
        blower_ratio=_strength(built, mains[0]) / _strength(built, mains[1]),
        coil_ratio=case.before.coil / case.after.coil,
        sensible_ratio=_sensible(built, case, days) if readings == COOLING else None,
        found=case.found, left=case.left, gross=mistake if planted is not None else None,
        cell=(motor, instruments, readings),
        wheel_ratio=_wheel(built, mains[0]) / _wheel(built, mains[1]),
        flows=flows,
        points={run.id: abs(true.near.dry_bulb - true.far.dry_bulb) for side in written for run, true in side},
    )  # fmt: skip


def _refuse(motor: str, instruments: str, readings: str, causes: frozenset[str] | set[str] | None) -> None:
    for asked, known in ((motor, MOTORS), (instruments, QUALITIES), (readings, READINGS)):
        if asked not in known:
            raise ValueError(f"{asked!r} is not one of {', '.join(known)}")
    if causes and not causes <= set(wrongs.possible(motor)):
        raise ValueError(f"{sorted(causes)} cannot all be on a {motor} motor")


def _written(
    pages: Pages, when: str, built: House, state: wrongs.State, day: Day, new_filter: bool, machine: Machine
) -> list[tuple[Run, Truly]]:
    """Return the runs of one side of the visit, each with what was true of it."""
    rng, readings = pages.rng, pages.readings
    pressure = barometer(day.pressure) if readings in (FULL, COOLING) else None
    common = {
        "filter": ("new" if new_filter else "same") if when == "as left" else "as found",
        "station_pressure": pressure,
    }
    if readings in (TESP, HOLES):
        state = _wandered(state, rng, False)
        true = runs.still(built, state, day, MOMENTS["main"])
        taken = pages.statics(when, true, _late("main", when))
        taken += [pages.read(when, "dry_bulb", "return", "return probe", true.back.dry_bulb, _late("main", when))]
        taken += _electrical(pages, when, built, state, _late("main", when)) if readings == HOLES or pages.line else []
        return [(pages.run(when, "main", "fan", taken, wetness=_wetness(day), **common), true)]
    state = _wandered(state, rng, True)
    strips = state.volts**2 / 240.0**2 * built.kit * built.heater
    true = runs.still(built, state, day, MOMENTS["main"], strips)
    clock = _late("main", when)
    taken = pages.statics(when, true, clock) + pages.temperatures(when, true, clock, readings != TESP_STRIPS)
    taken += [
        pages.volts(when, "strips", state.volts, clock),
        pages.read(when, "amps", "strips", "clamp meter", strips / state.volts, clock),
    ]
    if readings != TESP_STRIPS or rng.random() < LINE / 2:
        taken += pages.blower(when, true, clock)
    if readings in (FULL, COOLING):
        taken += _electrical(pages, when, built, state, clock)
        taken.insert(4, pages.wet_bulb(when, "return", true.back, day.pressure, clock, _dry(taken, "return")))
    common["wetness"] = _wetness(day)
    written = [(pages.run(when, "main", "strips", taken, **common), true)]
    if readings in (FULL, COOLING):
        for place, kind in ((0, "before"), (2, "after")):
            zero = runs.still(built, _wandered(state, rng, False), day, MOMENTS[kind])
            taken = pages.temperatures(when, zero, _late(kind, when), True)
            run = pages.run(when, kind, "zero", taken, zero_for=written[min(place, 1)][0].id, **common)
            written.insert(place, (run, zero))
    if readings == COOLING:
        written.append(_cooling(pages, when, built, state, day, machine, common))
    return written


def _cooling(
    pages: Pages, when: str, built: House, state: wrongs.State, day: Day, machine: Machine, common: dict
) -> tuple[Run, Truly]:  # type: ignore[type-arg]
    state = _wandered(state, pages.rng, False)
    true, clock = runs.cooling(built, state, day), _late("cooling", when)
    taken = pages.statics(when, true, clock) + pages.temperatures(when, true, clock, False)
    taken += [
        pages.wet_bulb(when, "return", true.back, day.pressure, clock, _dry(taken, "return")),
        pages.wet_bulb(when, "supply", true.near, day.pressure, clock, _dry(taken, "supply")),
        pages.read(when, "dry_bulb", "outdoor", "outdoor probe", day.outdoor, clock),
        pages.volts(when, "line", state.volts, clock),
        *pages.blower(when, true, clock),
        *pages.gauges(when, machine.cycle(true.surface, day.outdoor, day.pressure), clock),
    ]
    wetness = "wet steady" if true.condensate > SEEN_RUNNING else "dry"
    return pages.run(when, "cooling", "cooling", taken, **{**common, "wetness": wetness}), true


def _wandered(state: wrongs.State, rng: random.Random, strips: bool) -> wrongs.State:
    """The same state at the voltage of one run."""
    sag = house.draw(rng, "cause", "volts_sag") if strips else 0.0
    return state._replace(volts=state.volts + house.draw(rng, "cause", "volts_wander") - sag)


def _dry(taken: list[Reading], at: str) -> Reading:
    return next(reading for reading in taken if reading.what == "dry_bulb" and reading.at == at)


def _late(kind: str, when: str) -> str:
    return CLOCK[when][kind][1]


def _wetness(day: Day) -> str:
    return "damp" if day.water > SEEN_DAMP else "dry"


def _electrical(pages: Pages, when: str, built: House, state: wrongs.State, clock: str) -> list[Reading]:
    """Line voltage, and the capacitor where there is one and the set asks for it."""
    taken = [pages.volts(when, "line", state.volts, clock)]
    if built.motor == "psc" and pages.readings in (FULL, COOLING):
        taken.append(pages.read(when, "capacitance", "capacitor", "capacitance meter", 7.5e-6 * state.capacitor, clock))
    return taken


def _strength(built: House, true: Truly) -> float:
    """Return s of the blower at its true operating point; a motor that picks its speed has it taken out."""
    point = true.point
    speed = point.speed if built.motor == "constant airflow" else 1.0
    return built.blower.against_clean(point.airflow, point.rise, point.mass / point.airflow, speed)


def _wheel(built: House, true: Truly) -> float:
    """Return the wheel alone: s, less what its speed differs from the clean blower's at the similar point."""
    strength = _strength(built, true)
    if built.motor == "constant airflow":
        return strength
    point = true.point
    clean = runs.clean_rpm(built, point.airflow / strength, point.rise / strength**2)
    return strength * clean / true.speed


def _sensible(built: House, case: wrongs.Case, days: tuple[Day, Day]) -> float:
    """Return sensible cooling as left over as found, both at the conditions as found and on a machine without whims."""
    day = days[0]._replace(repeat=0.0, held=0.0)
    return runs.sensible(runs.cooling(built, case.after, day)) / runs.sensible(runs.cooling(built, case.before, day))
