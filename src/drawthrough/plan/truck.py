"""The truck list: what the tasks want, the parts that the nameplate asks for, and the chemicals by their labels."""

import math
from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple, get_args

from drawthrough.errors import DrawthroughError
from drawthrough.trade.truck_items import Item, item_for, item_of, with_along
from drawthrough.visit.state import Capacitor, Chemical, Job, System

Why = Literal["task", "visit", "along", "nameplate", "label"]
Quality = Literal["capacitance", "volts", "tolerance"]
Fault = Literal["other rating", "lower", "wider", "not known"]

CAPACITOR, FILTER, WATER = "run capacitor", "filter", "water"
UNNAMED_USES = ("cabinet",)  # uses whose item no task names: wanted as soon as the job has such a chemical
SAME_RATING = 1e-3  # two printed ratings within this are the same one, written otherwise (judgement)


class TruckFault(DrawthroughError):
    """An amount cannot be reckoned, or a part not be compared; names what is wrong."""


class CapacitorWanted(NamedTuple):
    """The run capacitor that replaces the one in the unit."""

    capacitance: float  # the same [F]
    volts_least: float | None  # at least the old one's [V]
    tolerance_most: float | None  # no wider than the old one's [1]


class Mixture(NamedTuple):
    """How much of a chemical, and of water, fills the sprayer as often as the job says."""

    chemical: str  # its name
    water_parts: float  # to one part of cleaner, by the label [1]
    fills: int
    concentrate: float | None  # of cleaner as it is bought [m3]; None: what the sprayer holds is not known
    water: float | None  # [m3]


class TruckLine(NamedTuple):
    """One line of the truck list; every item has at most one."""

    item: str  # its code
    name: str
    kind: str
    number: int
    why: Why
    hopefully_not: bool = False
    capacitor: CapacitorWanted | None = None
    merv: int | None = None  # of a filter, as the system has it
    mixtures: tuple[Mixture, ...] = ()
    volume: float | None = None  # of a cleaner or of water for mixing, all fills together [m3]


class Misfit(NamedTuple):
    """One reason for which a capacitor does not take the place of another."""

    what: Quality
    why: Fault
    wanted: float | None  # SI
    offered: float | None


def truck_list(system: System, job: Job, items_wanted: Iterable[str]) -> tuple[TruckLine, ...]:
    """Return what is to be on the truck, in the order of the table of items.

    A run capacitor and a filter are carried even where no task wants them: what is read on the visit may ask for them.
    A chemical of the job counts where a task wants its item. Water is what mixing takes, without what rinsing takes.
    """
    wanted = {item_of(code).code for code in items_wanted}
    chemicals: dict[str, list[Mixture]] = {}
    for chemical in job.chemical:
        mixed = mixture(chemical)
        code = item_for(chemical.use).code
        if code in wanted or chemical.use in UNNAMED_USES:
            chemicals.setdefault(code, []).append(mixed)
    water = math.fsum(one.water or 0.0 for each in chemicals.values() for one in each)
    asked: dict[str, Why] = dict.fromkeys(chemicals, "label")
    if system.filter_places > 0:
        asked[FILTER] = "nameplate"
    if system.capacitor is not None:
        asked[CAPACITOR] = "nameplate"
    if water > 0:
        asked[WATER] = "label"
    lines = []
    for item in with_along(wanted | set(asked)):
        line = _line(item, "task" if item.code in wanted else asked.get(item.code, "visit" if item.always else "along"))
        if item.code == CAPACITOR and system.capacitor is not None:
            line = line._replace(capacitor=capacitor_wanted(system.capacitor))
        elif item.code == FILTER:
            line = line._replace(merv=system.filter_merv, number=max(line.number, system.filter_places))
        elif item.code == WATER and water > 0:
            line = line._replace(volume=water)
        elif item.code in chemicals:
            mixed_ones = tuple(chemicals[item.code])
            line = line._replace(mixtures=mixed_ones, volume=_sum([one.concentrate for one in mixed_ones]))
        lines.append(line)
    return tuple(lines)


def mixture(chemical: Chemical) -> Mixture:
    """Return how much cleaner and water the fills of a chemical take: one part of cleaner to `water_parts` of water."""
    name = f'"{chemical.name}"'
    parts, volume = chemical.water_parts, chemical.sprayer_volume
    if not 0 <= parts < math.inf:
        raise TruckFault(f"{name}: {parts:g} parts of water to one of cleaner; it takes a number from zero up.")
    if chemical.fills < 1:
        raise TruckFault(f"{name}: {chemical.fills} fills of the sprayer; it takes a whole number from one up.")
    if volume is None:
        return Mixture(chemical.name, parts, chemical.fills, None, None)
    if not 0 < volume < math.inf:
        raise TruckFault(f"{name}: the sprayer holds {volume:g} m3; how much to mix needs a volume above zero.")
    total = chemical.fills * volume
    concentrate = total / (1 + parts)
    return Mixture(chemical.name, parts, chemical.fills, concentrate, concentrate * parts)


def capacitor_wanted(old: Capacitor) -> CapacitorWanted:
    """Return what replaces a capacitor: same capacitance, at least its voltage, no wider tolerance."""
    _check(old)
    return CapacitorWanted(old.capacitance, old.volts, old.tolerance)


def fits(wanted: Capacitor, offered: Capacitor) -> tuple[Misfit, ...]:
    """Return why a capacitor does not take the place of another; nothing where it does.

    Ratings have to be equal: the printed tolerance is for what a part reads, not for what it is rated. A voltage
    that is not known on either side is a reason; a tolerance is one only where the old one has one printed.
    """
    _check(wanted)
    _check(offered)
    found: list[Misfit] = []
    if not math.isclose(wanted.capacitance, offered.capacitance, rel_tol=SAME_RATING):
        found.append(Misfit("capacitance", "other rating", wanted.capacitance, offered.capacitance))
    if wanted.volts is None or offered.volts is None:
        found.append(Misfit("volts", "not known", wanted.volts, offered.volts))
    elif offered.volts < wanted.volts:
        found.append(Misfit("volts", "lower", wanted.volts, offered.volts))
    if wanted.tolerance is not None:
        if offered.tolerance is None:
            found.append(Misfit("tolerance", "not known", wanted.tolerance, None))
        elif offered.tolerance > wanted.tolerance * (1 + 1e-9):
            found.append(Misfit("tolerance", "wider", wanted.tolerance, offered.tolerance))
    return tuple(found)


def _line(item: Item, why: Why) -> TruckLine:
    return TruckLine(item.code, item.name, item.kind, item.number, why, item.hopefully_not)


def _sum(volumes: list[float | None]) -> float | None:
    known = [volume for volume in volumes if volume is not None]
    return math.fsum(known) if len(known) == len(volumes) else None


def _check(one: Capacitor) -> None:
    for what, value in (("capacitance", one.capacitance), ("volts", one.volts), ("tolerance", one.tolerance)):
        if value is not None and not 0 < value < math.inf:
            raise TruckFault(f"Capacitor: {what} is {value:g}; it takes a number above zero.")


def messages() -> Iterator[str]:
    """Yield the words by which lines and misfits are told."""
    for words in (Why, Quality, Fault):
        yield from get_args(words)
