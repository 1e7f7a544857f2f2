"""The lead map: forty leads as left held against forty as found, and against the electrical rules."""

from collections.abc import Sequence

from bench.case import Case
from drawthrough.visit.lead_compare import Comparison, compare
from drawthrough.visit.lead_map import Finding, lead_map
from drawthrough.visit.lead_rules import broken_rules
from drawthrough.visit.state import Lead, LeadRole, Terminal, TerminalKind, When

LEADS = 40
_PLAN: tuple[tuple[LeadRole, TerminalKind], ...] = (
    ("speed", "live"), ("speed", "park"), ("speed", "park"), ("speed", "cap"), ("common", "live"),
    ("capacitor", "capacitor"), ("capacitor", "capacitor"), ("ground", "ground"), ("blower interlock", "control"),
    ("strips", "strips"),
)  # fmt: skip
_MORE: tuple[tuple[LeadRole, TerminalKind], ...] = (("control", "control"), ("line", "live"), ("strips", "strips"))
PLAN = (*_PLAN, *(_MORE[number % len(_MORE)] for number in range(LEADS - len(_PLAN))))
COLOURS = ("black", "blue", "red", "white", "brown", "brown/white", "green", "orange", "yellow")


def harness(when: When, places: Sequence[int]) -> list[Lead]:
    """Return the leads, each on the point of that number."""
    return [
        Lead(
            colour=COLOURS[number % len(COLOURS)], function=role, role=role, mark=str(number), origin="motor",
            when=when, terminal=f"point {place}",
        )
        for (number, (role, _)), place in zip(enumerate(PLAN), places, strict=True)
    ]  # fmt: skip


POINTS = [Terminal(name=f"point {number}", kind=kind, proved_dead=True) for number, (_, kind) in enumerate(PLAN)]
FOUND = harness("as found", range(LEADS))
LEFT = harness("as left", [*range(LEADS - 2), LEADS - 1, LEADS - 2])  # two leads exchanged
FOUND_MAP, LEFT_MAP = lead_map(FOUND, POINTS, "as found"), lead_map(LEFT, POINTS, "as left")


def whole() -> tuple[Comparison, tuple[Finding, ...]]:
    """Build both maps, compare them, and hold what is left against the rules."""
    found, left = (lead_map((*FOUND, *LEFT), POINTS, when) for when in ("as found", "as left"))
    return compare(found, left), broken_rules(left, strips=True, motor="psc")


def compared() -> Comparison:
    """Compare two maps that stand."""
    return compare(FOUND_MAP, LEFT_MAP)


def by_hand() -> list[tuple[str, str, str]]:
    """Look each lead up among all the others, and tell where its point differs: nothing may stand for another."""
    moved = []
    for lead in FOUND_MAP.lead:
        for other in LEFT_MAP.lead:
            known = (lead.origin, lead.colour, lead.mark) == (other.origin, other.colour, other.mark)
            if known and lead.terminal != other.terminal:
                moved.append((lead.mark, lead.terminal, other.terminal))
    return moved


def _same_answer() -> bool:
    rows = {(row.lead.split()[0], row.found, row.left) for row in compared().rows if row.state == "moved"}
    return rows == set(by_hand())


assert _same_answer()

CASES = [
    Case(
        f"{LEADS} leads compared, two exchanged",
        compared,
        by_hand,
        "plain Python",
        limit_ms=5.0,
        note="the reference only looks each lead up; it knows neither posts nor capacitors nor changes that are meant",
    ),
    Case(f"{LEADS} leads: both maps built, compared and held against the rules", whole, limit_ms=5.0),
]
