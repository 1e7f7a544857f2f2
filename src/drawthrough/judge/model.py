"""The joint model of one visit: from its readings to unknowns, observations and expectations."""

import math
from typing import NamedTuple

from drawthrough.judge.accuracy import PRESSURES, accuracy_of, noise_of, zeroing_of
from drawthrough.judge.air import RunAir, air_of
from drawthrough.judge.ends import external_ends, path_of, read_between, same_place
from drawthrough.judge.heat import heat_rows
from drawthrough.judge.priors import LEAK_MISSING, Belief, Priors
from drawthrough.judge.rows import Expectation, FanRow, FlowRow, PressureRow, Source
from drawthrough.judge.stream import REFERENCE_MASS_FLOW, Leak, Section, Stream, Wetting
from drawthrough.judge.unknowns import Parts, Unknowns, touched
from drawthrough.measure.sites import Observation, Row
from drawthrough.physics import airpath
from drawthrough.physics.airpath import REFERENCE_DENSITY
from drawthrough.physics.fan import FanCurve
from drawthrough.visit.state import FanTable, Reading, Run, System, Visit


class Model(NamedTuple):
    """Everything that the solver needs, and the way back from its answers to runs and readings."""

    unknowns: Unknowns
    observations: list[Observation]
    sources: list[Source]
    expectations: list[Expectation]
    streams: dict[str, Stream]  # by run id
    airs: dict[str, RunAir]  # by run id
    fans: dict[str, FanRow]  # by run id
    start: list[float]
    notes: tuple[tuple[str, str], ...]  # run id, why something was left out

    def predict(self, x: list[float]) -> list[Row]:
        """Return what every observation should show, with derivatives."""
        for stream in self.streams.values():
            stream.evaluate(x)
        return [expectation.row(x) for expectation in self.expectations]


def sections_of(system: System) -> tuple[str, ...]:
    """Return the sections that resist, in the order in which the air passes them, the blower left out."""
    order = airpath.sections(system.arrangement, system.filter_place)
    furnace = system.arrangement == "blow-through"
    heater = furnace or system.strips is not None or any(table.heater == "in" for table in system.fan_table)
    return tuple(name for name in order if name != "blower" and (name != "heater" or heater))


def table_of(system: System, speed: str) -> FanTable | None:
    """Return the maker's table of a speed, or None."""
    return next((table for table in system.fan_table if table.speed == speed), None)


def expected_airflow(system: System, priors: Priors) -> float:
    """Return what a system is believed to move before anything was read [m3/s]."""
    if system.airflow_rated:
        return system.airflow_rated
    if system.total_capacity_rated:
        return system.total_capacity_rated * priors.airflow_per_capacity
    return priors.airflow_unrated


def curve_of(system: System, table: FanTable) -> FanCurve:
    """Return the curve of a table; where the motor holds its airflow, the straight line through what is printed.

    A held airflow is printed to the next 5 cfm: a curve through every figure would take that rounding for a shape.
    """
    if system.motor != "constant airflow":
        return FanCurve(table.static, table.airflow)
    limit = system.airflow_limit_static or table.static[-1]
    points = [(p, q) for p, q in zip(table.static, table.airflow, strict=True) if p <= limit]
    middle = sum(p for p, _ in points) / len(points)
    mean = sum(q for _, q in points) / len(points)
    spread = sum((p - middle) ** 2 for p, _ in points)
    slope = sum((p - middle) * (q - mean) for p, q in points) / spread if spread else 0.0
    ends = (points[0][0], points[-1][0]) if len(points) > 1 else (table.static[0], table.static[-1])
    return FanCurve(ends, tuple(mean + slope * (p - middle) for p in ends))


