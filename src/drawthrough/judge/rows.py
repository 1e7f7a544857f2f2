"""What each kind of reading should show, given the unknowns: one class per kind, each with exact derivatives."""

import math
from collections.abc import Sequence
from typing import NamedTuple, Protocol

from drawthrough.judge.stream import REFERENCE_MASS_FLOW, Stream
from drawthrough.measure.sites import Row
from drawthrough.physics.airpath import REFERENCE_AIRFLOW
from drawthrough.physics.fan import FanCurve

# 0.075 lb/ft3, the density at which makers print their tables [kg/m3]. A standard and an actual cubic foot are one
# there, so that both bases of a table are read alike.
TABLE_DENSITY = 1.2014


class Source(NamedTuple):
    """Where an observation came from: the run and the places of its readings in it (none: a table)."""

    run: str
    readings: tuple[int, ...]


class Expectation(Protocol):
    """One row of the joint fit."""

    def row(self, x: list[float]) -> Row:
        """Return the expected value, the indices of the unknowns it depends on, and its derivatives by them."""


class _Layout:
    """Places of unknowns in a row, so that contributions can be added up without looking anything up."""

    __slots__ = ("indices", "place")

    def __init__(self, unknowns: Sequence[int]) -> None:
        self.indices = tuple(sorted(set(unknowns)))
        self.place = {index: k for k, index in enumerate(self.indices)}

    def places(self, unknowns: Sequence[int]) -> tuple[int, ...]:
        return tuple(self.place[i] for i in unknowns)


class PressureRow:
    """A pressure between two places: signed drops of the sections between them, seen by one instrument."""

    __slots__ = ("_air", "_gain", "_holes", "_layout", "_parts", "_stream", "_zero")

    def __init__(
        self, stream: Stream, parts: Sequence[tuple[str, int]], gain: int, zero: int, holes: Sequence[tuple[int, int]]
    ) -> None:
        self._stream = stream
        unknowns = [stream.flow, gain, zero, *(hole for hole, _ in holes)]
        for name, _ in parts:
            unknowns.extend(stream.section[name].unknowns)
        self._layout = _Layout(unknowns)
        place = self._layout.place
        self._parts = tuple((n, sign, self._layout.places(stream.section[n].unknowns)) for n, sign in parts)
        self._gain, self._zero = place[gain], place[zero]
        self._holes = tuple((hole, place[hole], sign) for hole, sign in holes)
        # Velocity past a hole, and so its placement error, goes with the airflow squared.
        self._air = 2 * math.log(REFERENCE_MASS_FLOW * stream.air["filter"].volume / REFERENCE_AIRFLOW)

    def row(self, x: list[float]) -> Row:
        """Return expected pressure [Pa], indices and derivatives."""
        layout = self._layout
        slopes = [0.0] * len(layout.indices)
        scale = 1.0 + x[layout.indices[self._gain]]
        total = 0.0
        for name, sign, places in self._parts:
            drop, partial = self._stream.drops[name]
            total += sign * drop
            factor = sign * scale
            for k, slope in zip(places, partial, strict=True):
                slopes[k] += factor * slope
        slopes[self._gain] += total
        slopes[self._zero] += 1.0
        expected = scale * total + x[layout.indices[self._zero]]
        if self._holes:
            squared = math.exp(2 * x[self._stream.flow] + self._air)
            misplaced = 0.0
            for hole, k, sign in self._holes:
                slopes[k] += sign * squared
                misplaced += sign * x[hole] * squared
            slopes[layout.place[self._stream.flow]] += 2 * misplaced
            expected += misplaced
        return expected, layout.indices, slopes


