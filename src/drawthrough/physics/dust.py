"""Dust: by which path it reached the wheel, as shares; never as grams."""

from collections.abc import Mapping, Sequence
from math import fsum
from typing import NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.filtration import Bin

# Share of particles that a coil keeps on one pass, least and most.
COIL_DEPOSITION: dict[Bin, tuple[float, float]] = {
    "0.3-1": (0.0, 0.02),  # Siegel and Nazaroff 2003 (from memory)
    "1-3": (0.01, 0.20),  # Siegel and Nazaroff 2002: 1-10 um
    "3-10": (0.01, 0.20),
    "over 10": (0.2, 1.0),  # (judgement)
}

_WHOLE = 1e-6  # by how much the shares of air may miss 1


class DustShares(NamedTuple):
    """Shares of the dust after the filter by its three paths, and that dust over the return air's."""

    share_leak: float
    share_bypass: float
    share_filter: float
    downstream_ratio: float


class Entry(NamedTuple):
    """One way by which air comes to the wheel, with what its dust is like and what it must pass on the way."""

    name: str
    air_share: float
    concentration_ratio: Mapping[Bin, float]  # over the return air, at the mouth of the entry
    penetration: Mapping[Bin, float]  # of the entry itself: 1 for a grille
    passes: tuple[str, ...] = ()  # what lies between the entry and the wheel: filter, coil


class PathShares(NamedTuple):
    """Shares of one size bin's dust at the wheel by entry, and that dust over the return air's."""

    size_bin: Bin
    shares: dict[str, float]
    downstream_ratio: float


def dust_shares(
    efficiency: float, leak_fraction: float, bypass_fraction: float, concentration_ratio: float
) -> DustShares:
    """Return the shares of the dust that came by leaks, around the filter, and through it.

    Parameters
    ----------
    efficiency : float
        Efficiency of the filter itself, for one particle size. [1]
    leak_fraction : float
        Share of the blower's air that enters by leaks after the filter. [1]
    bypass_fraction : float
        Share of the blower's air that passes around the filter. [1]
    concentration_ratio : float
        Dust concentration at the leaks over that of the return air. [1]

    Returns
    -------
    DustShares
        `share_leak` [1], `share_bypass` [1], `share_filter` [1] and `downstream_ratio`, the dust after the filter over
        that of the return air [1].

    Raises
    ------
    OutOfRange
        A share outside 0 to 1, leaks and bypass together above 1, or a negative concentration ratio.
    Unresolvable
        No dust passes at all, so that there is nothing to share.

    Notes
    -----
    C_d/C_r = (1 - f_l - f_b)(1 - eta) + f_b + f_l R. Shares of what reaches the wheel or coil, not of what sticks; for
    one particle size only. What surprises people: behind a MERV 8 most of the 3-10 um dust came through the filter.

    Examples
    --------
    >>> shares = dust_shares(0.775, 0.064, 0.03, 1.0)
    >>> round(shares.share_filter, 2), round(shares.downstream_ratio, 4)
    (0.68, 0.2978)

    References
    ----------
    .. [1] Mass balance (derived). Leak share 0.064: Cummings et al., 2003. ASHRAE Transactions 109(1).
    """
    for name, value, high in (
        ("efficiency", efficiency, 1.0),
        ("leak_fraction", leak_fraction, 1.0),
        ("bypass_fraction", bypass_fraction, 1.0),
        ("concentration_ratio", concentration_ratio, 1e4),
    ):
        if not 0.0 <= value <= high:
            raise OutOfRange(name, value, (0.0, high), "plausible range")
    if leak_fraction + bypass_fraction > 1.0:
        limits = (0.0, 1.0 - leak_fraction)
        raise OutOfRange("bypass_fraction", bypass_fraction, limits, "leaks and bypass are shares of one airflow")
    through = (1.0 - leak_fraction - bypass_fraction) * (1.0 - efficiency)
    leaked = leak_fraction * concentration_ratio
    total = through + bypass_fraction + leaked
    if total == 0.0:
        raise Unresolvable("No dust passes the filter, so there are no shares.")
    return DustShares(leaked / total, bypass_fraction / total, through / total, total)


