"""Draws on the joint fit: duct and blower curves, operating points, and the static along the air path."""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from drawthrough.errors import Unresolvable
from drawthrough.judge import derived
from drawthrough.judge.accuracy import PRESSURES
from drawthrough.judge.drawing import (
    Claim,
    Curve,
    Drawing,
    Note,
    OperatingPoint,
    PathPlace,
    PathRun,
    PrintedTable,
    Spot,
)
from drawthrough.judge.ends import duct_ends, external_ends, path_of, read_between, same_place
from drawthrough.judge.joint import COVERAGE, Joint
from drawthrough.judge.model import table_of
from drawthrough.physics.airpath import AirPath
from drawthrough.physics.fan import FanCurve
from drawthrough.visit.state import FanTable, Run, System, Visit, When

_VISIBLE = 0.07  # ducts whose ln(resistance) certainly moved by less than this are drawn as one curve (judgement)
_STEPS = 20  # of a curve
_BEYOND = 0.5  # ln(airflow) by which a duct curve is followed beyond its points: its law holds there (judgement)


class _Passed(NamedTuple):
    """One section as the fit has it in a run: its drop, and how that goes with airflow and with the unknowns."""

    drop: float
    exponent: float
    gradient: dict[int, float]  # of the drop

    def at(self, shift: float) -> float:
        """Return the drop where ln(airflow) is shifted."""
        return self.drop * math.exp(self.exponent * shift)


class _Ran(NamedTuple):
    """One run as the fit has it."""

    run: Run
    flow: int
    log_airflow: float
    sections: dict[str, _Passed]
    ducts: tuple[str, ...]  # names of the sections between the two ends of the duct static


def drawing_of(visit: Visit, joint: Joint, runs: Sequence[Run]) -> Drawing | None:
    """Return what can be drawn of one run, or of a run as found and one as left; None where nothing can."""
    system = visit.system
    ends = duct_ends(system)
    path = path_of(system)
    ran = [_ran(joint, run, path, ends) for run in runs if run.id in joint.model.streams]
    if not ran:
        return None
    blowers: list[Curve] = []
    claims: list[Claim] = []
    notes: list[Note] = []
    for one in ran:
        _blower(joint, one, blowers, notes)
        _claim(system, joint, one, claims, notes)
    drawn = {one.run.speed: one.run.id for one in ran if one.run.id in joint.model.fans}
    tables = tuple(_printed(table) for speed in drawn if (table := table_of(system, speed)) is not None)
    return Drawing(
        ends=ends,
        points=tuple(_point(joint, one) for one in ran),
        ducts=_ducts(joint, ran),
        blowers=tuple(blowers),
        tables=tables,
        claims=tuple(claims),
        path=tuple(_path(joint, one, path) for one in ran),
        notes=tuple(notes),
    )


def _ran(joint: Joint, run: Run, path: AirPath, ends: tuple[str, str]) -> _Ran:
    stream = joint.model.streams[run.id]
    sections = {}
    for name, section in stream.section.items():
        drop, slopes = section.evaluate(joint.mean)
        gradient: dict[int, float] = {}
        for index, slope in zip(section.unknowns, slopes, strict=True):
            gradient[index] = gradient.get(index, 0.0) + slope
        sections[name] = _Passed(drop, gradient[stream.flow] / drop, gradient)
    ducts = tuple(name for name, _ in path.span(*ends) if name in sections)
    return _Ran(run, stream.flow, derived.airflow(joint, run).logarithm(joint.mean), sections, ducts)


def _added(parts: Sequence[_Passed]) -> dict[int, float]:
    """Return the gradient of the sum of some drops."""
    total: dict[int, float] = {}
    for part in parts:
        for index, slope in part.gradient.items():
            total[index] = total.get(index, 0.0) + slope
    return total


def _duct_static(one: _Ran, shift: float = 0.0) -> float:
    return sum(one.sections[name].at(shift) for name in one.ducts)


