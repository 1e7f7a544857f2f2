"""A made day of a one-minute logger on a two-stage cooling system, with what is true of each minute."""

import math
import random
from typing import NamedTuple

LAG = 1.6  # minutes: coil, ducts and probes answer a step as a first-order lag


class Minute(NamedTuple):
    """One row, in field units, and the truth behind it."""

    stage: int  # 0 off, 1 low, 2 high
    since: int  # minutes since the last step of the stage
    outdoor_power: float
    blower_power: float
    return_temp: float
    supply_temp: float
    airflow: float
    outdoor_temp: float


# Minutes at which the stage changes, and to what: short and long runs, a change between stages, a long off.
PLAN = (
    (0, 0),
    (40, 1),
    (75, 0),
    (95, 1),
    (104, 0),
    (120, 2),
    (160, 1),
    (200, 0),
    (230, 1),
    (420, 0),
    (470, 2),
    (530, 0),
)
LENGTH = 560


def made_day(
    seed: int = 1, noise: float = 0.05, ramp: tuple[int, int, float] | None = None, length: int = LENGTH
) -> list[Minute]:
    """Return a day of minutes.

    `noise` is that of the probes [F]; `ramp` lets the supply run away from minute to minute: from, to, F per minute.
    """
    source = random.Random(seed)
    plan = dict(PLAN)
    rows: list[Minute] = []
    stage, since, supply, away = 0, 999, 76.0, 0.0
    for minute in range(length):
        if minute in plan:
            stage, since = plan[minute], 0
        else:
            since += 1
        room = 76.0 + 0.8 * math.sin(minute / 90.0)
        target = {0: room, 1: room - 20.0, 2: room - 23.0}[stage]
        supply += (target - supply) * (1.0 - math.exp(-1.0 / LAG))
        if ramp is not None and ramp[0] <= minute < ramp[1]:
            away += ramp[2]
        elif ramp is not None and minute == ramp[1]:
            away = 0.0
        rows.append(
            Minute(
                stage,
                since,
                (0.0, 1500.0, 2300.0)[stage] * (1.0 + source.gauss(0.0, 0.003)) + (0.0 if stage else 38.0),
                (6.0, 150.0, 320.0)[stage] * (1.0 + source.gauss(0.0, 0.005)),
                round(room + source.gauss(0.0, noise), 1),
                round(supply + away + source.gauss(0.0, noise), 1),
                (0.0, 700.0, 1050.0)[stage] * (1.0 + source.gauss(0.0, 0.004)),
                round(90.0 + 4.0 * math.sin(minute / 200.0) + source.gauss(0.0, noise), 1),
            )
        )
    return rows


HEADER = (
    "Date Time",
    "Supply DB (F)",
    "Return DB (F)",
    "Outdoor DB (F)",
    "OD Power (W)",
    "Blower Power (W)",
    "SA Flow (cfm)",
)


def as_csv(rows: list[Minute], separator: str = ",", comma: bool = False, start: int = 8 * 60) -> str:
    """Return a day as the text of a logger's file."""
    lines = [separator.join(HEADER)]
    for minute, row in enumerate(rows):
        clock = start + minute
        cells = [f"2026-07-08 {clock // 60:02d}:{clock % 60:02d}:00"]
        numbers = (row.supply_temp, row.return_temp, row.outdoor_temp, row.outdoor_power, row.blower_power, row.airflow)
        for number, digits in zip(numbers, (1, 1, 1, 0, 0, 0), strict=True):
            text = f"{number:.{digits}f}"
            cells.append(text.replace(".", ",") if comma else text)
        lines.append(separator.join(cells))
    return "\n".join(lines) + "\n"
