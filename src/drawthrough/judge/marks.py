"""The marks that causes leave, as one visit has them: what the joint fit and single readings say of each.

Each mark stands for itself as left ("base": as found where nothing was done), and for how far it moved between as
found and as left. The beliefs of the joint fit are taken away again, so that those of the causes can take their place.
"""

import math
from collections.abc import Iterator
from typing import NamedTuple

from drawthrough.errors import DrawthroughError
from drawthrough.judge.air import mean_reading
from drawthrough.judge.blower import speed_moved
from drawthrough.judge.charge import charge_of
from drawthrough.judge.electrical import capacitance_of, volts_of
from drawthrough.judge.joint import COVERAGE, Joint
from drawthrough.judge.pair import Pair
from drawthrough.judge.priors import CFM_PER_TON, Belief, Priors
from drawthrough.measure.shift import Likelihood, likelihood
from drawthrough.physics.airpath import REFERENCE_AIRFLOW
from drawthrough.physics.charge import target_superheat
from drawthrough.trade.causes import Mark, beliefs
from drawthrough.visit.state import Run, Visit

RESISTANCES = ("coil", "filter", "return duct", "supply duct")
_RATED = 400 * CFM_PER_TON  # airflow of a rated ton, where the nameplate gives none (common practice)
_SIX_POLES = 1075 / 60.0  # speed of a six-pole motor at its work (common practice) [1/s]
_SOME_SYSTEM = 0.35  # scatter of ln(rated airflow) where neither it nor the capacity is known (judgement)
_VOLTS_READ = 0.01  # scatter of ln(volts) as read (judgement)
_SPEED_READ = 0.01  # scatter of ln(rpm) as read, and of the static it was read at (judgement)
_SUPERHEAT_OF_A_VALVE = 5.6  # 10 F (common practice) [K]
_COLD = ("too cold outdoors", "no outdoor temperature")
_AS_LEFT, _AS_FOUND = (False,), (False, True)  # numbers that add up to a mark as left, and as found


class Number(NamedTuple):
    """One number that causes shift: the mark, whether it is its move, and what is usual of it here."""

    mark: str
    moved: bool
    usual: Belief


class Seen(NamedTuple):
    """What a reading outside the joint fit says: of the mark itself, of its move, or of their sum."""

    mark: str
    of: tuple[bool, ...]
    seen: Belief


class Marks(NamedTuple):
    """The numbers of one visit, what its readings say of them, and each number's weights on the fit's unknowns."""

    number: tuple[Number, ...]
    readings: Likelihood
    weights: tuple[dict[int, float] | None, ...]  # None: outside the joint fit
    both: bool  # there are readings as found and as left

    def place(self, mark: str, *, moved: bool = False) -> int | None:
        """Return where a number stands, or None where the visit has it not."""
        return next((k for k, n in enumerate(self.number) if n.mark == mark and n.moved is moved), None)


def marks_of(visit: Visit, joint: Joint, pair: Pair | None, run: Run | None, priors: Priors) -> Marks:
    """Return the marks of a visit.

    Parameters
    ----------
    visit : Visit
        What was read and done.
    joint : Joint
        Its fit under wide beliefs.
    pair : Pair or None
        The runs as found and as left that are compared; None: there is only one of the two.
    run : Run or None
        The run that speaks where there is no pair.
    priors : Priors
        Beliefs of the joint fit, for the slopes of speed.
    """
    numbers: list[Number] = []
    weights: list[dict[int, float]] = []
    for number, weight in _fitted(visit, joint, pair is not None):
        numbers.append(number)
        weights.append(weight)
    readings = _alone(joint, weights)
    fitted = len(numbers)
    seen = [*_read_apart(visit), *_speed(visit, joint, pair, run, priors)]
    place: dict[tuple[str, bool], int] = {}
    for name in _apart(visit):  # also what nobody has read yet: a next reading may
        for moved in (False, True) if pair is not None else (False,):
            place[name, moved] = len(numbers)
            numbers.append(_number(visit, beliefs().mark[name], moved))
    size = len(numbers)
    precision = [[*row, *([0.0] * (size - fitted))] for row in readings.precision]
    precision.extend([0.0] * size for _ in range(size - fitted))
    linear = [*readings.linear, *([0.0] * (size - fitted))]
    for one in seen:
        at = [place[one.mark, moved] for moved in one.of if (one.mark, moved) in place]
        for a in at:
            linear[a] += one.seen.mean / one.seen.sd**2
            for b in at:
                precision[a][b] += one.seen.sd**-2
    return Marks(
        tuple(numbers),
        Likelihood(tuple(map(tuple, precision)), tuple(linear)),
        (*weights, *([None] * (size - fitted))),
        pair is not None,
    )


def _number(visit: Visit, mark: Mark, moved: bool, shift: float = 0.0, more: float = 0.0) -> Number:
    if not moved:
        return Number(mark.name, False, Belief(mark.mean + shift, math.hypot(mark.sd, more)))
    done = any((work.part, work.action) in mark.work for work in visit.work)
    return Number(mark.name, True, Belief(0.0, mark.worked if done else mark.moved))


