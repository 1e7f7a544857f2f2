"""Writes `docs/calibration.md`: what the engine says of simulated visits beside what is true of them.

    python tools/calibration.py [--visits 5000] [--cells 30000] [--told 1500] [--seeds 1] [--processes 2]

It takes minutes, so `make docs` leaves it alone.
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
if str(CHECKOUT) not in sys.path:
    sys.path.insert(0, str(CHECKOUT))

from tests.calibration import figures, following, told_laws  # noqa: E402
from tests.calibration.counting import Count, by_cell  # noqa: E402
from tests.calibration.figures import Claim, Coverage  # noqa: E402
from tests.calibration.judged import ACCUSES, APART, CONTRADICT, QUANTITIES, Judged  # noqa: E402
from tests.calibration.rules_of_thumb import RULES  # noqa: E402
from tests.simulate.visits import simulated  # noqa: E402
from tools import calibration_causes  # noqa: E402
from tools.markdown import table  # noqa: E402

PAGE = CHECKOUT / "docs" / "calibration.md"
TRAINED = 60  # visits of each kind of motor in which a fixed order is searched
LEAST = 500  # visits in a cell that is judged by itself
WIDEST = 1.3  # times the width of the fit that is told the laws
OVERALL, IN_A_CELL = (0.93, 0.97), (0.91, 0.98)  # what is asked of 95 % intervals


def share(count: Count) -> str:
    """Return a share with its 95 % bounds, in per cent."""
    if not count.of:
        return "-"
    low, high = count.bounds
    return f"{100 * count.share:.1f} ({100 * low:.1f} to {100 * high:.1f})"


def verdict(count: Count, asked: tuple[float, float]) -> str:
    """Return whether a share lies where it is asked to; chance may still explain it where it does not."""
    if not count.of:
        return "-"
    low, high = asked
    if low <= count.share <= high:
        return "met"
    below, above = count.bounds
    return "not met" if above < low or below > high else "within chance"


def _covered(name: Sequence[str], coverage: Coverage, asked: tuple[float, float]) -> list[str]:
    width = "-" if coverage.width is None else f"{100 * coverage.width:.1f}"
    counts = [str(coverage.held.of), share(coverage.held), str(coverage.below), str(coverage.above), width]
    return [*name, *counts, verdict(coverage.held, asked)]


_HEADS = ("visits", "held, %", "below", "above", "median width, %", "")


def _both(name: Sequence[str], visits: Sequence[Judged], quantity: str, asked: tuple[float, float]) -> list[list[str]]:
    among = {"stands": figures.standing(visits, quantity), "told": figures.told(visits, quantity)}
    return [_covered([*name, quantity, word], figures.coverage(given), asked) for word, given in among.items()]


def _overall(visits: Sequence[Judged]) -> list[str]:
    lines = [line for quantity in QUANTITIES for line in _both([], visits, quantity, OVERALL)]
    return table(["quantity", "among", *_HEADS], lines)


def _by_wheel(visits: Sequence[Judged]) -> list[str]:
    groups = {name: [visit for visit in visits if inside(visit)] for name, inside in figures.WHEELS.items()}
    lines = [
        line
        for name, group in groups.items()
        for quantity in QUANTITIES
        for line in _both([name], group, quantity, IN_A_CELL)
    ]
    return table(["truth", "quantity", "among", *_HEADS], lines)


def _one_way(visits: Sequence[Judged]) -> list[str]:
    lines = []
    for place, of in enumerate(("motor", "instruments", "readings")):
        groups = by_cell(visits, lambda visit, place=place: visit.cell[place])  # type: ignore[misc]
        for value, group in sorted(groups.items()):
            for quantity in QUANTITIES:
                told = figures.told(group, quantity)
                if told:
                    lines.append(_covered([of, value, quantity], figures.coverage(told), IN_A_CELL))
    return table(["of", "", "quantity", *_HEADS], lines)


def _cells(visits: Sequence[Judged]) -> list[str]:
    cells = sorted(by_cell(visits, lambda visit: visit.cell).items())
    lines = [
        _covered([", ".join(cell), quantity], figures.coverage(told), IN_A_CELL)
        for cell, group in cells
        if len(group) >= LEAST
        for quantity in QUANTITIES
        if (told := figures.told(group, quantity))
    ]
    sizes = [len(group) for _, group in cells]
    few = sum(size < LEAST for size in sizes)
    few_said = f"{few} of them have fewer than {LEAST}"
    said = [f"{len(cells)} cells of {min(sizes)} to {max(sizes)} of {len(visits)} visits; {few_said}.", ""]
    return said + (table(["cell", "quantity", *_HEADS], lines) if lines else ["None is large enough to be judged."])


def _widths(visits: Sequence[Judged], told: Sequence[Judged]) -> list[str]:
    again = {visit.seed: visit for visit in told}
    pairs = [(visit, again[visit.seed]) for visit in visits if visit.seed in again]
    groups = {"all": pairs, **dict(sorted(by_cell(pairs, lambda pair: pair[0].cell[2]).items()))}
    lines = []
    for readings, group in groups.items():
        for quantity in QUANTITIES:
            seen = figures.widths(group, quantity)
            if seen.width is None or seen.told is None or seen.over is None:
                continue
            word = "met" if seen.over <= WIDEST else "not met"
            lines.append([readings, quantity, str(seen.visits), f"{100 * seen.width:.1f}", f"{100 * seen.told:.1f}",
                          f"{seen.over:.2f}", share(seen.held), word])  # fmt: skip
    heads = ("visits", "width, %", "told the laws, %", "median ratio", "told the laws: held, %", "")
    return table(["readings", "quantity", *heads], lines)


def _claim(name: str, claim: Claim) -> list[str]:
    silent = str(claim.silent)
    return [name, str(claim.where_true.of), share(claim.where_true), str(claim.where_false.of),
            share(claim.where_false), share(claim.right), silent]  # fmt: skip


_CLAIM_HEADS = ("", "where true", "said, %", "where false", "said, %", "right where said, %", "says nothing")


def _worked(visits: Sequence[Judged]) -> list[str]:
    lines = [
        _claim("engine: the airflow ratio stands, wholly above 1.03", figures.worked(visits, figures.engine_worked)),
        _claim("engine: the airflow ratio stands, wholly above 1", figures.worked(visits, figures.engine_rose)),
    ]
    for name, (_, rule) in RULES.items():
        says = figures.worked(visits, lambda visit, rule=rule: rule(*visit.moments))  # type: ignore[misc]
        lines.append(_claim(name, says))
    return table(_CLAIM_HEADS, lines)


def _dirty(visits: Sequence[Judged]) -> list[str]:
    return table(_CLAIM_HEADS, [_claim(name, figures.dirty(visits, rule)) for name, (rule, _) in RULES.items()])


def _errors(visits: Sequence[Judged]) -> list[str]:
    kinds = by_cell((v for v in visits if v.planted is not None), lambda v: v.planted.kind if v.planted else "")
    groups = {"all": list(visits), **dict(sorted(kinds.items()))}
    lines = []
    for kind, group in groups.items():
        seen = figures.errors(group)
        lines.append([kind, str(seen.planted), str(seen.unchecked), str(seen.small), str(seen.detected.of),
                      share(seen.detected), share(seen.named), str(seen.elsewhere), share(seen.besides)])  # fmt: skip
    return table(
        [
            "kind",
            "planted",
            "nothing checks it",
            "too small",
            "to be detected",
            "detected, %",
            "named, %",
            "elsewhere",
            "others detected, %",
        ],
        lines,
    )


def _false_alarms(visits: Sequence[Judged]) -> list[str]:
    reasons = {"any": None, **{reason: reason for reason in (*ACCUSES, CONTRADICT)}}
    counts = {name: figures.false_alarms(visits, reason) for name, reason in reasons.items()}
    counts = {FALSE_ANY: figures.false_alarms(visits, excused=True), **counts}
    counts[FALSE_APART] = figures.false_alarms(visits, APART, excused=True)
    return table(["accused because", "visits", "of", "%"], [
        [name, str(count.hits), str(count.of), share(count)] for name, count in counts.items()
    ])  # fmt: skip


def _readings(visits: Sequence[Judged]) -> str:
    readings, unused, unchecked = (
        sum(getattr(visit, name) for visit in visits) for name in ("readings", "unused", "unchecked")
    )
    return (
        f"Of {readings} readings, {unused} do not enter the joint fit (humidity, voltage, speed and the like), and "
        f"{unchecked} enter it with nothing that checks them, and say so."
    )


HEAD = """# Calibration

