"""Sound harnesses: invented, as such equipment is usually wired (common practice, no source)."""

from typing import Any, NamedTuple

from hypothesis import strategies as st

from drawthrough.visit.lead_map import LeadMap, lead_map
from drawthrough.visit.state import Lead, LeadRole, Motor, Terminal, TerminalKind, When


class Harness(NamedTuple):
    """Leads as found and the terminals that were declared."""

    name: str
    motor: Motor
    strips: bool
    leads: tuple[Lead, ...]
    terminals: tuple[Terminal, ...] = ()

    def map(self, when: When = "as found") -> LeadMap:
        """Return its map, as found or as left."""
        return lead_map(at(self.leads, when), self.terminals, when)


def at(leads: Any, when: When) -> tuple[Lead, ...]:
    return tuple(changed(lead, when=when) for lead in leads)


def changed(lead: Lead, **fields: Any) -> Lead:
    """Return a lead with other fields."""
    return Lead(**{**{name: getattr(lead, name) for name in lead.__struct_fields__}, **fields})


def lead(colour: str, function: str, terminal: str, origin: str = "motor", mark: str = "") -> Lead:
    return Lead(colour=colour, function=function, terminal=terminal, origin=origin, mark=mark, when="as found")


def post(name: str, kind: TerminalKind = "park", part: str = "", holds: int = 1) -> Terminal:
    return Terminal(name=name, kind=kind, part=part, proved_dead=True if kind == "park" else None, holds=holds)


_WINDING = (lead("brown", "capacitor", "C1"), lead("brown/white", "capacitor", "C2"))
_GROUND = lead("green", "ground", "chassis")

SOUND = (
    Harness(
        "one speed of three on the relay, two on dead posts, line on the same points as it comes",
        "psc", True,
        (
            lead("black", "high", "relay 4"), lead("blue", "medium", "park 1"), lead("red", "low", "park 2"),
            lead("white", "common", "L2"), *_WINDING, _GROUND,
            lead("black", "line L1", "relay 2", "disconnect"), lead("red", "line L2", "L2", "disconnect"),
            lead("black", "strips 1", "sequencer M1", "strip kit"), lead("red", "strips 2", "L2 strips", "strip kit"),
            lead("orange", "blower interlock", "relay 5", "sequencer"), lead("green", "ground", "lug", "disconnect"),
        ),
        (post("park 1"), post("park 2"), post("L2", "live", holds=3)),
    ),
    Harness(
        "unused speeds capped one by one, nothing declared",
        "psc", False,
        (
            lead("black", "high", "relay 4"), lead("blue", "medium", "cap of blue"), lead("red", "low", "wire nut 2"),
            lead("purple", "common", "neutral"), lead("brown", "capacitor", "run cap C"),
            lead("brown/white", "capacitor", "herm"), _GROUND,
        ),
    ),
    Harness(
        "a board with a point for cooling and one for heating, its own dead posts, and the strips under it",
        "psc", True,
        (
            lead("black", "high", "COOL"), lead("red", "low", "HEAT"), lead("blue", "medium", "M1"),
            lead("yellow", "medium low", "M2"), lead("white", "common", "N", "motor"), *_WINDING, _GROUND,
            lead("white", "strips relay", "board W out", "strip kit"),
            lead("white", "control W", "W", "thermostat cable"), lead("blue", "control C", "C", "thermostat cable"),
            lead("green", "control G", "G", "thermostat cable"), lead("red", "control R", "R", "thermostat cable"),
        ),
        (
            post("COOL", "live", "control board"), post("HEAT", "live", "control board"),
            post("M1", part="control board"), post("M2", part="control board"), post("N", "live", "control board"),
        ),
    ),
    Harness(
        "three leads at the capacitor's side: the far terminal fed by the line, the striped lead capped",
        "psc", False,
        (
            lead("black", "high", "relay NO"), lead("red", "low", "relay NC"), lead("white", "common", "L2"),
            lead("brown", "capacitor", "C1"), lead("brown/white", "capacitor", "capped"),
            lead("white", "line jumper", "C2", "L2 block"), _GROUND,
        ),
    ),
    Harness(
        "the striped lead joined with common and line under one nut",
        "psc", False,
        (
            lead("black", "speed", "contactor T1"), lead("purple", "common", "wire nut 1"),
            lead("brown/white", "capacitor", "wire nut 1"), lead("white", "line neutral", "wire nut 1", "supply"),
            lead("white", "line jumper", "C2", "supply"), lead("brown", "capacitor", "C1"),
            lead("green", "ground", "wire nut 3"), lead("bare", "ground", "wire nut 3", "supply"), _GROUND,
        ),
    ),
    Harness(
        "one speed only, a transformer whose unused primary lead is capped",
        "psc", False,
        (
            lead("black", "speed", "fan relay 3"), lead("white", "common", "L2"), *_WINDING, _GROUND,
            lead("orange", "line 208 V tap", "cap of orange", "transformer"),
            lead("blue", "control C", "chassis", "transformer"),  # one side of the 24 V on ground is usual
        ),
    ),
    Harness(
        "24 V taps: one chosen by the board, the rest free, line at the motor all the time",
        "constant torque", False,
        (
            lead("yellow", "tap 4, cooling", "motor tap 4", "board"), lead("blue", "tap 3", "not connected", "board"),
            lead("white", "24 V common", "motor C", "board"), lead("black", "line L1", "motor L", "harness"),
            lead("red", "line L2", "motor N", "harness"), lead("green", "ground", "motor G", "harness"),
        ),
    ),
    Harness(
        "24 V taps: two calls joined at one tap, strips fired by the board that calls the blower",
        "constant torque", True,
        (
            lead("green", "tap 1, fan", "motor tap 1", "board"), lead("white", "tap 1, heat", "motor tap 1", "board"),
            lead("yellow", "tap 5, cooling", "motor tap 5", "board"), lead("blue", "common", "C", "motor"),
            lead("black", "line L1", "L1"), lead("white", "line neutral", "neutral"), _GROUND,
            lead("white", "strips", "board W1", "strip kit"),
        ),
    ),
    Harness(
        "two plugs: line and ground in one, what the board asks for in the other",
        "constant airflow", False,
        (
            lead("five-way plug", "line supply", "cabinet harness", "motor module"),
            lead("sixteen-way plug", "24 V control", "board", "motor module"),
        ),
    ),
)  # fmt: skip

