"""The air path: in which order the air passes its sections, where places lie, and what a pressure between two spans."""

from typing import Literal

from drawthrough.errors import Unresolvable
from drawthrough.physics.fan import MOTORS
from drawthrough.physics.resistance import REFERENCE_AIRFLOW as REFERENCE_AIRFLOW
from drawthrough.physics.resistance import REFERENCE_DENSITY as REFERENCE_DENSITY
from drawthrough.physics.resistance import REFERENCE_VISCOSITY as REFERENCE_VISCOSITY
from drawthrough.physics.resistance import SectionName
from drawthrough.physics.resistance import airflow_through as airflow_through
from drawthrough.physics.resistance import pressure_drop as pressure_drop
from drawthrough.physics.resistance import resistance_from_drop as resistance_from_drop

Arrangement = Literal["draw-through", "blow-through"]
FilterPlace = Literal["slot", "grille"]

_CABINETS: dict[str, tuple[SectionName, ...]] = {
    "draw-through": ("coil", "blower", "heater"),
    "blow-through": ("blower", "heater", "coil"),
}
_ENTRANCES: dict[str, tuple[SectionName, ...]] = {
    "slot": ("return duct", "filter"),
    "grille": ("filter", "return duct"),
}


def sections(arrangement: str, filter_place: str = "slot") -> tuple[SectionName, ...]:
    """Return the sections of the air path in the order in which the air passes them.

    Parameters
    ----------
    arrangement : str
        "draw-through" or "blow-through".
    filter_place : str
        "slot" (at the cabinet) or "grille" (at the return grille, ahead of the return duct).

    Returns
    -------
    tuple of str
        The six sections, the blower among them.

    Raises
    ------
    Unresolvable
        Another arrangement, or another place of the filter.

    Notes
    -----
    A draw-through blower has filter and coil ahead of it, a blow-through blower (most furnaces) has heater and coil
    after it. A filter in the grille has the whole return duct behind it: what leaks in there is not filtered.

    Examples
    --------
    >>> sections("blow-through", "grille")
    ('filter', 'return duct', 'blower', 'heater', 'coil', 'supply duct')

    References
    ----------
    .. [1] Common practice of residential air handlers and furnaces.
    """
    if arrangement not in _CABINETS:
        raise Unresolvable(f"{arrangement!r} is no arrangement; use draw-through or blow-through.")
    if filter_place not in _ENTRANCES:
        raise Unresolvable(f"{filter_place!r} is no place of a filter; use slot or grille.")
    return (*_ENTRANCES[filter_place], *_CABINETS[arrangement], "supply duct")


