"""Evidence of causes by thermodynamic integration, on the joint model's second writing with the causes' own beliefs.

Run by hand when the model, a belief about causes or an example changes (one to five minutes for each visit):

    .venv/bin/python -m tests.reference.cause_evidence [visit ...]

Many particles go from the beliefs to the posterior, the likelihood let in by degrees: nothing is linearised and
nothing is taken for normal but the beliefs. The mean of ln(likelihood) over the degrees, integrated, is ln of
the evidence; the mean weights of the steps between them give it a second time, without the error of the integral.
"""

import json
import sys
import tomllib
from pathlib import Path

import numpy as np

from drawthrough.judge.accuracy import noise_of
from drawthrough.judge.priors import CFM_PER_TON, Priors
from drawthrough.trade.causes import beliefs
from tests.reference.cause_hypotheses import (
    NAMED,
    SIMULATED,
    engine_of,
    fingerprint_of,
    hypotheses,
    label,
    ratios,
    visit_of,
    with_blower,
)
from tests.reference.joint_posterior import Q0, RHO0, RHO_TABLE, Posterior

FILE = Path(__file__).with_name("cause_evidence.toml")
PARTICLES, MOVES, REPEATS, SEED = 2000, 25, 2, 20260311  # with 5 moves the integrals fall short by half a unit
KEPT = 0.85  # share of the particles that each further degree of likelihood leaves effective
WIDENED = 1.5  # of the covariance that the first path finds
IMPOSSIBLE = -1e8
WILD = 0.6  # standard deviation of a step's ln(weights) beyond which its line is not drawn
SIX_POLES = 1075 / 60
APART = ("capacitance", "volts", "subcooling", "superheat")


