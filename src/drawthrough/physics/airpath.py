"""The air path: what a section of it costs, in which order the air passes the sections, and what a pressure spans."""

from typing import Literal, NamedTuple

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.fan import MOTORS
from drawthrough.units import CFM

# The state to which a resistance coefficient refers.
REFERENCE_AIRFLOW = 1000 * CFM  # 0.47194744 [m3/s]
REFERENCE_DENSITY = 1.2041  # dry air at 20 C and 101325 Pa [kg/m3]
REFERENCE_VISCOSITY = 1.8134e-5  # air at 20 C [Pa.s]

Arrangement = Literal["draw-through", "blow-through"]
FilterPlace = Literal["slot", "grille"]
SectionName = Literal["return duct", "filter", "coil", "blower", "heater", "supply duct"]

_CABINETS: dict[str, tuple[SectionName, ...]] = {
    "draw-through": ("coil", "blower", "heater"),
    "blow-through": ("blower", "heater", "coil"),
}
_ENTRANCES: dict[str, tuple[SectionName, ...]] = {
    "slot": ("return duct", "filter"),
    "grille": ("filter", "return duct"),
}
_REAL_AIR = "plausible range of air"


class Exponent(NamedTuple):
    """What is believed of a section's exponent before it is measured: mean and standard deviation, and whence."""

    mean: float
    sd: float
    source: str


EXPONENTS: dict[SectionName, Exponent] = {
    "filter": Exponent(
        1.25,
        0.12,
        "1.18 = 1/0.85, Li et al. 2022, Sep. Purif. Technol. 284:120209; 1.0-1.5 for fibrous media (from memory)",
    ),
    "coil": Exponent(1.7, 0.05, "1.6-1.8, friction of fin-and-tube coils as Re^-0.2 to Re^-0.4 (from memory)"),
    "return duct": Exponent(1.9, 0.05, "1.8-2.0, ASHRAE Handbook - Fundamentals, duct design (from memory)"),
    "heater": Exponent(1.9, 0.05, "taken as a duct (judgement)"),
    "supply duct": Exponent(1.9, 0.05, "1.8-2.0, ASHRAE Handbook - Fundamentals, duct design (from memory)"),
}


def _state(exponent: float, density: float, viscosity: float) -> float:
    """Return the factor of the drop for air that is not the reference air, after refusing what is not air."""
    if not 0.5 <= exponent <= 2.5:
        raise OutOfRange("exponent", exponent, (0.5, 2.5), "plausible range; 1 is laminar, 2 fully turbulent")
    if not 0.2 <= density <= 2.0:
        raise OutOfRange("density", density, (0.2, 2.0), _REAL_AIR)
    if not 5e-6 <= viscosity <= 5e-5:
        raise OutOfRange("viscosity", viscosity, (5e-6, 5e-5), _REAL_AIR)
    heavier, thicker = density / REFERENCE_DENSITY, viscosity / REFERENCE_VISCOSITY
    factor: float = heavier ** (exponent - 1.0) * thicker ** (2.0 - exponent)
    return factor


def pressure_drop(
    resistance_coefficient: float,
    exponent: float,
    airflow_local: float,
    density: float = REFERENCE_DENSITY,
    viscosity: float = REFERENCE_VISCOSITY,
) -> float:
    """Return what a section of the air path costs.

    Parameters
    ----------
    resistance_coefficient : float
        Drop of the section at 1000 cfm of reference air. [Pa]
    exponent : float
        Exponent of airflow. [1]
    airflow_local : float
        Airflow at the state that it has in the section. [m3/s]
    density : float
        Density in the section; without it that of the reference air. [kg/m3]
    viscosity : float
        Viscosity in the section; without it that of the reference air. [Pa.s]

    Returns
    -------
    float
        Pressure drop. [Pa]

    Raises
    ------
    OutOfRange
        A resistance outside 0 to 5000 Pa, an exponent outside 0.5 to 2.5, an airflow outside 0 to 50 m3/s, or no air.

    Notes
    -----
    dp = K (Q/Q0)^n (rho/rho0)^(n-1) (mu/mu0)^(2-n): a friction factor that goes as Re^(n-2). Q0 is 1000 cfm,
    rho0 1.2041 kg/m3, mu0 that at 20 C. For n = 2 viscosity plays no part, for n = 1 density none. One mass flow
    passes all sections, so each has its own airflow: Q = m / rho. At equal mass flow dp goes as 1/rho: supply air of
    95 F costs 8 % more than that of 55 F.

    Examples
    --------
    >>> pressure_drop(55.0, 1.7, REFERENCE_AIRFLOW)
    55.0
    >>> round(pressure_drop(55.0, 1.7, 0.55), 2)
    71.34

    References
    ----------
    .. [1] Dimensional analysis of a section with f ~ Re^(n-2); exponents of ducts: ASHRAE Handbook - Fundamentals, duct
       design (from memory).
    """
    if not 0.0 <= resistance_coefficient <= 5000.0:
        raise OutOfRange("resistance_coefficient", resistance_coefficient, (0.0, 5000.0), "plausible range")
    if not 0.0 <= airflow_local <= 50.0:
        raise OutOfRange("airflow_local", airflow_local, (0.0, 50.0), "plausible range")
    relative: float = (airflow_local / REFERENCE_AIRFLOW) ** exponent if airflow_local else 0.0
    return resistance_coefficient * _state(exponent, density, viscosity) * relative


