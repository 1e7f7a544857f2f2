"""One airflow through the sections of the air path, with exact derivatives by the unknowns of the joint fit."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from drawthrough.judge.air import Air
from drawthrough.physics.airpath import REFERENCE_AIRFLOW, REFERENCE_DENSITY, REFERENCE_VISCOSITY

REFERENCE_MASS_FLOW = REFERENCE_AIRFLOW * REFERENCE_DENSITY  # [kg/s]; unknown airflows are ln(m / this)


class Leak(NamedTuple):
    """Which unknown is the leak fraction, and how much of it has not yet entered at a section."""

    unknown: int
    missing: float
    behind: int | None = None  # the unknown that says how much, in place of the figure


class Wetting(NamedTuple):
    """Which unknowns add up to ln of the wet coil's factor, and which says how wet (None: fully wet)."""

    factor: int  # of the coil
    own: int  # of the run
    degree: int | None


class Section:
    """The pressure drop of one section: dp = K * Q^n * rho^(n-1) * mu^(2-n), each relative to the reference state.

    `resistance` are the unknowns whose sum is ln K; `unknowns` those on which the drop depends, in the order of
    the derivatives that `evaluate` returns.
    """

    __slots__ = ("_air", "_constant", "_exponent", "_flow", "_leak", "_wetting", "name", "resistance", "unknowns")

    def __init__(
        self,
        name: str,
        resistance: Sequence[int],
        exponent: int,
        flow: int,
        air: Air,
        leak: Leak | None = None,
        wetting: Wetting | None = None,
    ) -> None:
        self.name = name
        self.resistance = tuple(resistance)
        self._exponent = exponent
        self._flow = flow
        density = math.log(air.density / REFERENCE_DENSITY)
        viscosity = math.log(air.viscosity / REFERENCE_VISCOSITY)
        # ln(Q/Q0) + ln(rho/rho0) - ln(mu/mu0), less the unknown ln(m/m0): the logarithm of a Reynolds number.
        self._air = math.log(REFERENCE_MASS_FLOW * air.volume / REFERENCE_AIRFLOW) + density - viscosity
        self._constant = 2 * viscosity - density
        self._leak = leak
        self._wetting = wetting
        unknowns = [*self.resistance, flow, exponent]
        if leak is not None:
            unknowns.append(leak.unknown)
            if leak.behind is not None:
                unknowns.append(leak.behind)
        if wetting is not None:
            unknowns += (wetting.factor, wetting.own)
            if wetting.degree is not None:
                unknowns.append(wetting.degree)
        self.unknowns = tuple(unknowns)

    def evaluate(self, x: list[float]) -> tuple[float, list[float]]:
        """Return the drop [Pa] and its derivatives by `unknowns`."""
        n = x[self._exponent]
        reynolds = x[self._flow] + self._air
        logarithm = self._constant
        for i in self.resistance:
            logarithm += x[i]
        leak = self._leak
        if leak is not None:
            share = x[leak.unknown]
            missing = leak.missing if leak.behind is None else x[leak.behind]
            passing = 1.0 - missing * share
            reynolds += math.log(passing)
        wetting = self._wetting
        if wetting is not None:
            degree = 1.0 if wetting.degree is None else x[wetting.degree]
            logarithm += degree * (x[wetting.factor] + x[wetting.own])
        drop = math.exp(logarithm + n * reynolds)
        slopes = [drop] * len(self.resistance)
        slopes.append(n * drop)
        slopes.append(reynolds * drop)
        if leak is not None:
            slopes.append(-n * missing / passing * drop)
            if leak.behind is not None:
                slopes.append(-n * share / passing * drop)
        if wetting is not None:
            slopes += (degree * drop, degree * drop)
            if wetting.degree is not None:
                slopes.append((x[wetting.factor] + x[wetting.own]) * drop)
        return drop, slopes


class Stream:
    """One airflow: all runs at the same speed, mode and state that share it, and the sections it passes."""

    __slots__ = ("air", "drops", "flow", "label", "section")

    def __init__(self, label: str, flow: int, air: dict[str, Air], section: Sequence[Section]) -> None:
        self.label = label
        self.flow = flow
        self.air = air
        self.section = {part.name: part for part in section}
        self.drops: dict[str, tuple[float, list[float]]] = {}

    def evaluate(self, x: list[float]) -> None:
        """Compute the drops of all sections once, for the rows that share them."""
        self.drops = {name: part.evaluate(x) for name, part in self.section.items()}
