"""How long a practised person's hands need for a task, told from the acts of a test that does the task.

The keystroke-level model: S. K. Card, T. P. Moran and A. Newell, "The keystroke-level model for user performance time
with interactive systems", Communications of the ACM 23(7), 1980, pp. 396-410. It speaks of error-free work by someone
who knows the task; reading, deciding and the work on the air handler are not in it.

**Where M stands** (the paper's rules 0 to 4). 0: an M before every K that is not part of an argument proper, and
before every P that selects a command. 1: an M that is fully anticipated by the act before it goes. 2: of a string of
Ks that is one cognitive unit, such as the name of a command or a number, only the first M stays. 3: an M before a
redundant terminator goes. 4: an M before a K that ends a constant string goes; before one that ends a variable string
it stays.

As `Hands` applies them: an M before a tap on a thing to do (0), none before a tap that only puts the caret into the
field which the hand is on its way to (1: the figure is what was thought of), one M before typed text (0 and 2), an M
before a key that ends a text which varies, such as Enter after a figure (4), none before one that ends a text which is
always the same (4) or that follows another terminator (3). `think` adds an M that a test knows of.

**On a phone** a tap is P, and a digit or letter on the keyboard of the screen is K. A thumb on glass is slower than the
typists of the paper, and a short tap is quicker than their mouse: the figures compare one way through the pages with
another. They are no stopwatch.
"""

import json
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

KEPT = Path(__file__).with_name("klm.json")
WRITE = "DRAWTHROUGH_KLM"  # set to "write", in one process, to keep what the tests counted

K = 0.28  # s, one key of an average non-secretary typist (40 words a minute)
P = 1.10  # s, pointing to a target with a mouse; here also a tap
H = 0.40  # s, moving the hand between keyboard and mouse
M = 1.35  # s, thinking of the next act

TIMES = {"K": K, "P": P, "H": H, "M": M}
READINGS = ("operators", "K", "P", "H", "M", "R, s", "time, s")


@dataclass
class Tally:
    """The operators of a task in their order, and the answers that were waited for."""

    operators: list[str] = field(default_factory=list)
    waited: float = 0.0  # s, R: only what the hands had to wait for

    def add(self, operators: str) -> None:
        """Append operators, one letter each."""
        for letter in operators:
            if letter not in TIMES:
                raise ValueError(f"{letter!r} is no operator of the model")
            self.operators.append(letter)

    def count(self, letter: str) -> int:
        """Return how often an operator occurs."""
        return self.operators.count(letter)

    @property
    def seconds(self) -> float:
        """The time of the task."""
        return sum(TIMES[letter] for letter in self.operators) + self.waited

    @property
    def text(self) -> str:
        """The operators as the paper writes them: `M P 4K`."""
        parts: list[str] = []
        run = 0
        for place, letter in enumerate(self.operators):
            run += 1
            if place + 1 == len(self.operators) or self.operators[place + 1] != letter:
                parts.append(letter if run == 1 else f"{run}{letter}")
                run = 0
        return " ".join(parts)


class Hands:
    """Hands on a page: they do what they are told and keep the tally of it."""

    def __init__(self, page: Any, touch: bool = True) -> None:
        self.page = page
        self.touch = touch
        self.tally = Tally()
        self._at_keys = False
        self._ended = False

    def _move(self, to_keys: bool) -> None:
        # A thumb that taps the page and the keyboard on the same glass does not move between devices.
        if not self.touch and to_keys != self._at_keys:
            self.tally.add("H")
        self._at_keys = to_keys

    def tap(self, target: Any, anticipated: bool = False) -> None:
        """Tap or click; `anticipated` where the act before has already thought of it, as of the field for a figure."""
        self._move(to_keys=False)
        self.tally.add("P" if anticipated else "MP")
        if self.touch:
            target.tap()
        else:
            target.click()
        self._ended = False

    def type(self, text: str) -> None:
        """Type a text that is one thought, where the caret is."""
        self._move(to_keys=True)
        self.tally.add("M" + "K" * len(text))
        self.page.keyboard.type(text)
        self._ended = False

    def press(self, key: str, ends_constant: bool = False) -> None:
        """Press a key that ends or commands."""
        self._move(to_keys=True)
        redundant = ends_constant or self._ended
        self.tally.add("K" if redundant else "MK")
        self.page.keyboard.press(key)
        self._ended = True

    def think(self) -> None:
        """Count a thought that no rule places."""
        self.tally.add("M")

    def wait(self, seconds: float) -> None:
        """Count an answer that the hands had to wait for; it is measured by the test, not spent here."""
        self.tally.waited += seconds

    @property
    def seconds(self) -> float:
        """The time of everything done so far."""
        return self.tally.seconds


def row(task: str, tally: Tally, limit: float | None = None) -> dict[str, Any]:
    """Return a task as it is kept in `klm.json`."""
    return {
        "task": task,
        "operators": tally.text,
        **{letter: tally.count(letter) for letter in TIMES},
        "waited": round(tally.waited, 2),
        "seconds": round(tally.seconds, 2),
        "limit": limit,
    }


def kept(path: Path = KEPT) -> list[dict[str, Any]]:
    """Return every task that is kept, in the order of its name."""
    return json.loads(path.read_text(encoding="utf-8")) if path.exists() else []


def keep(entry: dict[str, Any], path: Path = KEPT) -> None:
    """Hold a task against the one that is kept for the documentation, or keep it anew if that was asked for.

    The wait is left out of the comparison: it is measured, so it is not twice the same.
    """
    others = [other for other in kept(path) if other["task"] != entry["task"]]
    if os.environ.get(WRITE) == "write":
        lines = sorted([*others, entry], key=lambda row: str(row["task"]))
        path.write_text(json.dumps(lines, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
        return
    before = next((other for other in kept(path) if other["task"] == entry["task"]), None)
    assert before is not None, (
        f"{entry['task']!r} is not kept: run the browser tests with {WRITE}=write, then make bench"
    )
    for name in ("operators", "limit"):
        assert entry[name] == before[name], f"{entry['task']!r} went another way: {entry[name]}, kept {before[name]}"


def table(rows: list[dict[str, Any]]) -> list[list[str]]:
    """Return the lines of the table in `docs/performance.md`: the heads, then one line for each task."""
    lines = [["task", *READINGS, "limit, s", "verdict"]]
    for entry in rows:
        limit = entry["limit"]
        verdict = "" if limit is None else "met" if entry["seconds"] <= limit else "MISSED"
        lines.append(
            [
                entry["task"],
                entry["operators"],
                *(str(entry[letter]) for letter in TIMES),
                f"{entry['waited']:g}",
                f"{entry['seconds']:.1f}",
                "" if limit is None else f"{limit:g}",
                verdict,
            ]
        )
    return lines
