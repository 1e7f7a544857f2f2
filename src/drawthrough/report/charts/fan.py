"""The fan chart: where the blower met the ducts as found and as left, in static over the ducts against airflow."""

import math
from collections.abc import Iterator, Sequence

from drawthrough.judge.drawing import Claim, Curve, Drawing, OperatingPoint, Spot
from drawthrough.judge.joint import COVERAGE
from drawthrough.judge.judgement import Judgement
from drawthrough.report.charts.axis import Axis, axis
from drawthrough.report.charts.canvas import WIDTH, Box, Canvas, Line, Point, clipped
from drawthrough.report.charts.chart import Chart, Table, figure, made, title, with_ends
from drawthrough.report.charts.widths import wrapped
from drawthrough.report.field import Shown, within
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words import words_of

NINETEEN_IN_TWENTY = -2.0 * math.log(0.05)  # chi-square of two degrees of freedom at 95 %: 5.991

_HEIGHT, _LEFT, _TOP, _RIGHT, _FOOT = 328.0, 38.0, 24.0, 336.0, 282.0
_SQUARES_ACROSS, _SQUARES_UP = 16, 12
_ROUND = 48  # sides of a region's outline
_ALIKE = 0.01  # two blower curves closer than this are drawn as one [share of airflow] (judgement)
_TABLE_READ = 0.01  # how well a figure is read off a table, as a share (judgement)

# Why something is not drawn; reasons that the judgement gives too have their words there.
_WHY: dict[str, str] = {
    "no table for the speed": N_("no fan table of the speed that ran was written down"),
    "door off": N_("the door was off"),
    "nothing left over the ducts": N_("over its table's range the blower holds nothing over these ducts"),
    "outside the interval of all readings": N_("all readings together say otherwise"),
}
_NAMES: dict[str, str] = {"as found": N_("the blower as found"), "as left": N_("the blower as left")}
_DUCTS: dict[tuple[str, ...], str] = {
    ("as found", "as left"): N_("the ducts: one curve, both times"),
    ("as found",): N_("the ducts as found"),
    ("as left",): N_("the ducts as left"),
}


def fan_chart(judgement: Judgement, voice: Voice = ENGLISH) -> Chart | None:
    """Return the chart of static over the ducts against airflow, or None where nothing speaks of air."""
    drawing = judgement.drawing
    if drawing is None or not drawing.points:
        return None
    return _Fan(judgement, drawing, voice).chart()


def outline(point: OperatingPoint, sides: int = _ROUND) -> list[Spot]:
    """Return the outline of the region in which a point lies 19 times in 20: an ellipse of the two logarithms."""
    (a, b), (_, c) = point.covariance
    reach = math.sqrt(NINETEEN_IN_TWENTY)
    along = math.sqrt(a)
    tied = b / along
    across = math.sqrt(max(c - tied * tied, 0.0))
    spots = []
    for k in range(sides):
        turn = 2.0 * math.pi * k / sides
        u, v = reach * math.cos(turn), reach * math.sin(turn)
        spots.append(
            Spot(
                airflow=point.airflow * math.exp(along * u),
                static=point.static * math.exp(tied * u + across * v),
            )
        )
    return spots


