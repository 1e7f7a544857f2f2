"""Visits and hypotheses about their causes of which the evidence is kept, and what the engine says of the same."""

import hashlib
from pathlib import Path

from msgspec.structs import replace

from drawthrough.judge.broad import broad_fit
from drawthrough.judge.causes import possible, weighed
from drawthrough.judge.marks import marks_of
from drawthrough.judge.model import expected_airflow
from drawthrough.judge.pair import pairs_of
from drawthrough.judge.priors import Priors
from drawthrough.trade.causes import beliefs
from drawthrough.trade.usual_blowers import usual_table
from drawthrough.visit import sheet
from tests.reference.targets import fingerprint
from tests.simulate.visits import simulated

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMED = ("dirty-wheel-psc", "dirty-coil-clean-wheel", "nothing-resolved", "weak-capacitor", "tight-return")
SIMULATED = {  # as found only, one total static: seed, motor
    "total static, psc": (3, "psc"),
    "total static, constant torque": (8, "constant torque"),
}
SINGLE = ("wheel", "coil", "filter", "tight return", "tight supply", "weak capacitor", "leak")
LIKELIEST = 8
FORLORN = 1e-4  # probability over that of the likeliest, below which a hypothesis is left out
TWO = (("wheel", "coil"), ("coil", "filter"), ("coil", "tight return"))


def visit_of(name):
    """Return a visit by its name."""
    if name not in SIMULATED:
        return sheet.load(EXAMPLES / f"{name}.toml")
    seed, motor = SIMULATED[name]
    visit, _ = simulated(seed, motor=motor, readings="tesp")
    return replace(visit, run=tuple(run for run in visit.run if run.when == "as found"), work=())


def with_blower(visit):
    """Return a visit with the usual blower's table where it has none of its own."""
    system = visit.system
    if system.fan_table:
        return visit
    airflow = expected_airflow(system, Priors())
    tables = tuple(usual_table(system, speed, airflow) for speed in dict.fromkeys(run.speed for run in visit.run))
    return replace(visit, system=replace(system, fan_table=tables, motor_original=None, label_altered=None))


def engine_of(visit):
    """Return the engine's fit under wide beliefs, the two runs that it compares or the one, and its marks."""
    joint = broad_fit(visit, Priors())
    pair = next(iter(pairs_of(visit, joint)), None)
    run = None if pair is not None else next(run for run in visit.run if run.mode != "zero")
    return joint, pair, run, marks_of(visit, joint, pair, run, Priors())


def label(causes):
    """Return a hypothesis in words: each cause, and whether it remains."""
    return " and ".join(f"{name} {'remains' if remains else 'ended'}" for name, remains in causes) or "nothing wrong"


def ratios(visit, marks):
    """Return ln of the evidence over that of nothing wrong by the engine, and the probability, of its cases."""
    told = {}
    for case in weighed(visit, marks).cases:
        causes = tuple(sorted((option.cause, option.remains) for option in case.options))
        told[causes] = (case.log_ratio, case.probability)
    return told


def hypotheses(visit, both, told):
    """Return the hypotheses to be weighed, the engine's likeliest first.

    Nothing wrong, single causes, some twos, and whatever else the engine finds likely; not those of which it is so sure
    that they are not that only an error of many orders could bring them back.
    """
    names = [cause.name for cause in possible(visit)]
    courses = (False, True) if both else (True,)
    sets = [((name, remains),) for name in SINGLE if name in names for remains in courses]
    sets += [tuple(sorted((name, not both) for name in two)) for two in TWO if set(two) <= set(names)]
    likeliest = sorted(told, key=lambda causes: -told[causes][1])[:LIKELIEST]
    least = told[likeliest[0]][1] * FORLORN
    return [causes for causes in dict.fromkeys([*likeliest, (), *sets]) if causes in told and told[causes][1] > least]


def fingerprint_of(visit, model):
    """Return a digest of everything that the evidences rest on: the fit's posterior and the beliefs about causes."""
    told = beliefs()
    lines = [fingerprint(model)]
    lines += [f"{m.name} {m.mean:.6g} {m.sd:.6g} {m.moved:.6g} {m.worked:.6g}" for m in told.mark.values()]
    for cause in told.cause.values():
        lines += [
            f"{cause.name} {sorted(s.by.items())} {s.mean:.6g} {s.sd:.6g}" for s in cause.shifts(visit.system.motor)
        ]
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]
