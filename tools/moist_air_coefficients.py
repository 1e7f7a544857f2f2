"""Fit the compact forms of `physics/moist_air_coefficients.py` to the real-gas formulation of ASHRAE RP-1485.

Run with numpy and CoolProp installed:  python tools/moist_air_coefficients.py
CoolProp's humid air is that formulation (Herrmann, Kretzschmar, Gatley 2009), from which the ASHRAE tables since 2009
are made. Each form has the shape that the virial equation gives it, so that few coefficients are enough; x is the
Celsius temperature over 100, p in Pa, W the humidity ratio. The largest residuals stand beside the coefficients.
"""

from collections.abc import Iterable
from math import log
from pathlib import Path

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAProps_Aux, HAPropsSI

from drawthrough.physics.saturation import saturation_pressure

ZERO = 273.15
RATIO_OF_MASSES = 18.015268 / 28.966
GAS_CONSTANT = 8.314472 / 28.966e-3  # of dry air, with the constants of RP-1485
STANDARD = 101325.0
PRESSURES = (55e3, 60e3, 70e3, 80e3, 90e3, STANDARD, 110e3, 115e3)
HEADER = f'''"""Coefficients of moist air, written by `tools/moist_air_coefficients.py`: do not edit, run it again.

Fitted to CoolProp {CoolProp.__version__}, humid air after ASHRAE RP-1485. The forms stand in that file.
"""

'''
TARGET = Path(__file__).parent.parent / "src/drawthrough/physics/moist_air_coefficients.py"


def least_squares(columns: np.ndarray, values: np.ndarray, weights: np.ndarray) -> np.ndarray:
    scale = np.abs(columns).max(axis=0)
    return np.linalg.lstsq(columns / scale * weights[:, None], values * weights, rcond=None)[0] / scale


def logarithms_of_factor(temperatures: Iterable[float]) -> np.ndarray:
    """Rows of temperature, pressure, ln f."""
    return np.array(
        [(t, p, log(HAProps_Aux("f", float(t), float(p), 0.0)[0])) for t in temperatures for p in PRESSURES]
    )


def fit_factor_over_water() -> tuple[np.ndarray, float]:
    """ln f = a (g + r k), a = p - p_s, r = a / p; g and k quadratic in x: what the virial equation leaves of f."""
    t, p, y = logarithms_of_factor(np.linspace(273.17, 353.15, 61)).T
    x, a = (t - ZERO) / 100, p - np.array([saturation_pressure(v) for v in t])
    r = a / p
    columns = np.array([a, a * x, a * x**2, a * r, a * r * x, a * r * x**2]).T
    found = least_squares(columns, y, np.where(t < 328.15, 2.0, 1.0))
    return found, float(np.abs(columns @ found - y).max())


def fit_factor_over_ice(water: np.ndarray) -> tuple[np.ndarray, float, float]:
    """ln f = p (i0 + i1 x + i2 x^2 + i3 x^3) + j0 + j1 x; i0 and j0 make it join the form over water at 0 C."""
    t, p, y = logarithms_of_factor(np.linspace(173.15, 273.15, 101)).T
    x = (t - ZERO) / 100
    i0, j0 = water[0] + water[3], -saturation_pressure(273.16) * (water[0] + 2 * water[3])
    columns = np.array([p * x, p * x**2, p * x**3, x]).T
    free = least_squares(columns, y - p * i0 - j0, np.where(t > 223.15, 10.0, 1.0))
    off = np.abs(columns @ free + p * i0 + j0 - y)
    return np.array([i0, *free[:3], j0, free[3]]), float(off.max()), float(off[t > 223.15].max())


def states() -> np.ndarray:
    """Rows of Celsius temperature, pressure, humidity ratio, volume, enthalpy above dry air at 0 C."""
    rows = []
    for p in PRESSURES:
        datum = HAPropsSI("H", "T", ZERO, "P", p, "W", 0)
        for t in np.linspace(-60, 100, 41):
            ps = saturation_pressure(t + ZERO)
            most = min(RATIO_OF_MASSES * ps / (p - ps), 0.2) if ps < 0.9 * p else 0.2
            for share in (0.0, 0.05, 0.2, 0.5, 0.8, 0.999):
                given = ("T", t + ZERO, "P", p, "W", share * most)
                rows.append((t, p, share * most, HAPropsSI("V", *given), HAPropsSI("H", *given) - datum))
    return np.array(rows)


def fit_volume(rows: np.ndarray) -> tuple[np.ndarray, float, float]:
    """v = R T (1 + W/eps) / p + b0 + b1 x + b2 x^2 + W (b3 + b4 x + b5 W): ideal gas and second virial coefficient."""
    t, p, w, v, _ = rows.T
    x = t / 100
    rest = v - GAS_CONSTANT * (t + ZERO) * (1 + w / RATIO_OF_MASSES) / p
    columns = np.array([x**0, x, x**2, w, w * x, w**2]).T
    core = (t > -8) & (t < 56)
    found = least_squares(columns, rest, np.where(core, 2.0, 1.0) / v)
    off = np.abs((columns @ found - rest) / v)
    return found, float(off.max()), float(off[core].max())


