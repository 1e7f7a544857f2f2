"""Times every case of `bench/bench_*.py` and the whole processes, and writes `docs/performance.md`.

Both sides of a case are timed in one run, turn by turn, so that a machine that speeds up or slows down does so for
both; the median of the turns is quoted, and the ratio is the median of each turn's ratio.
"""

import gc
import importlib
import platform
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

CHECKOUT = Path(__file__).resolve().parent.parent
if str(CHECKOUT) not in sys.path:
    sys.path.insert(0, str(CHECKOUT))

from bench import load  # noqa: E402
from bench.case import Case  # noqa: E402
from bench.process import WHOLE, Whole, measure_whole  # noqa: E402
from tests.browser import keystrokes  # noqa: E402
from tools.markdown import table  # noqa: E402

TURNS = 15
SAMPLE = 0.02  # seconds that one sample should last at least

HANDS = f"""\
How long a practised person's hands need at the pages, without error: the keystroke-level model (Card, Moran and
Newell, Communications of the ACM 23(7), 1980) over the acts that the browser tests really did, waits measured.
K {keystrokes.K:g} s, P {keystrokes.P:g} s, H {keystrokes.H:g} s, M {keystrokes.M:g} s.
On a phone a tap counts as P and a key on glass as K: a thumb there is slower than the typists of the paper, so these
are figures to compare ways with, not a stopwatch.""".splitlines()


class Timed(NamedTuple):
    """A case with its medians, in seconds per call."""

    case: Case
    ours: float
    other: float | None
    ratio: float | None

    @property
    def verdict(self) -> str:
        """Is each limit of the case kept?"""
        said = []
        if self.case.wanted_ratio is not None and self.ratio is not None:
            said.append("met" if self.ratio >= self.case.wanted_ratio else "MISSED")
        if self.case.limit_ms is not None:
            said.append("met" if self.ours * 1e3 <= self.case.limit_ms else "MISSED")
        return "MISSED" if "MISSED" in said else said[0] if said else ""


def calls_for(work: Callable[[], Any]) -> int:
    """Return how many calls make a sample long enough to be timed."""
    work()  # whatever is prepared on first use is not part of the figure
    began = time.perf_counter()
    work()
    once = time.perf_counter() - began
    calls = max(1, int(SAMPLE / max(once, 1e-8)))
    if calls > 1:  # a single call is dominated by the clock; ask again over many
        once = sample(work, calls)
        calls = max(1, int(SAMPLE / max(once, 1e-9)))
    return calls


def sample(work: Callable[[], Any], calls: int) -> float:
    """Return the seconds of one call, from many."""
    began = time.perf_counter()
    for _ in range(calls):
        work()
    return (time.perf_counter() - began) / calls


def measure(case: Case) -> Timed:
    """Time a case, both sides turn by turn."""
    calls = calls_for(case.ours)
    others = 0 if case.other is None else case.repeats or calls_for(case.other)
    slow = case.other is not None and sample(case.other, 1) > 1.0
    turns = 3 if slow else TURNS
    ours, theirs = [], []
    gc.collect()
    for _ in range(turns):
        ours.append(sample(case.ours, calls))
        if case.other is not None:
            theirs.append(sample(case.other, others))
    if case.other is None:
        return Timed(case, statistics.median(ours), None, None)
    ratio = statistics.median(there / here for there, here in zip(theirs, ours, strict=True))
    return Timed(case, statistics.median(ours), statistics.median(theirs), ratio)


def shown(seconds: float | None) -> str:
    """Return a time in the unit that fits it."""
    if seconds is None:
        return ""
    for scale, unit in ((1.0, "s"), (1e-3, "ms"), (1e-6, "us")):
        if seconds >= scale:
            return f"{seconds / scale:.3g} {unit}"
    return f"{seconds / 1e-9:.3g} ns"


