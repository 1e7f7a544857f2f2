"""Composites for the rows on the traverse: one position of a rule, and what a rule makes of a power law."""

from drawthrough.physics.traverse import circular_positions, rectangular_positions

SIDE = {5: 0.5, 6: 0.8, 7: 1.2}  # a side that takes so many points [m]


def _fractions(rule: str, points: float) -> tuple[float, ...]:
    points = int(points)
    if rule == "rectangle":
        return tuple(position / SIDE[points] for position in rectangular_positions(SIDE[points]))
    return circular_positions(1.0, points, rule)  # type: ignore[arg-type]


def position(rule: str, points: float, index: int) -> float:
    """Return a position as a fraction of the side or the diameter, counted from one wall."""
    return _fractions(rule, points)[index - 1]


def power_law_error(rule: str, points: float) -> float:
    """Return by how much the plain mean misses the mean of a 1/7 power law, on a side or over a circle."""
    positions = _fractions(rule, points)
    mean = sum((2 * min(y, 1 - y)) ** (1 / 7) for y in positions) / len(positions)
    exact = 7 / 8 if rule == "rectangle" else 2 * (7 / 8 - 7 / 15)
    return mean / exact - 1