class Beliefs:
    """The Gaussian beliefs of one visit before any reading, under any set of causes, and the likelihood.

    The numbers that causes shift are written by hand here as sums of the fit's unknowns: what each is as left (as
    found where nothing is as left), and how far as found lay from it. All other unknowns keep the fit's beliefs.
    """

    def __init__(self, visit):
        joint, self.pair, self.run, self.marks = engine_of(visit)
        self.visit, self.model = visit, joint.model
        self.posterior = Posterior(with_blower(visit), self.model)
        self.both = len({run.when for run in visit.run}) == 2
        self.names = list(self.model.unknowns.names)
        self.number = {}  # (mark, moved): weights by unknown, none for one outside the fit
        self._resistances()
        self._blower_and_leak()
        self._apart()
        self._replaced()

    def _has(self, *names):
        return all(name in self.names for name in names)

    def _resistances(self):
        system = self.visit.system
        rated = system.airflow_rated or (system.total_capacity_rated or 0.0) * 400 * CFM_PER_TON
        self.larger = np.log(rated / Q0) if rated else 0.0
        self.rated_off = 0.0 if system.airflow_rated else 0.05 if rated else 0.35
        for part in ("coil", "filter", "return duct", "supply duct"):
            base, change = f"resistance {part}", f"change {part}"
            if not self._has(base):
                continue
            exponent = f"exponent {part if part in ('coil', 'filter') else 'duct'}"
            new_filter = part == "filter" and self._has(change)  # the fit's filter is the one as found
            self.number[part, False] = {base: 1.0, exponent: self.larger, **({change: 1.0} if new_filter else {})}
            if self.both and self._has(change):
                self.number[part, True] = {change: -1.0 if new_filter else 1.0}

    def _blower_and_leak(self):
        sealed = self._has("leak as left")
        if self._has("leak") or sealed:
            self.number["leak", False] = {"leak as left" if sealed else "leak": 1.0}
            if self.both and sealed:
                self.number["leak", True] = {"leak": 1.0, "leak as left": -1.0}
        found, left = "strength as found", "strength as left"
        if self._has(left) or self._has(found):
            self.number["blower", False] = {left if self._has(left) else found: 1.0}
            if self.both and self._has("change strength"):
                self.number["blower", True] = {"change strength": 1.0}
            elif self.both and self._has(found, left):
                self.number["blower", True] = {found: 1.0, left: -1.0}

    def _apart(self):
        system = self.visit.system
        there = {
            "speed": True,
            "capacitance": system.motor == "psc" and system.capacitor is not None,
            "volts": bool(system.volts_rated),
            "subcooling": system.refrigerant is not None,
            "superheat": system.refrigerant is not None,
        }
        for mark in (name for name, yes in there.items() if yes):
            for moved in (False, True) if self.both else (False,):
                self.number[mark, moved] = None

    def _replaced(self):
        """Prepare the way from the numbers back to the unknowns that they take the place of."""
        taken = []
        for (part, moved), weights in self.number.items():
            if weights is not None:
                names = [n for n in weights if not n.startswith("exponent") and n not in taken]
                assert names, (part, moved)
                taken.append(names[0])
        fitted = [weights for weights in self.number.values() if weights is not None]
        matrix = np.array([[weights.get(name, 0.0) for name in self.names] for weights in fitted])
        self.out = [self.names.index(name) for name in taken]
        self.kept = [k for k in range(len(self.names)) if k not in self.out]
        self.back, self.through = np.linalg.inv(matrix[:, self.out]), matrix[:, self.kept]

    def prior(self, causes):
        """Return mean and covariance of the numbers under causes, each given as (name, whether it remains)."""
        told = beliefs()
        mean, sd = [], []
        for name, moved in self.number:
            mark = told.mark[name]
            worked = any((w.part, w.action) in mark.work for w in self.visit.work)
            mean.append(0.0 if moved else mark.mean)
            own = (mark.worked if worked else mark.moved) if moved else mark.sd
            rated = not moved and name in ("coil", "filter", "return duct", "supply duct")
            sd.append(np.hypot(own, 1.8 * self.rated_off) if rated else own)
        mean, covariance = np.array(mean), np.diag(np.square(sd))
        for name, remains in causes:
            cause = told.cause[name]
            worked = self.both and any((w.part, w.action) in cause.work for w in self.visit.work)
            shares = {True: 0.0, False: 1.0} if remains else {True: 1.0, False: 0.0}
            if remains and worked:  # the work took some of it away
                shares = {True: 0.6, False: 0.4}
            for shift in cause.shifts(self.visit.system.motor):
                for moved, share in shares.items():
                    by = np.array([shift.by.get(m, 0.0) if mv is moved else 0.0 for m, mv in self.number])
                    mean = mean + share * shift.mean * by
                    covariance = covariance + share * shift.sd**2 * np.outer(by, by)
        return mean, covariance

    def likelihood(self, causes):
        """Return ln of the likelihood as a function of standard normal coordinates, and how many there are."""
        mean, covariance = self.prior(causes)
        half = np.linalg.cholesky(covariance)
        fitted = [k for k, weights in enumerate(self.number.values()) if weights is not None]
        others_mean, others_sd = self.posterior.mean[self.kept], self.posterior.sd[self.kept]
        size = len(self.kept) + len(mean)
        places = list(self.number)

        def of(u):
            others = others_mean + others_sd * u[:, : len(self.kept)]
            numbers = mean + u[:, len(self.kept) : size] @ half.T
            x = np.empty((len(u), len(self.names)))
            x[:, self.kept] = others
            x[:, self.out] = (numbers[:, fitted] - others @ self.through.T) @ self.back.T
            with np.errstate(all="ignore"):
                believed = -0.5 * (((x - self.posterior.mean) / self.posterior.sd) ** 2).sum(axis=1)
                value = self.posterior(x) - believed
                value = value + self.read_apart({place: numbers[:, k] for k, place in enumerate(places)}, x, u[:, size])
            return np.where(np.isfinite(value), value, 10 * IMPOSSIBLE)

        return of, size + 1

    def read_apart(self, number, x, slope):
        """Return ln of the likelihood of what is read outside the fit; `slope` is how speed follows the work.

        What single readings say, and how well, is the engine's, as is the noise of all others; the rest is not.
        """
        total = np.zeros(len(x))
        places = [(k, n.mark, n.moved) for k, n in enumerate(self.marks.number) if n.mark in APART]
        readings = self.marks.readings
        for i, *one in places:
            total = total + readings.linear[i] * number[tuple(one)]
            for j, *other in places:
                total = total - 0.5 * readings.precision[i][j] * number[tuple(one)] * number[tuple(other)]
        return total + self._speed(number, x, slope)

    def _speed(self, number, x, slope):
        motor = self.visit.system.motor
        rpm = {}
        for run in self.pair[:2] if self.pair else (self.run,):
            read = [r for r in run.reading if r.what == "speed" and r.at == "blower"]
            if read:
                own = [noise_of(self.visit, r, Priors()) / r.value for r in read]
                mean = np.mean([r.value for r in read])
                rpm[run.id] = np.log(mean), np.sum(np.square(own)) / len(own) ** 2
        total = np.zeros(len(x))
        if motor == "psc" and rpm:
            first = next(iter(rpm))
            found = self.pair is not None and first == self.pair.found.id
            expected = number["speed", False] + (number["speed", True] if found else 0.0)
            total = total - 0.5 * ((rpm[first][0] - np.log(SIX_POLES) - expected) / 0.01) ** 2
        if len(rpm) < 2:
            return total
        follows = {"psc": "speed_slope_psc", "constant torque": "speed_slope_constant_torque"}
        believed = getattr(Priors(), follows.get(motor, "speed_slope_constant_airflow"))
        steep = believed.mean + believed.sd * slope
        found, left = self.pair[:2]
        work = [self._work(x, run) for run in (found, left)]
        expected = number["speed", True] + steep * (work[0] - work[1])
        if motor == "constant airflow":
            flow = [self.posterior.get(x, f"airflow {run.id}") for run in (found, left)]
            expected = expected + flow[0] - flow[1]
        elif not all(f"{run.id}: fan table" in [o.label for o in self.model.observations] for run in (found, left)):
            return total
        (first, one), (second, other) = rpm[found.id], rpm[left.id]
        return total - 0.5 * (first - second - expected) ** 2 / (one + other)

    def _work(self, x, run):
        """Return the pressure that the speed follows: all that the blower makes, or the static on its table."""
        drops = self.posterior.drops(x, run)
        if self.visit.system.motor == "constant airflow":
            return sum(drops.values())
        table = self.posterior.tables[run.speed][0]
        inlet = self.model.airs[run.id].section["blower"]
        strength = self.posterior.strength(x, run.when)
        scaled = np.exp(self.posterior.get(x, f"airflow {run.id}") - strength) * Q0 * RHO0 * inlet.volume / Q0
        static = sum(drops.values()) * RHO_TABLE / inlet.density * np.exp(-2 * strength)
        inside = {"coil": table.coil != "none", "filter": table.filter == "in", "heater": table.heater == "in"}
        for part in (part for part, yes in inside.items() if yes):
            k = self.posterior.get(x, f"resistance {part}") + self.posterior.get(x, f"rated {part}")
            if part == "coil" and table.coil == "wet":
                k = k + self.posterior.get(x, "wet coil")
            exponent = self.posterior.get(x, f"exponent {part if part in ('coil', 'filter') else 'duct'}")
            static = static - np.exp(k) * scaled**exponent
        return static


