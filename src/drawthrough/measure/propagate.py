"""Propagation of uncertainty through any function of floats: linear, with the budget of the result.

What the linear law cannot see (skew, limits, a flat top) is checked in `montecarlo`.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Literal, NamedTuple

from drawthrough.errors import Unresolvable
from drawthrough.measure.budget import Budget, Contribution, Correlations, combine, matrix

Shape = Literal["normal", "rectangular", "triangular", "t"]
Function = Callable[..., float]  # takes the inputs' values in their order

# Central differences step by this share of the standard uncertainty: near enough that curvature does not show (its
# error goes with the square), far enough that the digits of the function do not run out.
_STEP = 0.01
_SMALLEST_STEP = 1e-7  # of the value itself


class Input(NamedTuple):
    """One input of a measurement: a value with its standard uncertainty, and the shape that draws of it take."""

    label: str
    value: float
    uncertainty: float
    degrees_of_freedom: float = math.inf
    shape: Shape = "normal"


class Propagated(NamedTuple):
    """A result, and the budget of its standard uncertainty."""

    value: float
    budget: Budget

    @property
    def uncertainty(self) -> float:
        """The combined standard uncertainty."""
        return self.budget.uncertainty


class Joint(NamedTuple):
    """Several results of the same inputs: each with its budget, and their correlations by two labels."""

    results: dict[str, Propagated]
    correlations: dict[tuple[str, str], float]


def sensitivities(function: Function, inputs: Sequence[Input]) -> tuple[float, ...]:
    """Return how much a function moves per unit of each input.

    Parameters
    ----------
    function : callable
        Takes the inputs' values in their order and returns a float.
    inputs : sequence of Input
        Where, and how far around it, the function is looked at.

    Returns
    -------
    tuple of float
        Partial derivatives, in units of the result per unit of the input; 0 for an input without uncertainty.

    Raises
    ------
    Unresolvable
        The function gives no finite number there.

    Notes
    -----
    Central differences within a hundredth of the standard uncertainty, as the note to 5.1.3 of [1]_ allows: the mean
    slope where the value may lie, not the slope at a point. An input without uncertainty is not moved: its slope would
    change nothing.

    Examples
    --------
    >>> [round(one, 6) for one in sensitivities(lambda x, y: x * y, [Input("x", 2.0, 0.1), Input("y", 5.0, 0.1)])]
    [5.0, 2.0]

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1.
    """
    values = [one.value for one in inputs]
    found = []
    for i, one in enumerate(inputs):
        if one.uncertainty == 0.0:
            found.append(0.0)
            continue
        step = max(_STEP * one.uncertainty, _SMALLEST_STEP * abs(one.value))
        high, low = one.value + step, one.value - step  # as the machine holds them, so that their distance is exact
        rise = function(*values[:i], high, *values[i + 1 :]) - function(*values[:i], low, *values[i + 1 :])
        slope = rise / (high - low)
        if not math.isfinite(slope):
            raise Unresolvable(f"The function gives no finite number beside {one.label} = {one.value:.6g}.")
        found.append(slope)
    return tuple(found)


def propagate(
    function: Function,
    inputs: Sequence[Input],
    correlations: Correlations | None = None,
    derivatives: Sequence[float] | None = None,
) -> Propagated:
    """Return a function's value at the inputs and the budget of its standard uncertainty.

    Parameters
    ----------
    function : callable
        Takes the inputs' values in their order and returns a float.
    inputs : sequence of Input
        Values with their standard uncertainties, each with its own label.
    correlations : mapping of two labels to float, optional
        Correlation of the inputs' errors.
    derivatives : sequence of float, optional
        Exact partial derivatives, in the order of the inputs; without them they are found by differences.

    Returns
    -------
    Propagated
        value, and budget (see `combine`), both in the unit of the result.

    Raises
    ------
    Unresolvable
        The function gives no finite number at the inputs, or the derivatives are not one for each input.

    Notes
    -----
    The law of propagation of uncertainty to first order, equation 13 of [1]_. A product that is known only to be near
    zero has no first-order uncertainty at all: compare with `montecarlo.draw` where an input comes near zero.

    Examples
    --------
    >>> power = propagate(lambda volts, amps: volts * amps, [Input("volts", 240.0, 1.2), Input("amps", 20.0, 0.2)])
    >>> power.value, round(power.uncertainty, 2), power.budget.lines[0].label
    (4800.0, 53.67, 'amps')

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1 and 5.2.
    """
    value = function(*(one.value for one in inputs))
    if not math.isfinite(value):
        raise Unresolvable("The function gives no finite number at the inputs.")
    if derivatives is not None and len(derivatives) != len(inputs):
        raise Unresolvable(f"{len(derivatives)} derivatives are given for {len(inputs)} inputs.")
    slopes = sensitivities(function, inputs) if derivatives is None else derivatives
    contributions = [
        Contribution(one.label, one.uncertainty, slope, one.degrees_of_freedom)
        for one, slope in zip(inputs, slopes, strict=True)
    ]
    return Propagated(value, combine(contributions, correlations))


def propagate_joint(
    functions: Mapping[str, Function], inputs: Sequence[Input], correlations: Correlations | None = None
) -> Joint:
    """Return several functions of the same inputs, with the correlations that this gives them.

    Parameters
    ----------
    functions : mapping of str to callable
        Each takes the inputs' values in their order.
    inputs : sequence of Input
        Values with their standard uncertainties.
    correlations : mapping of two labels to float, optional
        Correlation of the inputs' errors.

    Returns
    -------
    Joint
        results (by the functions' labels) and correlations (of each two of them, in the order of the functions) [1].

    Notes
    -----
    The covariance of two results is the sum over both of their inputs, section 3.1.7 and example H.2 of [1]_. The
    correlation with a result that has no uncertainty is 0.

    Examples
    --------
    >>> both = propagate_joint({"sum": lambda x, y: x + y, "gap": lambda x, y: x - y},
    ...                        [Input("x", 1.0, 0.3), Input("y", 2.0, 0.1)])
    >>> round(both.correlations["sum", "gap"], 3)
    0.8

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), annex H.2.
    """
    results = {name: propagate(function, inputs, correlations) for name, function in functions.items()}
    between = matrix([one.label for one in inputs], correlations)
    effects = {}
    for name, result in results.items():
        slopes = {line.label: line.sensitivity for line in result.budget.lines}
        effects[name] = [slopes[one.label] * one.uncertainty for one in inputs]
    found = {}
    names = list(results)
    for i, first in enumerate(names):
        for second in names[i + 1 :]:
            product = results[first].uncertainty * results[second].uncertainty
            covariance = math.fsum(
                a * r * b
                for a, row in zip(effects[first], between, strict=True)
                for r, b in zip(row, effects[second], strict=True)
            )
            found[first, second] = max(-1.0, min(1.0, covariance / product)) if product else 0.0
    return Joint(results, found)
