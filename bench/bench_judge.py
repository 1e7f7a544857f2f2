"""The joint fit against the sampler that it agrees with, and the whole judgement of the richest example."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bench.case import Case
from drawthrough.judge import judge
from drawthrough.judge.broad import broad_fit
from drawthrough.judge.joint import Joint
from drawthrough.judge.marks import marks_of
from drawthrough.judge.model import build
from drawthrough.judge.next_reading import Known, next_readings
from drawthrough.judge.odds import causes_of
from drawthrough.judge.pair import pairs_of
from drawthrough.judge.priors import Priors
from drawthrough.visit import sheet

CHECKOUT = Path(__file__).resolve().parent.parent
RICHEST = "dirty-wheel-psc"
SHARE = 100  # the sampler runs one hundredth of the steps that its kept quantiles took

visit = sheet.load(CHECKOUT / "examples" / f"{RICHEST}.toml")
model = build(visit, Priors())
settled = Joint(model)


def causes_and_next() -> object:
    """Weigh the causes on a fit of their own, and rank what to read next."""
    priors = Priors()
    broad = broad_fit(visit, priors)
    assert broad is not None
    pair = pairs_of(visit, broad)[0]
    _, weighed = causes_of(visit, marks_of(visit, broad, pair, None, priors), (0.1, 0.0))
    return next_readings(visit, Known(settled, broad, weighed, pair, None), (), (), priors)


def sampler() -> Callable[[], Any]:
    """Return one hundredth of the sampling that gives the same answer as the fit."""
    import emcee
    import numpy as np

    from tests.reference.joint_posterior import Posterior

    kept = json.loads((CHECKOUT / "tests" / "reference" / f"{RICHEST}.json").read_text())
    walkers, steps = (int(part.split()[0]) for part in kept["sampler"].split(", ")[1:])
    joint = Joint(model)
    start = np.random.default_rng(1).multivariate_normal(joint.mean, np.array(joint.solution.covariance), walkers)
    moves = [(emcee.moves.DEMove(), 0.8), (emcee.moves.DESnookerMove(), 0.1), (emcee.moves.StretchMove(), 0.1)]
    ensemble = emcee.EnsembleSampler(walkers, len(joint.mean), Posterior(visit, model), vectorize=True, moves=moves)
    needed = steps * 10_000 / kept["independent_draws"] / SHARE
    return lambda: ensemble.run_mcmc(start, round(needed))


CASES = [
    Case(
        "judge, richest example",
        lambda: judge(visit),
        limit_ms=150.0,
        note="the numbers (30 ms) with the causes and the next reading (120 ms); bound by Python's arithmetic",
    ),
    Case(
        "causes and next reading, richest example",
        causes_and_next,
        limit_ms=120.0,
        note="a fit of their own, some six hundred cases, seventeen readings looked ahead to",
    ),
    Case(
        "joint fit, richest example",
        lambda: Joint(build(visit, Priors())),
        sampler(),
        f"emcee, 1/{SHARE} of its steps",
        5000 / SHARE,
        f"10,000 independent draws take {SHARE} times the right-hand time, so the ratio counts {SHARE}-fold",
        limit_ms=15.0,
        repeats=1,
    ),
]
