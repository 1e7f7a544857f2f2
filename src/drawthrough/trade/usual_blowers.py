"""What a clean blower of each kind of motor usually moves, where the unit's own table is not at hand."""

import tomllib
from functools import cache
from importlib.resources import files

import msgspec

from drawthrough.units import INWC
from drawthrough.visit.state import FanTable, Motor, System


class UsualBlowers(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Airflow over that at 0.5 in. w.c. by static [in. w.c.] and motor, and how far single units stray from it."""

    static: tuple[float, ...]
    psc: tuple[float, ...]
    constant_torque: tuple[float, ...] = msgspec.field(name="constant torque")
    constant_airflow: tuple[float, ...] = msgspec.field(name="constant airflow")
    level_sd: float
    unrated_sd: float
    slope_sd: float

    def shape(self, motor: Motor) -> tuple[float, ...]:
        """Return the relative airflows of a kind of motor."""
        return {"psc": self.psc, "constant torque": self.constant_torque}.get(motor, self.constant_airflow)


@cache
def usual_blowers() -> UsualBlowers:
    """Return the blowers that the tool brings."""
    text = (files("drawthrough.trade") / "usual_blowers.toml").read_text(encoding="utf-8")
    return msgspec.convert(tomllib.loads(text), UsualBlowers)


def usual_table(system: System, speed: str, airflow: float) -> FanTable:
    """Return a table as makers print it for what is usual of a system's motor.

    Parameters
    ----------
    system : System
        The equipment.
    speed : str
        The speed that it stands for.
    airflow : float
        At 0.5 in. w.c. [m3/s]
    """
    blowers = usual_blowers()
    points = zip(blowers.static, blowers.shape(system.motor), strict=True)
    static, relative = zip(*points, strict=True)
    return FanTable(
        speed=speed,
        static=tuple(INWC * each for each in static),
        airflow=tuple(airflow * each for each in relative),
        coil="dry" if system.coil_inside_taps else "none",
    )