Made by `python tools/calibration.py --visits {visits} --seeds {seeds}`: {visits} simulated visits of seed set \
{seeds}, each judged by the engine and held against its truth. It takes minutes, so `make docs` leaves this page \
alone; a slice of 300 visits is held in every test run (`tests/calibration`).

The visits come from `tests/simulate`, whose fans, ducts, coils, leaks and instruments follow laws of their own, not \
the engine's. A figure can be no better than these visits are like real ones: this page says whether the engine is \
as sure as it may be when the world is not quite as it believes, and proves nothing about a real house. Engine and \
simulator were written by the same hands, and its beliefs after seeing visits of sets 2 and 3; set 4 was run once, at \
the end: `calibration-second-set.md`.

Shares are in per cent, the 95 % bounds of the binomial law (Wilson) in brackets. *Met*: the share lies where it is \
asked to. *Not met*: its bounds do not even reach there. *Within chance*: it lies outside, but its bounds reach \
there. In one visit of {every} a gross error is planted in a reading; all sections but the last two leave these \
visits out.

"""
COVERAGE = """
*Stands*: the engine's standing is "it stands". For a ratio that means that the interval does not hold 1, so where \
little changed these are the visits that chance has pushed away from 1, and the truth is missed more often than in 5 \
%: with a true ratio of exactly 1 every one of them misses. *Told*: it stands, or is not resolved for no other \
reason than that its interval holds 1. That set is not chosen by the interval itself; a 95 % interval should hold \
the truth in 95 % of it. *Below* and *above*: intervals that lie wholly below or above the truth. Width is that of \
the logarithm. Asked: 93 to 97 % overall, 91 to 98 % in a group.
"""
WIDTHS = """
The same visits judged again with the engine's beliefs replaced by the means and deviations of what the simulator \
draws (`tests/calibration/told_laws.py`), for the first {visits} visits: how much narrower the intervals could be if \
the world's laws were known. It is the same model still, and a law that is no normal one is told by two figures. \
Counted are the visits in which both tell the quantity of the same runs; widths are medians of the logarithm, the \
ratio is the median of each visit's own. Asked: at most {widest}.
"""
SAID = """
The clean worked where the true airflow as left is more than 1.03 times that as found. The engine is taken to say so \
where its airflow ratio stands and the whole interval lies above 1.03; below that stands the weaker "more air than \
before", the whole interval above 1. "Says nothing": the ratio is in doubt, not resolved for another reason than no \
change, or not given; a rule of thumb lacks its reading, or the static lies beyond the table. Asked: said in at most \
1 % where it is false.

