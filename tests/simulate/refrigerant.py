"""What gauges and pipe clamps would truly show of a cooling run."""

import math
import random
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from tests.simulate.house import drawn_by

DATA: dict[str, Any] = tomllib.loads(Path(__file__).with_name("refrigerant.toml").read_text(encoding="utf-8"))
PSI = 6894.757293168


class Cycle(NamedTuple):
    """Gauge pressures [Pa above the station's] and line temperatures [K]."""

    suction_pressure: float
    suction_temperature: float
    liquid_pressure: float
    liquid_temperature: float


class Machine(NamedTuple):
    """How one machine's cycle lies around its air; drawn once a visit."""

    approach: float
    lift: float
    superheat: float
    subcooling: float

    def cycle(self, leaving: float, outdoor: float, station: float) -> Cycle:
        """Return the cycle of a run: air leaves the coil and enters the condenser at two temperatures [K]."""
        evaporating, condensing = leaving - self.approach, outdoor + self.lift
        return Cycle(
            pressure(evaporating, dew=True) - station,
            min(evaporating + self.superheat, outdoor + 8.0),
            pressure(condensing, dew=False) - station,
            condensing - self.subcooling,
        )


def drawn(metering: str, cause: str, capacity_left: float, rng: random.Random) -> Machine:
    """Draw a machine; `cause` is low charge, high charge, or another word."""

    def of(name: str) -> float:
        return drawn_by(rng, DATA["cycle"][name])

    valve = metering == "expansion valve"
    machine = Machine(
        of("approach"), of("lift"), of("superheat_valve" if valve else "superheat_orifice"), of("subcooling")
    )
    lost = 1.0 - capacity_left
    if cause == "low charge":
        more = of("starved_superheat") * lost * (of("starved_valve") if valve else 1.0)
        return machine._replace(
            approach=machine.approach + of("starved_evaporating") * lost,
            superheat=machine.superheat + more,
            subcooling=max(0.3, machine.subcooling - of("starved_subcooling") * lost),
        )
    if cause == "high charge":
        return machine._replace(
            lift=machine.lift + of("full_lift"), subcooling=machine.subcooling + of("full_subcooling"),
            superheat=machine.superheat if valve else max(0.5, 0.5 * machine.superheat),
        )  # fmt: skip
    return machine


def pressure(temperature: float, dew: bool) -> float:
    """Saturation pressure [Pa absolute] at a temperature [K]: ln p straight in 1/T between the nodes, and just below.

    A coil that nearly chokes boils below them; the line of the first two nodes is carried on to -30 F.
    """
    nodes = DATA["node"]
    f = temperature * 1.8 - 459.67
    if not -30.0 <= f <= nodes[-1][0]:
        raise ValueError(f"{f:.1f} F lies outside the nodes")
    k = max(0, min(int((f - nodes[0][0]) // 10), len(nodes) - 2))
    column = 2 if dew else 1
    ends = [((nodes[i][0] + 459.67) / 1.8, math.log(nodes[i][column])) for i in (k, k + 1)]
    (t0, y0), (t1, y1) = ends
    return PSI * math.exp(y0 + (y1 - y0) * (1 / temperature - 1 / t0) / (1 / t1 - 1 / t0))
