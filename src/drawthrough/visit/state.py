"""A visit as it stands: frozen structures, SI floats, no physics and no opinions.

Field names are vocabulary names; every float is in the SI unit that the vocabulary gives for it.
"""

from typing import Literal

import msgspec

When = Literal["as found", "as left"]
Arrangement = Literal["draw-through", "blow-through"]
Motor = Literal["psc", "constant torque", "constant airflow"]
Mode = Literal["fan", "cooling", "strips", "zero", "gas"]
Wetness = Literal["dry", "damp", "wet steady"]
FilterPlace = Literal["slot", "grille"]
FilterState = Literal["as found", "same", "new", "out"]
Part = Literal[
    "wheel", "coil", "cabinet", "filter", "filter frame", "capacitor", "motor", "speed lead",
    "return ducts", "supply ducts", "registers", "seams", "drain", "strips", "outdoor coil",
]  # fmt: skip
Action = Literal["cleaned", "rinsed", "replaced", "sealed", "altered", "inspected", "not done"]
Condition = Literal["seen clean", "likely clean", "not seen", "still dirty"]
LeadRole = Literal[
    "speed", "common", "capacitor", "line", "ground", "control", "strips", "blower interlock", "other",
]  # fmt: skip
# park: a dead landing point that only parks leads; cap: a lead's end capped, alone.
TerminalKind = Literal["live", "capacitor", "ground", "control", "strips", "park", "cap"]
SetScrew = Literal["on the flat", "off the flat", "not seen"]
Rotation = Literal["clockwise", "counterclockwise"]
Use = Literal["coil", "wheel", "drain", "cabinet"]

# Places between which a pressure can be read. What they mean on a given system follows from its arrangement.
AirPlace = Literal[
    "room", "return grille", "return plenum", "before filter", "after filter", "before coil", "after coil",
    "before blower", "after blower", "before heater", "after heater", "supply plenum",
]  # fmt: skip
# Places of every other reading.
SpotPlace = Literal[
    "return", "supply", "supply far", "outdoor", "around cabinet", "blower", "strips", "strip element", "capacitor",
    "line", "outdoor unit", "suction line", "liquid line", "gas meter", "filter slot", "register", "grille",
]  # fmt: skip


