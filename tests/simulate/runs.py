"""What truly happens in one run: the operating point and the air at each probe."""

import math
import random
from typing import NamedTuple

from drawthrough.physics import moist_air
from tests.simulate import airpath, causes, heat
from tests.simulate.airpath import Densities, Point
from tests.simulate.causes import State
from tests.simulate.fans import CFM, FANS, INWC, Wheel
from tests.simulate.heat import Air, Stratification
from tests.simulate.house import House, draw

COOLED_EARLIER = 0.12  # share of visits that find the coil damp from an earlier cooling call (judgement)
DRIED = 0.4  # of technicians who dry a rinsed coil before they measure (judgement)


class Day(NamedTuple):
    """The air and the probes' places on the day, as found or as left."""

    pressure: float  # station [Pa]
    back: Air  # return air at the start
    outdoor: float  # [K]
    drift: float  # of the return air [K/s]
    lag: float  # of the supply behind the return [s]
    near: Stratification
    far: Stratification
    cool: Stratification
    loss: float
    radiation: float
    duct_gain: float  # [W]
    water: float  # evaporating at the start of the runs [kg/s]
    water_lasting: float  # [s]
    held: float  # how a held airflow comes back, relative
    repeat: float  # of the cooling machine, relative
    damp: float = 0.0  # share of the wet coil's extra resistance that water left in the fins makes


class Truly(NamedTuple):
    """One run as it truly is."""

    point: Point
    back: Air
    supply: Air  # the whole stream behind everything
    near: Air  # what the near supply probe stands in
    far: Air
    power: float  # of the blower [W]
    speed: float  # [1/s]
    strips: float = 0.0  # [W]
    capacity: float = 0.0  # cooling, gross [W]
    condensate: float = 0.0  # [kg/s]
    surface: float = 0.0  # leaving air of the coil [K], for the refrigerant side


def days(house: House, rinsed: bool, rng: random.Random) -> tuple[Day, Day]:
    """Draw the day as found and as left: the same probes in the same places, put back by hand."""

    def of(name: str) -> float:
        return draw(rng, "day", name)

    pressure = moist_air.standard_pressure(house.altitude) * rng.uniform(0.99, 1.01)
    dry_bulb, humidity, outdoor = of("return_dry_bulb"), of("return_humidity"), of("outdoor")
    reference = house.rated * 1.2

    def air(moved: float, damper: float) -> Air:
        t = dry_bulb + moved
        return Air(t, moist_air.humidity_ratio_from_relative_humidity(t, humidity + damper, pressure))

    shares = {name: of(name) for name in ("strip_share", "far_share", "cool_share")}
    moving = {name: of("strip_moving") for name in shares}

    def probe(name: str) -> Stratification:
        return Stratification(shares[name] + of("replaced"), moving[name], reference)

    def one(moved: float, damper: float, warmer: float, water: float) -> Day:
        return Day(
            pressure, air(moved, damper), outdoor + warmer, of("drift"), lag,
            probe("strip_share"), probe("far_share"), probe("cool_share"), loss, radiation, gain,
            water, lasting, draw(rng, "blower", "held_error"), of("repeat"),
            min(0.6, water / 4e-4),
        )  # fmt: skip

    lag, loss, radiation, gain = of("probe_lag"), of("loss"), of("radiation"), of("duct_gain")
    lasting = of("water_lasting")
    rinse = (of("water") if rinsed else 0.0) * (1.0 if rng.random() > DRIED else 0.05)
    earlier = 0.5 * of("water") if rng.random() < COOLED_EARLIER else 0.0
    found = one(0.0, 0.0, 0.0, earlier)
    left = one(of("return_moved"), of("humidity_moved"), of("outdoor_moved"), rinse)
    return found, left


def solved(house: House, state: State, day: Day, densities: Densities, wet: float) -> Point:
    """Return the operating point by the kind of motor."""
    wheel, path = causes.wheel(house, state), causes.path(house, state)
    if house.motor == "constant airflow":
        return airpath.solve_held(
            house.blower, wheel, path, densities, wet,
            house.held * (1.0 + day.held) * house.taps[state.tap], house.held_limit, house.held_rate,
        )  # fmt: skip
    return airpath.solve(house.blower, wheel, path, densities, wet)


def clean_rpm(house: House, airflow: float, rise: float) -> float:
    """Return the speed of the clean blower at full speed, at a point of its curve [1/s]."""
    fan = FANS["psc_measured"]
    if house.motor == "psc":
        moved = min(airflow / (1.3 * house.blower.design), 1.0)
        return float(fan["speed_blocked"] + (fan["speed_free"] - fan["speed_blocked"]) * moved) / 60.0
    if house.motor == "constant torque":
        external = rise - house.blower.inside(airflow)
        return 1050.0 * (1.0 + house.speed_slope * (external - 0.5 * INWC)) / 60.0
    return float(FANS["constant_airflow"]["speed_design"]) / 60.0  # a bare wheel at one speed


