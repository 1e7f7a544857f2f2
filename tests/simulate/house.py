"""The true house, drawn by chance from laws that stand as data, and what its nameplates and tables print."""

import math
import random
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from drawthrough import units
from drawthrough.visit.state import Capacitor, FanTable, Strips, System
from tests.simulate.airpath import REFERENCE, Duct, Filter, Opening
from tests.simulate.airpath import Path as AirPath
from tests.simulate.fans import CFM, INWC, SHAPES, Blower
from tests.simulate.heat import Coil

LAWS: dict[str, Any] = tomllib.loads(Path(__file__).with_name("house.toml").read_text(encoding="utf-8"))
TON = 3516.8528  # [W]
VOLTS_RATED = 230.0
STATICS = tuple(0.1 * k for k in range(1, 9))  # of the printed table [in. w.c.]
HELD_TO = 0.9  # external static to which a held airflow is printed [in. w.c.]


def draw(rng: random.Random, group: str, name: str) -> float:
    """Draw one figure by its law in the data."""
    return drawn_by(rng, LAWS[group][name])


def drawn_by(rng: random.Random, rule: list[Any]) -> float:
    """Draw one figure by a law: its word and its figures."""
    law, low, high, *rest = rule
    if law == "uniform":
        return rng.uniform(low, high)
    if law == "triangular":
        return rng.triangular(low, high, rest[0])
    if law == "sign":
        return rng.uniform(low, high) * rng.choice((-1.0, 1.0))
    if law == "skewed":
        return float(low + high * rng.expovariate(1.0) ** rest[0])
    raise ValueError(f"no such law: {law}")


class House(NamedTuple):
    """What stays the same through a visit."""

    motor: str
    rated: float  # airflow on the nameplate [m3/s]
    capacity: float  # on the nameplate [W]
    metering: str
    altitude: float  # [m]
    blower: Blower
    held: float  # constant airflow: what is held [m3/s standard]
    held_rate: float
    held_limit: float
    watts: float
    taps: dict[str, float]
    speed_slope: float  # constant torque: per pascal of external static
    unloading: float
    slip_voltage: float
    slip_capacitor: float
    clean: AirPath  # everything clean and as it should be, a new filter
    coil: Coil
    fouling: float
    wet_most: float
    wet_latent: float
    around: float  # [K]
    kit: float  # strips, by their label at 240 V [W]
    heater: float  # their power over the label
    table: FanTable


def drawn(motor: str, rng: random.Random) -> House:
    """Draw a house of a kind of motor."""

    def of(group: str, name: str) -> float:
        return draw(rng, group, name)

    tons = round(2.0 * of("house", "tons")) / 2.0
    rated = round(tons * of("house", "cfm_per_ton") / 25.0) * 25.0 * CFM
    blower = Blower(
        SHAPES[motor], of("blower", "mix"), of("blower", "stretch"), of("blower", "bend"),
        rated * of("blower", "design"), of("blower", "cabinet") * INWC, of("blower", "cabinet_exponent"),
    )  # fmt: skip
    clean = _path(rated, of)
    held = rated * rng.choice((0.95, 1.0, 1.05))
    held_rate = of("blower", "held_slope")
    metering = rng.choice(("expansion valve", "expansion valve", "fixed orifice"))
    coil = Coil(
        tons * TON * of("machine", "capacity") * 1.04,  # gross over the net of the nameplate
        rated, of("machine", "bypass"), of("machine", "bypass_power"),
        of("machine", "airflow_power_valve" if metering == "expansion valve" else "airflow_power_orifice"),
        of("machine", "per_wet_bulb"), of("machine", "per_outdoor"),
    )  # fmt: skip
    wet = of("house", "wet_most")
    return House(
        motor, rated, tons * TON, metering, round(of("house", "altitude"), -1) * 0.3048, blower, held, held_rate,
        rng.uniform(1.2, 1.4), of("blower", "watts"),
        {"high": 1.0, "medium": of("blower", "medium_tap"), "low": of("blower", "low_tap")},
        of("blower", "speed_slope") / INWC,
        of("blower", "unloading_psc" if motor == "psc" else "unloading_torque"),
        of("blower", "slip_voltage"), of("blower", "slip_capacitor"),
        clean, coil, of("machine", "fouling"), wet, of("house", "wet_latent"), of("house", "attic"),
        _kit(tons, rng), of("day", "heater"),
        _table(motor, blower, clean, wet, held, held_rate, rng),
    )  # fmt: skip


