"""Composites for the rows on uncertainty: the worked examples of the GUM and of its supplement 1, from their inputs."""

import math
from functools import cache

from drawthrough.measure.budget import Budget, Contribution, combine
from drawthrough.measure.montecarlo import Draws, draw, shortest_interval, symmetric_interval
from drawthrough.measure.propagate import Input, Joint, Propagated, propagate, propagate_joint
from drawthrough.measure.student import coverage_factor

# H.1: the length of an end gauge, in nm; table H.1 and the text of H.1.3.
GAUGE = (
    Input("standard", 50_000_623.0, 25.0, 18.0),
    Input("difference", 215.0, 9.7, 25.6),
    Input("expansion", 11.5e-6, 2e-6 / math.sqrt(3)),
    Input("temperature", -0.1, 0.41),
    Input("expansion gap", 0.0, 1e-6 / math.sqrt(3), 50.0),
    Input("temperature gap", 0.0, 0.05 / math.sqrt(3), 2.0),
)

# H.2: five simultaneous readings of volts, amperes and radians; table H.2.
VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
AMPS = (19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3)
PHASE = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


@cache
def _gauge() -> Propagated:
    def length(ls: float, d: float, alpha: float, theta: float, d_alpha: float, d_theta: float) -> float:
        return ls + d - ls * (d_alpha * theta + alpha * d_theta)

    return propagate(length, GAUGE)


def gauge_value() -> float:
    """Return the length of the end gauge [nm]."""
    return _gauge().value


def gauge_uncertainty() -> float:
    """Return its combined standard uncertainty to first order [nm]."""
    return _gauge().uncertainty


def gauge_effect(label: str) -> float:
    """Return what one input contributes [nm]."""
    return next(line.effect for line in _gauge().budget.lines if line.label == label)


def gauge_difference_uncertainty() -> float:
    """Return the standard uncertainty of the measured difference [nm], from its three parts."""
    return _difference().uncertainty


def gauge_difference_freedom() -> float:
    """Return the effective degrees of freedom of the measured difference."""
    freedom = _difference().degrees_of_freedom
    assert freedom is not None
    return freedom


def _difference() -> Budget:
    parts = [
        Contribution("mean of five", 13.0 / math.sqrt(5), 1.0, 24.0),
        Contribution("comparator, random", 10.0 / coverage_factor(0.95, 5.0), 1.0, 5.0),
        Contribution("comparator, systematic", 20.0 / 3.0, 1.0, 8.0),
    ]
    return combine(parts)


def gauge_freedom() -> float:
    """Return the effective degrees of freedom of the length."""
    freedom = _gauge().budget.degrees_of_freedom
    assert freedom is not None
    return freedom


def gauge_expanded(probability: float) -> float:
    """Return the expanded uncertainty [nm], the degrees of freedom cut to a whole number as the example does."""
    return coverage_factor(probability, math.floor(gauge_freedom())) * gauge_uncertainty()


def _mean(values: tuple[float, ...]) -> tuple[float, float]:
    middle = math.fsum(values) / len(values)
    square = math.fsum((value - middle) ** 2 for value in values)
    return middle, math.sqrt(square / (len(values) - 1) / len(values))


def correlation_of_means(first: str, second: str) -> float:
    """Return the correlation of two means of the simultaneous readings."""
    series = {"volts": VOLTS, "amps": AMPS, "phase": PHASE}
    a, b = series[first], series[second]
    (mean_a, u_a), (mean_b, u_b) = _mean(a), _mean(b)
    covariance = math.fsum((x - mean_a) * (y - mean_b) for x, y in zip(a, b, strict=True)) / (len(a) - 1) / len(a)
    return covariance / (u_a * u_b)


@cache
def _impedance(*, correlated: bool = True) -> Joint:
    inputs = [Input(name, *_mean(values)) for name, values in (("volts", VOLTS), ("amps", AMPS), ("phase", PHASE))]
    pairs = (("volts", "amps"), ("volts", "phase"), ("amps", "phase"))
    functions = {
        "resistance": lambda v, i, phi: v / i * math.cos(phi),
        "reactance": lambda v, i, phi: v / i * math.sin(phi),
        "impedance": lambda v, i, phi: v / i,
    }
    between = {pair: correlation_of_means(*pair) for pair in pairs} if correlated else None
    return propagate_joint(functions, inputs, between)


def impedance_value(result: str) -> float:
    """Return resistance, reactance or impedance [ohm]."""
    return _impedance().results[result].value


def impedance_uncertainty(result: str) -> float:
    """Return its combined standard uncertainty [ohm]."""
    return _impedance().results[result].uncertainty


def impedance_correlation(first: str, second: str) -> float:
    """Return the correlation of two results."""
    return _impedance().correlations[first, second]


@cache
def _sum_of_four(kind: str, widest: float) -> Draws:
    shape = "normal" if kind == "normal" else "rectangular"
    inputs = [Input(f"x{i}", 0.0, widest if i == 4 else 1.0, shape=shape) for i in (1, 2, 3, 4)]  # type: ignore[arg-type]
    return draw(lambda a, b, c, d: a + b + c + d, inputs, draws=100_000, seed=101)


def sum_uncertainty(kind: str, widest: float) -> float:
    """Return the standard uncertainty of a sum of four by Monte Carlo."""
    return _sum_of_four(kind, widest).uncertainty


def sum_end(kind: str, widest: float, interval: str) -> float:
    """Return the upper end of the 95 % interval of a sum of four."""
    found = shortest_interval if interval == "shortest" else symmetric_interval
    return found(_sum_of_four(kind, widest), 0.95).high