class _Builder:
    def __init__(self, visit: Visit, priors: Priors) -> None:
        self.visit = visit
        self.priors = priors
        self.unknowns = Unknowns()
        self.parts = Parts(visit, priors, self.unknowns)
        self.observations: list[Observation] = []
        self.sources: list[Source] = []
        self.expectations: list[Expectation] = []
        self.streams: dict[str, Stream] = {}
        self.airs: dict[str, RunAir] = {}
        self.fans: dict[str, FanRow] = {}
        self.curves: dict[str, FanCurve] = {}
        self.notes: list[tuple[str, str]] = []
        self.order = sections_of(visit.system)
        self.instruments = {instrument.id: instrument for instrument in visit.instrument}

    def add(self, label: str, value: float, sd: float, heavy: bool, row: Expectation, source: Source) -> None:
        """Add one observation with the row that expects it."""
        self.observations.append(Observation(label, value, sd, heavy))
        self.expectations.append(row)
        self.sources.append(source)

    def stream(self, run: Run) -> Stream:
        """Make the stream of a run: its airflow unknown and its sections."""
        air = self.airs[run.id] = air_of(run, self.visit.site, self.visit.system)
        expected = expected_airflow(self.visit.system, self.priors) * REFERENCE_DENSITY / REFERENCE_MASS_FLOW
        belief = Belief(math.log(expected), self.priors.airflow_sd)
        flow = self.unknowns.get(f"airflow {run.zero_for or run.id}", belief)
        stream = Stream(run.id, flow, air.section, [self.section(n, run, flow, air) for n in self.order_of(run)])
        self.streams[run.id] = stream
        return stream

    def order_of(self, run: Run) -> tuple[str, ...]:
        return tuple(name for name in self.order if not (name == "filter" and run.filter == "out"))

    def section(self, name: str, run: Run, flow: int, air: RunAir) -> Section:
        priors, get = self.priors, self.unknowns.get
        missing = LEAK_MISSING[self.visit.system.arrangement, self.visit.system.filter_place].get(name, 0.0)
        leak = None
        if missing:
            behind = get("leak behind coil", Belief(missing, priors.leak_behind_coil_sd)) if name == "coil" else None
            leak = Leak(self.parts.leak(run.when), missing, behind)
        wetting = None
        if name == "coil" and run.wetness != "dry":
            degree = None if run.wetness == "wet steady" else get(f"damp {run.id}", priors.damp)
            wetting = Wetting(get("wet coil", priors.wet), get(f"wet coil in {run.id}", priors.wet_run), degree)
        exponent = self.exponent(name)
        return Section(name, self.parts.resistance(name, run), exponent, flow, air.section[name], leak, wetting)

    def exponent(self, section: str) -> int:
        """Return the unknown exponent of a section: filter and coil have their own, all others are ducts."""
        kind = section if section in ("filter", "coil") else "duct"
        belief: Belief = getattr(self.priors, f"exponent_{kind}")
        return self.unknowns.get(f"exponent {kind}", belief)

    def pressures(self, run: Run, stream: Stream) -> None:
        if not run.doors_on:
            self.notes.append((run.id, "door off"))
            return
        priors, get = self.priors, self.unknowns.get
        present = self.order_of(run)
        path = path_of(self.visit.system)
        for k, reading in enumerate(run.reading):
            if reading.what not in PRESSURES or reading.against is None:
                continue
            accuracy = accuracy_of(self.visit, reading, priors.shared_variance)
            gain = get(f"gain {accuracy.key}", Belief(0.0, accuracy.gain()))
            zeroing = zeroing_of(self.instruments.get(reading.instrument or ""), run, reading)
            offset = Belief(0.0, accuracy.offset())
            zero = get(f"zero {accuracy.key} {zeroing}", offset)
            holes = [
                (
                    get(f"hole {path.hole(same_place(path, place), reading.hole)}", Belief(0.0, priors.placement_sd)),
                    sign,
                )
                for place, sign in ((reading.at, 1), (reading.against, -1))
                if path.station(place) != 0
            ]
            parts = [(name, sign) for name, sign in path.span(reading.at, reading.against) if name in present]
            row = PressureRow(stream, parts, gain, zero, holes)
            label = f"{run.id}: {reading.what.replace('_', ' ')} {reading.at} against {reading.against}"
            self.add(label, reading.value, noise_of(self.visit, reading, priors), True, row, Source(run.id, (k,)))

    def fan(self, run: Run, stream: Stream) -> None:
        system, priors, get = self.visit.system, self.priors, self.unknowns.get
        table = table_of(system, run.speed)
        if table is None or not run.doors_on:
            return
        if system.motor_original is False:
            self.notes.append((run.id, "motor not original"))
            return
        if system.label_altered:
            self.notes.append((run.id, "label altered"))
            return
        limit = system.airflow_limit_static
        holds_airflow = system.motor == "constant airflow"
        total = read_between(system, run, external_ends(system))
        if holds_airflow and limit is not None and total is not None and total > limit:
            self.notes.append((run.id, "beyond the limit to which airflow is held"))
            return
        levels = [get("table level", Belief(0.0, priors.table_level_sd))]
        if table.speed != next(iter(self.curves), table.speed):  # the first speed met carries the level of the table
            levels.append(get(f"table level {table.speed}", Belief(0.0, priors.table_speed_sd)))
        if holds_airflow and run.when == "as found" and touched(self.visit, "wheel", "coil"):
            levels.append(get("held short", priors.held_short))
        curve = self.curves.get(table.speed)
        if curve is None:
            curve = self.curves[table.speed] = curve_of(system, table)
        inside = [n for n, yes in (("coil", table.coil != "none"), ("filter", table.filter == "in")) if yes]
        if table.heater == "in":
            inside.append("heater")
        rated = [(self.parts.rated(name, table.coil), self.exponent(name)) for name in inside]
        strength = () if holds_airflow else self.parts.strength(run.when)
        slope = get("table slope", Belief(0.0, priors.table_slope_sd))
        row = self.fans[run.id] = FanRow(stream, curve, strength, levels, slope, rated)
        sd = math.hypot(priors.table_reading_sd, priors.held_airflow_sd if holds_airflow else 0.0)
        self.add(f"{run.id}: fan table", 0.0, sd, holds_airflow, row, Source(run.id, ()))

    def airflows(self, run: Run, stream: Stream) -> None:
        for k, reading in enumerate(run.reading):
            if reading.what != "airflow":
                continue
            accuracy = accuracy_of(self.visit, reading)
            own = math.sqrt(1.0 - self.priors.shared_variance)
            relative = accuracy.relative(reading.value)
            gain = self.unknowns.get(
                f"gain {accuracy.key}", Belief(0.0, relative * math.sqrt(self.priors.shared_variance))
            )
            before = reading.at in ("filter slot", "grille", "return")
            leak = self.parts.leak(run.when) if before else None
            row = FlowRow(stream, "return duct" if before else "supply duct", gain, leak)
            noise = own * relative
            label = f"{run.id}: airflow {reading.at}"
            self.add(label, math.log(reading.value), max(noise, 1e-4), True, row, Source(run.id, (k,)))