def _path(rated: float, of: Any) -> AirPath:
    size = REFERENCE / rated

    def duct(name: str, exponent: float) -> Duct:
        return Duct(of("house", name) * INWC * size**exponent, exponent)

    media, viscous = of("house", "filter_static") * INWC, of("house", "filter_viscous")
    leak = of("house", "leak_at_25") * CFM
    before, crack = of("house", "leak_before_coil"), of("house", "leak_crack")
    return AirPath(
        duct("return_static", of("house", "duct_exponent")),
        Filter(media * viscous * size, media * (1.0 - viscous) * size * size),
        duct("coil_static", of("house", "coil_exponent")),
        duct("heater_static", 1.9),
        duct("supply_static", of("house", "duct_exponent")),
        Opening(of("house", "return_leak_at_25") * CFM, 0.65),
        Opening(leak * before, crack),
        Opening(leak * (1.0 - before), crack),
        Opening(of("house", "supply_leak_at_25") * CFM, 0.65),
    )


def _kit(tons: float, rng: random.Random) -> float:
    return 1000.0 * rng.choice((4.8, 7.2, 9.6) if tons < 3.0 else (7.2, 9.6, 14.4))


def _table(
    motor: str, blower: Blower, clean: AirPath, wet: float, held: float, held_rate: float, rng: random.Random
) -> FanTable:
    """Print a maker's table: the clean blower in the maker's own cabinet, shifted, tilted, rounded."""
    level, slope = draw(rng, "blower", "table_level"), draw(rng, "blower", "table_slope")
    other = math.exp(draw(rng, "blower", "table_coil"))
    state, heater = rng.choice(("dry", "dry", "wet")), rng.choice(("in", "out"))
    factor = other * (1.0 + 0.8 * wet if state == "wet" else 1.0)
    points = []
    least = math.inf
    for p in STATICS if motor != "constant airflow" else (*STATICS, HELD_TO):
        if motor == "constant airflow":
            q = held * (1.0 + held_rate * (p - 0.4) * INWC) * math.exp(0.4 * level)
        else:
            q = _at(blower, clean, factor, heater == "in", p * INWC) * math.exp(level + slope * (p / 0.45 - 1.0))
            q = least = min(q, least)  # makers print no rising table of such a motor
        if q > 0.45 * blower.design:
            points.append((p, round(q / CFM / 5.0) * 5.0))
    return FanTable(
        speed="high", coil=state, filter="out", heater=heater, volts=VOLTS_RATED,
        static=tuple(units.to_si(float(f"{p:.2f}"), "inwc", "pressure") for p, _ in points),
        airflow=tuple(units.to_si(q, "cfm", "airflow") for _, q in points),
    )  # fmt: skip


def _at(blower: Blower, clean: AirPath, coil: float, heater: bool, static: float) -> float:
    """Airflow at an external static of the clean blower in the maker's cabinet: standard air, by bisection."""
    low, high = 0.05 * blower.design, 2.5 * blower.design
    for _ in range(30):
        q = 0.5 * (low + high)
        inside = coil * clean.coil.at(q, 1.2014) + (clean.heater.at(q, 1.2014) if heater else 0.0)
        low, high = (q, high) if blower.at_rise(static + inside) > q else (low, q)
    return 0.5 * (low + high)


def system(house: House) -> System:
    """What nameplates, labels and tables say of a house."""
    held = house.motor == "constant airflow"
    return System(
        name="Air handler", arrangement="draw-through", motor=house.motor, coil_inside_taps=True,  # type: ignore[arg-type]
        filter_place="slot", filter_places=1, filter_merv=8, motor_original=True,
        airflow_limit_static=units.to_si(HELD_TO, "inwc", "pressure") if held else None,
        total_capacity_rated=house.capacity, sensible_heat_ratio_rated=0.75, airflow_rated=house.rated,
        static_rated=units.to_si(0.5, "inwc", "pressure"), volts_rated=VOLTS_RATED, refrigerant="R-410A",
        metering=house.metering,  # type: ignore[arg-type]
        strips=Strips(power=house.kit, volts=240.0, elements=round(house.kit / 4800.0) if house.kit != 7200.0 else 2),
        capacitor=Capacitor(capacitance=7.5e-6, tolerance=0.06, volts=370.0) if house.motor == "psc" else None,
        fan_table=(house.table,),
    )  # fmt: skip
