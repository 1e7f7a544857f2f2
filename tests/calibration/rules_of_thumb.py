"""What the trade's rules of thumb say of a visit, from its readings alone."""

from itertools import pairwise
from typing import NamedTuple

from drawthrough.judge.ends import duct_ends, external_ends, read_between
from drawthrough.visit.state import FanTable, Run, Visit

STATIC_LIMIT = 0.5 * 249.08891  # 0.5 in. w.c. [Pa]
SPLIT_LOW, SPLIT_HIGH = 16.0 / 1.8, 22.0 / 1.8  # 16 to 22 F [K]
ENOUGH_AIR = 350.0 * 0.3048**3 / 60.0 / (12000.0 * 0.29307107)  # 350 cfm per ton [m3/s per W]
WORKED = 1.03  # airflow as left over as found from which a cleaning worked


class Moment(NamedTuple):
    """What a technician reads off one moment of a visit; None: not read."""

    static: float | None  # external, [Pa]
    split: float | None  # return less supply while cooling, [K]
    table_airflow: float | None  # of the fan table at the external static, [m3/s]
    capacity: float | None  # rated, [W]


def moment(visit: Visit, when: str) -> Moment:
    """Return what the rules of thumb need of a moment, from its first run that has it."""
    runs = [run for run in visit.run if run.when == when and run.mode != "zero"]
    # The trade reads from plenum to plenum where it has no hole behind the filter.
    with_static = [
        (run, read)
        for ends in (external_ends(visit.system), duct_ends(visit.system))
        for run in runs
        if (read := read_between(visit.system, run, ends)) is not None
    ]
    static = abs(with_static[0][1]) if with_static else None
    table = _table(visit, with_static[0][0]) if with_static else None
    return Moment(
        static=static,
        split=next((split for run in runs if (split := _split(run)) is not None), None),
        table_airflow=_airflow(table, static) if table is not None and static is not None else None,
        capacity=visit.system.total_capacity_rated,
    )


def _table(visit: Visit, run: Run) -> FanTable | None:
    return next((table for table in visit.system.fan_table if table.speed == run.speed), None)


def _split(run: Run) -> float | None:
    if run.mode != "cooling":
        return None
    means = []
    for place in ("return", "supply"):
        read = [r.value for r in run.reading if r.what == "dry_bulb" and r.at == place]
        if not read:
            return None
        means.append(sum(read) / len(read))
    return means[0] - means[1]


def _airflow(table: FanTable, static: float) -> float | None:
    """Return the table's airflow on a straight line between two printed points; None beyond them."""
    points = list(zip(table.static, table.airflow, strict=True))
    for (low, first), (high, second) in pairwise(points):
        if low <= static <= high:
            return first + (second - first) * (static - low) / (high - low)
    return None


def dirty_by_static(at: Moment) -> bool | None:
    """External static above 0.5 in. w.c."""
    return None if at.static is None else at.static > STATIC_LIMIT


def dirty_by_split(at: Moment) -> bool | None:
    """Temperature split outside 16 to 22 F."""
    return None if at.split is None else not SPLIT_LOW <= at.split <= SPLIT_HIGH


def dirty_by_table(at: Moment) -> bool | None:
    """Less than 350 cfm per ton by the fan table at the external static as read."""
    if at.table_airflow is None or not at.capacity:
        return None
    return at.table_airflow < ENOUGH_AIR * at.capacity


def _went_clean(found: bool | None, left: bool | None) -> bool | None:
    return None if found is None or left is None else found and not left


def worked_by_static(found: Moment, left: Moment) -> bool | None:
    """External static above 0.5 in. w.c. as found, and not as left."""
    return _went_clean(dirty_by_static(found), dirty_by_static(left))


def worked_by_split(found: Moment, left: Moment) -> bool | None:
    """Split outside 16 to 22 F as found, and inside as left."""
    return _went_clean(dirty_by_split(found), dirty_by_split(left))


def worked_by_table(found: Moment, left: Moment) -> bool | None:
    """More than 3 % more airflow by the fan table at the external static as read."""
    if found.table_airflow is None or left.table_airflow is None:
        return None
    return left.table_airflow > WORKED * found.table_airflow


RULES = {
    "external static against 0.5 in. w.c.": (dirty_by_static, worked_by_static),
    "temperature split of 16 to 22 F": (dirty_by_split, worked_by_split),
    "airflow from the fan table at the static as read": (dirty_by_table, worked_by_table),
}