def has_pressures(run: Run) -> bool:
    """Return whether a run holds a pressure between two places."""
    return any(reading.what in PRESSURES and reading.against is not None for reading in run.reading)


def _speaks_of_air(run: Run) -> bool:
    def tells(reading: Reading) -> bool:
        return reading.what in (*PRESSURES, "airflow") or (reading.what == "dry_bulb" and reading.at == "supply")

    return any(map(tells, run.reading))


def build(visit: Visit, priors: Priors, *, every_run: bool = False) -> Model:
    """Return the joint model of a visit.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    priors : Priors
        What is believed beforehand.
    every_run : bool
        Whether runs take part of which no reading speaks of air.
    """
    builder = _Builder(visit, priors)
    runs = [run for run in visit.run if every_run or _speaks_of_air(run)]
    # Strips first: a zero shares the airflow of the strips run it belongs to.
    for run in sorted(runs, key=lambda run: run.mode == "zero"):
        stream = builder.stream(run)
        builder.pressures(run, stream)
        builder.airflows(run, stream)
        if run.mode != "zero":
            builder.fan(run, stream)
    starts = heat_rows(visit, priors, builder)
    start = list(builder.unknowns.mean)
    for index, value in starts.items():
        start[index] = value
    return Model(
        builder.unknowns,
        builder.observations,
        builder.sources,
        builder.expectations,
        builder.streams,
        builder.airs,
        builder.fans,
        start,
        tuple(builder.notes),
    )