def rpm(house: House, wheel: Wheel, point: Point) -> float:
    """Return the speed of the wheel [1/s]: by motor, slip and tap, and a little more where dirt unloads it."""
    unloaded = 1.0 if house.motor == "constant airflow" else 1.0 + house.unloading * (1.0 - wheel.airflow)
    return clean_rpm(house, point.airflow, point.rise) * point.speed * unloaded


def watts(house: House, point: Point) -> float:
    """Return the blower's power [W], by the measured specific power at its external static."""
    c0, c1, c2 = FANS["power"][house.motor]
    p = max(0.05, (point.supply_plenum - point.after_filter) / INWC)
    return float(house.watts * (c0 + c1 * p + c2 * p * p) * point.airflow / CFM)


def still(house: House, state: State, day: Day, moment: float, strips: float = 0.0) -> Truly:
    """Return a run without cooling at a moment [s] after the runs began; `strips` is the elements' power [W]."""
    back = day.back._replace(dry_bulb=day.back.dry_bulb + day.drift * moment)
    earlier = back._replace(dry_bulb=back.dry_bulb - day.drift * day.lag)
    around = Air(house.around, day.back.water)
    warm = earlier._replace(dry_bulb=earlier.dry_bulb + strips / 1.2 / house.rated / 1010.0)
    wet = 1.0 + house.wet_most * day.damp * math.exp(-moment / day.water_lasting) if day.water else 1.0
    d = heat.density(back, day.pressure)
    densities = Densities(d, heat.density(around, day.pressure), d, d, heat.density(warm, day.pressure))
    point = solved(house, state, day, densities, wet)
    first, second, third = point.leaks
    entering = heat.mixed([(point.filter_mass - first, earlier), (first + second + third, around)])
    water = heat.evaporation(day.water, day.water_lasting, moment, point.airflow, house.rated) if day.water else 0.0
    power = watts(house, point)
    base = heat.warmed(heat.evaporated(entering, point.mass, water), point.mass, power + day.duct_gain)
    rise = heat.warmed(base, point.mass, strips * (1.0 - day.loss)).dry_bulb - base.dry_bulb
    near = base.dry_bulb + day.near.seen(rise, point.mass) + day.radiation * rise
    far = base.dry_bulb + day.far.seen(rise, point.mass)
    wheel = causes.wheel(house, state)
    return Truly(
        point, back, base._replace(dry_bulb=base.dry_bulb + rise), base._replace(dry_bulb=near),
        base._replace(dry_bulb=far), power, rpm(house, wheel, point), strips,
    )  # fmt: skip


def wet_factor(house: House, state: State, water: float, airflow: float) -> float:
    """Return by how much the water on a cooling coil raises its resistance; more water and more dirt hold more."""
    grams = 1000.0 * water / airflow
    return 1.0 + house.wet_most * (1.0 - math.exp(-grams / house.wet_latent)) * (
        1.0 + 0.15 * min(state.coil - 1.0, 1.5)
    )


def cooling(house: House, state: State, day: Day) -> Truly:
    """Return a steady cooling run."""
    back, around = day.back, Air(house.around, day.back.water)
    coil = house.coil._replace(
        charge=state.charge * (1.0 + day.repeat),
        fouling=max(0.5, 1.0 - house.fouling * math.log2(state.coil)) if state.coil > 1.0 else 1.0,
    )
    condensate = 0.0
    leaving, wet = Air(back.dry_bulb - 10.0, back.water * 0.85), 1.0 + 0.5 * house.wet_most
    point, total, supply, power = None, 0.0, leaving, 0.0
    for _ in range(2):
        middle = Air(0.5 * (back.dry_bulb + leaving.dry_bulb), 0.5 * (back.water + leaving.water))
        states = (back, around, middle, leaving, supply)
        point = solved(house, state, day, Densities(*(heat.density(a, day.pressure) for a in states)), wet)
        first, second, third = point.leaks
        entering = heat.mixed([(point.filter_mass - first, back), (first + second, around)])
        through = point.mass - third
        leaving, total, _ = heat.cooled(coil, entering, through, day.outdoor, day.pressure)
        condensate = (entering.water - leaving.water) * through
        wet = wet_factor(house, state, condensate, point.airflow)
        power = watts(house, point)
        leaving = heat.mixed([(through, leaving), (third, around)]) if third > 0.0 else leaving
        supply = heat.warmed(leaving, point.mass, power + day.duct_gain)
    assert point is not None
    share = day.cool.seen(1.0, point.mass)

    def seen(share: float) -> Air:
        return Air(
            back.dry_bulb + (supply.dry_bulb - back.dry_bulb) * share, back.water + (supply.water - back.water) * share
        )

    wheel = causes.wheel(house, state)
    return Truly(
        point,
        back,
        supply,
        seen(share),
        seen(1.0),
        power,
        rpm(house, wheel, point),
        0.0,
        total,
        condensate,
        leaving.dry_bulb,
    )


def sensible(true: Truly) -> float:
    """Return the sensible cooling between return and supply of a run, net of the blower [W]."""
    dry = true.point.mass / (1.0 + true.supply.water)
    return dry * moist_air.humid_heat(true.supply.water) * (true.back.dry_bulb - true.supply.dry_bulb)
