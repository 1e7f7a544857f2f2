"""What the charts of a judgement are drawn from: curves, points and statics in SI, and codes instead of words."""

from typing import Literal

import msgspec

from drawthrough.visit.state import When

Missing = Literal["blower curve", "table alone"]


class Frozen(msgspec.Struct, frozen=True, kw_only=True):
    """Base of a drawing's parts."""


class Spot(Frozen, frozen=True, kw_only=True):
    """One point of a chart of static against airflow."""

    airflow: float
    static: float


class Curve(Frozen, frozen=True, kw_only=True):
    """Static over the ducts against airflow: of the ducts, or of the blower less all that is not ducts."""

    of: Literal["ducts", "blower"]
    when: tuple[When, ...]
    points: tuple[Spot, ...]


class OperatingPoint(Frozen, frozen=True, kw_only=True):
    """Where a run ran, with the covariance of (ln airflow, ln static) of the joint fit."""

    run: str
    when: When
    airflow: float
    static: float
    covariance: tuple[tuple[float, float], tuple[float, float]]


class PrintedTable(Frozen, frozen=True, kw_only=True):
    """The maker's table of one speed, as printed, and what was inside the cabinet when it was taken."""

    speed: str
    points: tuple[Spot, ...]
    flow_basis: str
    coil: str
    filter: str
    heater: str


class Claim(Frozen, frozen=True, kw_only=True):
    """The airflow that the maker's table alone would give at the static that was read, and why it is set aside."""

    run: str
    when: When
    airflow: float
    static: float
    set_aside: str


class PathPlace(Frozen, frozen=True, kw_only=True):
    """Static of one place of the air path against the room, and what was typed where it was read there."""

    place: str
    after: str
    value: float
    low: float
    high: float
    read: tuple[str, ...] = ()


class PathRun(Frozen, frozen=True, kw_only=True):
    """The static along the air path in one run, from room to room."""

    run: str
    when: When
    places: tuple[PathPlace, ...]


class Note(Frozen, frozen=True, kw_only=True):
    """What could not be drawn of a run, and why."""

    run: str
    what: Missing
    why: str


class Drawing(Frozen, frozen=True, kw_only=True):
    """What can be drawn of the runs that a judgement compares, or of the one that speaks of air."""

    ends: tuple[str, str]
    points: tuple[OperatingPoint, ...]
    ducts: tuple[Curve, ...]
    blowers: tuple[Curve, ...]
    tables: tuple[PrintedTable, ...]
    claims: tuple[Claim, ...]
    path: tuple[PathRun, ...]
    notes: tuple[Note, ...] = ()