The rules, as the trade has them: the external static came from above 0.5 in. w.c. to no more than that; the split \
came from outside 16 to 22 F to inside; the fan table at the static as read gives over 3 % more air.
"""
DIRTY = """
Each visit counts twice, as found and as left. Dirty is true where wheel or coil is among the causes. Said: external \
static above 0.5 in. w.c.; split outside 16 to 22 F; less than 350 cfm per ton by the fan table.
"""
ERRORS = """
*Nothing checks it*: of that reading in the same visit without the error, the engine says that nothing checks it, or \
gives no smallest detectable error. *Too small*: below 1.3 times the smallest detectable error there. *Detected*: \
that reading is in doubt or set aside for what it says: it looks like a slip, contradicts the others, no such air can \
be, or another reason that is not given without the error. *Named*: and at most three readings are accused; the \
readings of one rise speak together and count as one. *Elsewhere*: only others are accused. *Others detected*: of \
those that nothing checks and those too small. A reading outside the joint fit is checked by the same reading of \
another run, by a print, or by what is ordinary (`trade/slips.toml`), where there is such a thing; its smallest \
detectable error is that of the tightest of these. Asked: 95 % detected, 90 % named.
"""
FALSE_ANY, FALSE_APART = "any, falsely", "supply points disagree, and truly do not"
FALSE_ALARMS = """
### False alarms

