"""The drawing board: elements by their classes, no colour, and labels that keep out of each other's way.

What is drawn stands in an obstacle map, so that a label finds the emptiest place beside what it names.
"""

import math
import re
import zlib
from collections.abc import Iterable, Sequence
from html import escape
from itertools import pairwise
from typing import Literal, NamedTuple

import svg

from drawthrough.report.charts.axis import Axis
from drawthrough.report.charts.widths import ASCENT, DESCENT, LINE, width_of

WIDTH = 342.0  # a phone's width of text

Anchor = Literal["start", "middle", "end"]
# Faces of a text; a class each. words: Literata, soft: the same in italic pencil, left: in ink; figure: B612.
Face = Literal["words", "soft", "words left", "figure", "figure bold", "figure left"]
Point = tuple[float, float]

_CELL = 4.0  # of the obstacle map
_CROWDED = 45.0  # cost of a place beyond which one further off is looked for
_GRID = 12.0  # from one place to the next when the whole room is searched
_LEADER = 20.0  # a label further than this from what it names is tied to it by a thin line
_HATCH = "hatch-of-this-chart"  # stands for the pattern's id until the drawing is known


class Box(NamedTuple):
    """A rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Return whether two rectangles share any of their insides."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def within(self, other: "Box") -> bool:
        """Return whether it lies inside another one."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )

    def away(self, point: Point) -> float:
        """Return the distance of a point from it."""
        x, y = point
        return math.hypot(max(self.left - x, 0.0, x - self.right), max(self.top - y, 0.0, y - self.bottom))


class Line(NamedTuple):
    """One line of a label."""

    text: str
    face: Face


def _n(value: float) -> float | int:
    found = round(value, 1)
    return int(found) if found == int(found) else found


def _points(points: Sequence[Point]) -> list[svg.Point]:
    return [svg.Point(_n(x), _n(y)) for x, y in points]


