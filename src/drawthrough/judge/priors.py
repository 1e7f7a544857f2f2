"""What is believed before a reading is taken: data that a user can change, never constants in the code.

Every entry says where it comes from. (judgement) marks a figure without a source.
"""

import math

import msgspec

from drawthrough.measure import instrument
from drawthrough.physics.resistance import EXPONENTS
from drawthrough.units import INWC, RANKINE

CFM_PER_TON = 4.7194745e-4 / 3516.8528  # [m3/s per W]


class Belief(msgspec.Struct, frozen=True):
    """A normal belief: its mean and its standard deviation."""

    mean: float
    sd: float


def _log(value: float, sd: float) -> Belief:
    return Belief(math.log(value), sd)


class Priors(msgspec.Struct, frozen=True, kw_only=True):
    """Beliefs about the unknowns of the joint fit, and the noise that no data sheet gives."""

    # Airflow of any run, per rated cooling capacity: 27 homes had 130 to 510 cfm/ton, mean 320 (FSEC-PF-321-97).
    airflow_per_capacity: float = 350 * CFM_PER_TON  # [m3/s per W]
    airflow_unrated: float = 0.47194745  # [m3/s], where no capacity is known (judgement)
    airflow_sd: float = 0.35  # of ln(airflow)

    # Pressure drop of each part at 1000 cfm and 1.204 kg/m3, ln(Pa) (judgement: widths of a factor of 2 to 3).
    return_duct: Belief = _log(50.0, 1.0)
    supply_duct: Belief = _log(50.0, 1.0)
    filter: Belief = _log(35.0, 0.8)
    coil: Belief = _log(55.0, 0.6)
    heater: Belief = _log(8.0, 0.5)

    # Exponents of airflow: friction and fittings 1.8-2.0, media 1.0-1.5, fin-and-tube coils 1.6-1.8.
    exponent_duct: Belief = Belief(EXPONENTS["return duct"].mean, EXPONENTS["return duct"].sd)
    exponent_filter: Belief = Belief(EXPONENTS["filter"].mean, EXPONENTS["filter"].sd)
    exponent_coil: Belief = Belief(EXPONENTS["coil"].mean, EXPONENTS["coil"].sd)

    # ln of K as found over K as left, where the part was worked on, and where it was not (judgement).
    coil_change: Belief = Belief(0.2, 0.4)
    filter_change: Belief = Belief(0.2, 0.5)
    # A register opened or a pinched duct freed takes away a part of its side's resistance, often half of it.
    duct_change: Belief = Belief(0.3, 0.5)
    untouched_change: Belief = Belief(0.0, 0.03)
    # What no one worked on is still handled: grille and doors opened and shut, a damper brushed, seams warmed. One per
    # cent of a side's resistance is half of one per cent of airflow, as well as one house repeats within a day.
    untouched_duct: Belief = Belief(0.0, 0.01)

    # ln of K inside the rated cabinet over K as left: a clean coil is near its rating, an unseen one may be dirty.
    rated_coil_clean: Belief = Belief(0.0, 0.25)  # (judgement)
    rated_coil_unseen: Belief = Belief(-0.2, 0.35)  # (judgement)
    rated_filter: Belief = Belief(-0.1, 0.4)  # (judgement)
    rated_heater: Belief = Belief(0.0, 0.25)  # (judgement)

    # ln of the wet coil's factor: 1.2 to 1.5 at 400-500 fpm (Wang and co-workers, wet-surface correlations).
    wet: Belief = Belief(math.log(1.2 * 1.5) / 2, math.log(1.5 / 1.2) / 3.92)
    # And what is each run's own of it: the film of water follows the latent load, the air's speed and the dirt that
    # holds it. What is published scatters for both reasons, and is taken to do so by halves: 0.057 over the root of 2
    # is 0.04 (judgement).
    wet_run: Belief = Belief(0.0, 0.04)
    # Where between dry (0) and wet (1) a damp coil lies. Water no longer runs, what hangs between the fins is less than
    # half of what a film holds, and the run itself dries it: more likely near dry than near wet (judgement).
    damp: Belief = Belief(0.3, 0.25)

    # Share of blower air that enters between filter and blower: 6.4 % in thirty cabinets (FSEC-RR-138-03).
    leak: Belief = Belief(0.06, 0.05)
    # And before seams were sealed: nobody seals what does not leak, and a door or a cut-out that stands open is a
    # multiple of the mean (judgement).
    leak_sealed: Belief = Belief(0.10, 0.08)
    # How much of it enters only behind the coil: LEAK_MISSING, give or take. All places between filter and blower are
    # possible, none at the very ends alone (judgement).
    leak_behind_coil_sd: float = 0.2

    # ln of blower against clean.
    strength_unknown: Belief = Belief(-0.1, 0.2)
    strength_clean: Belief = Belief(-0.02, 0.03)
    strength_untouched_change: Belief = Belief(0.0, 0.02)  # (judgement)

    # Fan table: level of a maker's table on one unit, slope per unit of relative static, and what reading it leaves.
    table_level_sd: float = 0.05
    table_slope_sd: float = 0.10
    table_speed_sd: float = 0.03  # a further speed of the same table against the first (judgement)
    table_reading_sd: float = 0.005  # rounding of the printed figures and interpolation (judgement)
    # ln of what a motor that holds its airflow reaches of it as found, where wheel or coil was then worked on. A wheel
    # that lost a fifth of its air must turn a quarter faster, a blocked coil is rise that no external static shows;
    # motors have a fifth to two fifths of speed to spare, and less air beyond that (judgement).
    held_short: Belief = Belief(-0.03, 0.06)
    held_airflow_sd: float = 0.015  # from run to run, heavy-tailed: at its limit it lets go (judgement)

    placement_sd: float = 0.008 * INWC  # error of one hole at 1000 cfm [Pa]
    # d ln(rpm) per pascal of table static, of a clean blower: a PSC motor turns 1040 rpm free and 1100 blocked, one
    # that holds its airflow 463.5 rpm per in. w.c. of 1100 (field and laboratory fits); constant torque (judgement).
    speed_slope_psc: Belief = Belief(0.06 / INWC, 0.04 / INWC)
    speed_slope_constant_torque: Belief = Belief(0.35 / INWC, 0.15 / INWC)
    speed_slope_constant_airflow: Belief = Belief(0.42 / INWC, 0.12 / INWC)

    static_swing: float = (
        0.002 * INWC
    )  # what a static swings in a running cabinet, anew with each reading (judgement) [Pa]
    strip_probe_sd: float = 0.03  # stratification before the supply probe with strips
    gas_probe_sd: float = 0.10  # the same with a gas burner, shared (judgement)
    gas_probe_own_sd: float = 0.03  # and new each time (judgement)
    no_zero_sd: float = 1.5 * RANKINE  # leak mixing and evaporation in a rise without a zero [K]
    blower_power_unknown: Belief = Belief(450.0, 150.0)  # where no watts were read [W] (judgement)
    blower_power_read: float = (
        0.03  # and where they were, relative: they stand in for the heat of the blower (judgement)
    )
    # A zero between two that differ: a decay to a third lies a tenth of their difference off the straight line.
    zero_bend: float = 0.1
    drift_sd: float = 0.1 * RANKINE  # of a rise between its zero and itself [K] (judgement)

    shared_variance: float = (
        instrument.SHARED
    )  # share of an instrument's variance that its readings have in common (judgement)
    other_day_correlation: float = instrument.KEPT_OVERNIGHT  # of a thermometer's offset (judgement)