class Normal:
    """A normal law, drawn from and told."""

    def __init__(self, mean, covariance):
        self.mean, self.half = mean, np.linalg.cholesky(covariance)
        self.inverse = np.linalg.inv(self.half)
        self.constant = -np.log(np.diag(self.half)).sum()

    def draw(self, chance, count):
        return self.mean + chance.standard_normal((count, len(self.mean))) @ self.half.T

    def log(self, u):  # but for the powers of two pi, which all laws of as many numbers share
        return self.constant - 0.5 * (((u - self.mean) @ self.inverse.T) ** 2).sum(axis=1)


def integrated(of, size, chance):
    """Return ln of the evidence twice, by thermodynamic integration and by the weights of the steps.

    A first path leads from the beliefs to the posterior. What it finds there, taken for a normal law and widened, is
    where a second one begins: it is short, and its integral sure.
    """
    believed = Normal(np.zeros(size), np.eye(size))
    _, _, found = _followed(of, believed, 1000, 0.75, chance)
    begin = Normal(found.mean(axis=0), WIDENED * np.cov(found.T))
    return _followed(lambda u: of(u) + believed.log(u) - begin.log(u), begin, PARTICLES, KEPT, chance)[:2]


def _followed(of, begin, particles, kept, chance):
    """Follow a path from a normal law to that law times exp(of); return ln of its integral twice, and the particles."""
    u = begin.draw(chance, particles)
    log = of(u)
    able = log > IMPOSSIBLE
    lost = np.log(able.mean())  # what is believed and cannot be: a leak of more than all the air
    u, log = (part[able][np.arange(particles) % able.sum()] for part in (u, log))
    degrees, means, spreads, steps, reach = [0.0], [log.mean()], [log.var()], [], 0.6
    while degrees[-1] < 1.0:
        step = _step(log, 1.0 - degrees[-1], kept)
        weights = np.exp(step * (log - log.max()))
        steps.append(step * log.max() + np.log(weights.mean()))
        at = (chance.random() + np.arange(particles)) / particles
        chosen = np.minimum(np.searchsorted(np.cumsum(weights) / weights.sum(), at), particles - 1)
        degrees.append(degrees[-1] + step)
        reach, u, log = _moved(of, begin, u[chosen], log[chosen], degrees[-1], reach, chance)
        means.append(log.mean())
        spreads.append(log.var())
    width, mean, spread = np.diff(degrees), np.array(means), np.array(spreads)
    # The slope of the mean is the variance: the corrected trapezoid. Among the first degrees a few particles that fit
    # nothing make mean and variance what they are; there the steps stand for the line.
    lines = width * (mean[1:] + mean[:-1]) / 2 - width**2 * np.diff(spread) / 12
    wild = width * np.sqrt(spread[:-1]) > WILD
    return lost + float(np.where(wild, steps, lines).sum()), lost + float(np.sum(steps)), u