class AirPath:
    """Sections and places of one arrangement, and what a pressure between two places spans.

    Station k lies ahead of section k; the first and the last station are the room, which closes the path to a loop.

    Parameters
    ----------
    arrangement : str
        "draw-through" or "blow-through".
    filter_place : str
        "slot" or "grille".
    """

    __slots__ = ("_station", "arrangement", "filter_place", "sections")

    def __init__(self, arrangement: str, filter_place: str = "slot") -> None:
        self.sections = sections(arrangement, filter_place)
        self.arrangement = arrangement
        self.filter_place = filter_place
        at = self.sections.index
        self._station = {"room": 0, "return plenum": at("return duct") + 1, "supply plenum": at("supply duct")}
        for name in ("filter", "coil", "blower", "heater"):
            self._station[f"before {name}"] = at(name)
            self._station[f"after {name}"] = at(name) + 1
        if filter_place == "grille":
            self._station["return grille"] = self._station["after filter"]
            del self._station["before filter"]

    @property
    def places(self) -> tuple[str, ...]:
        """The places that this arrangement has."""
        return tuple(self._station)

    def station(self, place: str) -> int:
        """Return the number of the station at which a place lies; the room is 0.

        Raises
        ------
        Unresolvable
            The place does not exist in this arrangement; the text says why.
        """
        found = self._station.get(place)
        if found is not None:
            return found
        if place == "before filter":
            raise Unresolvable("Before a filter in the grille lies the room itself: give the place as room.")
        if place == "return grille":
            raise Unresolvable(
                "With the filter in a slot the return grille is a part of the return duct, which is not split: "
                "give the end of the duct, the return plenum, as the place."
            )
        raise Unresolvable(
            f"{place!r} is no place on a {self.arrangement} air path; use one of {', '.join(self.places)}."
        )

    def hole(self, place: str, hole: str | None = None) -> str | None:
        """Return the name of the hole at a place, by which its placement error is shared; None in the room."""
        if self.station(place) == 0:
            return None
        return place if hole is None else f"{place}, {hole}"

    def span(self, at: str, against: str) -> list[tuple[SectionName, int]]:
        """Return the sections whose signed drops add up to the pressure at one place less that at another.

        The route is the one that avoids the blower: along the path where both places lie on one side of it, else
        through the room, since return and supply end in the same room. Every drop counts as positive, so a sign of
        -1 says that the pressure falls by it from `against` to `at`.

        Parameters
        ----------
        at : str
            The place whose pressure is given.
        against : str
            The place against which it is given.

        Raises
        ------
        Unresolvable
            A place does not exist in this arrangement.
        """
        first, second = self.station(at), self.station(against)
        blower = self.sections.index("blower")
        if (first <= blower) == (second <= blower):
            low, high = min(first, second), max(first, second)
            sign = 1 if first < second else -1
            return [(name, sign) for name in self.sections[low:high]]
        # One place lies before the blower, one after it: back to the room, and on from the room.
        before, after = (first, second) if first <= blower else (second, first)
        sign = 1 if first > blower else -1
        return [(name, sign) for name in (*self.sections[:before], *self.sections[after:])]

    def span_through_blower(self, at: str, against: str) -> list[tuple[SectionName, int]]:
        """Return the same pressure by the other route, the one that passes the blower.

        Its parts are those that `span` leaves out: the blower with the sign of its rise, the others with the signs of
        their drops. Both routes agree because the blower's rise is the sum of all drops. Empty for one and the same
        station. Parameters and refusals are those of `span`.
        """
        direct = self.span(at, against)
        if not direct:
            return []
        sign = direct[0][1]
        left_out = set(self.sections) - {name for name, _ in direct}
        return [(name, sign if name == "blower" else -sign) for name in self.sections if name in left_out]

    def external_ends(self, coil_inside_taps: bool, filter_inside_taps: bool = False) -> tuple[str, str]:
        """Return the places between which the external static is held: after the blower, and before it.

        Parameters
        ----------
        coil_inside_taps : bool
            Does the coil lie between the two taps, as in an air handler rated with its coil?
        filter_inside_taps : bool
            Does the filter, if it is in a slot at the cabinet? A filter in the grille never does.
        """
        slot = self.filter_place == "slot"
        if self.arrangement == "draw-through":
            if not coil_inside_taps:
                return "supply plenum", "before blower"
            return "supply plenum", "before coil" if slot and not filter_inside_taps else "return plenum"
        high = "supply plenum" if coil_inside_taps else "before coil"
        return high, "before blower" if slot and not filter_inside_taps else "return plenum"


def coil_dirt_effect(motor: str, coil_inside_taps: bool) -> int:
    """Return whether dirt on the coil raises or lowers the external static.

    Parameters
    ----------
    motor : str
        "psc", "constant torque" or "constant airflow" (below its limit).
    coil_inside_taps : bool
        Does the coil lie between the two taps of the external static?

    Returns
    -------
    int
        1: dirt raises it; -1: dirt lowers it; 0: it stays.

    Raises
    ------
    Unresolvable
        A motor that is none of the three.

    Notes
    -----
    A coil outside the taps is part of what the blower works against: its dirt raises the static, its cleaning lowers
    it. A coil inside leaves the ducts alone outside the taps, and they cost what airflow makes them cost: less air,
    less static, so that the static rises after a good cleaning. A motor that holds its airflow holds that static too,
    and shows the cleaning in its speed.

    Examples
    --------
    >>> coil_dirt_effect("psc", True), coil_dirt_effect("psc", False), coil_dirt_effect("constant airflow", True)
    (-1, 1, 0)

    References
    ----------
    .. [1] Pressure balance of blower and path; a consequence of `operating_point`, not a measurement.
    """
    if motor not in MOTORS:
        raise Unresolvable(f"{motor!r} is no kind of motor; use {', '.join(MOTORS)}.")
    if not coil_inside_taps:
        return 1
    return 0 if motor == "constant airflow" else -1