def fit_enthalpy(rows: np.ndarray) -> tuple[np.ndarray, float, float]:
    """h = x (c0 + c1 x + c10 x^2 + c2 p) + W (c3 + x (c4 + c5 x) + p (c6 + c7 x + W (c8 + c9 x)) / (1 + W / eps))."""
    t, p, w, _, h = rows.T
    x, s = t / 100, p * w / (1 + w / RATIO_OF_MASSES)
    columns = np.array([x, x**2, p * x, w, w * x, w * x**2, s, s * x, s * w, s * w * x, x**3]).T
    core = (t > -8) & (t < 56)
    found = least_squares(columns, h, np.where(core, 20.0, 1.0) / (3000 + 1000 * np.abs(t) + 2.5e6 * w))
    off = np.abs(columns @ found - h)
    return found, float(off.max()), float(off[core].max())


def fit_condensed(low: float, high: float, start: float) -> tuple[np.ndarray, float]:
    """h = start + t (d1 + d2 t), t in Celsius; liquid water is 0 at 0 C, ice lower by its heat of fusion there."""
    t = np.linspace(low, high, 41)
    h = np.array([_condensed(v + ZERO) for v in t])
    columns = np.array([t, t**2]).T
    found = least_squares(columns, h - start, np.ones_like(t))
    return found, float(np.abs(columns @ found + start - h).max())


def _condensed(temperature: float) -> float:
    """Enthalpy of liquid water (IAPWS-95, saturated) or of ice, as the energy balance of the wet bulb holds it."""
    if temperature >= ZERO + 0.01:
        return float(PropsSI("H", "T", temperature, "Q", 0, "Water"))
    # Ice: the balance h(T, W) + (W_s - W) h_ice = h(T_wb, W_s) of RP-1485, solved for h_ice at a known wet bulb.
    given = ("B", temperature, "P", STANDARD)
    saturated = HAPropsSI("W", "T", temperature, "P", STANDARD, "R", 1)
    dry = temperature + 0.7 * saturated * 2.83e6 / 1006.0
    humid = HAPropsSI("W", "T", dry, *given)
    rise = HAPropsSI("H", "T", temperature, "P", STANDARD, "R", 1) - HAPropsSI("H", "T", dry, "P", STANDARD, "W", humid)
    return float(rise / (saturated - humid))


def fit_dew_point(low: float, high: float) -> tuple[np.ndarray, float]:
    """First guess of the dew point from y = ln(e / Pa), e the vapour pressure: a quintic, with f taken at 85 kPa."""
    t = np.linspace(low, high, 200)
    y = np.array([log(saturation_pressure(v) * HAProps_Aux("f", float(v), 85e3, 0.0)[0]) for v in t])
    columns = np.array([y**k for k in range(6)]).T
    found = least_squares(columns, t, np.ones_like(t))
    return found, float(np.abs(columns @ found - t).max())


def line(name: str, values: Iterable[float], note: str) -> str:
    numbers = [f"{v:.9g}" for v in values]
    short = f"{name} = ({', '.join(numbers)})\n"
    if len(short) > 121:
        short = f"{name} = (\n" + "".join(f"    {number},\n" for number in numbers) + ")\n"
    return f"# {note}\n{short}"


def main() -> None:
    water, water_off = fit_factor_over_water()
    ice, ice_off, ice_core = fit_factor_over_ice(water)
    rows = states()
    volume, volume_off, volume_core = fit_volume(rows)
    heat, heat_off, heat_core = fit_enthalpy(rows)
    liquid, liquid_off = fit_condensed(0.02, 80.0, 0.0)
    fusion = _condensed(ZERO - 0.001)
    frozen, frozen_off = fit_condensed(-30.0, -0.01, fusion)
    dew, dew_off = fit_dew_point(273.16, 353.15)
    frost, frost_off = fit_dew_point(173.15, 273.16)
    middle = 30 + ZERO  # strip heat lifts air from 20 to 40 C
    dry_heat, wet_heat = (
        (HAPropsSI("H", "T", middle + 5, "P", 95e3, "W", w) - HAPropsSI("H", "T", middle - 5, "P", 95e3, "W", w)) / 10
        for w in (0.0, 0.01)
    )
    vapour_heat = (wet_heat - dry_heat) / 0.01
    text = [
        HEADER,
        line("FACTOR_OVER_WATER", water, f"ln f, 0.01 to 80 C, 55 to 115 kPa; largest residual {water_off:.1e}"),
        line(
            "FACTOR_OVER_ICE",
            ice,
            f"ln f, -100 to 0 C; largest residual {ice_off:.1e}, above -50 C {ice_core:.1e}",
        ),
        line(
            "GAS_CONSTANT, RATIO_OF_MASSES", (GAS_CONSTANT, RATIO_OF_MASSES), "dry air [J/(kg K)]; water over dry air"
        ),
        line(
            "VOLUME",
            volume,
            f"[m3/kg]; largest relative residual {volume_off:.1e}, between -8 and 56 C {volume_core:.1e}",
        ),
        line(
            "ENTHALPY",
            heat,
            f"[J/kg]; largest residual {heat_off:.0f} J/kg, between -8 and 56 C {heat_core:.0f} J/kg",
        ),
        line("LIQUID", liquid, f"[J/kg], 0 to 80 C; largest residual {liquid_off:.0f} J/kg"),
        line("ICE", (fusion, *frozen), f"[J/kg], -30 to 0 C; largest residual {frozen_off:.0f} J/kg"),
        line("DEW_GUESS", dew, f"[K], 0 to 80 C; off by {dew_off:.3f} K at 85 kPa"),
        line("FROST_GUESS", frost, f"[K], -100 to 0 C; off by {frost_off:.3f} K at 85 kPa"),
        line("HUMID_HEAT", (dry_heat, vapour_heat), "[J/(kg K)] of dry air and of vapour, at 30 C and 95 kPa"),
    ]
    TARGET.write_text("".join(text))


if __name__ == "__main__":
    main()