class _Fan:
    def __init__(self, judgement: Judgement, drawing: Drawing, voice: Voice) -> None:
        self.judgement, self.drawing, self.voice = judgement, drawing, voice
        self.flow, self.pressure = voice.unit("cfm"), voice.unit("inwc")
        self.set_aside = [claim for claim in drawing.claims if claim.set_aside]
        # What a table says of another motor is told, not drawn: the table is not of this blower.
        self.claimed = [claim for claim in self.set_aside if drawing.tables and _drawn(claim, drawing)]
        self.regions = [outline(point) for point in drawing.points]
        self.one_blower = _as_one(drawing.blowers)
        self.canvas = Canvas(_HEIGHT)
        self.across, self.up = self._axes()
        self.room = Box(_LEFT + 2.0, _TOP + 1.0, WIDTH - 1.0, _FOOT - 1.0)

    def _axes(self) -> tuple[Axis, Axis]:
        drawing = self.drawing
        spots = [spot for region in self.regions for spot in region]
        spots += [spot for curve in drawing.blowers for spot in curve.points]
        spots += [spot for table in drawing.tables for spot in table.points]
        spots += [Spot(airflow=claim.airflow, static=claim.static) for claim in self.claimed]
        flows = [self.flow.of(spot.airflow) for spot in spots]
        low, high = min(flows), max(flows)
        spare = max(0.0, 0.5 * high - (high - low)) / 2  # a narrow range would draw noise as if it were a change
        top = 1.06 * max(self.pressure.of(spot.static) for spot in spots)
        return (
            axis(max(0.0, low - spare), high + spare, _LEFT, _RIGHT, _SQUARES_ACROSS),
            axis(0.0, top, _FOOT, _TOP, _SQUARES_UP),
        )

    def at(self, spot: Spot | OperatingPoint | Claim) -> Point:
        return self.across.at(self.flow.of(spot.airflow)), self.up.at(self.pressure.of(spot.static))

    def _open(self, point: OperatingPoint) -> bool:
        result = self.judgement.result("airflow", point.when)
        return result is not None and result.standing == "not resolved"

    def chart(self) -> Chart:
        voice, canvas = self.voice, self.canvas
        self._ground()
        for table in self.drawing.tables:
            canvas.curve([self.at(spot) for spot in table.points], "thin")
            for spot in table.points:
                x, y = self.at(spot)
                canvas.bar(Box(x - 2.5, y - 2.5, x + 2.5, y + 2.5), "printed", obstacle=True)
        ducts = [(curve, self._inside(curve)) for curve in self.drawing.ducts]
        for curve, points in ducts:
            canvas.curve(points, "duct" if len(curve.when) == 2 else f"duct {_class(curve.when[0])}")
        blowers = [(curve, self._inside(curve)) for curve in self.drawing.blowers]
        shown = blowers[-1:] if self.one_blower else blowers
        for curve, points in reversed(shown):
            canvas.curve(points, f"curve {_class(curve.when[0])}")
        self._claims()
        self._points()
        self._point_labels()
        for curve, points in ducts:
            canvas.label(_lines(voice.say(_DUCTS[curve.when]), 130.0, "words"), _along(points), self.room)
        for claim in self.claimed:
            said = voice.say("the table alone claims {airflow}: set aside", airflow=self._flow(claim.airflow))
            if len(self.claimed) > 1:
                said = voice.say(
                    "{when} the table alone claims {airflow}: set aside",
                    when=voice.say(claim.when),
                    airflow=self._flow(claim.airflow),
                )
            canvas.label(_lines(said, 124.0, "words"), [self.at(claim)], self.room, 8.0)
        for curve, points in shown:
            name = N_("the blower, both times") if self.one_blower else _NAMES[curve.when[0]]
            face = "words left" if curve.when[0] == "as left" and not self.one_blower else "words"
            if points:
                canvas.label(_lines(voice.say(name), 140.0, face), _along(points), self.room)
        for table in self.drawing.tables:
            points = [self.at(spot) for spot in table.points]
            canvas.label(_lines(voice.say("the maker's table"), 130.0, "words"), _along(points), self.room)
        sentence = " ".join(self._sentences())
        name = voice.say("Static over the ducts against airflow")
        return Chart(canvas.render("fan", f"{name}. {sentence}"), sentence, self._table())

    def _ground(self) -> None:
        canvas, voice = self.canvas, self.voice
        canvas.paper(self.across, self.up)
        canvas.line((_LEFT, _TOP), (_LEFT, _FOOT), "axis", obstacle=True)
        canvas.line((_LEFT, _FOOT), (_RIGHT, _FOOT), "axis", obstacle=True)
        for value, text in self.up.ticks(24.0):
            canvas.text((_LEFT - 5.0, self.up.at(value) + 4.5), text, "figure", "end")
        for value, text in self.across.ticks(37.0):
            x = self.across.at(value)
            if x < _RIGHT - 12.0:
                canvas.text((x, _FOOT + 18.5), text, "figure", "middle")
        canvas.text((0.0, 12.0), title(voice.say("static over the ducts"), self.pressure), "soft")
        canvas.text((_RIGHT, _FOOT + 36.0), title(voice.say("airflow"), self.flow), "soft", "end")

    def _inside(self, curve: Curve) -> list[Point]:
        pieces = clipped([self.at(spot) for spot in curve.points], Box(_LEFT, _TOP, _RIGHT, _FOOT))
        return max(pieces, key=len, default=[])

    def _claims(self) -> None:
        points = {point.run: point for point in self.drawing.points}
        for claim in self.claimed:
            self.canvas.line(self.at(points[claim.run]), self.at(claim), "dots", obstacle=True)
            self.canvas.cross(self.at(claim), 4.5, "cross")

    def _points(self) -> None:
        """Draw the regions and the points; what was found lies on top, being hollow."""
        for point, region in reversed(list(zip(self.drawing.points, self.regions, strict=True))):
            name = _class(point.when)
            spots = [self.at(spot) for spot in region]
            if self._open(point):
                self.canvas.region(spots, f"region {name} open")
            else:
                self.canvas.region(spots, f"region {name}", hatched=name == "found")
        for point in reversed(self.drawing.points):
            name = _class(point.when)
            self.canvas.dot(self.at(point), 3.4 if name == "left" else 5.0, f"dot {name}")

    def _point_labels(self) -> None:
        for point, region in zip(self.drawing.points, self.regions, strict=True):
            left = point.when == "as left"
            shown = self._airflow(point)
            said = self.voice.say("not resolved") if self._open(point) else figure(shown.value, self.flow)
            lines = [Line(self.voice.say(point.when), "words left" if left else "soft")]
            lines.append(Line(said, "soft" if self._open(point) else "figure left" if left else "figure bold"))
            spots = [self.at(spot) for spot in region]
            inner = Box(_LEFT, _TOP, _RIGHT, _FOOT)
            edge = [spot for spot in spots[:: _ROUND // 16] if Box(*spot, *spot).within(inner)]
            edge.sort(key=lambda spot: (spot[0] > self.at(point)[0]) != left)
            self.canvas.label(lines, edge or [self.at(point)], self.room, 4.0)

    # --- words and numbers ---

    def _airflow(self, point: OperatingPoint) -> Shown:
        result = self.judgement.result("airflow", point.when)
        if result is not None:
            return made(result.value, result.low, result.high, self.flow)
        return made(*_ends(point.airflow, point.covariance[0][0]), self.flow)

    def _static(self, point: OperatingPoint) -> Shown:
        return made(*_ends(point.static, point.covariance[1][1]), self.pressure)

    def _flow(self, airflow: float) -> str:
        return figure(within(airflow, _TABLE_READ * airflow, self.flow), self.flow)

    def _sentences(self) -> Iterator[str]:
        voice, drawing = self.voice, self.drawing
        for point in drawing.points:
            static = figure(self._static(point).value, self.pressure)
            if self._open(point):
                yield {
                    "as found": voice.say("As found the airflow is not resolved ({range}).", range=self._range(point)),
                    "as left": voice.say("As left the airflow is not resolved ({range}).", range=self._range(point)),
                }[point.when]
                continue
            airflow = figure(self._airflow(point).value, self.flow)
            yield {
                "as found": voice.say("As found {static} over the ducts at {airflow}.", airflow=airflow, static=static),
                "as left": voice.say("As left {static} over the ducts at {airflow}.", airflow=airflow, static=static),
            }[point.when]
        vague = any(self._open(point) for point in drawing.points)
        if len(drawing.points) == 2 and not vague:
            if len(drawing.ducts) == 1:
                yield voice.say("One duct curve carries both points.")
            elif drawing.ends[0] == "before coil":
                yield voice.say("A coil outside the taps counts as duct: each state has a curve of its own.")
            else:
                yield voice.say("The ducts' own curve is not one and the same both times.")
        if vague:
            yield voice.say("Broken outlines: where each point may lie, 19 times in 20.")
        else:
            yield voice.say("Hatched as found, shaded as left: where each point may lie, 19 times in 20.")
        if drawing.blowers:
            yield voice.say("Curves of the blower stop where the maker's table stops.")
        for claim in self.claimed:
            yield voice.say(
                "The maker's table alone claims {airflow} {when}; that is set aside: {why}.",
                airflow=self._flow(claim.airflow),
                when=voice.say(claim.when),
                why=self._why(claim.set_aside),
            )
        missing = {note.why for note in drawing.notes if note.what == "blower curve"}
        for why in sorted(missing):
            yield voice.say("The blower has no curve here: {why}.", why=self._why(why))

    def _range(self, point: OperatingPoint) -> str:
        return figure(self.voice.ends(self._airflow(point)), self.flow)

    def _why(self, code: str) -> str:
        own = _WHY.get(code)
        return self.voice.say(own if own is not None else words_of(code).clause or code)

    def _table(self) -> Table:
        voice, drawing = self.voice, self.drawing
        heads = ("", *(voice.say(point.when) for point in drawing.points))
        rows = [
            (title(voice.say("airflow"), self.flow), *(self._told(point) for point in drawing.points)),
            (
                title(voice.say("static over the ducts"), self.pressure),
                *(with_ends(self._static(point), voice) for point in drawing.points),
            ),
        ]
        if drawing.claims:
            by_run = {claim.run: claim for claim in drawing.claims}
            told = (self._claim(by_run.get(point.run)) for point in drawing.points)
            rows.append((title(voice.say("the maker's table alone"), self.flow), *told))
        return Table(heads, tuple(rows))

    def _told(self, point: OperatingPoint) -> str:
        shown = self._airflow(point)
        if self._open(point):
            return self.voice.say("not resolved (95 %: {range})", range=self.voice.ends(shown))
        return with_ends(shown, self.voice)

    def _claim(self, claim: Claim | None) -> str:
        if claim is None:
            return ""
        flow = within(claim.airflow, _TABLE_READ * claim.airflow, self.flow)
        return self.voice.say("{airflow}, set aside", airflow=flow) if claim.set_aside else flow


def _class(when: str) -> str:
    return when.removeprefix("as ")


def _drawn(claim: Claim, drawing: Drawing) -> bool:
    return any(claim.when in curve.when for curve in drawing.blowers)


def _ends(value: float, variance: float) -> tuple[float, float, float]:
    factor = math.exp(COVERAGE * math.sqrt(variance))
    return value, value / factor, value * factor


def _as_one(blowers: Sequence[Curve]) -> bool:
    """Return whether two blower curves would be drawn over each other."""
    if len(blowers) != 2 or len(blowers[0].points) != len(blowers[1].points):
        return False
    first, second = (curve.points for curve in blowers)
    top = max(spot.static for spot in first)
    return all(
        abs(a.airflow / b.airflow - 1.0) < _ALIKE and abs(a.static - b.static) < _ALIKE * top
        for a, b in zip(first, second, strict=True)
    )


def _lines(text: str, most: float, face: str) -> list[Line]:
    return [Line(line, "words left" if face == "words left" else "words") for line in wrapped(text, face, most)]


def _along(points: Sequence[Point]) -> list[Point]:
    """Return places on a line at which it may be named, from both ends inwards."""
    last = len(points) - 1
    order = {round(last * share) for share in (0.0, 0.06, 0.14, 0.25, 0.5, 0.75, 0.86, 0.94, 1.0)}
    return [points[k] for k in sorted(order, key=lambda k: (min(k, last - k), k))] if points else []