def path_shares(entries: Sequence[Entry], kept: Mapping[str, Mapping[Bin, float]], size_bin: Bin) -> PathShares:
    """Return by which entry the dust of one size came to the wheel.

    Parameters
    ----------
    entries : sequence of Entry
        Every way by which air comes to the wheel: the filter, a gap around it, leaks before and after filter and coil.
    kept : mapping
        By name of what lies on the way (filter, coil): the share of particles that it keeps, for each size bin. [1]
    size_bin : str
        "0.3-1", "1-3", "3-10" or "over 10", in micrometres.

    Returns
    -------
    PathShares
        `size_bin`, `shares` by name of the entry [1], and `downstream_ratio` [1]: dust at the wheel over the return's.

    Raises
    ------
    OutOfRange
        Shares of air that do not make 1, or a share, penetration or concentration ratio outside its range.
    Unresolvable
        No dust comes at all, an entry passes something that `kept` does not hold, or two entries have one name.

    Notes
    -----
    S_j = x_j R_j P_j times the product of (1 - kept) over what lies between entry j and the wheel; share_j = S_j / sum.
    A leak before the filter is filtered; with a filter in the grille the whole return duct lies after it; what enters
    before the coil of a draw-through unit pays the coil. The wheel's own capture cancels inside one size bin.

    Examples
    --------
    >>> one = {"3-10": 1.0}
    >>> grille = Entry("filter", 0.95, one, one, ("filter", "coil"))
    >>> seam = Entry("seam after the coil", 0.05, one, one)
    >>> found = path_shares([grille, seam], {"filter": {"3-10": 0.8}, "coil": {"3-10": 0.1}}, "3-10")
    >>> round(found.shares["seam after the coil"], 3)
    0.226

    References
    ----------
    .. [1] Mass balance (derived).
    """
    dust: dict[str, float] = {}
    for entry in entries:
        ratio, passed = entry.concentration_ratio[size_bin], entry.penetration[size_bin]
        for name, value, high in (
            ("air_share", entry.air_share, 1.0),
            ("concentration_ratio", ratio, 1e4),
            ("penetration", passed, 1.0),
        ):
            if not 0.0 <= value <= high:
                raise OutOfRange(name, value, (0.0, high), f"plausible range; {entry.name}")
        for barrier in entry.passes:
            if barrier not in kept:
                raise Unresolvable(f"{entry.name!r} passes {barrier!r}, of which nothing is known.")
            if not 0.0 <= kept[barrier][size_bin] <= 1.0:
                raise OutOfRange("efficiency", kept[barrier][size_bin], (0.0, 1.0), f"a share; {barrier}")
            passed *= 1.0 - kept[barrier][size_bin]
        if entry.name in dust:
            raise Unresolvable(f"Two entries are named {entry.name!r}.")
        dust[entry.name] = entry.air_share * ratio * passed
    air = fsum(entry.air_share for entry in entries)
    if not abs(air - 1.0) <= _WHOLE:
        raise OutOfRange("air_share", air, (1.0, 1.0), "the entries together make the blower's air")
    total = fsum(dust.values())
    if total == 0.0:
        raise Unresolvable(f"No dust of {size_bin} um comes to the wheel, so there are no shares.")
    return PathShares(size_bin, {name: amount / total for name, amount in dust.items()}, total)


def dust_index(before: PathShares, after: PathShares, airflow_before: float = 1.0, airflow_after: float = 1.0) -> float:
    """Return what a mend leaves of the dust that reaches the wheel.

    Parameters
    ----------
    before : PathShares
        Paths as they are.
    after : PathShares
        Paths with the mend done, in the same size bin.
    airflow_before : float
        Airflow as it is; only the ratio of both counts. [m3/s]
    airflow_after : float
        Airflow with the mend done: a better filter costs air. [m3/s]

    Returns
    -------
    float
        Dust that reaches the wheel in a running hour, after over before. [1]

    Raises
    ------
    OutOfRange
        An airflow that is not positive or above 50 m3/s.
    Unresolvable
        The two are of different size bins.

    Notes
    -----
    M = Q_after C_after / (Q_before C_before), at equal dust in the return air; a better filter lowers that too, in
    time, which is left out. Not grams: how much dust there is, nobody measured.

    Examples
    --------
    >>> found, sealed = PathShares("3-10", {}, 0.2978), PathShares("3-10", {}, 0.2483)
    >>> round(dust_index(found, sealed), 2)
    0.83

    References
    ----------
    .. [1] Mass balance (derived).
    """
    if before.size_bin != after.size_bin:
        raise Unresolvable(f"{before.size_bin} um before and {after.size_bin} um after cannot be compared.")
    for name, value in (("airflow_before", airflow_before), ("airflow_after", airflow_after)):
        if not 0.0 < value <= 50.0:
            raise OutOfRange(name, value, (0.0, 50.0), "plausible range")
    return after.downstream_ratio * airflow_after / (before.downstream_ratio * airflow_before)
