"""What one reading means so far, beside the others, and what it cannot mean yet. Nothing here is a verdict.

A single reading seldom means anything alone: a static becomes a part's drop by the hole before it, a rise becomes an
airflow by the strips' watts. What is missing for it is named. Nothing is fitted here; what the joint fit says is taken
from the judgement, with its interval.
"""

import math
from collections.abc import Callable

import msgspec

from drawthrough.errors import DrawthroughError
from drawthrough.judge.accuracy import PRESSURES, noise_of
from drawthrough.judge.air import mean_reading
from drawthrough.judge.ends import external_ends, path_of, read_between
from drawthrough.judge.judgement import Finding, Judgement, Result
from drawthrough.judge.priors import Priors
from drawthrough.judge.unknowns import touched
from drawthrough.physics import electrical, refrigerant, strips
from drawthrough.physics.atmosphere import standard_pressure
from drawthrough.trade.reading_list import counterpart, layout_of
from drawthrough.visit.state import Reading, Run, Visit

_PRIORS = Priors()
_RESOLVED = 1.96  # standard uncertainties of a difference beyond which two readings are not the same
_LINE_FREQUENCY = 60.0  # [Hz] where none was written


class SoFar(msgspec.Struct, frozen=True, kw_only=True):
    """What a reading means so far, and what it cannot mean yet."""

    means: tuple[Finding, ...] = ()
    not_yet: tuple[Finding, ...] = ()


class _Told:
    """Collects what is said of one reading."""

    def __init__(self, visit: Visit, run: Run, reading: Reading, judgement: Judgement | None) -> None:
        self.visit = visit
        self.run = run
        self.reading = reading
        self.judgement = judgement
        self.means: list[Finding] = []
        self.not_yet: list[Finding] = []

    def mean(self, code: str, names: dict[str, str] | None = None, /, **figures: float) -> None:
        if all(math.isfinite(value) for value in figures.values()):
            self.means.append(Finding(code=code, standing="it stands", figures=figures, names=names or {}))

    def wait(self, code: str, names: dict[str, str] | None = None, /, **figures: float) -> None:
        self.not_yet.append(Finding(code=code, standing="not yet read", figures=figures, names=names or {}))

    def static(self, at: str) -> float | None:
        """The static at a place against the room, in the run of the reading."""
        found = [r.value for r in self.run.reading if (r.what, r.at, r.against) == ("static", at, "room")]
        return sum(found) / len(found) if found else None

    def result(self, name: str) -> Result | None:
        found = None if self.judgement is None else self.judgement.result(name, self.run.when)
        return found if found is not None and found.standing in ("it stands", "in doubt") else None

    def own(self, name: str) -> Result | None:
        """The same, where it is a result of this very run: each run may move another airflow."""
        compared = None if self.judgement is None else self.judgement.compared
        return self.result(name) if compared is not None and self.run.id in compared else None


def so_far(visit: Visit, run_id: str, index: int, judgement: Judgement | None = None) -> SoFar:
    """Return what one reading means so far, and what it cannot mean yet.

    Parameters
    ----------
    visit : Visit
        The visit as it stands.
    run_id : str
        Id of the run in which it was read.
    index : int
        Its place in that run.
    judgement : Judgement, optional
        What is judged of the visit; what rests on the joint fit is said only with it.

    Returns
    -------
    SoFar
        Codes with figures in SI. A reading of which nothing can be said gives none; nothing raises.
    """
    run = next((one for one in visit.run if one.id == run_id), None)
    if run is None or not 0 <= index < len(run.reading):
        return SoFar()
    reading = run.reading[index]
    told = _Told(visit, run, reading, judgement)
    say = _BY_QUANTITY.get(reading.what)
    if say is not None:
        try:
            say(told)
        except DrawthroughError:
            told.wait("its numbers lie beyond what can be worked out")
    if run.when == "as left":
        _beside_as_found(told)
    return SoFar(means=tuple(told.means), not_yet=tuple(told.not_yet))


# --- pressures ---

_TAKES = {
    "return duct": "the return duct takes",
    "filter": "the filter takes",
    "coil": "the coil takes",
    "supply duct": "the supply duct takes",
}


def _static(told: _Told) -> None:
    reading = told.reading
    if reading.against != "room" or not told.run.doors_on:
        return
    part = _part_before(told)
    if part is not None:
        told.mean(_TAKES[part[0]], drop=part[1])
        if part[0] in ("filter", "coil"):
            _needs_airflow(told)
    if reading.at == "supply plenum":
        _external(told)


