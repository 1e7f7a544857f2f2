"""The one line at the foot of a page: what is worth doing now, and where."""

from urllib.parse import quote, urlencode

from drawthrough.judge.next_step import Step, next_step
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_next import step_told
from drawthrough.web.ledger import Opened
from drawthrough.web.road import BY_CODE, address
from drawthrough.web.views.shell import Next


def next_line(opened: Opened, voice: Voice, room: str = "", now: float | None = None) -> Next | None:
    """Return the line for a visit as it stands, or None where nothing is worth doing but what this room is for."""
    step = next_step(opened.folded, opened.visit, opened.judged, now)
    if step is None or (room == step.room == "handover"):
        return None
    minutes = voice.say(N_("{minutes} min")).format(minutes=f"{step.minutes:.0f}")
    return Next(text=step_told(step, voice), href=_href(opened.id, step), minutes=minutes)


def _href(visit: str, step: Step) -> str:
    describe = f"/visit/{visit}/describe?"
    if step.code == "run the same again":
        return describe + urlencode({"when": "as left", "again": step.run})
    if step.code == "read a zero":
        return describe + urlencode({"when": step.room, "mode": "zero", "zero_for": step.run})
    if step.mode:
        return describe + urlencode({"when": step.room, "mode": step.mode})
    if step.reading is not None or (step.offer and step.run):
        return f"/visit/{visit}/run/{quote(step.run, safe='')}"
    return address(visit, step.room) if step.room in BY_CODE else f"/visit/{visit}/{step.room}"
