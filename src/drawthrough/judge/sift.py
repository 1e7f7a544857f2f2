"""Readings that no equation of the engine can take are set aside before anything is worked out, and said to be."""

from collections.abc import Mapping
from typing import NamedTuple

import msgspec

from drawthrough.visit.state import Reading, Run, Visit

# Lowest and highest value that the equations take, by quantity [SI]: moist air's own fit for temperatures (a supply
# above 212 F is a limit switch that should have opened); nothing at all read of what runs is no reading of it.
_AIR = (213.15, 353.15)
_LIMITS: Mapping[tuple[str, str], tuple[float, float]] = {
    ("dry_bulb", "return"): _AIR,
    ("dry_bulb", "supply"): (213.15, 373.15),
    ("dry_bulb", "supply far"): (213.15, 373.15),
    ("dry_bulb", "outdoor"): _AIR,
    ("frequency", "line"): (40.0, 70.0),
}
_ABOVE_ZERO = ("blower_power", "power", "speed", "volts", "amps", "capacitance", "airflow", "gas_flow", "resistance")
_NOTHING = 1e-12  # SI; no quantity among them is read as little as that


class Sifted(NamedTuple):
    """A visit with what can be worked with, and where each of its readings stood before."""

    visit: Visit
    place: Mapping[str, tuple[int, ...]]  # by run: the index of each reading that was kept, in the visit as it was


def workable(run: Run, reading: Reading) -> bool:
    """Can the engine's equations take this reading?"""
    if reading.what in _ABOVE_ZERO and reading.value < _NOTHING:
        return False
    low, high = _LIMITS.get((reading.what, reading.at), (float("-inf"), float("inf")))
    if reading.what == "dry_bulb" and run.mode == "cooling" and reading.at == "supply":
        low, high = _AIR  # its humidity counts as well
    return low <= reading.value <= high


def sifted(visit: Visit) -> Sifted:
    """Return a visit without the readings that no equation can take.

    Parameters
    ----------
    visit : Visit
        As it was written down.
    """
    place = {run.id: tuple(k for k, one in enumerate(run.reading) if workable(run, one)) for run in visit.run}
    if all(len(place[run.id]) == len(run.reading) for run in visit.run):
        return Sifted(visit, place)
    runs = tuple(
        msgspec.structs.replace(run, reading=tuple(run.reading[k] for k in place[run.id])) for run in visit.run
    )
    return Sifted(msgspec.structs.replace(visit, run=runs), place)