class Canvas:
    """One drawing under way."""

    def __init__(self, height: float) -> None:
        self.height = height
        self._elements: list[svg.Element] = []
        self._labels: list[svg.Element] = []
        self._boxes: list[Box] = []
        self._taken: dict[tuple[int, int], int] = {}
        self._hatched = False

    # --- elements ---

    def line(self, first: Point, last: Point, name: str, obstacle: bool = False) -> None:
        """Draw a straight line."""
        self._elements.append(
            svg.Line(x1=_n(first[0]), y1=_n(first[1]), x2=_n(last[0]), y2=_n(last[1]), class_=name.split())
        )
        if obstacle:
            self._take((first, last))

    def curve(self, points: Sequence[Point], name: str) -> None:
        """Draw a line through points; what comes later must not write on it."""
        self._elements.append(svg.Polyline(points=_points(points), class_=name.split()))
        self._take(points)

    def region(self, points: Sequence[Point], name: str, hatched: bool = False) -> None:
        """Draw a closed region."""
        self._elements.append(svg.Polygon(points=_points(points), class_=name.split(), fill=self._fill(hatched)))
        self._take([*points, points[0]])
        if "open" not in name.split():  # its inside is kept free too
            for first, last in zip(points, points[len(points) // 2 :], strict=False):
                self._take((first, last))

    def bar(self, box: Box, name: str, hatched: bool = False, obstacle: bool = False) -> None:
        """Draw a rectangle."""
        if obstacle:
            corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
            self._take([*corners, corners[0]])
        self._elements.append(
            svg.Rect(
                x=_n(box.left),
                y=_n(box.top),
                width=_n(box.right - box.left),
                height=_n(box.bottom - box.top),
                class_=name.split(),
                fill=self._fill(hatched),
            )
        )

    def dot(self, at: Point, radius: float, name: str) -> None:
        """Draw a circle."""
        self._elements.append(svg.Circle(cx=_n(at[0]), cy=_n(at[1]), r=radius, class_=name.split()))
        self._take([(at[0] - radius, at[1]), (at[0] + radius, at[1])])

    def cross(self, at: Point, reach: float, name: str) -> None:
        """Draw an x."""
        (x, y), r = at, reach
        for ends in (((x - r, y - r), (x + r, y + r)), ((x - r, y + r), (x + r, y - r))):
            self.line(*ends, name, obstacle=True)

    def paper(self, across: Axis, up: Axis) -> None:
        """Draw the squares."""
        for value in across.squares():
            self.line((across.at(value), up.start), (across.at(value), up.end), "square")
        for value in up.squares():
            self.line((across.start, up.at(value)), (across.end, up.at(value)), "square")

    def text(self, at: Point, text: str, face: Face, anchor: Anchor = "start", halo: bool = False) -> Box:
        """Write one line at a place that is known beforehand."""
        self._labels.append(
            svg.Text(
                x=_n(at[0]),
                y=_n(at[1]),
                text=escape(text, quote=False),
                class_=[*face.split(), *(["halo"] if halo else [])],
                text_anchor=None if anchor == "start" else anchor,
            )
        )
        wide = width_of(text, face)
        left = at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        box = Box(left, at[1] - ASCENT, left + wide, at[1] + DESCENT)
        self._boxes.append(box)
        return box

    # --- labels ---

    def label(self, lines: Sequence[Line], anchors: Sequence[Point], room: Box, reach: float = 6.0) -> None:
        """Write a label beside one of some points, where least lies beneath it and no other text stands.

        The places are tried in one and the same order each time: round about each point, then all over the room.
        """
        wide = max(width_of(line.text, line.face) for line in lines)
        tall = LINE * (len(lines) - 1) + ASCENT + DESCENT
        best: tuple[float, Box, Point] | None = None
        for turn, anchor in enumerate(anchors):
            for box in _round_about(anchor, wide, tall, reach):
                best = self._better(best, box, anchor, room, 0.4 * turn)
        if best is None or best[0] > _CROWDED:
            anchor = anchors[0]
            for row in range(int((room.bottom - room.top - tall) // _GRID) + 1):
                for column in range(int((room.right - room.left - wide) // _GRID) + 1):
                    left, top = room.left + _GRID * column, room.top + _GRID * row
                    best = self._better(best, Box(left, top, left + wide, top + tall), anchor, room, 0.0)
        if best is None:
            return  # no room at all: the number stands in the table
        _, box, anchor = best
        if box.away(anchor) > _LEADER + reach:
            self.line(anchor, _nearest(box, anchor), "leader", obstacle=True)
        right = box.left + wide / 2 < anchor[0] - wide / 4
        centred = abs((box.left + box.right) / 2 - anchor[0]) < wide / 4
        side: Anchor = "middle" if centred else "end" if right else "start"
        x = {"start": box.left, "middle": (box.left + box.right) / 2, "end": box.right}[side]
        for k, line in enumerate(lines):
            self.text((x, box.top + ASCENT + LINE * k), line.text, line.face, side, halo=True)

    def _better(
        self, best: tuple[float, Box, Point] | None, box: Box, anchor: Point, room: Box, handicap: float
    ) -> tuple[float, Box, Point] | None:
        cost = 0.7 * box.away(anchor) + handicap
        if not box.within(room) or (best is not None and cost >= best[0]):
            return best
        wider = Box(box.left - 3, box.top - 1, box.right + 3, box.bottom + 1)
        if any(wider.meets(other) for other in self._boxes):
            return best
        cost += 2.5 * self._beneath(wider)
        return (cost, box, anchor) if best is None or cost < best[0] - 1e-9 else best

    def _beneath(self, box: Box) -> int:
        columns = range(math.floor(box.left / _CELL), math.floor(box.right / _CELL) + 1)
        rows = range(math.floor(box.top / _CELL), math.floor(box.bottom / _CELL) + 1)
        return sum((column, row) in self._taken for column in columns for row in rows)

    def _take(self, points: Sequence[Point]) -> None:
        for (x0, y0), (x1, y1) in pairwise(points):
            steps = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / (_CELL * 0.75)))
            for k in range(steps + 1):
                x, y = x0 + (x1 - x0) * k / steps, y0 + (y1 - y0) * k / steps
                self._taken[math.floor(x / _CELL), math.floor(y / _CELL)] = 1

    def _fill(self, hatched: bool) -> str | None:
        if not hatched:
            return None
        self._hatched = True
        return f"url(#{_HATCH})"

    # --- the whole ---

    def render(self, kind: str, title: str) -> str:
        """Return the drawing; ids in it are its own, whatever else stands on the page."""
        head: list[svg.Element] = [svg.Title(text=escape(title, quote=False))]
        if self._hatched:
            strokes = svg.Path(d=[svg.M(0, 5), svg.L(5, 0)], class_=["hatch"])
            pattern = svg.Pattern(
                id=_HATCH, width=5, height=5, patternUnits="userSpaceOnUse", elements=[strokes], class_=["hatching"]
            )
            head.append(svg.Defs(elements=[pattern]))
        board = svg.SVG(
            viewBox=svg.ViewBoxSpec(0, 0, _n(WIDTH), _n(self.height)),
            class_=["chart", kind],
            elements=[*head, *self._elements, *self._labels],
            extra={"role": "img"},
        )
        made = str(board)
        return re.sub(_HATCH, f"hatch-{kind}-{zlib.crc32(made.encode()):08x}", made)


def _round_about(at: Point, wide: float, tall: float, reach: float) -> Iterable[Box]:
    """Return places of a label round about a point: beside it first, then above and below, then further off."""
    x, y = at
    for far in (reach, reach + 5.0, reach + 12.0, reach + 22.0, reach + 36.0):
        near = far * 0.7
        for left, top in (
            (x + far, y - tall / 2),
            (x - far - wide, y - tall / 2),
            (x + near, y - near - tall),
            (x + near, y + near),
            (x - near - wide, y - near - tall),
            (x - near - wide, y + near),
            (x - wide / 2, y - far - tall),
            (x - wide / 2, y + far),
        ):
            yield Box(left, top, left + wide, top + tall)


def _nearest(box: Box, point: Point) -> Point:
    return min(max(point[0], box.left), box.right), min(max(point[1], box.top + 3.0), box.bottom)


def clipped(points: Sequence[Point], box: Box) -> list[list[Point]]:
    """Return the pieces of a line that lie inside a rectangle."""
    pieces: list[list[Point]] = []
    for first, last in pairwise(points):
        part = _inside(first, last, box)
        if part is None:
            continue
        if pieces and math.dist(pieces[-1][-1], part[0]) < 1e-9:
            pieces[-1].append(part[1])
        else:
            pieces.append(list(part))
    return pieces


def _inside(first: Point, last: Point, box: Box) -> tuple[Point, Point] | None:
    (x0, y0), (x1, y1) = first, last
    begin, end = 0.0, 1.0
    for way, room in (
        (x0 - x1, x0 - box.left),
        (x1 - x0, box.right - x0),
        (y0 - y1, y0 - box.top),
        (y1 - y0, box.bottom - y0),
    ):
        if way == 0.0:
            if room < 0.0:
                return None
            continue
        cut = room / way
        if way < 0.0:
            begin = max(begin, cut)
        else:
            end = min(end, cut)
    if begin >= end:
        return None
    dx, dy = x1 - x0, y1 - y0
    return (x0 + begin * dx, y0 + begin * dy), (x0 + end * dx, y0 + end * dy)
