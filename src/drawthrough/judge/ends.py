"""The two places between which a static is held: the blower's external static, and that of the ducts alone."""

from drawthrough.errors import Unresolvable
from drawthrough.judge.accuracy import PRESSURES
from drawthrough.physics.airpath import AirPath
from drawthrough.visit.state import Run, System


def path_of(system: System) -> AirPath:
    """Return the air path of a system."""
    return AirPath(system.arrangement, system.filter_place)


def same_place(path: AirPath, place: str) -> str:
    """Return the first name of a place: "before coil" is the same place as "after filter", and has the same hole."""
    station = path.station(place)
    return next(known for known in path.places if path.station(known) == station)


def external_ends(system: System) -> tuple[str, str]:
    """Return the places of the external static: it counts the filter where the maker's table was taken without one.

    Without a table the filter is taken to lie inside, so that the two plenums are the ends, as they are usually read.
    """
    inside = not system.fan_table or any(table.filter == "in" for table in system.fan_table)
    return _ends(system, inside)


def duct_ends(system: System) -> tuple[str, str]:
    """Return the places between which lie the ducts alone, and a coil outside the taps, which counts as duct."""
    return _ends(system, True)


def _ends(system: System, filter_inside: bool) -> tuple[str, str]:
    path = path_of(system)
    high, low = path.external_ends(system.coil_inside_taps, filter_inside)
    return same_place(path, high), same_place(path, low)


def read_between(system: System, run: Run, ends: tuple[str, str]) -> float | None:
    """Return the pressure between two places as a run's readings give it, outright or over the room [Pa]."""
    path = path_of(system)
    high, low = (path.station(place) for place in ends)
    single: dict[int, float] = {}
    for reading in run.reading:
        if reading.what not in PRESSURES or reading.against is None:
            continue
        try:
            stations = (path.station(reading.at), path.station(reading.against))
        except Unresolvable:
            continue
        if stations == (high, low):
            return reading.value
        if stations == (low, high):
            return -reading.value
        if stations[1] == 0:
            single[stations[0]] = reading.value
    return single[high] - single[low] if high in single and low in single else None
