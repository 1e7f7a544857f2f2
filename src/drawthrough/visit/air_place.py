"""Places along the air path of one system: which exist, in which order the air passes them, and the sign this gives.

A pressure is that at its first place less that at its second. While the blower turns, everything before it lies below
the room and everything after it above; between two places on the same side of the blower the one that the air passes
first has the higher pressure. So a pressure typed without a sign has one all the same.
"""

import re
from functools import cache
from typing import NamedTuple, get_args

from drawthrough.physics.airpath import AirPath
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

    @property
    def path(self) -> AirPath:
        """The air path of such a system."""
        return _path(self.arrangement, self.filter_place)

    @property
    def absent(self) -> tuple[str, ...]:
        """The sections that such a system lacks."""
        return (() if self.filter_places else ("filter",)) + (() if self.heater else ("heater",))


@cache
def _path(arrangement: str, filter_place: str) -> AirPath:
    return AirPath(arrangement, filter_place)


def places(layout: Layout) -> tuple[str, ...]:
    """Return the places that exist on a system; without a filter or a heater those beside it do not."""
    gone = {f"{side} {name}" for name in layout.absent for side in ("before", "after")}
    return tuple(place for place in layout.path.places if place not in gone)


def sign_between(layout: Layout, at: str, against: str) -> int:
    """Return the sign of the pressure at one place less that at another; 0 where nothing lies between them."""
    # Every section between two places that avoid the blower acts the same way, so any of them tells the sign.
    return next((sign for name, sign in layout.path.span(at, against) if name not in layout.absent), 0)


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
