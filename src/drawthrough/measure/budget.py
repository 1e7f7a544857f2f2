"""Budgets: what a result's uncertainty is made of, the largest share first."""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.measure.student import coverage_factor

Correlations = Mapping[tuple[str, str], float]  # by two labels, in either order; what is not named is 0


class Contribution(NamedTuple):
    """One input of a budget: its standard uncertainty, and how much the result moves per unit of it."""

    label: str
    uncertainty: float
    sensitivity: float = 1.0
    degrees_of_freedom: float = math.inf  # of the uncertainty; infinite: it is known well

    @property
    def effect(self) -> float:
        """What the input's standard uncertainty does to the result, with its sign."""
        return self.sensitivity * self.uncertainty


class Line(NamedTuple):
    """One line of a budget: a contribution and its share of the result's variance."""

    label: str
    uncertainty: float
    sensitivity: float
    degrees_of_freedom: float
    effect: float  # standard uncertainty that it alone would give the result
    share: float  # of the variance; with correlation a share may be negative, and the shares still add up to 1


class Expanded(NamedTuple):
    """An expanded uncertainty, and the k by which it was expanded."""

    uncertainty: float
    coverage: float
    probability: float | None  # None: k was given


class Budget(NamedTuple):
    """A combined standard uncertainty with its lines, the largest share first."""

    uncertainty: float
    degrees_of_freedom: float | None  # effective; None: correlated inputs with few degrees of freedom have none
    lines: tuple[Line, ...]

    def expanded(self, k: float) -> Expanded:
        """Return the uncertainty times a coverage factor that is given."""
        if not 0.0 < k < math.inf:
            raise OutOfRange("coverage", k, (0.0, math.inf), "a coverage factor is above zero")
        return Expanded(k * self.uncertainty, k, None)

    def expanded_at(self, probability: float) -> Expanded:
        """Return the uncertainty expanded so that the interval holds the value with a probability."""
        if self.degrees_of_freedom is None:
            raise Unresolvable(
                "Correlated inputs with few degrees of freedom have no effective degrees of freedom: give a k instead."
            )
        k = coverage_factor(probability, self.degrees_of_freedom)
        return Expanded(k * self.uncertainty, k, probability)

    def share(self, label: str) -> float:
        """Return the share of one label."""
        return next(line.share for line in self.lines if line.label == label)


def combine(contributions: Sequence[Contribution], correlations: Correlations | None = None) -> Budget:
    """Return the budget of a result: the law of propagation of uncertainty, line by line.

    Parameters
    ----------
    contributions : sequence of Contribution
        The inputs, each with its own label.
    correlations : mapping of two labels to float, optional
        Correlation of the inputs' errors, from -1 to 1.

    Returns
    -------
    Budget
        uncertainty (in the unit of the result), degrees_of_freedom [1] and lines, the largest share first.

    Raises
    ------
    OutOfRange
        An uncertainty below zero, a sensitivity that is no finite number, or a correlation beyond -1 to 1.
    Unresolvable
        A label stands twice, a correlation names a label that is not there, or the correlations contradict each other.

    Notes
    -----
    Equation 16 of [1]_. The share of an input is its effect times the sum of its correlations with all effects, over
    the variance: the shares add up to 1, and a negative one says that its correlation takes uncertainty away.
    Effective degrees of freedom by Welch and Satterthwaite (G.2b), which holds for independent inputs: where an input
    with few degrees of freedom is correlated with another they are left undefined, and only a given k expands the
    budget.

    Examples
    --------
    >>> budget = combine([Contribution("volts", 0.4), Contribution("amps", 0.3)])
    >>> round(budget.uncertainty, 3), [(line.label, round(line.share, 2)) for line in budget.lines]
    (0.5, [('volts', 0.64), ('amps', 0.36)])

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.2.2 and annex G.
    """
    labels = [one.label for one in contributions]
    if len(set(labels)) != len(labels):
        raise Unresolvable("Two contributions have the same label.")
    for one in contributions:
        if not 0.0 <= one.uncertainty < math.inf:
            raise OutOfRange(one.label, one.uncertainty, (0.0, math.inf), "a standard uncertainty")
        if not math.isfinite(one.sensitivity):
            raise OutOfRange(one.label, one.sensitivity, (-math.inf, math.inf), "a sensitivity")
    between = matrix(labels, correlations)
    effects = [one.effect for one in contributions]
    size = max(map(abs, effects), default=0.0)
    if size == 0.0:
        lines = tuple(_line(one, 0.0) for one in contributions)
        return Budget(0.0, math.inf, lines)
    scaled = [effect / size for effect in effects]  # so that no square overflows or vanishes
    products = [
        a * math.fsum(r * b for r, b in zip(row, scaled, strict=True)) for a, row in zip(scaled, between, strict=True)
    ]
    variance = math.fsum(products)
    if variance < -1e-9:
        raise Unresolvable("The correlations contradict each other: the variance comes out below zero.")
    # Errors that cancel wholly leave rounding: a variance of nothing, with shares that mean nothing.
    variance = max(variance, 0.0)
    shares = [product / variance if variance > 1e-15 else 0.0 for product in products]
    uncertainty = size * math.sqrt(variance)
    lines = tuple(
        sorted(
            (_line(one, share) for one, share in zip(contributions, shares, strict=True)), key=lambda line: -line.share
        )
    )
    freedom = _effective(contributions, between, uncertainty)
    return Budget(uncertainty, freedom, lines)


