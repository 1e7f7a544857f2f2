"""Sample the joint posterior of the examples with an independent ensemble sampler, and keep its quantiles.

Run by hand when the model, its priors or an example changes (a few minutes each):

    .venv/bin/python -m tests.reference.sample [example ...]

Differential-evolution and stretch moves only; at least 10,000 independent draws by the longest autocorrelation time.
"""

import json
import sys
from pathlib import Path

import emcee
import numpy as np

from drawthrough.judge.joint import Joint
from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.visit import sheet
from tests.reference.joint_posterior import Posterior
from tests.reference.targets import fingerprint, targets

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
NAMES = ("dirty-wheel-psc", "constant-airflow", "dirty-coil-clean-wheel", "nothing-resolved")
WALKERS, WANTED, SEED = 256, 10_000, 20260311


def sample(name):
    visit = sheet.load(EXAMPLES / f"{name}.toml")
    model = build(visit, Priors())
    joint = Joint(model)
    posterior = Posterior(visit, model)
    start = np.random.default_rng(SEED).multivariate_normal(joint.mean, np.array(joint.solution.covariance), WALKERS)
    moves = [(emcee.moves.DEMove(), 0.8), (emcee.moves.DESnookerMove(), 0.1), (emcee.moves.StretchMove(), 0.1)]
    np.random.seed(SEED)
    sampler = emcee.EnsembleSampler(WALKERS, len(joint.mean), posterior, vectorize=True, moves=moves)
    state = sampler.run_mcmc(start, 2000)
    sampler.reset()
    while True:
        state = sampler.run_mcmc(state, 2000)
        longest = float(sampler.get_autocorr_time(tol=0).max())
        independent = WALKERS * sampler.iteration / longest
        print(name, sampler.iteration, f"tau {longest:.0f}, independent {independent:.0f}", flush=True)
        if independent >= WANTED:
            break
    draws = sampler.get_chain(flat=True)
    kept = {}
    for label, weights in targets(model).items():
        values = sum(weight * draws[:, model.unknowns.find(unknown)] for unknown, weight in weights.items())
        low, middle, high = np.quantile(values, [0.025, 0.5, 0.975])
        kept[label] = {"low": low, "middle": middle, "high": high, "sd": float(values.std())}
    result = {
        "example": name,
        "fingerprint": fingerprint(model),
        "sampler": f"emcee {emcee.__version__}, {WALKERS} walkers, {sampler.iteration} steps",
        "longest_autocorrelation": longest,
        "independent_draws": independent,
        "quantiles": kept,
    }
    (HERE / f"{name}.json").write_text(json.dumps(result, indent=1) + "\n")


if __name__ == "__main__":
    for example in sys.argv[1:] or NAMES:
        sample(example)
