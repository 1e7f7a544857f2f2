"""Sums of dust: over the sizes and over the past, both only under assumptions that are shown."""

from collections.abc import Mapping, Sequence
from math import fsum

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.dust import PathShares
from drawthrough.physics.filtration import Bin


def shares_over_sizes(paths: Sequence[PathShares], weight: Mapping[Bin, float]) -> dict[str, float]:
    """Return shares over several sizes, under an assumed size mix and capture.

    Parameters
    ----------
    paths : sequence of PathShares
        Shares of each size bin, with the same entries.
    weight : mapping
        For each bin, the assumed share of the return air's dust in it times the wheel's assumed capture. [1]

    Returns
    -------
    dict of float
        Share of each entry, by name. [1]

    Raises
    ------
    OutOfRange
        A negative weight.
    Unresolvable
        No weight at all, a bin twice, or bins with different entries.

    Notes
    -----
    share_j = sum over bins of w S_j / sum over bins of w S. The wheel's capture was never measured: show the weights
    beside the answer, or say the bins alone.

    Examples
    --------
    >>> fine = PathShares("3-10", {"filter": 0.68, "leak": 0.32}, 0.3)
    >>> lint = PathShares("over 10", {"filter": 0.16, "leak": 0.84}, 0.1)
    >>> round(shares_over_sizes([fine, lint], {"3-10": 1.0, "over 10": 3.0})["leak"], 2)
    0.58

    References
    ----------
    .. [1] Mass balance (derived).
    """
    if len({path.size_bin for path in paths}) != len(paths):
        raise Unresolvable("One size bin stands twice.")
    amounts = []
    for path in paths:
        if not 0.0 <= weight[path.size_bin] <= 1e6:
            raise OutOfRange("weight", weight[path.size_bin], (0.0, 1e6), "a weight")
        amounts.append(weight[path.size_bin] * path.downstream_ratio)
    return _mixed(paths, amounts)


def shares_over_time(paths: Sequence[PathShares], duration: Sequence[float]) -> tuple[dict[str, float], ...]:
    """Return shares over spans of the past in which the paths differed.

    Parameters
    ----------
    paths : sequence of PathShares
        Shares of one size bin in each span: the filter in its place, the filter out, works in the house.
    duration : sequence of float
        Running time of each span. [s]

    Returns
    -------
    tuple of dict of float
        For each span, the share of each entry in the dust of all spans, by name. [1]

    Raises
    ------
    OutOfRange
        A time that is not positive.
    Unresolvable
        Spans and times that are not of one number, or different size bins.

    Notes
    -----
    share = t S_j / sum over all spans of t S, at equal airflow and equal dust in the return air. A path in the past
    leaves no trace in today's readings: without the filter's history the top answer is today's largest path, never the
    cause.

    Examples
    --------
    >>> kept = PathShares("3-10", {"filter": 0.78, "leak": 0.22}, 0.298)
    >>> out = PathShares("3-10", {"filter": 0.936, "leak": 0.064}, 1.0)
    >>> round(shares_over_time([kept, out], [11.0, 1.0])[1]["filter"], 2)
    0.22

    References
    ----------
    .. [1] Mass balance (derived).
    """
    if not paths or len(paths) != len(duration):
        raise Unresolvable("Each span needs its running time, and there must be one.")
    if len({path.size_bin for path in paths}) != 1:
        raise Unresolvable("The spans are of different size bins.")
    for one in duration:
        if not 0.0 < one <= 1e9:
            raise OutOfRange("duration", one, (0.0, 1e9), "plausible range")
    total = fsum(one * path.downstream_ratio for path, one in zip(paths, duration, strict=True))
    return tuple(
        {name: share * one * path.downstream_ratio / total for name, share in path.shares.items()}
        for path, one in zip(paths, duration, strict=True)
    )


def _mixed(paths: Sequence[PathShares], amounts: Sequence[float]) -> dict[str, float]:
    total = fsum(amounts)
    if total == 0.0:
        raise Unresolvable("Nothing has a weight, so there are no shares.")
    names = paths[0].shares.keys()
    if any(path.shares.keys() != names for path in paths):
        raise Unresolvable("The size bins have different entries.")
    return {
        name: fsum(path.shares[name] * amount for path, amount in zip(paths, amounts, strict=True)) / total
        for name in names
    }
