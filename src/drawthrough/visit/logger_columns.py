"""What the columns of a log mean: their names taken apart into a quantity, a place and a unit."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from drawthrough import units, vocabulary
from drawthrough.visit.air_place import AIR_PLACES, SPOT_PLACES
from drawthrough.visit.logger_table import LoggerError

STATION = "station"  # place of the barometer: it becomes the run's station pressure, no reading
PRESSURES = ("static", "pressure_drop")
TIME = "time"  # written as a quantity in a mapping: this column holds the time stamps
SKIP = "skip"  # ... and this one is left out


class Meaning(NamedTuple):
    """What one column holds. `unit` is "" where nothing says it."""

    quantity: str
    at: str
    against: str | None = None
    unit: str = ""

    @property
    def dimension(self) -> str:
        """Dimension of the quantity."""
        return vocabulary.quantity_of(self.quantity).dimension


class Mapped(NamedTuple):
    """One mapping that the user gave: a column, by its name or number, and what it holds."""

    column: str
    meaning: Meaning


_MAPPING = re.compile(
    r"(?P<column>.+)=\s*(?P<what>[a-z_]+)\s*(?:@(?P<at>[^:/]*)(?:/(?P<against>[^:]*))?)?(?::(?P<unit>.*))?$"
)

# Words of a header, each with what it says. Several may stand in one header; the first quantity in this order counts.
_QUANTITY_WORDS: tuple[tuple[str, frozenset[str]], ...] = (
    ("pressure", frozenset(("baro", "barometer", "barometric", "station", "atm", "atmospheric", "pres"))),
    ("dew_point", frozenset(("dew", "dewpoint", "dewpt", "dewp", "tdp"))),
    ("wet_bulb", frozenset(("wb", "wetbulb", "wet", "twb", "ewb"))),
    ("relative_humidity", frozenset(("rh", "humidity", "hum", "humid"))),
    ("power", frozenset(("power", "watts", "watt", "pwr", "wattage", "kw"))),
    ("volts", frozenset(("volts", "volt", "voltage", "vac", "vrms"))),
    ("amps", frozenset(("amps", "amp", "current", "amperage", "aac", "arms"))),
    ("speed", frozenset(("rpm", "tach", "revs"))),
    ("airflow", frozenset(("airflow", "flow", "cfm", "scfm", "acfm"))),
    ("static", frozenset(("static", "esp", "tesp", "sp"))),
    ("pressure_drop", frozenset(("drop", "delta", "differential"))),
    ("dry_bulb", frozenset(("db", "drybulb", "dry", "temp", "temperature", "tdb", "rat", "sat", "oat", "lat", "eat"))),
)
_PLACE_WORDS: tuple[tuple[str, frozenset[str]], ...] = (
    (
        "outdoor",
        frozenset(("outdoor", "outdoors", "outside", "oa", "oat", "od", "odu", "ambient", "condenser", "compressor")),
    ),
    ("return", frozenset(("return", "ret", "ra", "rat", "zn", "zone", "room", "entering", "ent", "eat", "ewb"))),
    ("supply", frozenset(("supply", "sup", "sa", "sat", "leaving", "lvg", "lat", "discharge", "register"))),
    ("strips", frozenset(("strip", "strips", "heater", "elements"))),
    ("blower", frozenset(("blower", "fan", "indoor", "id", "idu", "ahu", "handler"))),
    ("filter", frozenset(("filter",))),
    ("coil", frozenset(("coil", "evap", "evaporator"))),
    ("suction line", frozenset(("suction", "vapor", "vapour"))),
    ("liquid line", frozenset(("liquid",))),
    ("refrigerant", frozenset(("ref", "refrigerant", "refr"))),
    ("line", frozenset(("line", "mains"))),
)
_LONGEST_NAME = 200  # letters; what stands behind them names nothing
_SPLIT_SUFFIX = re.compile(r"(?<=[a-z0-9])(?=[A-Z])")
_BRACKETS = re.compile(r"[\[({]\s*([^\])}]*?)\s*[\])}]")
_TAIL_UNITS = (
    "degF", "degC", "F", "C", "W", "kW", "V", "A", "Pa", "inwc", "inH2O", "inHg", "hPa", "kPa", "psi", "psig", "cfm",
    "scfm", "rpm", "Hz", "pct", "%", "mbar",
)  # fmt: skip


def mapping(text: str) -> Mapped:
    """Return what a mapping `column=quantity@place:unit` says.

    A pressure has two ends, `column=static@supply plenum/room:inwc`. `column=time` names the stamps, and
    `column=skip` leaves a column out.

    Raises
    ------
    LoggerError
        It is not written like that, or names a quantity, place or unit that does not exist.
    """
    match = _MAPPING.match(text.strip())
    if match is None:
        raise LoggerError(
            f"--map {text!r} cannot be read; write column=quantity@place:unit, such as 'T1=dry_bulb@supply:F', "
            "or 'dP=static@supply plenum/room:inwc'."
        )
    column, what = match["column"].strip(), match["what"]
    at, against, unit = ((match[key] or "").strip() for key in ("at", "against", "unit"))
    if what in (TIME, SKIP):
        return Mapped(column, Meaning(what, "", None, unit))
    if what not in vocabulary.QUANTITIES:
        raise LoggerError(f"--map {text!r}: {what} is no quantity; usual ones are dry_bulb, wet_bulb, dew_point, "
                          "relative_humidity, static, power, blower_power, volts, amps, airflow.")  # fmt: skip
    if what == "pressure":
        at, against = STATION, ""
    elif what in PRESSURES:
        for place in (at, against):
            if place not in AIR_PLACES:
                raise LoggerError(
                    f"--map {text!r}: a {what} has two ends, each one of {', '.join(AIR_PLACES)}; write "
                    "'column=static@supply plenum/room:inwc'."
                )
    elif at not in SPOT_PLACES or against:
        raise LoggerError(f"--map {text!r}: write the place of a {what} after @, one of {', '.join(SPOT_PLACES)}.")
    meaning = Meaning(what, at, against or None, unit)
    if unit:
        try:
            units.find(unit, meaning.dimension)
        except units.UnitError as error:
            raise LoggerError(f"--map {text!r}: {error}") from None
    return Mapped(column, meaning)


def find_column(name: str, header: Sequence[str]) -> int:
    """Return which column a user means by its name (whatever its case and spaces) or by its number from 1.

    Raises
    ------
    LoggerError
        There is no such column.
    """

    def bare(text: str) -> str:
        return "".join(text.lower().split())

    found = [i for i, one in enumerate(header) if bare(one) == bare(name)]
    if not found and name.isascii() and name.isdigit() and len(name) < 4 and 1 <= int(name) <= len(header):
        return int(name) - 1
    if len(found) != 1:
        count = "no column" if not found else f"{len(found)} columns"
        known = ", ".join(one for one in header if one)[:300]
        raise LoggerError(f"--map: there is {count} {name!r}; the columns are {known}; or give its number from 1.")
    return found[0]


def read_header(text: str, unit_below: str = "") -> tuple[Meaning | None, str]:
    """Return what a column's name says, or None and why it says too little."""
    text = text[:_LONGEST_NAME]
    name, unit = _unit_of(text)
    unit = unit_below or unit
    words = frozenset(word for word in re.split(r"[^a-z0-9%]+", _SPLIT_SUFFIX.sub(" ", name).lower()) if word)
    dimension = _dimension(unit)
    quantity = _quantity(words, dimension)
    place = next((place for place, known in _PLACE_WORDS if words & known), "")
    if quantity is None:
        return None, "its name says no quantity"
    if quantity == "pressure":
        return Meaning("pressure", STATION, None, unit), ""
    if place == "refrigerant":
        return None, "refrigerant flow has no place in a visit"
    if quantity in PRESSURES:
        return _pressure(words, place, unit)
    if place in ("suction line", "liquid line"):
        wanted = "gauge_pressure" if dimension == "pressure" else "temperature" if quantity == "dry_bulb" else ""
        return (Meaning(wanted, place, None, unit), "") if wanted else (None, "its name says no quantity of a line")
    return _spot(quantity, place, words, unit)


