"""Ids and moments that a device can mint alone, and that all devices order alike."""

from typing import NamedTuple

COUNTS = 65536  # counter values within one millisecond
_SKEW = 24 * 3600 * 1000  # a moment that lies further ahead than this comes from a wrong clock [ms]


class Clock(NamedTuple):
    """State of a device's hybrid logical clock: the last moment that it gave or saw."""

    last: int = 0

    def tick(self, milliseconds: int) -> "Clock":
        """Return the clock after one event of its own at a wall time: later than anything that it gave or saw.

        Parameters
        ----------
        milliseconds : int
            Wall time since 1970; it may stand still or run backwards.
        """
        return Clock(max(milliseconds * COUNTS, self.last + 1))

    def seen(self, moment: int, milliseconds: int) -> "Clock":
        """Return the clock after a foreign moment was seen; one that lies more than a day ahead is not followed."""
        if moment > (milliseconds + _SKEW) * COUNTS:
            return self
        return Clock(max(self.last, moment))


def wall(moment: int) -> int:
    """Return the milliseconds since 1970 of a moment."""
    return moment // COUNTS


def uuid7(milliseconds: int, random: int) -> str:
    """Return a UUID of version 7: sortable by time, 74 random bits.

    Parameters
    ----------
    milliseconds : int
        Wall time since 1970.
    random : int
        At least 74 random bits; the rest is cut off.
    """
    value = (milliseconds & ((1 << 48) - 1)) << 80
    value |= 0x7 << 76 | ((random >> 62) & 0xFFF) << 64 | 0b10 << 62 | (random & ((1 << 62) - 1))
    text = f"{value:032x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
