"""The work in words: what stands in the way of a task, what a hold point waits for, what is to be written down."""

from typing import NamedTuple

from drawthrough.plan.hold import Held
from drawthrough.plan.press import Way
from drawthrough.plan.timers import Timer
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words_plan import Clock, task_title
from drawthrough.trade.cautions import Caution
from drawthrough.trade.tasks import Task, Tasks


class Place(NamedTuple):
    """What a record or a photo is called, and where on a visit it is written."""

    name: str
    path: str


# Subjects of photos, by the codes under which they are kept.
SUBJECTS = {
    "wiring": N_("wiring"),
    "wheel": N_("wheel"),
    "label": N_("label"),
    "capacitor": N_("capacitor"),
    "coil": N_("coil"),
    "drain": N_("drain"),
    "strips": N_("strips"),
    "set screw": N_("set screw"),
    "weights": N_("weights"),
    "seams": N_("seams"),
    "motor label": N_("motor label"),
    "outdoor coil": N_("outdoor coil"),
}
# What a task asks to be written down, by the codes of the table of tasks.
RECORDS = {
    "complaint": Place(N_("the complaint"), "as-found#words"),
    "photo": Place(N_("a photo"), "photos?when=as+found"),
    "risk told": Place(N_("that the risk was told"), "plan#risk-hub"),
    "readings as found": Place(N_("readings as found"), "as-found"),
    "readings as left": Place(N_("readings as left"), "as-left"),
    "leads as found": Place(N_("leads as found"), "leads"),
    "leads as left": Place(N_("leads as left"), "leads"),
    "parks proved": Place(N_("parking posts, proved"), "leads#posts"),
    "seat as found": Place(N_("the seat as found"), "leads#seat"),
    "seat as left": Place(N_("the seat as left"), "leads#seat"),
    "run capacitor": Place(N_("the run capacitor"), "leads#capacitor"),
    "gaps": Place(N_("gaps"), "as-found#gap"),
    "patterns": Place(N_("patterns of dirt"), "as-found#pattern"),
    "strip ohms": Place(N_("ohms of the strip elements"), "as-found"),
    "strip amps": Place(N_("amps of the strip elements"), "as-left"),
    "trap": Place(N_("the trap"), "system"),
    "wheel as left": Place(N_("how the wheel was left"), "work#work"),
    "coil as left": Place(N_("how the coil was left"), "work#work"),
    "handover": Place(N_("the handover"), "handover"),
}
# Where a condition of a hold point is met that no task alone meets.
SHOWN_AT = {
    "leads as found": "leads",
    "leads told apart": "leads",
    "leads agree": "leads",
    "rules kept": "leads",
    "photo of wiring": "photos?when=as+found&of=wiring",
    "risk told": "plan#risk-hub",
    "all closed": "work#rest",
}


def way_words(way: Way, made: Tasks, voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return what stands in the way of a task, a sentence each; nothing where nothing does."""
    told = [held_words(one, voice) for one in way.held]
    for opening in way.shut:
        text = N_("It needs {opening}: first \u201c{task}\u201d.")
        told.append(
            voice.say(
                text, opening=voice.say(made.openings[opening]), task=task_title(made.opener(opening).code, voice)
            )
        )
    if way.powered:
        told.append(voice.say(N_("It needs power, and the power is off.")))
    if way.missing:
        told.append(voice.say(N_("Not ticked: {checks}."), checks="; ".join(map(voice.say, way.missing))))
    return tuple(told)


def held_words(held: Held, voice: Voice = ENGLISH) -> str:
    """Return the reason of a hold point, and how much of it is open."""
    return f"{voice.say(held.hold.text)} {to_go(held, voice)}"


def to_go(held: Held, voice: Voice = ENGLISH) -> str:
    """Return how many of its conditions are open that no reason speaks of."""
    return voice.count("{n} to go.", "{n} to go.", len(held.unanswered))


def citation(caution: Caution, voice: Voice = ENGLISH) -> str:
    """Return what a caution rests on."""
    cited = "; ".join(caution.citations)
    return (
        cited if cited and caution.word == "from memory" else "; ".join(filter(None, (cited, voice.say(caution.word))))
    )


def photo_when(task: Task) -> str:
    """Return of which time a photo is that a task asks for: as left where the task leaves its part done."""
    if any(one.endswith("as left") for one in task.record):
        return "as left"
    return "as left" if task.work is not None and task.work.action != "inspected" else "as found"


def waiting_words(timer: Timer, planned_text: str, clock: Clock, voice: Voice = ENGLISH) -> str:
    """Return until when something waits, and when a label says that it must be over."""
    if timer.most is None:
        return voice.say(N_("{waiting} until {until}"), waiting=planned_text, until=clock(timer.until))
    text = N_("{waiting} until {until}, {most} at the latest by the label")
    return voice.say(text, waiting=planned_text, until=clock(timer.until), most=clock(timer.most))