def _unit_of(text: str) -> tuple[str, str]:
    """Split a header into its name and its unit, in brackets, after a comma or slash, or as its last word."""
    found = [unit for unit in _BRACKETS.findall(text) if is_unit(unit)]
    name = _BRACKETS.sub(" ", text) if found else text
    if found:
        return name.strip(), found[-1]
    for pattern in (r"^(.*?)[,/|]\s*(\S.*)$", r"^(.*\S)[\s_.]+(\S+)$", r"^(.*[a-z0-9)])(°[CF])$"):
        match = re.match(pattern, text.strip())
        if match and (
            match[2] in _TAIL_UNITS or (pattern.startswith("^(.*?)") and is_unit(match[2])) or match[2][:1] == "°"
        ):
            return match[1].strip(), {"pct": "%"}.get(match[2], match[2])
    return name, ""


_SPELLINGS = {
    "deg f": "F", "deg c": "C", "℉": "F", "℃": "C", "% rh": "%", "%rh": "%", "rh": "%", "pct": "%", "iwg": "inwc",
    "in wg": "inwc", "in wc": "inwc", "vac": "V", "v ac": "V", "vrms": "V", "aac": "A", "a ac": "A", "arms": "A",
    "amps": "A", "mb": "mbar", "watts": "W",
}  # fmt: skip