def effective_degrees_of_freedom(contributions: Sequence[Contribution]) -> float:
    """Return the effective degrees of freedom of the sum of independent contributions.

    Parameters
    ----------
    contributions : sequence of Contribution
        The inputs, independent of each other.

    Returns
    -------
    float
        Effective degrees of freedom; infinite if every input's uncertainty is known well. [1]

    Notes
    -----
    Welch-Satterthwaite, equation G.2b of [1]_. Not truncated to a whole number.

    Examples
    --------
    >>> parts = [Contribution("mean", 5.8, 1.0, 24.0), Contribution("comparator", 3.9, 1.0, 5.0)]
    >>> round(effective_degrees_of_freedom([*parts, Contribution("its certificate", 6.7, 1.0, 8.0)]), 1)
    25.4

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), annex G.4.
    """
    size = max((abs(one.effect) for one in contributions), default=0.0)
    if size == 0.0:
        return math.inf
    squares = [(one.effect / size) ** 2 for one in contributions]
    below = math.fsum(s * s / one.degrees_of_freedom for s, one in zip(squares, contributions, strict=True))
    return math.inf if below == 0.0 else math.fsum(squares) ** 2 / below


def matrix(labels: Sequence[str], correlations: Correlations | None) -> list[list[float]]:
    """Return the correlation matrix of labels.

    Parameters
    ----------
    labels : sequence of str
        The rows, in order.
    correlations : mapping of two labels to float, or None
        Correlations that are not zero; each pair in either order.

    Returns
    -------
    list of list of float
        Symmetric, with ones on the diagonal. [1]

    Raises
    ------
    OutOfRange
        A correlation beyond -1 to 1.
    Unresolvable
        A label is not there, is paired with itself, or a pair is given twice with two values.

    Notes
    -----
    Whether the matrix as a whole is possible (no negative variance) is not checked here [1]_.

    Examples
    --------
    >>> matrix(["a", "b"], {("b", "a"): 0.7})
    [[1.0, 0.7], [0.7, 1.0]]

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.2.
    """
    where = {label: index for index, label in enumerate(labels)}
    found = [[1.0 if i == j else 0.0 for j in range(len(where))] for i in range(len(where))]
    given: dict[tuple[int, int], float] = {}
    for (first, second), value in (correlations or {}).items():
        if first not in where or second not in where or first == second:
            raise Unresolvable(
                f"A correlation is given between {first!r} and {second!r}, which are no two inputs here."
            )
        if not -1.0 <= value <= 1.0:
            raise OutOfRange("correlation", value, (-1.0, 1.0), "a correlation")
        i, j = where[first], where[second]
        if given.setdefault((min(i, j), max(i, j)), value) != value:
            raise Unresolvable(f"Two correlations are given between {first!r} and {second!r}.")
        found[i][j] = found[j][i] = value
    return found


def _line(one: Contribution, share: float) -> Line:
    return Line(one.label, one.uncertainty, one.sensitivity, one.degrees_of_freedom, abs(one.effect), share)


def _effective(contributions: Sequence[Contribution], between: list[list[float]], uncertainty: float) -> float | None:
    """Return effective degrees of freedom, or None where an uncertain uncertainty is correlated with another."""
    for i, one in enumerate(contributions):
        few = one.degrees_of_freedom < math.inf and one.effect != 0.0
        if few and any(r != 0.0 and contributions[j].effect != 0.0 for j, r in enumerate(between[i]) if j != i):
            return None
    if uncertainty == 0.0:
        return math.inf
    # Correlated inputs whose uncertainties are known well add to the variance and nothing to its uncertainty.
    below = math.fsum((one.effect / uncertainty) ** 4 / one.degrees_of_freedom for one in contributions)
    return math.inf if below == 0.0 else 1.0 / below
