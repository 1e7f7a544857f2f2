"""What changed on the air side: airflow, statics, blower, resistances, power - as found, as left, and their ratio."""

import math

import msgspec

from drawthrough.judge import derived
from drawthrough.judge.accuracy import accuracy_of, noise_of
from drawthrough.judge.blower import NAMED_PRIOR, blower_of
from drawthrough.judge.electrical import volts_of
from drawthrough.judge.ends import duct_ends, external_ends
from drawthrough.judge.joint import Derived, Joint
from drawthrough.judge.judgement import Reason, Result
from drawthrough.judge.model import has_pressures
from drawthrough.judge.outcome import HARDLY_NARROWER, result_of, unless_vague
from drawthrough.judge.pair import Pair, filter_hides
from drawthrough.judge.priors import Priors
from drawthrough.judge.rules import reason
from drawthrough.judge.unknowns import WORKED_ON
from drawthrough.visit.state import Run, Visit

_STATIC_IMPLIED = 0.1  # relative deviation up to which airflow and ducts tell a static that was not read (judgement)
VOLTS_APART = 0.02  # beyond this an induction motor's speed moves enough to count (judgement)


def proof_of(visit: Visit, joint: Joint, pair: Pair, priors: Priors) -> tuple[Result, ...]:
    """Return the air-side results of one pair of runs."""
    results = [*_airflows(visit, joint, pair), *_statics(visit, joint, pair)]
    results.extend(_resistances(joint))
    results.extend(blower_of(visit, joint, pair, priors))
    results.extend(_power(visit, joint, pair, priors))
    return tuple(results)


def single_of(visit: Visit, joint: Joint, run: Run) -> tuple[Result, ...]:
    """Return the results of one run where nothing can be compared."""
    results = [_airflow(joint, run), *_per_capacity(visit, joint, run)]
    results.append(_static(visit, joint, run, "external_static", external_ends(visit.system)))
    number = derived.strength(joint, visit, run.when)
    if number is not None:
        results.append(result_of(joint, "blower_against_clean", run.when, "1", number, (NAMED_PRIOR,)))
    return tuple(results)


def _airflow(joint: Joint, run: Run) -> Result:
    basis = f"actual volume at the blower, {run.mode}"
    return unless_vague(
        joint, run, result_of(joint, "airflow", run.when, "m3/s", derived.airflow(joint, run), (), basis)
    )


def _airflows(visit: Visit, joint: Joint, pair: Pair) -> list[Result]:
    found, left = pair.found, pair.left
    results = [_airflow(joint, found), _airflow(joint, left)]
    ratio = derived.airflow_ratio(joint, found, left)
    doubts = (*pair.doubts, *filter_hides(visit, joint, pair))
    results.append(result_of(joint, "airflow", "as left over as found", "1", ratio, doubts, "mass flow", ratio=True))
    results.extend(one for run in (found, left) for one in _per_capacity(visit, joint, run))
    return results


def _per_capacity(visit: Visit, joint: Joint, run: Run) -> list[Result]:
    """Return the airflow for each unit of rated cooling, where that is known."""
    capacity = visit.system.total_capacity_rated
    if not capacity:
        return []
    per = derived.shifted(derived.airflow(joint, run), -math.log(capacity))
    return [unless_vague(joint, run, result_of(joint, "airflow_per_capacity", run.when, "m3/s/W", per))]


def at_equal_filter(joint: Joint, pair: Pair, number: Derived) -> Result:
    """Return the ratio of airflows with the filter's own part taken out."""
    return result_of(
        joint, "airflow_at_equal_filter", "as left over as found", "1", number, pair.doubts, "mass flow", ratio=True
    )


def _static(visit: Visit, joint: Joint, run: Run, name: str, ends: tuple[str, str]) -> Result:
    number = derived.static_between(joint, visit, run, ends)
    doubts = _unread(joint, number, run)
    result = result_of(joint, name, run.when, "Pa", number, doubts, f"{ends[0]} against {ends[1]}")
    return _unless_unread(result, bool(doubts))


def _unread(joint: Joint, number: Derived, *runs: Run) -> tuple[Reason, ...]:
    """Return why a static says nothing: no pressure was read in a run, and what the rest implies of it is too wide."""
    if all(map(has_pressures, runs)) or joint.sd(number) <= _STATIC_IMPLIED:
        return ()
    return (reason("nothing read tells this"),)


def _unless_unread(result: Result, unread: bool) -> Result:
    """Return a result, not resolved where nothing that was read tells it."""
    return msgspec.structs.replace(result, standing="not resolved") if unread else result


def _statics(visit: Visit, joint: Joint, pair: Pair) -> list[Result]:
    """The external static that the blower's table counts, and that of the ducts where it is another one."""
    results: list[Result] = []
    named = {"external_static": external_ends(visit.system), "duct_static": duct_ends(visit.system)}
    if named["duct_static"] == named["external_static"]:
        del named["duct_static"]
    for name, ends in named.items():
        results.extend(_static(visit, joint, run, name, ends) for run in (pair.found, pair.left))
        first, second = (derived.static_between(joint, visit, run, ends) for run in (pair.left, pair.found))
        ratio = derived.difference(joint, first, second)
        unread = _unread(joint, ratio, pair.found, pair.left)
        doubts = (*pair.doubts, *unread)
        result = result_of(joint, name, "as left over as found", "1", ratio, doubts, ratio=True)
        results.append(_unless_unread(result, bool(unread)))
    return results


def _resistances(joint: Joint) -> list[Result]:
    results = []
    for part in ("coil", "filter", "return duct", "supply duct"):
        ratio = derived.resistance_ratio(joint, part)
        index = joint.model.unknowns.find(f"change {part}")
        if ratio is None or index is None or joint.model.unknowns.sd[index] < WORKED_ON:
            continue  # held to be the same: saying so would be repeating the assumption
        name = f"{part.replace(' ', '_')}_resistance"
        # How much the readings narrowed it: without them the prior would speak as if it were a result.
        prior_only = joint.sd(ratio) > HARDLY_NARROWER * joint.model.unknowns.sd[index]
        doubts = (reason("nothing read tells this"),) if prior_only else ()
        result = result_of(joint, name, "as left over as found", "1", ratio, doubts, "at equal airflow", ratio=True)
        results.append(_unless_unread(result, prior_only))
    return results


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
    doubts = (*pair.doubts, *filter_hides(visit, joint, pair))
    results.append(result_of(joint, "specific_fan_power", "as left over as found", "1", ratio, doubts, ratio=True))
    return results


def voltage_moved(pair: Pair) -> float | None:
    """Return the relative change of the line voltage between two runs, or None where it was not read both times."""
    first, second = (volts_of(run, "line", "blower", "strips") for run in (pair.found, pair.left))
    return None if first is None or second is None else second / first - 1.0
