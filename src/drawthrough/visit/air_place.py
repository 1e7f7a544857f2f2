"""Places along the air path of one system: which exist, in which order the air passes them, and the sign this gives.

A pressure is that at its first place less that at its second. While the blower turns, everything before it lies below
the room and everything after it above; between two places on the same side of the blower the one that the air passes
first has the higher pressure. So a pressure typed without a sign has one all the same.
"""

import re
from typing import NamedTuple, get_args

from drawthrough.units import INWC
from drawthrough.visit.state import AirPlace, SpotPlace

AIR_PLACES: tuple[str, ...] = get_args(AirPlace)
SPOT_PLACES: tuple[str, ...] = get_args(SpotPlace)

# A sign that contradicts its place is believed up to this: so near to zero it may be noise (judgement). [Pa]
NEAR_ZERO = 0.01 * INWC

_SIGN = re.compile(r"^\s*(?P<sign>[-+−])")

SIGN_FROM_PLACE = "Typed without a sign; the places say that it is below zero."
SIGN_TURNED = "Typed with the hoses the other way round; the places give the sign."


class Layout(NamedTuple):
    """What the places of a system depend on."""

    arrangement: str
    filter_place: str
    filter_places: int
    heater: bool


def ranks(layout: Layout) -> dict[str, int]:
    """Return the places that exist on a system, numbered in the order of the air; equal numbers are one place.

    Numbers below 10 lie before the blower, those above after it.
    """
    filters = ("before filter", "after filter") if layout.filter_places else ()
    grille = layout.filter_place == "grille"
    found = {"return grille": 1, "return plenum": 2}
    if filters:
        # Before a filter grille lies the room itself; behind it the return duct begins.
        found |= {"after filter": 1} if grille else {"before filter": 2, "after filter": 3}
    last = 3 if filters and not grille else 2
    if layout.arrangement == "draw-through":
        found |= {"before coil": last, "after coil": 5, "before blower": 5, "after blower": 11}
        if layout.heater:
            found |= {"before heater": 11, "after heater": 12}
        return found | {"supply plenum": 12}
    found |= {"before blower": last, "after blower": 11, "before heater": 11, "after heater": 12}
    return found | {"before coil": 12, "after coil": 13, "supply plenum": 13}


def sign_between(layout: Layout, at: str, against: str) -> int:
    """Return the sign of the pressure at one place less that at another; 0 where nothing lies between them."""
    order = ranks(layout)
    if against == "room":
        return -1 if order[at] < 10 else 1
    if at == "room":
        return -sign_between(layout, against, "room")
    first, second = order[at], order[against]
    if first == second:
        return 0
    if (first < 10) != (second < 10):
        return 1 if first > 10 else -1
    return 1 if first < second else -1


class Settled(NamedTuple):
    """A pressure with its sign settled. `remark` says how, if not as typed; `fault` is set where it cannot be."""

    value: float
    remark: str = ""
    fault: str = ""


def settle(value: float, typed: str, what: str, sign: int) -> Settled:
    """Return a pressure with the sign that its places give.

    Parameters
    ----------
    value : float
        As typed. [Pa]
    typed : str
        What the hand typed, in which a sign may or may not stand.
    what : str
        static or pressure_drop.
    sign : int
        What `sign_between` says of its places.
    """
    match = _SIGN.match(typed)
    if value == 0.0 or value * sign > 0.0:
        return Settled(value)
    if match is None:
        return Settled(-value, SIGN_FROM_PLACE) if sign else Settled(value, fault="sign not known")
    if not sign or abs(value) <= NEAR_ZERO:
        return Settled(value)
    if what == "pressure_drop":
        return Settled(-value, SIGN_TURNED)
    return Settled(value, fault="sign against place")
