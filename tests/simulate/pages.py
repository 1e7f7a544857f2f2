"""The pages of one visit sheet: which readings are taken in which run, and how they are typed."""

import random

from drawthrough import vocabulary
from drawthrough.physics import moist_air
from drawthrough.visit.state import Instrument, Reading, Run
from tests.simulate import instruments
from tests.simulate.fans import INWC
from tests.simulate.heat import Air
from tests.simulate.house import draw
from tests.simulate.instruments import Tool, heavy
from tests.simulate.refrigerant import Cycle
from tests.simulate.runs import Truly

TESP, TESP_STRIPS, HOLES, FULL, COOLING = READINGS = (
    "tesp", "tesp and strips", "four holes", "full", "full and cooling",
)  # fmt: skip
PLACES = ("return plenum", "after filter", "after coil", "supply plenum")
ZEROED = {"as found": "08:45", "as left": "14:50"}
CLOCK = {  # start and end of each kind of run; readings are taken at the end
    "as found": {
        "before": ("08:50", "09:08"),
        "main": ("09:10", "09:36"),
        "after": ("09:36", "09:45"),
        "cooling": ("09:46", "10:20"),
    },
    "as left": {
        "before": ("14:55", "15:13"),
        "main": ("15:15", "15:41"),
        "after": ("15:41", "15:50"),
        "cooling": ("15:51", "16:26"),
    },
}
MOMENTS = {"before": 0.0, "main": 1680.0, "after": 2220.0}  # [s] after the end of the first zero
HOURS_OF_DRIFT = 4.0  # in which a manometer's zero moves by its drift (judgement)
REZEROED = 0.75  # share of technicians who zero the manometer again before as left (judgement)
DROP = 0.4  # who also put both hoses across the coil
WATTS = 0.7
LINE = 0.75  # who note the line voltage where it is not asked for