def _step(log, most, kept):
    """Return how much more of the likelihood leaves the wanted share of the particles effective."""

    def effective(step):
        weights = np.exp(step * (log - log.max()))
        return weights.sum() ** 2 / (weights**2).sum() / len(log)

    if effective(most) >= kept:
        return most
    low, high = 0.0, most
    for _ in range(60):
        middle = (low + high) / 2 if low else high / 8
        low, high = (middle, high) if effective(middle) >= kept else (low, middle)
        if low and high / low < 1.001:
            break
    return low


def _moved(of, begin, u, log, degree, reach, chance):
    """Move the particles where each degree of the path leaves them (preconditioned Crank-Nicolson)."""
    near = Normal(u.mean(axis=0), np.cov(u.T) + 1e-9 * np.eye(u.shape[1]))

    def beyond(v, log):  # over the normal law that the proposals leave as it is
        return degree * log + begin.log(v) - near.log(v)

    level = beyond(u, log)
    for _ in range(MOVES):
        tried = near.mean + np.sqrt(1.0 - reach**2) * (u - near.mean)
        tried = tried + reach * (near.draw(chance, len(u)) - near.mean)
        tried_log = of(tried)
        tried_level = beyond(tried, tried_log)
        taken = np.log(chance.random(len(u))) < tried_level - level
        u, log = np.where(taken[:, None], tried, u), np.where(taken, tried_log, log)
        level = np.where(taken, tried_level, level)
        reach = float(np.clip(reach * np.exp(taken.mean() - 0.4), 0.1, 0.99))
    return reach, u, log


def weighed_anew(name):
    """Return what is kept of one visit: ln of each evidence over that of the first, the likeliest hypothesis."""
    told = Beliefs(visit_of(name))
    engine = ratios(told.visit, told.marks)
    rows, first = [], None
    for number, causes in enumerate(hypotheses(told.visit, told.both, engine)):
        of, size = told.likelihood(causes)
        runs = [integrated(of, size, np.random.default_rng((SEED, number, k))) for k in range(REPEATS)]
        lines, steps = (np.array(each) for each in zip(*runs, strict=True))
        first = first or (causes, lines, steps)
        spread = np.hypot(lines.std(ddof=1), first[1].std(ddof=1) if rows else 0.0) / np.sqrt(REPEATS)
        rows.append({
            "causes": [each for each, _ in causes],
            "remains": [each for _, each in causes],
            "log_ratio": _told(lines.mean() - first[1].mean()),
            "by_steps": _told(steps.mean() - first[2].mean()),
            "error": _told(spread),
        })  # fmt: skip
        apart = engine[causes][0] - engine[first[0]][0]
        print(name, label(causes), {k: v for k, v in rows[-1].items() if k not in ("causes", "remains")},
              f"engine {apart:+.3f}, probability {engine[causes][1]:.4f}", flush=True)  # fmt: skip
    sampler = f"{REPEATS} runs of {PARTICLES} particles, {MOVES} moves at each degree, {KEPT:.0%} kept effective"
    return {
        "name": name,
        "fingerprint": fingerprint_of(told.visit, told.model),
        "sampler": sampler,
        "hypothesis": rows,
    }


def _told(value):
    return round(float(value), 3)


def write(visits):
    """Write the evidences of all visits."""
    lines = [
        "# ln of the evidence of causes over that of the likeliest set of them: by thermodynamic integration, and by",
        "# the weights of its steps, with the standard error of the first: python -m tests.reference.cause_evidence",
    ]
    for visit in visits:
        lines += ["", "[[visit]]", *(f"{key} = {_toml(visit[key])}" for key in ("name", "fingerprint", "sampler"))]
        for row in visit["hypothesis"]:
            lines += ["", "[[visit.hypothesis]]", *(f"{key} = {_toml(value)}" for key, value in row.items())]
    FILE.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _toml(value):
    return json.dumps(value)


def main(names):
    """Weigh the named visits anew, and leave the others as they were kept."""
    for name in names:
        anew = weighed_anew(name)
        others = tomllib.loads(FILE.read_text(encoding="utf-8"))["visit"] if FILE.exists() else []
        every = {visit["name"]: visit for visit in (*others, anew)}
        write([every[each] for each in (*NAMED, *SIMULATED) if each in every])


if __name__ == "__main__":
    main(sys.argv[1:] or [*NAMED, *SIMULATED])
