"""The sections of `docs/calibration.md` on causes: verdicts, odds, and what the work removed."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence

from drawthrough.trade.causes import NOTHING
from tests.calibration import causes_figures as figures
from tests.calibration import following
from tests.calibration.causes_figures import Bin, Told, Verdicts
from tests.calibration.counting import Count, by_cell
from tests.calibration.following import Taken, Ways
from tests.calibration.judged import Judged
from tools.markdown import table

HELD, WRONG, TIE = 0.95, 0.02, 2.0  # asked: share in what is said, share of wrong single verdicts, mean size
SINGLE = {"full and cooling": 0.60, "full": 0.60, "tesp and strips": 0.25}  # asked: share of single verdicts
DISTANCE = 0.02  # asked: mean distance of the bins

Share = Callable[[Count], str]

CAUSES = """
What is said of the causes as found, beside the causes that were so. A *single* verdict names one cause (or several) \
by itself; a *tie* says that it is at least one of several, nothing wrong among them. *In it*: at least one of those \
named is so. *All*: every cause that was so is named. *Wrong*: a single verdict names a cause that was not so (the \
strict count); *wholly*: none of those that it names was so (the lenient count; with one true cause the two differ \
only where two are named). Sizes count a single verdict as 1. *Ties of one* name one cause as likely without saying \
it by itself; they count as ties, of size 1. Asked: in it 95 %, mean size at most 2, wrong at most 2 %, single 60 % \
with four holes, strips, rpm and capacitor (full, with or without cooling), and 25 % with total static and strips.
"""
ODDS = """
Every cause of every visit, nothing wrong among them (but not a bad reading: its visits are left out here), binned by \
how likely it was said to be. Asked: in bins of at least {enough} the share that is so within 3 points and two \
standard errors of what was said; the mean distance of all bins, each counted as often as it has causes, at most 2 \
points.
"""
WIDTHS = """
The same with all widths of belief about causes halved and doubled: how far odds rest on them.
"""
LEFT = """
Which causes remain after the work, nothing wrong among them, where as left was read. *Some remained*: at least one \
cause that was there as found is there as left. The odds are those of what remains.
"""
FOLLOWING = """
{visits} simulated visits as found, of seeds of their own, each begun with one total static. Then one reading after \
the other is taken from the same menu: the four statics, the drop across the coil (where both hoses were put there), \
the strips with their zeros, rpm and the capacitor of a PSC motor, line voltage, gauges, and looks at wheel, coil and \
filter that are mistaken once in 20. A visit is resolved once a single cause is named: by itself, or as the only one \
of a tie. Only visits that some way resolves are counted, and not those that the total static resolves alone; a way \
that ends unresolved counts as endless. *By chance*: {draws} draws each. The fixed order was searched for each kind of \
motor, greedily, in {trained} other visits. Asked of the median number of readings: at most 0.65 of that by chance, at \
most one more than in the fixed order.
"""


def _verdict(met: bool, count: Count | None, asked: float, *, least: bool) -> str:
    if met:
        return "met"
    if count is None:
        return "not met"
    low, high = count.bounds
    return "within chance" if (high >= asked if least else low <= asked) else "not met"


def _row(name: str, told: Sequence[Told], share: Share) -> list[str]:
    seen = figures.verdicts(told)
    size, ties = (f"{value:.2f}" if value is not None else "-" for value in (seen.size, seen.tie_size))
    return [name, str(len(told)), share(seen.holds), share(seen.all_held), size, f"{seen.ties}, {ties}",
            f"{seen.alone.hits} of {seen.alone.of}", share(seen.single), share(seen.wrong),
            share(seen.wholly_wrong)]  # fmt: skip


_HEADS = ("", "visits", "in it, %", "all, %", "mean size", "ties of 2 or more, mean size", "ties of one that are so",
          "single, %", "wrong, %", "wholly, %")  # fmt: skip


def _groups(visits: Sequence[Judged]) -> Iterable[tuple[str, list[Judged]]]:
    yield "all", list(visits)
    yield "nothing wrong", [v for v in visits if NOTHING in v.found]
    yield "one cause", [v for v in visits if len(v.found) == 1 and NOTHING not in v.found]
    yield "two causes", [v for v in visits if len(v.found) == 2]
    for place, of in enumerate(("motor", "instruments", "readings")):
        groups = by_cell(visits, lambda visit, place=place: visit.cell[place])  # type: ignore[misc]
        for value, group in sorted(groups.items()):
            yield f"{of}: {value}", group


def _asked(visits: Sequence[Judged], share: Share) -> list[str]:
    """Return what is asked of verdicts, beside what they are."""
    seen: Verdicts = figures.verdicts(figures.told(visits))
    size = "-" if seen.size is None else f"{seen.size:.2f}"
    lines = [
        ["the true cause first, or in the tie, %", f"at least {100 * HELD:.0f}", share(seen.holds),
         _verdict(seen.holds.share >= HELD, seen.holds, HELD, least=True)],
        ["mean size of what is said", f"at most {TIE:.0f}", size,
         _verdict(seen.size is not None and seen.size <= TIE, None, TIE, least=False)],
        ["single and wrong, %", f"at most {100 * WRONG:.0f}", share(seen.wrong),
         _verdict(seen.wrong.share <= WRONG, seen.wrong, WRONG, least=False)],
    ]  # fmt: skip
    for readings, least in SINGLE.items():
        single = figures.verdicts(figures.told(v for v in visits if v.cell[2] == readings)).single
        if single.of:
            lines.append([f"single, {readings}, %", f"at least {100 * least:.0f}", share(single),
                          _verdict(single.share >= least, single, least, least=True)])  # fmt: skip
    return table(["", "asked", "is", ""], lines)


def _bins(made: Sequence[Bin]) -> list[str]:
    word = {True: "kept", False: "not kept", None: "few"}
    lines = [
        [f"{b.low:.2f} to {b.high:.2f}", str(b.so.of), f"{100 * b.said:.1f}", f"{100 * b.so.share:.1f}",
         f"{100 * b.off:+.1f}", f"{100 * b.error:.1f}", word[b.kept]]
        for b in made
    ]  # fmt: skip
    rows = table(["said", "causes", "mean said, %", "so, %", "off", "standard error", ""], lines)
    off = figures.distance(made)
    met = "met" if off <= DISTANCE else "not met"
    worst = max((abs(b.off) for b in made if b.kept is not None), default=0.0)
    judged = [b for b in made if b.kept is not None]
    plain = sum(abs(b.off) for b in judged) / len(judged) if judged else 0.0
    return [
        *rows,
        "",
        (
            f"Mean distance {100 * off:.1f} points ({met}); of the bins that are judged, each counted once, "
            f"{100 * plain:.1f}, the farthest {100 * worst:.1f}."
        ),
    ]


def sections(visits: Sequence[Judged], share: Share) -> list[str]:
    """Return the sections on causes of visits without a gross error."""
    some = [(name, figures.of_those_found(visits, remained=yes)) for name, yes in (
        ("something was wrong, nothing remained", False), ("something was wrong, some remained", True),
    )]  # fmt: skip
    left = [("all", figures.told(visits, "as left")), *some]
    return [
        "\n## Causes",
        CAUSES,
        *_asked(visits, share),
        "",
        *table(_HEADS, [_row(name, figures.told(group), share) for name, group in _groups(visits)]),
        "\n### Odds",
        ODDS.format(enough=figures.ENOUGH),
        *_bins(figures.bins(figures.pairs(visits))),
        "\n### With widths halved and doubled",
        WIDTHS,
        "Halved:",
        "",
        *_bins(figures.bins(figures.pairs(visits, figures.WIDTHS["halved"]))),
        "",
        "Doubled:",
        "",
        *_bins(figures.bins(figures.pairs(visits, figures.WIDTHS["doubled"]))),
        "\n### As left",
        LEFT,
        *table(_HEADS, [_row(name, told, share) for name, told in left if told]),
        "",
        *_bins(figures.bins(figures.pairs_left(visits))),
    ]


def following_section(
    fixed: Mapping[str, Sequence[str]], ways: Sequence[Ways], trained: int, share: Share
) -> list[str]:
    """Return the section on the Next line."""
    groups = {"all": list(ways), **by_cell(ways, lambda each: each.motor)}
    lines = []
    for name, group in groups.items():
        seen = {way: following.taken(group, way) for way in following.WAYS}
        chance, order = seen[following.CHANCE].readings[1], seen[following.FIXED].readings[1]
        for way, one in seen.items():
            kept = one.readings[1] <= 0.65 * chance and one.readings[1] <= order + 1
            asked = ("met" if kept else "not met") if way == following.NEXT else ""
            lines.append([name, way, str(one.visits), *_way(one, share), asked])
    return [
        "\n## Following the Next line",
        FOLLOWING.format(visits=len(ways), draws=following.DRAWS, trained=trained),
        *table(["motor", "way", "visits", "resolved, %", "right, %", "readings: quartiles", "minutes: quartiles", ""],
               lines),
        "",
        *(f"Fixed order, {motor}: {', '.join(order)}.\n" for motor, order in fixed.items()),
    ]  # fmt: skip


def _way(one: Taken, share: Share) -> list[str]:
    def said(values: Sequence[float]) -> str:
        return ", ".join("never" if value == math.inf else f"{value:.0f}" for value in values)

    return [share(one.named), share(one.right), said(one.readings), said(one.minutes)]