def airflow_through(
    pressure_drop: float,
    resistance_coefficient: float,
    exponent: float,
    density: float = REFERENCE_DENSITY,
    viscosity: float = REFERENCE_VISCOSITY,
) -> float:
    """Return the airflow that makes a section cost a given pressure.

    Parameters
    ----------
    pressure_drop : float
        Pressure drop of the section. [Pa]
    resistance_coefficient : float
        Drop of the section at 1000 cfm of reference air. [Pa]
    exponent : float
        Exponent of airflow. [1]
    density : float
        Density in the section; without it that of the reference air. [kg/m3]
    viscosity : float
        Viscosity in the section; without it that of the reference air. [Pa.s]

    Returns
    -------
    float
        Airflow at the state that it has in the section. [m3/s]

    Raises
    ------
    OutOfRange
        A drop outside 0 to 5000 Pa, a resistance that is not above zero, an exponent outside 0.5 to 2.5, or no air.

    Notes
    -----
    The inverse of `pressure_drop` by airflow.

    Examples
    --------
    >>> round(airflow_through(71.34, 55.0, 1.7), 4)
    0.55

    References
    ----------
    .. [1] As for `pressure_drop`.
    """
    if not 0.0 <= pressure_drop <= 5000.0:
        raise OutOfRange("pressure_drop", pressure_drop, (0.0, 5000.0), "the magnitude of a drop")
    if not 0.0 < resistance_coefficient <= 5000.0:
        raise OutOfRange("resistance_coefficient", resistance_coefficient, (0.0, 5000.0), "plausible range, above zero")
    relative = pressure_drop / (resistance_coefficient * _state(exponent, density, viscosity))
    airflow: float = REFERENCE_AIRFLOW * relative ** (1.0 / exponent)
    return airflow


def resistance_from_drop(
    pressure_drop: float,
    exponent: float,
    airflow_local: float,
    density: float = REFERENCE_DENSITY,
    viscosity: float = REFERENCE_VISCOSITY,
) -> float:
    """Return the resistance of a section from its drop at an airflow.

    Parameters
    ----------
    pressure_drop : float
        Pressure drop of the section. [Pa]
    exponent : float
        Exponent of airflow. [1]
    airflow_local : float
        Airflow at the state that it has in the section. [m3/s]
    density : float
        Density in the section; without it that of the reference air. [kg/m3]
    viscosity : float
        Viscosity in the section; without it that of the reference air. [Pa.s]

    Returns
    -------
    float
        Drop of the section at 1000 cfm of reference air. [Pa]

    Raises
    ------
    OutOfRange
        A drop outside 0 to 5000 Pa, an airflow that is not above zero, an exponent outside 0.5 to 2.5, or no air.

    Notes
    -----
    The inverse of `pressure_drop` by resistance. An untouched duct must give the same K before and after: that is the
    invariant by which two airflows are held against each other.

    Examples
    --------
    >>> round(resistance_from_drop(71.34, 1.7, 0.55), 2)
    55.0

    References
    ----------
    .. [1] As for `pressure_drop`.
    """
    if not 0.0 <= pressure_drop <= 5000.0:
        raise OutOfRange("pressure_drop", pressure_drop, (0.0, 5000.0), "the magnitude of a drop")
    if not 0.0 < airflow_local <= 50.0:
        raise OutOfRange("airflow_local", airflow_local, (0.0, 50.0), "plausible range, above zero")
    relative: float = (airflow_local / REFERENCE_AIRFLOW) ** exponent
    return pressure_drop / (_state(exponent, density, viscosity) * relative)


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