def _point(joint: Joint, one: _Ran) -> OperatingPoint:
    """Return where a run ran; ln of its airflow is an unknown of the fit, plus a constant."""
    static = _duct_static(one)
    gradient = {index: slope / static for index, slope in _added([one.sections[n] for n in one.ducts]).items()}
    covariance = joint.solution.covariance
    shared = sum(weight * covariance[one.flow][index] for index, weight in gradient.items())
    return OperatingPoint(
        run=one.run.id,
        when=one.run.when,
        airflow=math.exp(one.log_airflow),
        static=static,
        covariance=((covariance[one.flow][one.flow], shared), (shared, joint.solution.variance(gradient))),
    )


def _ducts(joint: Joint, ran: Sequence[_Ran]) -> tuple[Curve, ...]:
    """Return one curve where the fit is sure that the ducts are alike, else one for each run."""
    flows = [one.log_airflow for one in ran]
    steps = _spread(min(flows) - _BEYOND, max(flows) + _BEYOND)
    lines = [[math.log(_duct_static(one, q - one.log_airflow)) for q in steps] for one in ran]
    if len(ran) == 2 and _alike(joint, ran[0], ran[1]):
        middle = [(first + second) / 2 for first, second in zip(*lines, strict=True)]
        return (_curve("ducts", (ran[0].run.when, ran[1].run.when), steps, middle),)
    return tuple(_curve("ducts", (one.run.when,), steps, line) for one, line in zip(ran, lines, strict=True))


def _curve(of: str, when: tuple[When, ...], flows: Sequence[float], statics: Sequence[float]) -> Curve:
    points = tuple(Spot(airflow=math.exp(q), static=math.exp(p)) for q, p in zip(flows, statics, strict=True))
    return Curve(of="ducts" if of == "ducts" else "blower", when=when, points=points)


def _alike(joint: Joint, found: _Ran, left: _Ran) -> bool:
    """Return whether the static at one and the same airflow moved, for certain, by less than can be seen."""
    middle = (found.log_airflow + left.log_airflow) / 2
    change = 0.0
    gradient: dict[int, float] = {}
    for one, sign in ((found, -1.0), (left, 1.0)):
        x = list(joint.mean)
        x[one.flow] += middle - one.log_airflow
        section = joint.model.streams[one.run.id].section
        drops = [(section[name], *section[name].evaluate(x)) for name in one.ducts]
        static = sum(drop for _, drop, _ in drops)
        change += sign * math.log(static)
        for part, _, slopes in drops:
            for index, slope in zip(part.unknowns, slopes, strict=True):
                if index != one.flow:  # held: both are seen at the same airflow
                    gradient[index] = gradient.get(index, 0.0) + sign * slope / static
    half = COVERAGE * math.sqrt(joint.solution.variance({i: w for i, w in gradient.items() if w}))
    return abs(change) + half < _VISIBLE


def _blower(joint: Joint, one: _Ran, blowers: list[Curve], notes: list[Note]) -> None:
    """Add what the blower holds over the ducts: its rise less all drops that are not ducts, over its table alone."""
    row = joint.model.fans.get(one.run.id)
    if row is None:
        why = next((why for run, why in joint.model.notes if run == one.run.id), None)
        if why is None:
            why = "no table for the speed" if one.run.doors_on else "door off"
        notes.append(Note(run=one.run.id, what="blower curve", why=why))
        return
    joint.model.streams[one.run.id].evaluate(joint.mean)
    left_over = row.row(joint.mean)[0]  # what the fit leaves unexplained of the table stays as it is
    others = [part for name, part in one.sections.items() if name not in one.ducts]
    points = []
    for static in _spread(*row.limits):
        log_airflow, rise = row.at(joint.mean, static, left_over)
        held = rise - sum(part.at(log_airflow - one.log_airflow) for part in others)
        if held > 0.0:
            points.append(Spot(airflow=math.exp(log_airflow), static=held))
    if len(points) > 1:
        blowers.append(Curve(of="blower", when=(one.run.when,), points=tuple(points)))
    else:
        notes.append(Note(run=one.run.id, what="blower curve", why="nothing left over the ducts"))


