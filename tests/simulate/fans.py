"""The true blower of a simulated house: measured shapes, the wheel's dirt, and what its motor does with them.

Everything is in SI. A clean blower's curve is its whole rise at standard density: the measured external static plus
what the cabinet in which it was measured takes. The print on the sheet is made from it in `house`.
"""

import bisect
import math
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

INWC, CFM = 249.08891, 4.7194745e-4
STANDARD_DENSITY = 1.2014  # 0.075 lb/ft3 [kg/m3]
FANS: dict[str, Any] = tomllib.loads(Path(__file__).with_name("fans.toml").read_text(encoding="utf-8"))
SHAPES = {
    "psc": ("psc_measured", "psc_baseline"),
    "constant torque": ("constant_torque", "constant_torque"),
    "constant airflow": ("psc_measured", "psc_baseline"),  # the bare wheel at one speed; its motor then picks the speed
}
LEAST_FALL = 40.0  # cfm per in. w.c. of a 1200 cfm blower towards free delivery, where the fits peak (judgement)
LEAST_RISE = 1.0  # [Pa] between two points of the table that may still lie on the falling side (judgement)


def external(shape: str, static: float) -> float:
    """Airflow over its design airflow of a measured shape at an external static [Pa]; may fall below zero."""
    fan, p = FANS[shape], static / INWC
    if fan["form"] == "exponential":
        airflow = fan["airflow_design"] + fan["drop"] * (math.exp(fan["rate"] * 0.5) - math.exp(fan["rate"] * p))
    else:
        airflow = fan["airflow_design"] + fan["a1"] * (p - 0.5) + fan["a2"] * (p * p - 0.25)
    return float(airflow / fan["airflow_design"])


class Wheel(NamedTuple):
    """What lies on the wheel and how its motor turns: all 1 for a clean wheel at full speed."""

    airflow: float = 1.0  # scale of airflow by dirt
    pressure: float = 1.0  # scale of pressure by dirt
    speed: float = 1.0  # tap, or a wheel that turns the right way at less speed
    slip: float = 0.0  # of an induction motor at its design load: weak capacitor and low voltage


class Blower:
    """A clean blower at full speed: two measured shapes mixed, stretched and bent; tabulated once for speed."""

    def __init__(
        self, shapes: tuple[str, str], mix: float, stretch: float, bend: float, design: float, cabinet: float, n: float
    ) -> None:
        self.design = design  # airflow at 0.5 in. w.c. external [m3/s]
        self.cabinet, self.cabinet_exponent = cabinet, n
        statics = [0.05 * k * INWC for k in range(-12, 34)]
        airflows = []
        for static in statics:
            p = static / stretch
            q = mix * external(shapes[0], p) + (1.0 - mix) * external(shapes[1], p)
            airflows.append(design * (q - bend * (max(p, 0.0) / INWC) ** 2))
        least = LEAST_FALL / 1200.0 * design * 0.05
        for k in range(len(statics) - 2, -1, -1):  # from blocked to free: never flat
            airflows[k] = max(airflows[k], airflows[k + 1] + least)
        kept = [(p, q) for p, q in zip(statics, airflows, strict=True) if q > 0.05 * design]
        self.statics = [p for p, _ in kept]
        self.airflows = [q for _, q in kept]
        self.rises, self.flows = [], []
        for p, q in kept:
            rise = p + self.inside(q)
            if self.rises and rise < self.rises[-1] + LEAST_RISE:
                break  # from here on the blower stalls: less air at less pressure
            self.rises.append(rise)
            self.flows.append(q)
        self.rises.append(self.rises[-1] * 1.1)
        self.flows.append(0.0)

    def inside(self, airflow: float) -> float:
        """Drop inside the cabinet in which the blower was measured [Pa]."""
        return self.cabinet * (max(airflow, 0.0) / self.design) ** self.cabinet_exponent

    def at_external(self, static: float) -> float:
        """Airflow of the clean blower in its cabinet at an external static [m3/s]."""
        return _between(self.statics, self.airflows, static)

    def at_rise(self, rise: float) -> float:
        """Airflow of the clean blower against a whole rise at standard density [m3/s]."""
        return _between(self.rises, self.flows, rise)

    def airflow(self, rise: float, density: float, wheel: Wheel, load: float) -> float:
        """Airflow as it runs against a rise; `load` is its airflow over the design one, for the slip."""
        speed = turning(wheel, load)
        work = rise * STANDARD_DENSITY / density / (speed * speed * wheel.pressure)
        return speed * wheel.airflow * self.at_rise(work)

    def against_clean(self, airflow: float, rise: float, density: float, speed: float = 1.0) -> float:
        """The scale s of the fan laws, Q = s * Q_clean(P / s^2), that its operating point shows; `speed` taken out."""
        low, high = math.log(0.2), math.log(2.0)
        for _ in range(45):
            middle = 0.5 * (low + high)
            scale = math.exp(middle) * speed
            there = scale * self.at_rise(rise * STANDARD_DENSITY / density / (scale * scale))
            low, high = (middle, high) if there < airflow else (low, middle)
        return math.exp(0.5 * (low + high))


def turning(wheel: Wheel, load: float) -> float:
    """Speed over full speed: an induction motor that is weak slips the more, the more it moves."""
    return wheel.speed * (1.0 - wheel.slip * (0.4 + 0.6 * min(load, 1.3)))


def _between(xs: list[float], ys: list[float], x: float) -> float:
    """Straight lines through the points, and on along the first or the last of them."""
    k = min(max(bisect.bisect_left(xs, x), 1), len(xs) - 1)
    return ys[k - 1] + (ys[k] - ys[k - 1]) * (x - xs[k - 1]) / (xs[k] - xs[k - 1])