class FanRow:
    """The blower against its table: ln of airflow over what the table gives at the static it works against.

    Q = s * Q_table(P), P = dp_blower * rho_table / (rho * s^2) - drops inside the rated cabinet at Q/s.
    A constant-airflow motor holds Q itself: there s plays no part.
    """

    __slots__ = (
        "_constant", "_curve", "_density", "_layout", "_levels", "_middle", "_parts", "_rated", "_slope", "_stream",
        "_strength",
    )  # fmt: skip

    def __init__(
        self,
        stream: Stream,
        curve: FanCurve,
        strength: Sequence[int],
        levels: Sequence[int],
        slope: int,
        rated: Sequence[tuple[Sequence[int], int]],
    ) -> None:
        self._stream = stream
        self._curve = curve
        self._strength = tuple(strength)
        self._levels = tuple(levels)
        unknowns = [stream.flow, *strength, *levels, slope]
        for part in stream.section.values():
            unknowns.extend(part.unknowns)
        for resistance, exponent in rated:
            unknowns.extend((*resistance, exponent))
        self._layout = _Layout(unknowns)
        places = self._layout.places
        self._parts = tuple((name, places(part.unknowns)) for name, part in stream.section.items())
        self._rated = tuple((tuple(r), e, places((*r, e))) for r, e in rated)
        self._slope = slope
        low, high = curve.limits
        self._middle = (low + high) / 2
        inlet = stream.air["blower"]
        self._constant = math.log(REFERENCE_MASS_FLOW * inlet.volume)
        self._density = TABLE_DENSITY / inlet.density if strength else 1.0

    @property
    def limits(self) -> tuple[float, float]:
        """Lowest and highest static of the table [Pa]."""
        return self._curve.limits

    def static_on_table(self, x: list[float]) -> float:
        """Return the external static at which the table is entered [Pa]."""
        return self._enter(x)[0]

    def at(self, x: list[float], static: float, left_over: float = 0.0) -> tuple[float, float]:
        """Return ln of the airflow and the rise [Pa] where the table is entered at a static; outside it refused.

        `left_over` is what the row keeps of its value at the fit.
        """
        strength = sum(x[i] for i in self._strength)
        level = sum(x[i] for i in self._levels) + x[self._slope] * (static / self._middle - 1.0) + left_over
        log_airflow = strength + level + math.log(self._curve.airflow(static))
        relative = log_airflow - math.log(REFERENCE_AIRFLOW) - strength
        inside = sum(math.exp(sum(x[i] for i in parts) + x[n] * relative) for parts, n, _ in self._rated)
        return log_airflow, (static + inside) / (self._density * math.exp(-2 * strength))

    def _enter(self, x: list[float]) -> tuple[float, float, float, list[tuple[float, float]]]:
        strength = sum(x[i] for i in self._strength)
        factor = self._density * math.exp(-2 * strength)
        total = sum(self._stream.drops[name][0] for name, _ in self._parts)
        relative = x[self._stream.flow] + self._constant - math.log(REFERENCE_AIRFLOW) - strength
        rated = []
        for resistance, exponent, _ in self._rated:
            n = x[exponent]
            rated.append((math.exp(sum(x[i] for i in resistance) + n * relative), n))
        return factor * total - sum(drop for drop, _ in rated), factor, relative, rated

    def row(self, x: list[float]) -> Row:
        """Return the logarithm of airflow over the table's, indices and derivatives."""
        static, factor, relative, rated = self._enter(x)
        airflow, falling = self._curve.airflow_and_slope_beyond(static, 1.0)
        tilt = static / self._middle - 1.0
        slope = x[self._slope]
        steep = -falling / airflow - slope / self._middle
        layout = self._layout
        place = layout.place
        slopes = [0.0] * len(layout.indices)
        total = 0.0
        for name, places in self._parts:
            drop, partial = self._stream.drops[name]
            total += drop
            for k, value in zip(places, partial, strict=True):
                slopes[k] += steep * factor * value
        pull = 0.0
        for (drop, n), (_, _, places) in zip(rated, self._rated, strict=True):
            for k in places[:-1]:
                slopes[k] -= steep * drop
            slopes[places[-1]] -= steep * drop * relative
            pull += n * drop
        slopes[place[self._stream.flow]] += 1.0 - steep * pull
        for i in self._strength:
            slopes[place[i]] += -1.0 + steep * (pull - 2 * factor * total)
        for i in self._levels:
            slopes[place[i]] -= 1.0
        slopes[place[self._slope]] -= tilt
        expected = (
            x[self._stream.flow]
            + self._constant
            - sum(x[i] for i in self._strength)
            - sum(x[i] for i in self._levels)
            - slope * tilt
            - math.log(airflow)
        )
        return expected, layout.indices, slopes


class HeatRow:
    """A temperature rise from a known heat: strips (with or without their zero) or gas."""

    __slots__ = ("_capacity", "_factors", "_flow", "_gain", "_heat", "_layout", "_other", "_shifts")

    def __init__(
        self,
        stream: Stream,
        heat: float,
        other_heat: float,
        heat_capacity: float,
        gain: int,
        factors: Sequence[int],
        shifts: Sequence[int],
    ) -> None:
        self._flow = stream.flow
        self._heat, self._other = heat, other_heat
        self._capacity = REFERENCE_MASS_FLOW * heat_capacity
        self._gain, self._factors, self._shifts = gain, tuple(factors), tuple(shifts)
        self._layout = _Layout([stream.flow, gain, *factors, *shifts])

    def row(self, x: list[float]) -> Row:
        """Return the expected rise [K], indices and derivatives."""
        place = self._layout.place
        slopes = [0.0] * len(place)
        scale = math.exp(sum(x[i] for i in self._factors) - x[self._flow]) / self._capacity
        rise = (self._heat * (1.0 + x[self._gain]) + self._other) * scale
        slopes[place[self._flow]] = -rise
        slopes[place[self._gain]] = self._heat * scale
        for i in self._factors:
            slopes[place[i]] = rise
        for i in self._shifts:
            slopes[place[i]] = 1.0
        return rise + sum(x[i] for i in self._shifts), self._layout.indices, slopes


class FlowRow:
    """An airflow read outright (plate, hood, traverse), in logarithms."""

    __slots__ = ("_constant", "_flow", "_gain", "_layout", "_leak")

    def __init__(self, stream: Stream, place: str, gain: int, leak: int | None) -> None:
        self._flow, self._gain, self._leak = stream.flow, gain, leak
        self._constant = math.log(REFERENCE_MASS_FLOW * stream.air[place].volume)
        self._layout = _Layout([stream.flow, gain] if leak is None else [stream.flow, gain, leak])

    def row(self, x: list[float]) -> Row:
        """Return ln of the expected airflow [m3/s], indices and derivatives."""
        place = self._layout.place
        slopes = [0.0] * len(place)
        slopes[place[self._flow]] = slopes[place[self._gain]] = 1.0
        expected = x[self._flow] + self._constant + x[self._gain]
        if self._leak is not None:
            expected += math.log(1.0 - x[self._leak])
            slopes[place[self._leak]] = -1.0 / (1.0 - x[self._leak])
        return expected, self._layout.indices, slopes