class Frozen(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Base of all state: immutable, keyword-only."""


class Site(Frozen, frozen=True, kw_only=True):
    """Where the system stands."""

    name: str
    altitude: float  # [m]
    currency: str = "USD"
    electricity_price: float | None = None  # currency per joule
    summer_hours: float | None = None  # running time of one cooling season [s]


class FanTable(Frozen, frozen=True, kw_only=True):
    """A maker's table of one speed: external static pressure against airflow, on a stated basis."""

    speed: str
    static: tuple[float, ...]  # [Pa], rising
    airflow: tuple[float, ...]  # [m3/s]
    coil: Literal["dry", "wet", "none"] = "dry"  # state of the coil inside the rated cabinet; none: rated without coil
    filter: Literal["in", "out"] = "out"
    heater: Literal["in", "out"] = "out"  # heater kit inside the rated cabinet
    volts: float | None = None
    flow_basis: Literal["scfm", "acfm"] = "scfm"


class Capacitor(Frozen, frozen=True, kw_only=True):
    """What is printed on a run capacitor."""

    capacitance: float  # [F]
    tolerance: float | None = None  # [1], 0.05 for "+-5 %"
    volts: float | None = None


class Strips(Frozen, frozen=True, kw_only=True):
    """The strip-heat kit: its nameplate power at its nameplate voltage, shared by its elements."""

    power: float  # [W]
    volts: float
    elements: int = 1


class System(Frozen, frozen=True, kw_only=True):
    """The equipment as its nameplates and a look inside give it."""

    name: str
    arrangement: Arrangement
    motor: Motor
    coil_inside_taps: bool  # does the coil lie between the two holes of the external static?
    filter_place: FilterPlace = "slot"
    filter_places: int = 1
    filter_merv: int | None = None
    motor_original: bool | None = None
    label_altered: bool | None = None
    airflow_limit_static: float | None = None  # constant airflow only: external static up to which airflow is held [Pa]
    total_capacity_rated: float | None = None  # [W]
    sensible_heat_ratio_rated: float | None = None
    airflow_rated: float | None = None  # [m3/s], standard
    static_rated: float | None = None  # nameplate's maximum external static [Pa]
    volts_rated: float | None = None
    refrigerant: str | None = None
    metering: Literal["fixed orifice", "expansion valve"] | None = None
    trap_drop: float | None = None  # from the pan's outlet down to the trap's outlet [m]
    trap_seal: float | None = None  # from the trap's outlet down to the bend [m]
    strips: Strips | None = None
    capacitor: Capacitor | None = None
    fan_table: tuple[FanTable, ...] = ()
    nameplate: dict[str, str] = {}
    note: str = ""


class Instrument(Frozen, frozen=True, kw_only=True):
    """One instrument, as its data sheet and its user give it."""

    id: str
    measures: str  # vocabulary name of what it reads
    accuracy_relative: float = 0.0  # share of the reading
    accuracy_absolute: float = 0.0  # in the quantity's SI unit
    coverage: float | None = None  # the k of the stated accuracy; None: limits without a coverage (rectangular)
    resolution: float = 0.0  # in the quantity's SI unit
    zeroed: tuple[str, ...] = ()  # times at which it was zeroed
    calibrated: str | None = None
    note: str = ""


class Reading(Frozen, frozen=True, kw_only=True):
    """One reading. A pressure has two ends, `at` and `against`; all others have one place."""

    what: str  # vocabulary name
    at: str  # AirPlace for a pressure, else SpotPlace
    value: float  # SI
    typed: str  # as the hand wrote it, unit and all
    against: str | None = None
    instrument: str | None = None  # an Instrument's id
    time: str | None = None
    uncertainty: float | None = None  # standard uncertainty of a mean from a steady window, in SI
    hole: str | None = None  # tells two holes at one place apart
    note: str = ""


class Run(Frozen, frozen=True, kw_only=True):
    """A span in which the system ran in one way."""

    id: str
    when: When
    mode: Mode
    speed: str  # the speed commanded; names a FanTable's speed where there is one
    reading: tuple[Reading, ...] = ()
    start: str | None = None
    end: str | None = None
    lead: str | None = None  # the energised speed lead
    wetness: Wetness = "dry"
    doors_on: bool = True
    filter: FilterState = "as found"
    station_pressure: float | None = None  # [Pa] absolute; None: standard atmosphere at the site's altitude
    also_heats: str | None = None  # what else heats or cools while the strips are on ("heat pump", ...)
    zero_for: str | None = None  # mode "zero": the id of the strips run that this zero belongs to
    note: str = ""


class Work(Frozen, frozen=True, kw_only=True):
    """Something done between as found and as left, and the condition in which it was left."""

    part: Part
    action: Action
    condition: Condition | None = None
    note: str = ""


class Lead(Frozen, frozen=True, kw_only=True):
    """One lead of the harness: where it goes from and to, as found or as left."""

    colour: str
    function: str
    origin: str
    terminal: str
    when: When
    mark: str = ""  # what the tag says that was put on it
    role: LeadRole | None = None  # None: as its function's words tell
    note: str = ""


class Terminal(Frozen, frozen=True, kw_only=True):
    """One landing point of leads."""

    name: str
    kind: TerminalKind
    part: str = ""  # what it is on
    proved_dead: bool | None = None  # by test, not by name
    holds: int = 1  # how many leads it takes
    note: str = ""


class Change(Frozen, frozen=True, kw_only=True):
    """A change of the wiring that is meant."""

    kind: Literal["new capacitor", "other speed"]
    lead: str = ""  # other speed: colour or mark of the speed lead that was live
    to: str = ""  # other speed: colour or mark of the one that becomes live
    note: str = ""


class Seat(Frozen, frozen=True, kw_only=True):
    """How motor and wheel sit in the housing."""

    when: When
    lead_exit: str = ""  # where the motor's leads leave, as on a clock seen from the motor's end
    clearance_motor_side: float | None = None  # between wheel and housing [m]
    clearance_far_side: float | None = None  # [m]
    run_out_motor_side: float | None = None  # how far the rim wobbles in one turn [m]
    run_out_far_side: float | None = None  # [m]
    weights: int | None = None  # balance weights on the blades
    set_screw: SetScrew | None = None
    rotation: Rotation | None = None  # seen from the motor's end
    note: str = ""


class Chemical(Frozen, frozen=True, kw_only=True):
    """What is sprayed, by its label."""

    name: str
    use: Use
    water_parts: float = 0.0  # parts of water to one part of cleaner [1]; 0: as it comes
    sprayer_volume: float | None = None  # what the sprayer holds [m3]
    fills: int = 1
    dwell_least: float | None = None  # how long it stays, by the label [s]
    dwell_most: float | None = None  # [s]
    note: str = ""


class Job(Frozen, frozen=True, kw_only=True):
    """What is to be done on this visit."""

    crew: int = 1  # people
    scope: tuple[str, ...] = ()  # codes of what the visit is for; empty: the usual deep clean
    extra: tuple[str, ...] = ()  # codes of tasks that are done while it is open
    without: tuple[str, ...] = ()  # codes of tasks that are left out
    chemical: tuple[Chemical, ...] = ()


class CapacitorSeen(Frozen, frozen=True, kw_only=True):
    """A run capacitor in the hand: what is printed on it, and what it reads."""

    when: When
    capacitance: float  # as printed [F]
    tolerance: float | None = None  # [1]
    volts: float | None = None
    capacitance_read: float | None = None  # as measured [F]
    code: str = ""  # date code or serial number printed on it
    note: str = ""


class Gap(Frozen, frozen=True, kw_only=True):
    """An opening by which air can come in."""

    where: str
    compartment: str
    opens_to: str
    width: float  # [m]
    length: float  # [m]
    depth: float = 0.0  # [m]
    bends: int = 0
    sealed: bool = False
    note: str = ""


class Pattern(Frozen, frozen=True, kw_only=True):
    """Dirt seen on a surface."""

    surface: str
    dirt: Literal["none", "film", "felt", "streak"]
    photo: str | None = None
    note: str = ""


class Price(Frozen, frozen=True, kw_only=True):
    """One line of the user's own price list."""

    item: str
    amount: float


class Visit(Frozen, frozen=True, kw_only=True):
    """Everything known of one visit."""

    site: Site
    system: System
    instrument: tuple[Instrument, ...] = ()
    run: tuple[Run, ...] = ()
    work: tuple[Work, ...] = ()
    job: Job | None = None
    terminal: tuple[Terminal, ...] = ()
    lead: tuple[Lead, ...] = ()
    change: tuple[Change, ...] = ()
    seat: tuple[Seat, ...] = ()
    run_capacitor: tuple[CapacitorSeen, ...] = ()
    gap: tuple[Gap, ...] = ()
    pattern: tuple[Pattern, ...] = ()
    price: tuple[Price, ...] = ()
    complaint: str = ""
