"""The unit keys beside the writing line, so that a hand types digits alone."""

from drawthrough import units, vocabulary
from drawthrough.visit.sheet_values import usual_unit
from drawthrough.web.views.readings import UnitKey

# Units beside the line: those of the field first, then SI.
_KEYS: dict[str, tuple[str, ...]] = {
    "pressure": ("inwc", "Pa"), "temperature": ("F", "C"), "temperature_difference": ("F", "K"),
    "airflow": ("cfm", "L/s"), "power": ("W", "kW"), "voltage": ("V",), "current": ("A",), "frequency": ("Hz",),
    "resistance": ("ohm",), "capacitance": ("uF",), "length": ("in", "mm"), "time": ("s", "min"),
    "dimensionless": ("%",),
}  # fmt: skip
_KEYS_OF = {"speed": ("rpm",), "gauge_pressure": ("psig", "bar"), "frequency": ("Hz",)}
_NOT_FIELD = ("Pa", "C", "K", "L/s", "mm", "bar")  # keys that come first for whoever reads SI
_LABELS = {"inwc": "in. w.c.", "F": "°F", "C": "°C", "ohm": "Ω", "uF": "µF"}


def keys_of(what: str, chosen: str, measures: str) -> tuple[UnitKey, ...]:
    """Return the unit keys of a quantity, one of them chosen."""
    dimension = vocabulary.quantity_of(what).dimension
    offered = _KEYS_OF.get(what) or _KEYS.get(dimension) or (usual_unit(what, dimension),)
    if measures == "SI":
        offered = tuple(sorted(offered, key=lambda one: one not in _NOT_FIELD))
    wanted_unit = _unit_of(chosen, dimension)
    if wanted_unit is None:
        chosen = offered[0]
    else:
        alike = [one for one in offered if _unit_of(one, dimension) == wanted_unit]  # "in. w.c." is the key "inwc"
        offered = offered if alike else (chosen, *offered)
        chosen = alike[0] if alike else chosen
    return tuple(UnitKey(code=one, label=unit_label(one), chosen=one == chosen) for one in offered)


def unit_label(unit: str) -> str:
    """Return a unit as it stands on its key."""
    return _LABELS.get(unit, unit)


def _unit_of(unit: str, dimension: str) -> units.Unit | None:
    try:
        return units.find(unit, dimension) if unit else None
    except units.UnitError:
        return None
