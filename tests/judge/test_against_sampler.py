"""The joint fit's intervals against an independent sampler on the same posterior, written a second time."""

import json
from pathlib import Path

import pytest

from drawthrough.judge.joint import Joint
from drawthrough.judge.model import build
from drawthrough.judge.priors import Priors
from drawthrough.visit import sheet
from tests.reference.targets import fingerprint, targets

REFERENCE = Path(__file__).parents[1] / "reference"
EXAMPLES = Path(__file__).parents[2] / "examples"
ENDS, WIDTH = 0.2, 0.06  # of the sampler's standard deviation; of its interval's width
# Where the interval misses by more, with what it is allowed instead: ends, width. The third order leaves these over.
# An airflow that only a fan table gives (no heat, no plate) rests on the resistance inside the rated cabinet, believed
# to a third of itself, and on a held airflow that may be let go: lower end 0.25 too low, 6.1 % too wide. A blower that
# nobody touched, on a curve that bends within what is believed of its strength: 0.36 for the ratio, 0.58 for the
# strength itself, which is said to be in doubt anyway. Two statics over ducts and a filter that was changed by nobody
# knows how much: the ratio, not resolved, is 30 % too narrow and its lower end 1.0 too high; the airflows, not
# resolved, 0.30. A coil that was washed, dry in one run and wet in another: upper end 0.21 too high, 6.1 % too wide
# (suspected: what a wet run adds is a product of two unknowns, and so is the leak behind the coil).
KNOWN = {
    "constant-airflow: airflow fan-found": (0.30, 0.07),
    "constant-airflow: airflow fan-left": (0.30, 0.07),
    "constant-airflow: airflow cooling-found": (0.30, 0.07),
    "constant-airflow: airflow cooling-left": (0.30, 0.07),
    "dirty-wheel-psc: change coil": (0.25, 0.07),
    "dirty-coil-clean-wheel: strength as found over as left": (0.40, 0.06),
    "dirty-coil-clean-wheel: strength as left": (0.62, 0.08),
    "nothing-resolved: airflow cooling-found": (0.26, 0.06),
    "nothing-resolved: airflow cooling-left": (0.33, 0.06),
    "nothing-resolved: airflow cooling-left over airflow cooling-found": (1.10, 0.33),
}
FILES = sorted(REFERENCE.glob("*.json"))


def cases():
    for file in FILES:
        kept = json.loads(file.read_text())
        for label in kept["quantiles"]:
            yield pytest.param(kept, label, id=f"{kept['example']}: {label}")


@pytest.mark.independent
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_the_kept_quantiles_belong_to_todays_posterior(file):
    kept = json.loads(file.read_text())
    model = build(sheet.load(EXAMPLES / f"{kept['example']}.toml"), Priors())
    assert kept["independent_draws"] >= 10_000
    assert fingerprint(model) == kept["fingerprint"], "sample again: python -m tests.reference.sample"
    assert set(kept["quantiles"]) == set(targets(model))


@pytest.mark.independent
@pytest.mark.parametrize(("kept", "label"), list(cases()))
def test_intervals_agree_with_the_sampler(kept, label):
    model = build(sheet.load(EXAMPLES / f"{kept['example']}.toml"), Priors())
    joint = Joint(model)
    weights = {model.unknowns.find(name): weight for name, weight in targets(model)[label].items()}
    middle, low, high, _ = joint.log_interval(joint.linear(weights))
    theirs = kept["quantiles"][label]
    sd = theirs["sd"]
    ends, width = KNOWN.get(f"{kept['example']}: {label}", (ENDS, WIDTH))
    assert abs(low - theirs["low"]) < ends * sd
    assert abs(high - theirs["high"]) < ends * sd
    assert abs(middle - theirs["middle"]) < ends * sd
    assert abs((high - low) / (theirs["high"] - theirs["low"]) - 1) < width


@pytest.mark.independent
@pytest.mark.parametrize("name", [file.stem for file in FILES])
def test_the_second_writing_of_the_posterior_agrees_point_by_point(name):
    numpy = pytest.importorskip("numpy")
    pytest.importorskip("scipy")
    from tests.reference.joint_posterior import Posterior

    visit = sheet.load(EXAMPLES / f"{name}.toml")
    model = build(visit, Priors())
    joint = Joint(model)
    posterior = Posterior(visit, model)
    unknowns = model.unknowns
    chance = numpy.random.default_rng(5)
    points = chance.multivariate_normal(joint.mean, numpy.array(joint.solution.covariance), 20)

    def own(x):
        total = -0.5 * sum(((v - m) / s) ** 2 for v, m, s in zip(x, unknowns.mean, unknowns.sd, strict=True))
        for row, o in zip(model.predict(list(map(float, x))), model.observations, strict=True):
            z = (o.value - row[0]) / o.sd
            total += -2.5 * numpy.log1p(z * z * 2 / 4) if o.heavy else -0.5 * z * z
        return total

    theirs = posterior(points)
    ours = numpy.array([own(x) for x in points])
    # Equal but for the normalising constant of the t density.
    apart = (theirs - ours) - (theirs - ours).mean()
    assert numpy.abs(apart).max() < 0.02
