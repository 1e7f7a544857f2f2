"""The static along the air path, drawn upward as the air passes: from the return grille to the supply outlets."""

from collections.abc import Iterator

from drawthrough.judge.drawing import Drawing, PathPlace, PathRun
from drawthrough.judge.judgement import Judgement
from drawthrough.report.charts.axis import Axis, axis
from drawthrough.report.charts.canvas import WIDTH, Box, Canvas, Face, Point
from drawthrough.report.charts.chart import Chart, Table, figure, made, signed, title, with_ends
from drawthrough.report.charts.widths import width_of, wrapped
from drawthrough.report.field import FieldUnit, Shown
from drawthrough.report.voice import ENGLISH, N_, Voice

ROOMS = N_("rooms")

_TOP, _ROW = 14.0, 46.0  # the first row, and at least from one place to the next
_LINE = 14.5
_WIDEST = 99.0  # of the names at the left
_COLUMN = 60.0  # of figures, at most
_SQUARES = 12
_BAR = 3.6  # height of an interval's bar
_VAGUE = 4.0  # a static whose interval's ends lie this many times apart is not resolved (judgement)
_DASH = "\N{EN DASH}"


def path_chart(judgement: Judgement, voice: Voice = ENGLISH) -> Chart | None:
    """Return the chart of static along the air path, or None where nothing speaks of air."""
    drawing = judgement.drawing
    if drawing is None or not drawing.path:
        return None
    return _Path(drawing, voice).chart()


