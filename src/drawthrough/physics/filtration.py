"""Filtration: what a filter keeps, by particle size, new, in service, and with air going around it."""

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable

Bin = Literal["0.3-1", "1-3", "3-10", "over 10"]
Edition = Literal["1999", "2017"]

# Aerodynamic particle diameter [m]; the last bin is lint and fibres.
SIZE_BINS: dict[Bin, tuple[float, float]] = {
    "0.3-1": (0.3e-6, 1e-6),
    "1-3": (1e-6, 3e-6),
    "3-10": (3e-6, 10e-6),
    "over 10": (10e-6, 1e-2),
}

# ANSI/ASHRAE 52.2: composite minimum efficiency of each class in E1 (0.3-1 um), E2 (1-3) and E3 (3-10), as least and
# most; None: no requirement. Editions 1999 to 2012 bound the bin that makes the class from both sides; the edition of
# 2017 (from memory) states least values only.
Limits = tuple[float, float] | None
MERV: dict[Edition, dict[int, tuple[Limits, Limits, Limits]]] = {
    "1999": {
        1: (None, None, (0.0, 0.20)),
        2: (None, None, (0.0, 0.20)),
        3: (None, None, (0.0, 0.20)),
        4: (None, None, (0.0, 0.20)),
        5: (None, None, (0.20, 0.349)),
        6: (None, None, (0.35, 0.499)),
        7: (None, None, (0.50, 0.699)),
        8: (None, None, (0.70, 0.849)),
        9: (None, (0.0, 0.499), (0.85, 1.0)),
        10: (None, (0.50, 0.649), (0.85, 1.0)),
        11: (None, (0.65, 0.799), (0.85, 1.0)),
        12: (None, (0.80, 0.899), (0.90, 1.0)),
        13: ((0.0, 0.749), (0.90, 1.0), (0.90, 1.0)),
        14: ((0.75, 0.849), (0.90, 1.0), (0.90, 1.0)),
        15: ((0.85, 0.949), (0.90, 1.0), (0.90, 1.0)),
        16: ((0.95, 1.0), (0.95, 1.0), (0.95, 1.0)),
    },
    "2017": {
        1: (None, None, None),
        2: (None, None, None),
        3: (None, None, None),
        4: (None, None, None),
        5: (None, None, (0.20, 1.0)),
        6: (None, None, (0.35, 1.0)),
        7: (None, None, (0.50, 1.0)),
        8: (None, (0.20, 1.0), (0.70, 1.0)),
        9: (None, (0.35, 1.0), (0.75, 1.0)),
        10: (None, (0.50, 1.0), (0.80, 1.0)),
        11: ((0.20, 1.0), (0.65, 1.0), (0.85, 1.0)),
        12: ((0.35, 1.0), (0.80, 1.0), (0.90, 1.0)),
        13: ((0.50, 1.0), (0.85, 1.0), (0.90, 1.0)),
        14: ((0.75, 1.0), (0.90, 1.0), (0.95, 1.0)),
        15: ((0.85, 1.0), (0.90, 1.0), (0.95, 1.0)),
        16: ((0.95, 1.0), (0.95, 1.0), (0.95, 1.0)),
    },
}
IN_SERVICE = (0.6, 1.2)  # efficiency in a house over the class's least value (judgement)

# Where a class has no rating: up to which class, and between which efficiencies it is thought to lie (judgement).
UNRATED: dict[Bin, tuple[tuple[int, float, float], ...]] = {
    "0.3-1": ((4, 0.0, 0.2), (12, 0.0, 0.5)),
    "1-3": ((4, 0.0, 0.3), (8, 0.0, 0.5)),
    "3-10": ((4, 0.0, 0.2),),
    "over 10": ((4, 0.5, 1.0), (16, 0.9, 1.0)),
}


class EfficiencyInterval(NamedTuple):
    """Between which efficiencies a filter lies in one size bin, and whether a standard says so or judgement."""

    efficiency_low: float
    efficiency_high: float
    rated: bool


def _limits(merv: int, size_bin: Bin, edition: Edition) -> Limits:
    rows = MERV[edition]
    if merv not in rows:
        raise OutOfRange("merv", merv, (min(rows), max(rows)), f"ANSI/ASHRAE 52.2-{edition}")
    if size_bin not in SIZE_BINS:
        raise Unresolvable(f"{size_bin!r} is not a size bin; the bins are {', '.join(SIZE_BINS)}.")
    return None if size_bin == "over 10" else rows[merv][list(SIZE_BINS).index(size_bin)]


