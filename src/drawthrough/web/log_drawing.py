"""The drawing of a logger's file with its steady windows."""

from collections.abc import Sequence
from typing import NamedTuple

from drawthrough.report.voice import Voice
from drawthrough.visit.logger import Log
from drawthrough.visit.logger_steady import Window, Windows


class Drawn(NamedTuple):
    svg: str
    sentence: str


def log_drawing(kept: Log, found: Windows, windows: Sequence[Window], voice: Voice) -> Drawn | None:
    return None