_COLOURS = ("black", "white", "red", "blue", "yellow", "green", "grey", "orange", "brown", "purple", "pink")
_EXTRA: tuple[tuple[LeadRole, TerminalKind], ...] = (
    ("control", "control"), ("line", "live"), ("ground", "ground"), ("strips", "strips"), ("other", "live"),
)  # fmt: skip


@st.composite
def harnesses(draw: st.DrawFn, motor: Motor | None = None, least: int = 3, most: int = 40) -> Harness:
    """Draw a sound harness of marked leads, each on a point of its own."""
    motor = motor or draw(st.sampled_from(["psc", "constant torque", "constant airflow"]))
    plan: list[tuple[LeadRole, TerminalKind]] = [("ground", "ground")]
    if motor == "psc":
        plan += [("speed", "live"), ("common", "live"), ("capacitor", "capacitor"), ("capacitor", "capacitor")]
        parked = draw(st.lists(st.sampled_from(["park", "cap"]), max_size=5))
        plan += [("speed", kind) for kind in parked]
    elif motor == "constant torque":
        plan += [("speed", "live"), ("control", "control"), *[("speed", "cap")] * draw(st.integers(0, 4))]
    else:
        plan += [("line", "live"), ("control", "control")]
    plan += draw(st.lists(st.sampled_from(_EXTRA), min_size=max(0, least - len(plan)), max_size=most - len(plan)))
    strips = ("strips", "strips") in plan
    if strips and len(plan) == most:
        plan[plan.index(("strips", "strips"))] = ("blower interlock", "control")
    elif strips:
        plan.append(("blower interlock", "control"))
    leads, terminals = [], []
    for number, (role, kind) in enumerate(plan):
        name = f"point {number}"
        terminals.append(post(name, kind, part="run capacitor" if kind == "capacitor" else ""))
        leads.append(
            Lead(
                colour=draw(st.sampled_from(_COLOURS)), function=role, role=role, mark=str(number),
                origin="motor" if role in ("speed", "common", "capacitor") else draw(st.sampled_from(["kit", "board"])),
                terminal=name, when="as found",
            )
        )  # fmt: skip
    return Harness("drawn", motor, strips, tuple(draw(st.permutations(leads))), tuple(draw(st.permutations(terminals))))