def processor() -> str:
    """Return the model of the processor, as the system names it."""
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.machine()
    return next((line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")), platform.machine())


def page(
    groups: dict[str, list[Timed]],
    wholes: list[tuple[Whole, float, float]],
    hands: Sequence[dict[str, Any]] = (),
    phones: load.Load | None = None,
) -> str:
    """Return `docs/performance.md`; `hands` are the tasks that the browser tests kept, `phones` a load of many."""
    parts = [
        "# Performance",
        "",
        f"Measured by `make bench` on {processor()}, CPython {platform.python_version()}. Medians; both sides of a row",
        "are timed turn by turn in one run, and the ratio is the median of the turns' ratios. Figures of another",
        "machine differ; the ratios differ less.",
    ]
    for title, timed in groups.items():
        parts += [
            "",
            f"## {title}",
            "",
            *table(
                ["what", "ours", "reference", "its time", "times faster", "wanted", "limit", "verdict", "note"],
                [_line(entry) for entry in timed],
            ),
        ]
    parts += [
        "",
        "## Whole processes",
        "",
        "From the start of the interpreter to its end, the largest memory that the process held.",
        "",
        *table(
            ["command", "wall time", "limit", "memory", "limit", "verdict"],
            [_whole_line(*entry) for entry in wholes],
        ),
    ]
    if phones is not None:
        parts += ["", "## Fifty phones at once", "", *load.TOLD, "", *table(load.HEADS, load.lines(phones))]
    if hands:
        heads, *lines = keystrokes.table(list(hands))
        parts += ["", "## Hands", "", *HANDS, "", *table(heads, lines)]
    return "\n".join(parts) + "\n"


def _line(timed: Timed) -> list[str]:
    case = timed.case
    return [
        case.name,
        shown(timed.ours),
        case.other_name,
        shown(timed.other),
        "" if timed.ratio is None else f"{timed.ratio:.3g}",
        "" if case.wanted_ratio is None else f"{case.wanted_ratio:g}",
        "" if case.limit_ms is None else f"{case.limit_ms:g} ms",
        timed.verdict,
        case.note,
    ]


def _whole_line(whole: Whole, seconds: float, megabytes: float) -> list[str]:
    kept = seconds <= whole.limit_seconds and megabytes <= whole.limit_megabytes
    return [
        f"`{whole.name}`",
        shown(seconds),
        f"{whole.limit_seconds:g} s",
        f"{megabytes:.0f} MB",
        f"{whole.limit_megabytes:g} MB",
        "met" if kept else "MISSED",
    ]


def main() -> int:
    """Run the bench, print each figure, write the page; 1 if a limit is missed."""
    groups: dict[str, list[Timed]] = {}
    for path in sorted((CHECKOUT / "bench").glob("bench_*.py")):
        module = importlib.import_module(f"bench.{path.stem}")
        title = path.stem.removeprefix("bench_").replace("_", " ").capitalize()
        groups[title] = []
        for case in module.CASES:
            timed = measure(case)
            groups[title].append(timed)
            print("  ".join(part for part in (title, *_line(timed)[:-1]) if part), flush=True)
    wholes = [(whole, *measure_whole(whole)) for whole in WHOLE]
    for entry in wholes:
        print("  ".join(_whole_line(*entry)), flush=True)
    phones = load.measure()
    print("  ".join(load.lines(phones)[-1]), flush=True)
    target = CHECKOUT / "docs" / "performance.md"
    target.parent.mkdir(exist_ok=True)
    target.write_text(page(groups, wholes, keystrokes.kept(), phones), encoding="utf-8")
    print(f"written: {target.relative_to(CHECKOUT)}")
    missed = [timed.case.name for group in groups.values() for timed in group if timed.verdict == "MISSED"]
    missed += [whole.name for whole, *figures in wholes if _whole_line(whole, *figures)[-1] == "MISSED"]
    if not load.is_met(phones):
        missed.append("fifty phones at once")
    for name in missed:
        print(f"MISSED: {name}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