def _fitted(visit: Visit, joint: Joint, both: bool) -> Iterator[tuple[Number, dict[int, float]]]:
    """Yield the numbers that the joint fit has, each with its weights on the fit's unknowns."""
    find, mark = joint.model.unknowns.find, beliefs().mark
    larger, scatter = _rated(visit)
    for part in RESISTANCES:
        base = find(f"resistance {part}")
        if base is None:
            continue
        change = find(f"change {part}")
        exponent = joint.mean[joint.model.unknowns.get(_exponent(part), Belief(0.0, 1.0))]
        left = {base: 1.0}
        if part == "filter" and change is not None:  # the fit's filter is the one as found
            left[change] = 1.0
        yield _number(visit, mark[part], False, -exponent * larger, exponent * scatter), left
        if both and change is not None:
            yield _number(visit, mark[part], True), {change: -1.0 if part == "filter" else 1.0}
    leak, sealed = find("leak"), find("leak as left")
    if leak is not None:
        yield _number(visit, mark["leak"], False), {leak if sealed is None else sealed: 1.0}
        if both and sealed is not None:
            yield _number(visit, mark["leak"], True), {leak: 1.0, sealed: -1.0}
    found, change = find("strength as found"), find("change strength")
    strength = find("strength as left")
    if strength is None:
        strength, found = found, None
    if strength is not None:
        yield _number(visit, mark["blower"], False), {strength: 1.0}
        if both and (found is not None or change is not None):
            moved = {found: 1.0, strength: -1.0} if found is not None else {change: 1.0}
            yield _number(visit, mark["blower"], True), {i: w for i, w in moved.items() if i is not None}


def _exponent(part: str) -> str:
    return f"exponent {part if part in ('filter', 'coil') else 'duct'}"


def _rated(visit: Visit) -> tuple[float, float]:
    """Return ln of the rated airflow over that of the fit's resistances, and how far it may be off."""
    system = visit.system
    if system.airflow_rated:
        return math.log(system.airflow_rated / REFERENCE_AIRFLOW), 0.0
    if system.total_capacity_rated:
        return math.log(system.total_capacity_rated * _RATED / REFERENCE_AIRFLOW), 0.05
    return 0.0, _SOME_SYSTEM


def _alone(joint: Joint, weights: list[dict[int, float]]) -> Likelihood:
    """Return what the readings of the fit say of weighted sums of its unknowns."""
    unknowns, covariance = joint.model.unknowns, joint.solution.covariance
    mean = [sum(w * joint.mean[i] for i, w in each.items()) for each in weights]
    prior_mean = [sum(w * unknowns.mean[i] for i, w in each.items()) for each in weights]

    def over(spread: bool) -> list[list[float]]:
        def at(i: int, j: int) -> float:
            return (unknowns.sd[i] ** 2 if i == j else 0.0) if spread else covariance[i][j]

        return [
            [sum(v * w * at(i, j) for i, v in one.items() for j, w in other.items()) for other in weights]
            for one in weights
        ]

    return likelihood(mean, over(False), prior_mean, over(True))


def _apart(visit: Visit) -> Iterator[str]:
    """Yield the marks outside the joint fit that this system has."""
    system = visit.system
    yield "speed"
    if system.motor == "psc" and system.capacitor is not None:
        yield "capacitance"
    if system.volts_rated:
        yield "volts"
    if system.refrigerant is not None:
        yield from ("subcooling", "superheat")


def _read_apart(visit: Visit) -> Iterator[Seen]:
    """Yield what readings outside the joint fit say of marks: capacitor, voltage, superheat and subcooling."""
    for run in visit.run:
        left = run.when == "as left" and any(other.when == "as found" for other in visit.run)
        of = _AS_LEFT if left or not any(other.when == "as left" for other in visit.run) else _AS_FOUND
        for name, belief in (*_electrical(visit, run), *_charge(visit, run)):
            yield Seen(name, of, belief)


def _electrical(visit: Visit, run: Run) -> Iterator[tuple[str, Belief]]:
    system = visit.system
    result = capacitance_of(visit, run)
    if result is not None and system.motor == "psc" and system.capacitor is not None:
        sd = (result.high - result.low) / (2 * COVERAGE * result.value)
        yield "capacitance", Belief(math.log(result.value / system.capacitor.capacitance), sd)
    volts = volts_of(run, "line", "blower", "strips")
    if volts is not None and system.volts_rated:
        yield "volts", Belief(math.log(volts / system.volts_rated), _VOLTS_READ)


def _charge(visit: Visit, run: Run) -> Iterator[tuple[str, Belief]]:
    for result in charge_of(visit, run, None, Priors()):
        if any(reason.code in _COLD for reason in result.reasons):
            continue
        value, sd = result.value, (result.high - result.low) / (2 * COVERAGE)
        if result.name == "superheat":
            target = _target_superheat(visit, run)
            if target is None:
                continue
            value -= target
        yield result.name, Belief(value, sd)


def _target_superheat(visit: Visit, run: Run) -> float | None:
    """Return the superheat that the run should have [K], or None where nothing tells it."""
    if visit.system.metering == "expansion valve":
        return _SUPERHEAT_OF_A_VALVE
    wet_bulb, outdoor = mean_reading(run, "wet_bulb", "return"), mean_reading(run, "dry_bulb", "outdoor")
    if visit.system.metering is None or wet_bulb is None or outdoor is None:
        return None
    try:
        return target_superheat(wet_bulb, outdoor)
    except DrawthroughError:
        return None


def _speed(visit: Visit, joint: Joint, pair: Pair | None, run: Run | None, priors: Priors) -> Iterator[Seen]:
    """Yield what rpm says: over what the motor should turn, and how it moved at like work."""
    motor = visit.system.motor
    if motor == "psc":
        for of, one in ((_AS_LEFT, run),) if pair is None else ((_AS_FOUND, pair.found), (_AS_LEFT, pair.left)):
            rpm = mean_reading(one, "speed", "blower") if one is not None else None
            if rpm is not None and rpm > 0.0:
                yield Seen("speed", of, Belief(math.log(rpm / _SIX_POLES), _SPEED_READ))
                if pair is not None:
                    break  # once: the move is told apart, at like work
    if pair is None:
        return
    moved = speed_moved(visit, joint, pair, priors)
    if moved is not None:
        yield Seen("speed", (True,), moved)