def spelled(unit: str) -> str:
    """Return a unit as `units` spells it, if it is one of the spellings of loggers."""
    return _SPELLINGS.get(" ".join(unit.lower().replace(".", "").split()), unit.strip())


def is_unit(unit: str) -> bool:
    """Is a text a unit of something that a logger reads?"""
    return bool(_dimension(unit))


def _dimension(unit: str) -> str:
    """Return which dimension a unit measures; degrees count as a temperature, a bare F is no farad here."""
    if not unit.strip():
        return ""
    for dimension in units.UNITS:
        if dimension in ("temperature_difference", "capacitance", "length", "area", "volume", "time"):
            continue
        try:
            units.find(spelled(unit), dimension)
        except units.UnitError:
            continue
        return dimension
    return ""


def _quantity(words: frozenset[str], dimension: str) -> str | None:
    if "dp" in words:
        # A dew point beside a temperature or in degrees; a pressure drop in a unit of pressure; else nobody knows.
        if dimension == "pressure":
            return "pressure_drop"
        if dimension == "temperature" or words & {"temp", "temperature", "t", "db", "air"}:
            return "dew_point"
        return None
    by_unit = {"voltage": "volts", "current": "amps", "power": "power", "airflow": "airflow", "frequency": "speed"}
    for quantity, known in _QUANTITY_WORDS:
        if quantity == "pressure" and dimension not in ("", "pressure"):
            continue
        if words & known:
            if dimension and vocabulary.quantity_of(quantity).dimension != dimension and quantity != "static":
                continue
            if quantity == "pressure" and words & {"filter", "coil", "supply", "return", "suction", "liquid"}:
                continue
            return quantity
    if dimension in by_unit:
        return by_unit[dimension]
    if dimension == "temperature":
        return "dry_bulb"
    if dimension == "pressure":
        return "static"
    return "relative_humidity" if dimension == "dimensionless" else None


def _pressure(words: frozenset[str], place: str, unit: str) -> tuple[Meaning | None, str]:
    if words & {"esp", "tesp", "external", "total"}:
        return Meaning("static", "supply plenum", "return plenum", unit), ""
    if place in ("filter", "coil"):
        return Meaning("pressure_drop", f"before {place}", f"after {place}", unit), ""
    if place in ("supply", "return"):
        return Meaning("static", f"{place} plenum", "room", unit), ""
    if place in ("suction line", "liquid line"):
        return Meaning("gauge_pressure", place, None, unit), ""
    return None, "its name does not say between which two places the pressure was read"


def _spot(quantity: str, place: str, words: frozenset[str], unit: str) -> tuple[Meaning | None, str]:
    if quantity == "power":
        found = {
            "outdoor": ("power", "outdoor unit"),
            "blower": ("blower_power", "blower"),
            "strips": ("power", "strips"),
        }
        if place not in found:
            return None, "its name does not say whose power it is"
        return Meaning(*found[place], None, unit), ""
    if quantity in ("volts", "amps"):
        found_at = {"outdoor": "outdoor unit", "blower": "blower", "strips": "strips", "line": "line"}.get(place)
        if found_at is None and quantity == "volts":
            found_at = "line"
        return (
            (Meaning(quantity, found_at, None, unit), "")
            if found_at
            else (None, "its name does not say whose current it is")
        )
    if quantity == "speed":
        return Meaning("speed", "blower", None, unit), ""
    if quantity == "airflow":
        standard = bool(words & {"scfm", "standard", "std"}) or unit.lower() == "scfm"
        return Meaning(
            "standard_airflow" if standard else "airflow", place if place == "return" else "supply", None, unit
        ), ""
    if place in ("return", "supply", "outdoor"):
        return Meaning(quantity, place, None, unit), ""
    return None, "its name does not say where it was read"
