"""Whole processes: how long a command takes from start to end, and how much memory it holds."""

import statistics
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

CHECKOUT = Path(__file__).resolve().parent.parent
RUNS = 9

# The child's own child is what is measured: RUSAGE_CHILDREN of a fresh process knows of no other command.
METER = """
import resource, subprocess, sys, time
began = time.perf_counter()
done = subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
took = time.perf_counter() - began
if done.returncode != 0:
    sys.exit(done.stderr.decode(errors="replace"))
scale = 1 if sys.platform == "darwin" else 1024
print(took, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * scale)
"""


class Whole(NamedTuple):
    """A command with its limits."""

    name: str
    arguments: tuple[str, ...]
    limit_seconds: float
    limit_megabytes: float


WHOLE = (
    Whole("drawthrough judge", ("judge", "examples/dirty-wheel-psc.toml"), 0.35, 60.0),
    Whole(
        "drawthrough calc moist-air",
        ("calc", "moist-air", "dry_bulb=80F", "wet_bulb=67F", "pressure=14.696psi"),
        0.35,
        60.0,
    ),
)


def measure_whole(whole: Whole) -> tuple[float, float]:
    """Return the median of wall time [s] and of peak memory [MB] over several runs, the first one not counted."""
    command = [sys.executable, "-c", METER, sys.executable, "-m", "drawthrough", *whole.arguments]
    seconds, megabytes = [], []
    for turn in range(RUNS + 1):
        done = subprocess.run(command, cwd=CHECKOUT, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise RuntimeError(f"{whole.name} failed: {done.stderr.strip()}")
        if turn:
            took, held = map(float, done.stdout.split())
            seconds.append(took)
            megabytes.append(held / 1e6)
    return statistics.median(seconds), statistics.median(megabytes)