def _spread(low: float, high: float) -> list[float]:
    # The last one is the end itself: a table refuses what rounding puts beyond it.
    return [*(low + (high - low) * k / _STEPS for k in range(_STEPS)), high]


def _printed(table: FanTable) -> PrintedTable:
    return PrintedTable(
        speed=table.speed,
        points=tuple(Spot(airflow=q, static=p) for p, q in zip(table.static, table.airflow, strict=True)),
        flow_basis=table.flow_basis,
        coil=table.coil,
        filter=table.filter,
        heater=table.heater,
    )


def _claim(system: System, joint: Joint, one: _Ran, claims: list[Claim], notes: list[Note]) -> None:
    """Add what the table says by itself at the external static that was read, if that is not what the fit says."""
    table = table_of(system, one.run.speed)
    if table is None:
        return
    static = read_between(system, one.run, external_ends(system))
    if static is None:
        notes.append(Note(run=one.run.id, what="table alone", why="external static not read"))
        return
    if not table.static[0] <= static <= table.static[-1]:
        notes.append(Note(run=one.run.id, what="table alone", why="static outside the table"))
        return
    airflow = FanCurve(table.static, table.airflow).airflow(static)
    half = COVERAGE * math.sqrt(joint.solution.covariance[one.flow][one.flow])
    why = ""
    if one.run.id not in joint.model.fans:
        why = next((why for run, why in joint.model.notes if run == one.run.id), "door off")
    elif abs(math.log(airflow) - one.log_airflow) > half:
        why = "outside the interval of all readings"
    claims.append(Claim(run=one.run.id, when=one.run.when, airflow=airflow, static=static, set_aside=why))


def _path(joint: Joint, one: _Ran, path: AirPath) -> PathRun:
    """Return the static of each place: down from the room to the blower, and down from the blower to the room."""
    order = [name for name in path.sections if name in one.sections or name == "blower"]
    blower = order.index("blower")
    read = _read(one.run, path)
    places = [PathPlace(place="room", after="", value=0.0, low=0.0, high=0.0)]
    for k, name in enumerate(order[:-1]):
        sign, parts = (-1.0, order[: k + 1]) if k < blower else (1.0, order[k + 1 :])
        passed = [one.sections[part] for part in parts]
        value = sign * sum(part.drop for part in passed)
        # Each drop is above zero, and so is their sum: its logarithm has the interval, and no end crosses zero.
        factor = math.exp(COVERAGE * math.sqrt(joint.solution.variance(_added(passed))) / abs(value))
        low, high = sorted((value / factor, value * factor))
        stations = _stations(path, name, order[k + 1])
        typed = tuple(text for station in stations for text in read.get(station, ()))
        place = _named(path, stations)
        places.append(PathPlace(place=place, after=name, value=value, low=low, high=high, read=typed))
    places.append(PathPlace(place="room", after=order[-1], value=0.0, low=0.0, high=0.0))
    return PathRun(run=one.run.id, when=one.run.when, places=tuple(places))


def _stations(path: AirPath, before: str, behind: str) -> range:
    """Return the stations between two sections; several where a section between them is not there."""
    names: tuple[str, ...] = path.sections
    return range(names.index(before) + 1, names.index(behind) + 1)


def _named(path: AirPath, stations: range) -> str:
    """Return the first name of a place; a plenum where one of its names is a plenum's."""
    names = [place for place in path.places if path.station(place) in stations]
    return next((name for name in names if name.endswith("plenum")), same_place(path, names[0]))


def _read(run: Run, path: AirPath) -> dict[int, tuple[str, ...]]:
    """Return what was typed of each station's static against the room."""

    def each() -> Iterator[tuple[int, str]]:
        for reading in run.reading:
            if reading.what not in PRESSURES or reading.against is None:
                continue
            try:
                stations = {path.station(reading.at), path.station(reading.against)}
            except Unresolvable:
                continue
            if 0 in stations and len(stations) == 2:
                yield max(stations), reading.typed

    ordered = sorted(each(), key=lambda pair: pair[0])
    return {station: tuple(text for _, text in group) for station, group in groupby(ordered, key=lambda pair: pair[0])}