def _part_before(told: _Told) -> tuple[str, float] | None:
    """The one part between a hole and another place whose pressure is known, and what it takes; or None.

    Which part that is follows from the air path: behind a filter in the grille the return plenum has filter and duct
    before it, and behind a blower a coil lies between other holes.
    """
    reading = told.reading
    path, gone = path_of(told.visit.system), layout_of(told.visit.system, told.run).absent
    blower = path.sections.index("blower")
    here = path.station(reading.at)
    known = {0: 0.0, len(path.sections): 0.0}  # the room, at both ends
    for other in told.run.reading:
        if other.what == "static" and other.against == "room" and other.at in path.places:
            known[path.station(other.at)] = other.value
    for there in sorted(known, key=lambda one: abs(one - here)):
        low, high = min(here, there), max(here, there)
        between = [name for name in path.sections[low:high] if name not in gone]
        # Only what lies ahead of the hole, but for the last duct, behind which comes the room.
        if (there < here or here > blower) and len(between) == 1 and between[0] in _TAKES:
            return between[0], (reading.value - known[there]) * (1.0 if there > here else -1.0)
    if here <= blower and path.sections[here - 1] in ("filter", "coil"):
        before = next(place for place in path.places if path.station(place) == here - 1)
        told.wait("what lies before it needs the hole before it", {"place": before})
    return None


def _external(told: _Told) -> None:
    """Say the static over the ducts, and why no airflow is taken from the fan table with it."""
    suction, pressure = told.static("return plenum"), told.static("supply plenum")
    if suction is None or pressure is None:
        told.wait("the static over the ducts needs both plenums")
        return
    system = told.visit.system
    ends = external_ends(system)
    # The nameplate's maximum holds between the ends of the external static, which the plenums need not be.
    if system.static_rated is None or ends != ("supply plenum", "return plenum"):
        told.mean("static over the ducts", static=pressure - suction)
    else:
        external = read_between(system, told.run, ends)
        told.mean(
            "static over the ducts, beside the nameplate",
            static=pressure - suction if external is None else external,
            static_rated=system.static_rated,
        )
    if told.visit.system.fan_table and told.run.when == "as found" and told.result("airflow") is None:
        told.wait("the fan table holds for a clean wheel")


def _needs_airflow(told: _Told) -> None:
    if told.result("airflow") is None:
        told.wait("whether that is much needs the airflow")


def _drop(told: _Told) -> None:
    reading = told.reading
    if not told.run.doors_on:
        return
    first, second = told.static(reading.at), told.static(reading.against or "")
    if first is None or second is None:
        told.wait("the two holes would check it")
    else:
        told.mean("beside the two holes", drop=reading.value, holes=first - second)


# --- temperatures ---


def _dry_bulb(told: _Told) -> None:
    reading, run = told.reading, told.run
    if not reading.at.startswith("supply"):
        return
    inlet = mean_reading(run, "dry_bulb", "return")
    if inlet is None:
        told.wait("it needs the return air's temperature")
        return
    change = reading.value - inlet
    if run.mode == "cooling":
        told.mean("the air is cooled by", change=-change)
        if mean_reading(run, "wet_bulb", "return") is None:
            told.wait("whether that is right needs the wet bulb and the airflow")
        elif told.result("airflow") is None:
            told.wait("whether that is right needs the airflow")
    elif run.mode == "zero":
        told.mean("the blower and the duct alone warm the air by", change=change)
    else:
        told.mean("the air is warmed by", change=change)
        _airflow_by_heat(told)


def _airflow_by_heat(told: _Told) -> None:
    airflow = told.own("airflow")
    if airflow is not None:
        told.mean(
            "all readings together: airflow", airflow=airflow.value, airflow_low=airflow.low, airflow_high=airflow.high
        )
    elif told.run.mode == "strips":
        missing = [what for what in ("volts", "amps") if mean_reading(told.run, what, "strips") is None]
        if missing:
            told.wait("the airflow needs the strips' watts")
        else:
            told.wait("the airflow needs the rest of the system described")


def _wet_bulb(told: _Told) -> None:
    if told.reading.at == "return" and told.run.mode == "cooling" and told.result("airflow") is None:
        told.wait("cooling in numbers needs the airflow")


def _temperature(told: _Told) -> None:
    line = told.reading.at
    gauge = mean_reading(told.run, "gauge_pressure", line)
    if line not in ("suction line", "liquid line"):
        return
    if gauge is None:
        told.wait("it needs the pressure on the same line")
    else:
        _beside_saturation(told, line, told.reading.value, gauge)


def _gauge_pressure(told: _Told) -> None:
    line = told.reading.at
    pipe = mean_reading(told.run, "temperature", line)
    if line not in ("suction line", "liquid line"):
        return
    name = told.visit.system.refrigerant
    if name is None:
        told.wait("it needs the refrigerant")
        return
    phase: refrigerant.Phase = "dew" if line == "suction line" else "bubble"
    pressure = told.reading.value + _station(told)
    saturated = refrigerant.saturation_temperature_of(name, phase, pressure)
    told.mean("boils at" if phase == "dew" else "condenses at", {"refrigerant": name}, temperature=saturated)
    if pipe is None:
        told.wait("it needs the pipe's temperature")
    else:
        _beside_saturation(told, line, pipe, told.reading.value)