def rated_efficiency(merv: int, size_bin: Bin, edition: Edition = "2017") -> EfficiencyInterval:
    """Return between which efficiencies a new filter of a class lies by the standard.

    Parameters
    ----------
    merv : int
        Class printed on the filter, 1 to 16.
    size_bin : str
        "0.3-1", "1-3", "3-10" or "over 10", in micrometres.
    edition : str
        "1999" (to 2012) or "2017".

    Returns
    -------
    EfficiencyInterval
        `efficiency_low` [1], `efficiency_high` [1], and `rated`, which is true.

    Raises
    ------
    OutOfRange
        A class outside 1 to 16.
    Unresolvable
        The class has no rating in this bin. No class has one above 10 um; MERV 8 has none below 1 um.

    Notes
    -----
    A class is a least efficiency, found as the filter is loaded in a laboratory; in a house it is no promise. The
    edition of 2017 states no upper values: 1 stands there. The class is the lowest that all bins meet, so a filter may
    lie far above it in one of them.

    Examples
    --------
    >>> rated_efficiency(8, "3-10", "1999")
    EfficiencyInterval(efficiency_low=0.7, efficiency_high=0.849, rated=True)

    References
    ----------
    .. [1] ANSI/ASHRAE 52.2, editions 1999 to 2012, parameters table.
    .. [2] ANSI/ASHRAE 52.2-2017, table 12-1 (from memory).
    """
    limits = _limits(merv, size_bin, edition)
    if limits is None:
        raise Unresolvable(f"MERV {merv} has no rating for {size_bin} um in ANSI/ASHRAE 52.2-{edition}.")
    return EfficiencyInterval(*limits, rated=True)


def service_efficiency(
    merv: int,
    size_bin: Bin,
    edition: Edition = "2017",
    in_service: tuple[float, float] = IN_SERVICE,
    unrated: Mapping[Bin, Sequence[tuple[int, float, float]]] = UNRATED,
) -> EfficiencyInterval:
    """Return between which efficiencies a filter is thought to lie in a house.

    Parameters
    ----------
    merv : int
        Class printed on the filter, 1 to 16.
    size_bin : str
        "0.3-1", "1-3", "3-10" or "over 10", in micrometres.
    edition : str
        "1999" (to 2012) or "2017".
    in_service : tuple of float
        Least and most efficiency in service, over the class's least value.
    unrated : mapping
        For each bin: up to which class, and between which efficiencies it is thought to lie where there is no rating.

    Returns
    -------
    EfficiencyInterval
        `efficiency_low` [1], `efficiency_high` [1], and `rated`: whether a standard stands behind it.

    Raises
    ------
    OutOfRange
        A class outside 1 to 16, or a factor that is negative.
    Unresolvable
        Neither the standard nor `unrated` says anything of this class and bin.

    Notes
    -----
    The factor is judgement, and so is each interval that is not rated; both can be replaced. Nothing keeps more than
    all: 1.2 times 0.95 ends at 1. Where the class's least value is 0 its most is taken unchanged.

    Examples
    --------
    >>> interval = service_efficiency(8, "3-10")
    >>> round(interval.efficiency_low, 2), round(interval.efficiency_high, 2), interval.rated
    (0.42, 0.84, True)
    >>> service_efficiency(8, "0.3-1")
    EfficiencyInterval(efficiency_low=0.0, efficiency_high=0.5, rated=False)

    References
    ----------
    .. [1] ANSI/ASHRAE 52.2; the factor and the unrated intervals are judgement.
    """
    limits = _limits(merv, size_bin, edition)
    if limits is None:
        for highest, low, high in unrated[size_bin]:
            if merv <= highest:
                return EfficiencyInterval(low, high, rated=False)
        raise Unresolvable(f"Nothing is known of MERV {merv} for {size_bin} um.")
    least, most = limits
    if least == 0.0:
        return EfficiencyInterval(0.0, most, rated=True)
    if not 0.0 <= in_service[0] <= in_service[1]:
        raise OutOfRange("in_service", in_service[0], (0.0, in_service[1]), "a factor of efficiency, least and most")
    return EfficiencyInterval(min(in_service[0] * least, 1.0), min(in_service[1] * least, 1.0), rated=True)


def efficiency_with_bypass(efficiency: float, bypass_fraction: float, penetration: float = 1.0) -> float:
    """Return the efficiency of a filter together with the gaps around it.

    Parameters
    ----------
    efficiency : float
        Efficiency of the filter itself. [1]
    bypass_fraction : float
        Share of the air that goes through the gaps, of gaps and filter together. [1]
    penetration : float
        Share of particles that pass the gap; 1 for all but lint in gaps under 2 mm. [1]

    Returns
    -------
    float
        Efficiency of both. [1]

    Raises
    ------
    OutOfRange
        A value outside 0 to 1.

    Notes
    -----
    E_eff = (1 - f_b) E + f_b (1 - P). Said by size bin, never as a class: in the editions before 2017 a 3-10 um
    efficiency below 85 % makes MERV 8 of anything, so that 11 to 14 % of bypass turn a MERV 15 into a MERV 8.

    Examples
    --------
    >>> round(efficiency_with_bypass(0.95, 0.10), 3)
    0.855

    References
    ----------
    .. [1] Ward and Siegel, 2005. ASHRAE Transactions 111(1) (mass balance; form derived).
    """
    for name, value in (
        ("efficiency", efficiency),
        ("bypass_fraction", bypass_fraction),
        ("penetration", penetration),
    ):
        if not 0.0 <= value <= 1.0:
            raise OutOfRange(name, value, (0.0, 1.0), "a share")
    return (1.0 - bypass_fraction) * efficiency + bypass_fraction * (1.0 - penetration)
