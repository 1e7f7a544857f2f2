"""What changed on the air side: airflow, statics, blower, resistances, power - as found, as left, and their ratio."""

import math

from drawthrough.judge import derived
from drawthrough.judge.accuracy import accuracy_of, noise_of
from drawthrough.judge.air import mean_reading
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.judgement import Reason, Result, Standing
from drawthrough.judge.pair import Pair, reason
from drawthrough.judge.priors import Priors
from drawthrough.judge.unknowns import touched
from drawthrough.visit.state import Run, Visit

_VAGUE = 0.15  # an airflow known to no better than this (k=1) is its prior, hardly a measurement (judgement)
VOLTS_APART = 0.02  # beyond this an induction motor's speed moves enough to count (judgement)
_CONSTANT_AIRFLOW_SPEED_SLOPE = (0.42, 0.12)  # d ln(rpm) per in. w.c. at held airflow, measured fit; sd (judgement)
INWC = 249.08891
MODEL = "joint fit of all readings"


def result_of(
    joint: Joint,
    name: str,
    when: str,
    unit: str,
    number: Derived,
    doubts: tuple[Reason, ...] = (),
    basis: str = "",
    *,
    ratio: bool = False,
    reference: float = 1.0,
) -> Result:
    """Return a derived number as a result: a ratio whose interval holds `reference` is not resolved."""
    interval = joint.interval(number)
    standing: Standing = "it stands"
    reasons = doubts
    if ratio and interval.low <= reference <= interval.high:
        standing = "not resolved"
        reasons = (*doubts, reason("interval holds no change", MODEL))
    elif doubts:
        standing = "in doubt"
    if interval.leans:
        standing = "not resolved"
        reasons = (*reasons, reason("interval leans", MODEL))
    if not joint.solution.settled:
        standing = "in doubt"
        reasons = (*reasons, reason("readings contradict each other", MODEL))
    return Result(
        name=name,
        when=when,  # type: ignore[arg-type]
        unit=unit,
        value=interval.value,
        low=interval.low,
        high=interval.high,
        standing=standing,
        reasons=reasons,
        budget=joint.budget(number),
        basis=basis,
        leans=interval.leans,
    )