# How much of the leak between filter and blower has not yet entered at each section, by arrangement and place of the
# filter: half of it before the coil (judgement; most of it cancels between as found and as left).
LEAK_MISSING: dict[tuple[str, str], dict[str, float]] = {
    ("draw-through", "slot"): {"return duct": 1.0, "filter": 1.0, "coil": 0.5},
    ("draw-through", "grille"): {"filter": 1.0, "return duct": 0.75, "coil": 0.25},
    ("blow-through", "slot"): {"return duct": 1.0, "filter": 1.0},
    ("blow-through", "grille"): {"filter": 1.0, "return duct": 0.5},
}


class Assumed(msgspec.Struct, frozen=True):
    """Accuracy of an instrument that the visit does not describe (judgement)."""

    relative: float
    absolute: float
    resolution: float


ANY_OTHER = Assumed(0.02, 0.0, 0.0)
ASSUMED: dict[str, Assumed] = {
    "static": Assumed(0.02, 0.005 * INWC, 0.001 * INWC),
    "dry_bulb": Assumed(0.0, 1.0 * RANKINE, 0.1 * RANKINE),
    "wet_bulb": Assumed(0.0, 1.5 * RANKINE, 0.1 * RANKINE),
    "dew_point": Assumed(0.0, 2.0 * RANKINE, 0.1 * RANKINE),
    "relative_humidity": Assumed(0.0, 0.04, 0.001),
    "volts": Assumed(0.01, 0.0, 0.1),
    "amps": Assumed(0.02, 0.0, 0.1),
    "power": Assumed(0.02, 1.0, 1.0),
    "blower_power": Assumed(0.02, 3.0, 1.0),
    "speed": Assumed(0.002, 0.0, 1 / 60),
    "airflow": Assumed(0.07, 0.0, 0.0),
    "gas_flow": Assumed(0.01, 0.0, 0.0),
    "gauge_pressure": Assumed(0.01, 6894.76, 689.476),
    "temperature": Assumed(0.0, 1.0 * RANKINE, 0.1 * RANKINE),
    "capacitance": Assumed(0.03, 0.0, 1e-8),
    "resistance": Assumed(0.01, 0.1, 0.1),
    "combustion_efficiency": Assumed(0.02, 0.0, 0.001),
    "heating_value": Assumed(0.02, 0.0, 0.0),
}