class _Path:
    def __init__(self, drawing: Drawing, voice: Voice) -> None:
        self.runs = drawing.path
        self.voice = voice
        self.unit: FieldUnit = voice.unit("inwc")
        self.names = [self._place(place) for place in self.order]
        places = [wrapped(name, "words", _WIDEST) for name in self.names]
        sections = [wrapped(voice.say(name), "soft", _WIDEST) for name in self.sections]
        self.left = 6.0 + max(width_of(line, "words") for lines in (*places, *sections) for line in lines)
        # A place and the section beside it share the room from one row to half way to the next.
        most_lines = max(
            len(place) + len(section) for k in (0, 1) for place, section in zip(places[k:], sections, strict=False)
        )
        self.row = max(_ROW, _LINE * most_lines + 4.0)
        self.foot = _TOP + self.row * (len(self.order) - 1)
        self.canvas = Canvas(self.foot + 44.0)
        ends = [self.unit.of(end) for run in self.runs for place in run.places for end in (place.low, place.high)]
        most = 1.05 * max(map(abs, ends))
        self.scale: Axis = axis(-most, most, self.left + 6.0, WIDTH - 2.0, _SQUARES)

    @property
    def order(self) -> list[str]:
        """The places from the rooms to the rooms; of two runs the one that has more of them."""
        longest = max(self.runs, key=lambda run: len(run.places))
        return [place.place for place in longest.places]

    @property
    def sections(self) -> list[str]:
        """The sections between the places."""
        longest = max(self.runs, key=lambda run: len(run.places))
        return [place.after for place in longest.places[1:]]

    def _place(self, place: str) -> str:
        return self.voice.say(ROOMS if place == "room" else place)

    def _row(self, k: int) -> float:
        return self.foot - self.row * k

    def _rows(self, run: PathRun) -> Iterator[tuple[float, PathPlace]]:
        """Yield the height of each place of a run; a run may lack one (a filter that was out)."""
        order, last = self.order, 0
        for k, place in enumerate(run.places):
            if k == len(run.places) - 1:
                last = len(order) - 1
            elif k:
                last = order.index(place.place, 1)
            yield self._row(last), place

    def chart(self) -> Chart:
        voice, canvas = self.voice, self.canvas
        self._ground()
        for run in reversed(self.runs):
            points = [(self.scale.at(self.unit.of(place.value)), y) for y, place in self._rows(run)]
            canvas.curve(points, f"curve {_class(run)}")
        for run in reversed(self.runs):
            self._bars(run)
        for run in reversed(self.runs):
            for y, place in self._rows(run):
                if place.read:
                    at: Point = (self.scale.at(self.unit.of(place.value)), y)
                    canvas.dot(at, 3.4 if _class(run) == "left" else 4.6, f"dot {_class(run)}")
        self._figures()
        sentence = " ".join(self._sentences())
        name = voice.say("Static along the air path")
        return Chart(canvas.render("path", f"{name}. {sentence}"), sentence, self._table())

    def _ground(self) -> None:
        canvas, voice, scale = self.canvas, self.voice, self.scale
        for value in scale.squares():
            canvas.line((scale.at(value), _TOP), (scale.at(value), self.foot), "square")
        for k, name in enumerate(self.names):
            y = self._row(k)
            canvas.line((scale.start, y), (scale.end, y), "square")
            canvas.line((self.left + 1.0, y), (self.left + 6.0, y), "axis")
            self._name(name, y, "words")
        for k, section in enumerate(self.sections):
            self._name(voice.say(section), self._row(k) - self.row / 2, "soft")
        zero = scale.at(0.0)
        canvas.line((zero, _TOP - 6.0), (zero, self.foot + 4.0), "axis")
        for value, text in scale.ticks(44.0):
            if scale.start + 10.0 < scale.at(value) < scale.end - 10.0:
                canvas.text((scale.at(value), self.foot + 18.0), text, "figure", "middle")
        name = title(voice.say("static against the room"), self.unit)
        canvas.text((WIDTH - 2.0, self.foot + 36.0), name, "soft", "end")

    def _name(self, name: str, y: float, face: Face) -> None:
        lines = wrapped(name, face, _WIDEST)
        for k, line in enumerate(lines):
            self.canvas.text((self.left - 2.0, y + 4.5 + _LINE * (k - (len(lines) - 1) / 2)), line, face, "end")

    def _bars(self, run: PathRun) -> None:
        """Draw the interval of each place, what was found above its row and what was left beneath."""
        found = _class(run) == "found"
        for y, place in self._rows(run):
            if place.place == "room":
                continue
            low, high = (self.scale.at(self.unit.of(end)) for end in (place.low, place.high))
            top = y - 6.0 - _BAR if found else y + 6.0
            box = Box(low, top, max(high, low + 1.0), top + _BAR)
            if _vague(place):
                self.canvas.bar(box, f"bar {_class(run)} open")
            else:
                self.canvas.bar(box, f"bar {_class(run)}", hatched=found)

    def _figures(self) -> None:
        """Write the figures in two columns on the side of zero on which nothing is drawn."""
        zero = self.scale.at(0.0)
        column = min(_COLUMN, (self.scale.end - zero - 4.0) / 2)
        right = [zero + 4.0 + column * (k + 1) for k in range(2)]
        left = [zero - 14.0 - column * (1 - k) for k in range(2)]
        for run in self.runs:
            inked = run.when == "as left"
            for y, place in self._rows(run):
                if place.place == "room":
                    continue
                columns = right if place.value < 0.0 else left
                face: Face = "figure left" if inked else "figure"
                text = _DASH if _vague(place) else self._shown(place).value
                self.canvas.text((columns[inked], y + 4.5), text, face, "end", halo=True)
        # The heads stand over the suction side, where the most figures are.
        top = min((y for y, place in self._rows(self.runs[0]) if place.value < 0.0), default=None)
        if top is None:
            return
        for run in self.runs:
            inked = run.when == "as left"
            words: Face = "words left" if inked else "soft"
            lines = wrapped(self.voice.say(run.when), words, column - 4.0 if inked else column)
            for k, line in enumerate(lines):
                y = top - 15.0 - _LINE * (len(lines) - 1 - k)
                self.canvas.text((right[inked], y), line, words, "end", halo=True)

    # --- words and numbers ---

    def _shown(self, place: PathPlace) -> Shown:
        return made(place.value, place.low, place.high, self.unit)

    def _told(self, place: PathPlace) -> str:
        if _vague(place):
            return self.voice.say("not resolved (95 %: {range})", range=self.voice.ends(self._shown(place)))
        return with_ends(self._shown(place), self.voice)

    def _rise(self, run: PathRun) -> float:
        """Return what the blower lifts."""
        k = next(k for k, place in enumerate(run.places) if place.after == "blower")
        return run.places[k].value - run.places[k - 1].value

    def _sentences(self) -> Iterator[str]:
        voice = self.voice
        rises = {run.when: figure(self._plain(self._rise(run)), self.unit) for run in self.runs}
        vague = any(_vague(place) for run in self.runs for place in run.places)
        yield voice.say("Read upward, as the air goes: each step to the left is pressure lost.")
        if vague:
            yield voice.say(
                "The long step to the right is the blower. Where a dash stands, the static is not resolved."
            )
        elif len(rises) == 2:
            yield voice.say(
                "The long step to the right is the blower: it lifts {found} as found and {left} as left.",
                found=rises["as found"],
                left=rises["as left"],
            )
        else:
            yield voice.say(
                "The long step to the right is the blower: it lifts {rise}.", rise=next(iter(rises.values()))
            )
        yield voice.say("A dot stands where a static was read; the bars are the 95 % intervals.")

    def _plain(self, value: float) -> str:
        return signed(f"{self.unit.of(value):.{max(self.unit.decimals, 0)}f}")

    def _table(self) -> Table:
        voice = self.voice
        heads = [""]
        columns: list[dict[float, str]] = []
        for run in self.runs:
            heads.append(voice.say(run.when))
            columns.append({y: self._told(place) for y, place in self._rows(run)})
        for run in self.runs:
            heads.append(
                {"as found": voice.say("read as found"), "as left": voice.say("read as left")}[run.when],
            )
            columns.append({y: ", ".join(place.read) for y, place in self._rows(run)})
        rows = []
        for k, name in enumerate(self.names):
            if self.order[k] != "room":
                rows.append((title(name, self.unit), *(column.get(self._row(k), "") for column in columns)))
        return Table(tuple(heads), tuple(rows))


def _class(run: PathRun) -> str:
    return run.when.removeprefix("as ")


def _vague(place: PathPlace) -> bool:
    if place.place == "room":
        return False
    near, far = sorted((abs(place.low), abs(place.high)))
    return far > _VAGUE * near
