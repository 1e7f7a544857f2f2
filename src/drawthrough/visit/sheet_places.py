"""Places of the readings of a sheet: do they exist on this system, and what sign do they give a pressure?"""

from typing import Any

from drawthrough.errors import DrawthroughError
from drawthrough.visit.air_place import AIR_PLACES, SPOT_PLACES, Layout, places, settle, sign_between
from drawthrough.visit.form import PRESSURES
from drawthrough.visit.sheet_fault import Faults, Kind, listed, nearest
from drawthrough.visit.sheet_lines import Path

Entry = dict[str, Any]

_WITHOUT_STRIPS = ("strips", "strip element")


def layout_of(sheet: Entry) -> Layout:
    """Return what the places of a sheet's system depend on, as far as it was written."""
    system: Entry = sheet.get("system", {})
    arrangement = system.get("arrangement", "draw-through")
    heats = any(run.get("mode") in ("strips", "gas") for run in sheet.get("run", ()))
    rated = any(table.get("heater") == "in" for table in system.get("fan_table", ()))
    return Layout(
        arrangement=arrangement,
        filter_place=system.get("filter_place", "slot"),
        filter_places=system.get("filter_places", 1),
        heater=arrangement == "blow-through" or "strips" in system or heats or rated,
    )


def settle_places(sheet: Entry, faults: Faults) -> None:
    """Check each reading's places, and give each pressure the sign that they say."""
    layout = layout_of(sheet)
    for i, run in enumerate(sheet.get("run", ())):
        for j, reading in enumerate(run.get("reading", ())):
            path: Path = ("run", i, "reading", j)
            if reading.get("what") in PRESSURES:
                _pressure(reading, path, layout, faults)
            elif "what" in reading:
                _spot(reading, path, layout, faults)


def settle_reading(reading: Entry, layout: Layout | None, faults: Faults) -> None:
    """Do the same for one reading that stands alone; without a layout the equipment is not known yet."""
    if reading.get("what") in PRESSURES:
        _pressure(reading, (), layout, faults)
    elif "what" in reading:
        _spot(reading, (), layout, faults)


def _spot(reading: Entry, path: Path, layout: Layout | None, faults: Faults) -> None:
    what = reading["what"]
    if "against" in reading:
        remedy = f"take it out: a {what} has one place, only {' and '.join(PRESSURES)} have two"
        faults.add("two ends", (*path, "against"), reading["against"], remedy, wanted=what)
    if "at" in reading:
        at = reading["at"]
        if at not in SPOT_PLACES:
            remedy = f"{nearest(at, SPOT_PLACES)}a {what} is read at one of {listed(SPOT_PLACES)}"
            faults.add("unknown place", (*path, "at"), at, remedy, choices=SPOT_PLACES)
        elif at in _WITHOUT_STRIPS and layout is not None and not layout.heater:
            remedy = "this system has no strips: add [system.strips], or mend the place"
            faults.add("place not here", (*path, "at"), at, remedy, "strips")


def _pressure(reading: Entry, path: Path, layout: Layout | None, faults: Faults) -> None:
    what = reading["what"]
    if "against" not in reading:
        remedy = 'say where the other hose was: against = "room", or another place on the air path'
        faults.add("one end", path, what, remedy, wanted=what)
    here = places(layout) if layout else AIR_PLACES
    for end in ("at", "against"):
        place = reading.get(end)
        if place is not None and place not in here:
            kind, remedy = _not_here(place, here, layout)
            faults.add(kind, (*path, end), place, remedy, choices=here)
            return
    if "at" not in reading or "against" not in reading:
        return
    at, against = reading["at"], reading["against"]
    if at == against:
        faults.add("same ends", (*path, "against"), against, "a pressure lies between two places; name the other one")
        return
    if "value" not in reading:
        return
    sign = sign_between(layout, at, against) if layout else 0
    settled = settle(reading["value"], reading["written"], what, sign)
    if settled.fault == "sign against place":
        below = "below" if sign < 0 else "above"
        remedy = (
            f"with the blower on, {at} lies {below} {against}: is it the right place, and was the hose on the right "
            "port? Mend the place, or leave the sign away"
        )
        faults.add("sign against place", (*path, "value"), reading["written"], remedy, below, place=at, other=against)
    elif settled.fault:
        remedy = f"write + or -: between {at} and {against} of this system lies nothing that would tell"
        reason = "" if layout else "equipment"
        faults.add("sign not known", (*path, "value"), reading["written"], remedy, reason, place=at, other=against)
    reading["value"] = settled.value
    note = reading.get("note", "")
    if settled.remark and settled.remark not in note:
        reading["note"] = f"{note} {settled.remark}".strip()


def _not_here(place: str, here: tuple[str, ...], layout: Layout | None) -> tuple[Kind, str]:
    if place not in AIR_PLACES or layout is None:
        return "unknown place", f"{nearest(place, here)}a pressure is read at one of {listed(here)}"
    if place in ("before filter", "after filter") and not layout.filter_places:
        why = "this system has no filter place (filter_places = 0)"
    elif place in layout.path.places:
        why = "this system has no heater: add [system.strips] if it has strips"
    else:
        try:
            layout.path.station(place)
        except DrawthroughError as refusal:
            why = str(refusal).rstrip(".")
    return "place not here", f"{why}; here are {listed(here)}"