Visits without a gross error in which a reading is accused. Asked: at most 2 %. Supply points that disagree accuse no \
digits, but a person would look there for an error; they are counted in "any". Where the air at the two points truly \
lies more than 1 F apart the rule is right, and that is no false alarm: the first row leaves those visits out.
"""


def render(
    visits: Sequence[Judged],
    seeds: int,
    told: Sequence[Judged] = (),
    celled: Sequence[Judged] = (),
    followed: Sequence[str] = (),
) -> str:
    """Return the page.

    `told` are visits judged with the laws told, `celled` those of the cells where they are more, `followed` is the
    section on the Next line.
    """
    clean = figures.clean_of_blunders(visits)
    refused = by_cell((visit for visit in visits if visit.refused), lambda visit: visit.refused)
    parts = [
        HEAD.format(visits=len(visits), seeds=seeds, every=figures.GROSS_EVERY),
        *(f"The engine refused {len(some)} visits ({why}).\n" for why, some in sorted(refused.items())),
        "## Coverage of the 95 % intervals",
        COVERAGE,
        *_overall(clean),
        "\n### By how dirty the wheel was\n",
        *_by_wheel(clean),
        "\n### By motor, instruments and reading set, one at a time (told)\n",
        *_one_way(clean),
        "\n### By cell: motor, instruments and reading set together (told)\n",
        *_cells(figures.clean_of_blunders(celled) or clean),
        "\n## Width against the same fit told the simulator's laws",
        WIDTHS.format(visits=len(told), widest=WIDEST),
        *_widths(clean, told),
        '\n## "The clean worked"',
        SAID,
        *_worked(clean),
        '\n## "Dirty", by the rules of thumb',
        DIRTY,
        *_dirty(clean),
        *calibration_causes.sections(clean, share),
        *followed,
        "\n## Gross errors",
        ERRORS,
        *_errors(visits),
        FALSE_ALARMS,
        *_false_alarms(visits),
        "",
        _readings(clean),
    ]
    return "\n".join(parts) + "\n"


def main() -> int:
    """Judge the visits and write the page."""
    parser = argparse.ArgumentParser(description="Judge simulated visits and write docs/calibration.md.")
    parser.add_argument("--visits", type=int, default=5000)
    parser.add_argument("--seeds", type=int, default=1, help="which seed set")
    parser.add_argument("--cells", type=int, default=0, help="visits for the cells, where more than --visits")
    parser.add_argument("--told", type=int, default=1500, help="visits judged again with the simulator's laws told")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--followed", type=int, default=300, help="visits in which the Next line is followed")
    parser.add_argument("--out", type=Path, default=PAGE)
    given = parser.parse_args()
    judged = figures.run(simulated, max(given.visits, given.cells), given.seeds, given.processes)
    told = figures.clean_of_blunders(figures.run(simulated, given.told, given.seeds, given.processes, told_laws.told))
    fixed, ways = following.run(given.followed, TRAINED, given.seeds, given.processes)
    followed = calibration_causes.following_section(fixed, ways, TRAINED, share)
    given.out.write_text(render(judged[: given.visits], given.seeds, told, judged, followed), encoding="utf-8")
    print(f"{given.out}: written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
