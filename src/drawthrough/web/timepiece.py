"""What the application takes from the machine beside the store: the time, the place's own time, and chance."""

import secrets
import time
from datetime import datetime
from typing import Protocol


class Timepiece(Protocol):
    """The clock that an application is given."""

    def milliseconds(self) -> int:
        """Return the milliseconds since 1970."""

    def local(self, milliseconds: int) -> datetime:
        """Return a moment in the time of the place."""

    def random(self) -> int:
        """Return 80 random bits."""


class SystemTimepiece:
    """The machine's own clock, its time zone and its source of chance."""

    def milliseconds(self) -> int:
        """Return the milliseconds since 1970."""
        return time.time_ns() // 1_000_000

    def local(self, milliseconds: int) -> datetime:
        """Return a moment in the time zone of the machine."""
        return datetime.fromtimestamp(milliseconds / 1000.0)

    def random(self) -> int:
        """Return 80 random bits."""
        return secrets.randbits(80)