class Pages:
    """Writes the runs of one visit; holds the truck's instruments and the holes in the cabinet."""

    def __init__(self, quality: str, readings: str, other_day: bool, rated: float, rng: random.Random) -> None:
        self.readings = readings
        self.rated = rated  # a larger unit has larger ducts: air passes a hole as fast [m3/s]
        self.rng = rng
        self.tools = {"as found": instruments.drawn(quality, rng)}
        self.tools["as left"] = self._later(self.tools["as found"], other_day)
        self.zeroed_again = self.tools["as left"]["manometer"].offset != self.tools["as found"]["manometer"].offset
        self.holes = {p: draw(rng, "day", "placement") * INWC * rng.choice((-1.0, 1.0)) for p in PLACES}
        self.swing, self.tip = draw(rng, "day", "swing") * INWC, draw(rng, "day", "replacement") * INWC
        self.dates = {"as found": "2026-05-12T", "as left": "2026-06-02T"} if other_day else None
        self.drop, self.watts, self.line = (rng.random() < share for share in (DROP, WATTS, LINE))
        self.used: dict[str, None] = {}

    def _later(self, tools: dict[str, Tool], other_day: bool) -> dict[str, Tool]:
        later = dict(tools)
        if self.rng.random() < REZEROED or other_day:
            later["manometer"] = instruments.zeroed_anew(tools["manometer"], self.rng)
        if other_day:  # a thermometer is not quite the same another day
            for name, tool in tools.items():
                if name.endswith("probe"):
                    shift = self.rng.uniform(-0.5, 0.5) * tool.absolute
                    later[name] = tool._replace(offset=tool.offset + shift)
        return later

    def instruments(self) -> tuple[Instrument, ...]:
        """Every instrument that was used, as the sheet describes it."""
        zeroed = [self.moment("as found", ZEROED["as found"])]
        if self.zeroed_again:
            zeroed.append(self.moment("as left", ZEROED["as left"]))
        tools = self.tools["as found"]
        return tuple(
            instruments.sheet(tools[n], tuple(zeroed) if n == "manometer" else ()) for n in tools if n in self.used
        )

    def moment(self, when: str, clock: str) -> str:
        """A time of day, with its date where the visit has two."""
        return f"{self.dates[when]}{clock}" if self.dates else clock

    def read(self, when: str, what: str, at: str, name: str, true: float, clock: str, **more) -> Reading:  # type: ignore[no-untyped-def]
        """Take one reading with one instrument."""
        self.used[name] = None
        tool = self.tools[when][name]
        typed = tool.shown(true, self.rng, more.pop("other", 0.0))
        return instruments.reading(what, at, typed, tool, self.moment(when, clock), **more)

    def static(
        self, when: str, at: str, against: str, true: float, ends: dict[str, int], flow: float, clock: str
    ) -> Reading:
        """Take a static: what the cabinet swings, where the hole is, and how the tip sits come on top."""
        other = self.swing * heavy(self.rng)
        for place, sign in ends.items():
            other += sign * (self.holes[place] + self.rng.gauss(0.0, self.tip)) * (flow / self.rated) ** 2
        start = ZEROED[when if self.zeroed_again else "as found"]
        other += self.tools[when]["manometer"].drift * INWC * _hours(start, clock) / HOURS_OF_DRIFT
        what = "static" if against == "room" or at == "supply plenum" else "pressure_drop"
        return self.read(when, what, at, "manometer", true + other, clock, against=against)

    def statics(self, when: str, true: Truly, clock: str) -> list[Reading]:
        """The statics of the reading set."""
        p, flow = true.point, true.point.airflow
        places = dict(zip(PLACES, (p.return_plenum, p.after_filter, p.after_coil, p.supply_plenum), strict=True))
        if self.readings in (TESP, TESP_STRIPS):
            total = p.supply_plenum - p.after_filter
            ends = {"supply plenum": 1, "after filter": -1}
            return [self.static(when, "supply plenum", "after filter", total, ends, flow, clock)]
        taken = [self.static(when, place, "room", value, {place: 1}, flow, clock) for place, value in places.items()]
        if self.drop:
            ends = {"after filter": 1, "after coil": -1}
            across = p.after_filter - p.after_coil
            taken.append(self.static(when, "after filter", "after coil", across, ends, flow, clock))
        return taken

    def temperatures(self, when: str, true: Truly, clock: str, far: bool) -> list[Reading]:
        """Return and supply dry bulb; a second supply point with the strips on."""
        taken = [
            self.read(when, "dry_bulb", "return", "return probe", true.back.dry_bulb, clock),
            self.read(when, "dry_bulb", "supply", "supply probe", true.near.dry_bulb, clock),
        ]
        if far:
            taken.append(self.read(when, "dry_bulb", "supply far", "supply probe", true.far.dry_bulb, clock))
        return taken

    def wet_bulb(self, when: str, at: str, air: Air, pressure: float, clock: str, below: Reading) -> Reading:
        """A wet bulb; one that shows more than its dry bulb is taken again, as the sheet would ask for."""
        true = moist_air.wet_bulb(air.dry_bulb, air.water, pressure)
        for _ in range(20):
            taken = self.read(when, "wet_bulb", at, "wet-bulb probe", true, clock)
            if taken.value <= below.value:
                return taken
        typed = below.typed
        return instruments.reading(
            "wet_bulb", at, typed, self.tools[when]["wet-bulb probe"], self.moment(when, clock), note="saturated"
        )

    def volts(self, when: str, at: str, true: float, clock: str) -> Reading:
        """A voltage."""
        return self.read(when, "volts", at, "voltmeter", true, clock)

    def blower(self, when: str, true: Truly, clock: str) -> list[Reading]:
        """Speed and power of the blower."""
        taken = [self.read(when, "speed", "blower", "tachometer", true.speed, clock)]
        if self.watts:
            typed = self.read(when, "power", "blower", "watt meter", true.power, clock)
            taken.append(
                instruments.reading("blower_power", "blower", typed.typed, self.tools[when]["watt meter"], typed.time)
            )
        return taken

    def gauges(self, when: str, cycle: Cycle, clock: str) -> list[Reading]:
        """Gauge pressures and pipe temperatures of the machine."""
        shown = (
            ("gauge_pressure", "suction line", "gauges", cycle.suction_pressure),
            ("temperature", "suction line", "pipe clamp", cycle.suction_temperature),
            ("gauge_pressure", "liquid line", "gauges", cycle.liquid_pressure),
            ("temperature", "liquid line", "pipe clamp", cycle.liquid_temperature),
        )
        return [self.read(when, what, at, name, true, clock) for what, at, name, true in shown]

    def run(self, when: str, kind: str, mode: str, taken: list[Reading], **more) -> Run:  # type: ignore[no-untyped-def]
        """One run of the sheet."""
        start, end = (self.moment(when, clock) for clock in CLOCK[when][kind])
        word = when.removeprefix("as ")
        names = {
            "before": f"zero-before-{word}",
            "after": f"zero-after-{word}",
            "main": f"{mode}-{word}",
            "cooling": f"cooling-{word}",
        }
        return Run(
            id=names[kind], when=when, mode=mode, speed="high", reading=tuple(taken), start=start, end=end, **more,  # type: ignore[arg-type]
        )  # fmt: skip


def _hours(start: str, end: str) -> float:
    """Hours between two times of one day."""
    (h, m), (k, n) = ((int(part) for part in clock.split(":")) for clock in (start, end))
    return (k - h) + (n - m) / 60.0


def barometer(pressure: float) -> float:
    """A station pressure as read from a barometer."""
    return vocabulary.read("pressure", f"{pressure / 3386.389:.2f} inHg")