def proof_of(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> tuple[Result, ...]:
    """Return the air-side results of one pair of runs."""
    results = [*_airflows(visit, joint, pair), *_statics(visit, joint, pair)]
    results.extend(_resistances(joint))
    results.extend(_blower(visit, joint, pair, priors))
    results.extend(_power(visit, joint, pair, priors))
    return tuple(results)


def single_of(visit: Visit, joint: Joint, run: Run) -> tuple[Result, ...]:
    """Return the results of one run where nothing can be compared."""
    results = [_airflow(joint, run)]
    if derived.external_static(joint, visit, run).gradient:
        results.append(_static(visit, joint, run))
    number = derived.strength(joint, visit, run.when)
    if number is not None:
        results.append(result_of(joint, "blower_against_clean", run.when, "1", number, (_NAMED_PRIOR,)))
    return tuple(results)


_NAMED_PRIOR = Reason(
    code="level rests on its prior", source="the fan table's level and the wheel cannot be told apart"
)


def _airflow(joint: Joint, run: Run) -> Result:
    number = derived.airflow(joint, run)
    vague = joint.sd(number) > _VAGUE
    doubts = (reason("airflow hardly measured", MODEL, sd=joint.sd(number)),) if vague else ()
    result = result_of(joint, "airflow", run.when, "m3/s", number, doubts, f"actual volume at the blower, {run.mode}")
    if vague:
        return Result(**{**_fields(result), "standing": "not resolved"})  # type: ignore[arg-type]
    return result


def _fields(result: Result) -> dict[str, object]:
    return {name: getattr(result, name) for name in result.__struct_fields__}


def _airflows(visit: Visit, joint: Joint, pair: Pair) -> list[Result]:
    found, left = pair.found, pair.left
    results = [_airflow(joint, found), _airflow(joint, left)]
    ratio = derived.airflow_ratio(joint, found, left)
    results.append(
        result_of(joint, "airflow", "as left over as found", "1", ratio, pair.doubts, "mass flow", ratio=True)
    )
    capacity = visit.system.total_capacity_rated
    if capacity:
        for run in (found, left):
            per = derived.shifted(derived.airflow(joint, run), -math.log(capacity))
            results.append(result_of(joint, "airflow_per_capacity", run.when, "m3/s/W", per))
    return results


def at_equal_filter(joint: Joint, pair: Pair, number: Derived) -> Result:
    """Return the ratio of airflows with the filter's own part taken out."""
    return result_of(
        joint, "airflow_at_equal_filter", "as left over as found", "1", number, pair.doubts, "mass flow", ratio=True
    )


def _static(visit: Visit, joint: Joint, run: Run) -> Result:
    high, low = derived.external_ends(visit.system)
    return result_of(
        joint,
        "external_static",
        run.when,
        "Pa",
        derived.external_static(joint, visit, run),
        (),
        f"{high} against {low}",
    )


def _statics(visit: Visit, joint: Joint, pair: Pair) -> list[Result]:
    results = [_static(visit, joint, pair.found), _static(visit, joint, pair.left)]
    first = derived.external_static(joint, visit, pair.left)
    second = derived.external_static(joint, visit, pair.found)
    ratio = derived.difference(joint, first, second)
    results.append(result_of(joint, "external_static", "as left over as found", "1", ratio, pair.doubts, ratio=True))
    return results


def _resistances(joint: Joint) -> list[Result]:
    results = []
    for part in ("coil", "filter", "return duct", "supply duct"):
        ratio = derived.resistance_ratio(joint, part)
        index = joint.model.unknowns.find(f"change {part}")
        if ratio is None or index is None or joint.model.unknowns.sd[index] < 0.04:
            continue  # held to be the same: saying so would be repeating the assumption
        name = f"{part.replace(' ', '_')}_resistance"
        # How much the readings narrowed it: without them the prior would speak as if it were a result.
        prior_only = joint.sd(ratio) > 0.8 * joint.model.unknowns.sd[index]
        doubts = (reason("nothing read tells this", MODEL),) if prior_only else ()
        result = result_of(joint, name, "as left over as found", "1", ratio, doubts, "at equal airflow", ratio=True)
        if prior_only:
            result = Result(**{**_fields(result), "standing": "not resolved"})  # type: ignore[arg-type]
        results.append(result)
    return results


def _blower(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> list[Result]:
    if visit.system.motor == "constant airflow":
        return _held_airflow(visit, joint, pair, priors)
    found, left = (derived.strength(joint, visit, when) for when in ("as found", "as left"))
    if found is None or left is None:
        return []
    results = [
        result_of(joint, "blower_against_clean", "as found", "1", found, (_NAMED_PRIOR,)),
        result_of(joint, "blower_against_clean", "as left", "1", left, (_NAMED_PRIOR,)),
    ]
    ratio = derived.difference(joint, found, left)
    if not ratio.gradient:
        return results
    doubts = pair.doubts
    prior_sd = math.hypot(*(joint.model.unknowns.sd[i] for i in ratio.gradient))
    tells_nothing = joint.sd(ratio) > 0.8 * prior_sd
    if tells_nothing:
        doubts = (*doubts, reason("nothing read tells this", MODEL))
    results.append(
        result_of(
            joint,
            "blower_against_clean",
            "as found over as left",
            "1",
            ratio,
            doubts,
            "wheel, motor, voltage and capacitor together",
            ratio=True,
        )
    )
    speeds = _speeds(visit, pair, priors)
    if speeds is not None:
        logarithm, variance = speeds
        wheel = derived.shifted(ratio, -logarithm, (("tachometer", variance),))
        results.append(
            result_of(
                joint, "wheel_against_clean", "as found over as left", "1", wheel, doubts, "rpm taken out", ratio=True
            )
        )
    return results


def _speeds(visit: Visit, pair: Pair, priors: Priors) -> tuple[float, float] | None:
    """ln(rpm as found over as left) and its variance; a shared gain of the tachometer cancels."""
    values = []
    variance = 0.0
    for run in (pair.found, pair.left):
        read = [r for r in run.reading if r.what == "speed" and r.at == "blower"]
        if not read:
            return None
        values.append(sum(r.value for r in read) / len(read))
        variance += sum((noise_of(visit, r, priors) / r.value) ** 2 for r in read) / len(read) ** 2
    return math.log(values[0] / values[1]), variance


def _held_airflow(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> list[Result]:
    """Constant airflow below its limit: only the speed tells the wheel, since airflow is held whatever the dirt."""
    speeds = _speeds(visit, pair, priors)
    if speeds is None:
        return []
    logarithm, variance = speeds
    slope, slope_sd = _CONSTANT_AIRFLOW_SPEED_SLOPE
    first = derived.external_static(joint, visit, pair.found)
    second = derived.external_static(joint, visit, pair.left)
    flow = derived.airflow_ratio(joint, pair.left, pair.found)  # found over left

    def total_drop(x: list[float], run: Run) -> float:
        return sum(part.evaluate(x)[0] for part in joint.model.streams[run.id].section.values()) / INWC

    def value(x: list[float]) -> float:
        # N grows with airflow one to one, and with the pressure that the blower must make; the rest is the wheel.
        rise = total_drop(x, pair.found) - total_drop(x, pair.left)
        return flow.logarithm(x) + slope * rise - logarithm

    gradient = _numeric_gradient(value, joint, {**first.gradient, **second.gradient, **flow.gradient})
    rise = total_drop(joint.mean, pair.found) - total_drop(joint.mean, pair.left)
    wheel = Derived(value, gradient, (("tachometer", variance), ("speed against pressure", (slope_sd * rise) ** 2)))
    doubts = pair.doubts
    if touched(visit, "motor"):
        doubts = (*doubts, reason("motor was touched", MODEL))
    return [
        result_of(
            joint, "wheel_against_clean", "as found over as left", "1", wheel, doubts, "rpm at held airflow", ratio=True
        )
    ]


def _numeric_gradient(value: object, joint: Joint, hints: dict[int, float]) -> dict[int, float]:
    """Return the gradient of a logarithm by central differences over all unknowns of the two runs."""
    assert callable(value)
    gradient = {}
    for index in range(len(joint.mean)):
        step = 1e-5 * max(1.0, joint.model.unknowns.sd[index])
        up, down = list(joint.mean), list(joint.mean)
        up[index] += step
        down[index] -= step
        slope = (value(up) - value(down)) / (2 * step)
        if slope or index in hints:
            gradient[index] = slope
    return {index: slope for index, slope in gradient.items() if slope}


def _power(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> list[Result]:
    numbers = []
    results: list[Result] = []
    for run in (pair.found, pair.left):
        read = [r for r in run.reading if r.what == "blower_power" and r.at == "blower"]
        if not read:
            return results
        watts = sum(r.value for r in read) / len(read)
        accuracy = accuracy_of(visit, read[0], priors.shared_variance)
        shared = math.hypot(accuracy.gain(), accuracy.offset() / watts)
        noise = sum((noise_of(visit, r, priors) / r.value) ** 2 for r in read) / len(read) ** 2
        flow = derived.airflow(joint, run)
        per = derived.shifted(flow, math.log(watts), (("wattmeter", noise + shared * shared),), -1)
        results.append(result_of(joint, "specific_fan_power", run.when, "W/(m3/s)", per))
        numbers.append((per, noise))
    (first, first_noise), (second, second_noise) = numbers
    ratio = derived.difference(joint, second, first, (("wattmeter", first_noise + second_noise),))
    results.append(result_of(joint, "specific_fan_power", "as left over as found", "1", ratio, pair.doubts, ratio=True))
    return results


def voltage_moved(pair: Pair) -> float | None:
    """Return the relative change of the line voltage between two runs, or None where it was not read both times."""
    first, second = (
        mean_reading(run, "volts", "line")
        or mean_reading(run, "volts", "blower")
        or mean_reading(run, "volts", "strips")
        for run in (pair.found, pair.left)
    )
    return None if first is None or second is None else second / first - 1.0