def _beside_saturation(told: _Told, line: str, pipe: float, gauge: float) -> None:
    name = told.visit.system.refrigerant
    if name is None:
        told.wait("it needs the refrigerant")
        return
    if line == "suction line":
        told.mean("superheat so far", change=refrigerant.superheat(name, pipe, gauge, _station(told)))
    else:
        told.mean("subcooling so far", change=refrigerant.subcooling(name, pipe, gauge, _station(told)))
    if told.result("airflow") is None:
        told.wait("whether the charge is right needs the airflow first")


def _station(told: _Told) -> float:
    return told.run.station_pressure or standard_pressure(told.visit.site.altitude)


# --- electrical ---


def _volts(told: _Told) -> None:
    at, rated = told.reading.at, told.visit.system.volts_rated
    if at == "capacitor":
        _capacitor(told)
    elif rated is not None:
        told.mean(
            "beside the nameplate's volts",
            deviation=electrical.voltage_deviation(told.reading.value, rated),
            rated=rated,
        )
    if at == "strips":
        _strip_power(told)


def _amps(told: _Told) -> None:
    if told.reading.at == "capacitor":
        _capacitor(told)
    elif told.reading.at == "strips":
        _strip_power(told)


def _strip_power(told: _Told) -> None:
    volts, amps = (mean_reading(told.run, what, "strips") for what in ("volts", "amps"))
    kit = told.visit.system.strips
    if volts is None or amps is None:
        told.wait("the strips' watts need volts and amps")
    elif kit is None:
        told.mean("the strips take", power=strips.strip_power(volts, amps))
    else:
        expected = strips.power_at_voltage(kit.power, volts, kit.volts)
        told.mean("the strips take, beside their kit", power=strips.strip_power(volts, amps), expected=expected)


def _capacitor(told: _Told) -> None:
    volts, amps = (mean_reading(told.run, what, "capacitor") for what in ("volts", "amps"))
    if volts is None or amps is None:
        told.wait("the capacitor needs volts across it and amps in its lead")
        return
    frequency = mean_reading(told.run, "frequency", "line") or _LINE_FREQUENCY
    _beside_print(told, electrical.capacitance(amps, volts, frequency))


def _capacitance(told: _Told) -> None:
    _beside_print(told, told.reading.value)


def _beside_print(told: _Told, value: float) -> None:
    printed = told.visit.system.capacitor
    if printed is None:
        told.mean("the capacitor has", capacitance=value)
    else:
        told.mean("the capacitor has, beside its print", capacitance=value, printed=printed.capacitance)


def _resistance(told: _Told) -> None:
    kit = told.visit.system.strips
    if told.reading.at == "strip element" and kit is not None:
        expected = strips.element_resistance(kit.power, kit.volts, kit.elements)
        told.mean("beside a sound element", resistance=told.reading.value, expected=expected)


def _speed(told: _Told) -> None:
    if told.result("airflow") is None:
        told.wait("the wheel's speed tells the wheel from the motor once the airflow is known")


def _blower_power(told: _Told) -> None:
    each = told.own("specific_fan_power")
    if each is not None:
        told.mean("power for each unit of air", fan_power=each.value, fan_power_low=each.low, fan_power_high=each.high)
    elif told.run.mode != "zero":
        told.wait("power for each unit of air needs the airflow")


_BY_QUANTITY: dict[str, Callable[[_Told], None]] = {
    "static": _static, "pressure_drop": _drop, "dry_bulb": _dry_bulb, "wet_bulb": _wet_bulb, "volts": _volts,
    "temperature": _temperature, "gauge_pressure": _gauge_pressure, "amps": _amps, "capacitance": _capacitance,
    "resistance": _resistance, "speed": _speed, "blower_power": _blower_power,
}  # fmt: skip


# --- as left beside as found ---


def _beside_as_found(told: _Told) -> None:
    """Hold a pressure as left against the same one as found: a rise after cleaning frightens, and is explained."""
    reading, visit = told.reading, told.visit
    pair = counterpart(visit, told.run)
    if reading.what not in PRESSURES or pair is None or pair.speed != told.run.speed:
        return
    place = (reading.what, reading.at, reading.against, reading.hole)
    found = [other for other in pair.reading if (other.what, other.at, other.against, other.hole) == place]
    if not found:
        return
    before = sum(other.value for other in found) / len(found)
    ends = {reading.at, reading.against}
    side = "return ducts" if "return plenum" in ends else "supply ducts"
    # What more air does to ducts it does only where nothing but ducts lies between the ends, and nobody touched them.
    ducts = ends in ({"return plenum", "room"}, {"supply plenum", "room"}) and not (
        side == "return ducts" and visit.system.filter_place == "grille"
    )
    noise = math.hypot(noise_of(visit, reading, _PRIORS), noise_of(visit, found[0], _PRIORS))
    moved = abs(reading.value) - abs(before)
    clear = abs(moved) > _RESOLVED * noise and told.run.doors_on and pair.doors_on
    air = ducts and clear and visit.system.motor != "constant airflow" and not touched(visit, side, "registers")
    if air and moved > 0.0:
        told.mean("more than as found: more air meets the same ducts", found=abs(before))
    elif air:
        told.mean("less than as found", found=abs(before))
    else:
        told.mean("as found it was", found=before)
