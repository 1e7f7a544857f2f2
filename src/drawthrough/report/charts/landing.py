"""Landing points of leads as they are drawn: the same symbol at the left edge and, mirrored, at the right one."""

from drawthrough.report.charts.canvas import WIDTH, Box, Canvas
from drawthrough.visit.state import TerminalKind

EDGE = 10.0  # from the drawing's edge to where a lead lands


def landing(canvas: Canvas, kind: TerminalKind, y: float, side: str) -> None:
    """Draw one landing point.

    Parameters
    ----------
    canvas : Canvas
        The drawing under way.
    kind : str
        What lands there.
    y : float
        How far down.
    side : str
        "found" at the left edge, "left" at the right one.
    """

    def at(x: float) -> float:
        return x if side == "found" else WIDTH - x

    def box(first: float, last: float, above: float, below: float) -> Box:
        low, high = sorted((at(first), at(last)))
        return Box(low, y - above, high, y + below)

    name = f"landing {side}"
    match kind:
        case "park":
            canvas.line((at(2.0), y - 10.0), (at(2.0), y + 10.0), f"{name} rail")
            canvas.bar(box(3.0, 14.0, 5.5, 5.5), name, hatched=True)
        case "cap":
            canvas.curve([(at(x), y + dy) for x, dy in ((16.0, -4.5), (5.0, -4.5), (5.0, 4.5), (16.0, 4.5))], name)
        case "ground":
            canvas.line((at(EDGE), y), (at(EDGE), y + 5.0), name)
            for k, reach in enumerate((7.0, 4.5, 2.0)):
                canvas.line((at(EDGE - reach), y + 5.0 + 3.5 * k), (at(EDGE + reach), y + 5.0 + 3.5 * k), name)
        case "capacitor":
            for x in (5.0, 10.0):
                canvas.line((at(x), y - 8.0), (at(x), y + 8.0), f"{name} plate")
        case "strips":
            steps = ((15.0, 0.0), (13.0, -4.0), (10.0, 4.0), (7.0, -4.0), (4.0, 4.0), (2.0, 0.0))
            canvas.curve([(at(x), y + dy) for x, dy in steps], name)
        case "control":
            canvas.bar(box(5.5, 14.5, 4.5, 4.5), f"{name} bare")
        case _:
            canvas.dot((at(EDGE), y), 5.0, name)


def empty(canvas: Canvas, y: float, side: str) -> None:
    """Draw a landing point on which nothing is: a broken outline."""
    canvas.dot((EDGE if side == "found" else WIDTH - EDGE, y), 5.0, f"landing {side} empty")
