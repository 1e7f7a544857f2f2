"""The words of the one line that says what is worth doing now: each begins with a verb."""

from collections.abc import Iterator

from drawthrough.judge.next_step import Step
from drawthrough.report.names import code_name, short_name
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, Voice
from drawthrough.report.words import reading_to_take
from drawthrough.visit.state import Reading

WORDS: dict[str, str] = {
    "describe the system": "Describe the system: motor, coil, filter, fan table.",
    "list the instruments": "List the instruments that are used.",
    "begin a run as found": "Begin a run as found: {mode}. Nothing is touched before.",
    "take the next reading": "Read: {reading}.",
    "read a zero": "Read a zero with the strips off, right before or after.",
    "run the strips as found": "Run the strips as found, someone watching: the surest airflow.",
    "run the cooling as found": "Run the cooling as found until the coil is wet and steady.",
    "begin the work": "Begin the work: power off, locked out, proved dead; capacitor discharged.",
    "do the task": "{task}.",
    "finish the task": "Finish: {task}.",
    "wait for it": "Wait until it has soaked or dripped; then: {task}.",
    "write down what was done": "Write down what was done.",
    "run the same again": "Run the same again as left: {run}.",
    "settle what is open": "{settling}",
    "look at the proof and hand over": "Look at the proof, then hand over.",
}


def step_told(step: Step, voice: Voice = ENGLISH) -> str:
    """Return a step as a sentence."""
    task = voice.say(step.task) if step.task else ""
    slots = {"run": step.run, "mode": code_name(step.mode, voice) if step.mode else ""}
    slots["task"] = capital(task) if step.code == "do the task" else task
    if step.reading is not None:
        one = step.reading
        reading = Reading(what=one.what, at=one.at, against=one.against, hole=one.hole, value=0.0, typed="")
        slots["reading"] = short_name(reading, voice)
    slots["settling"] = reading_to_take(step.offer, voice) if step.offer else ""
    return voice.say(WORDS[step.code]).format(**slots)


def messages() -> Iterator[str]:
    """Yield every sentence."""
    yield from WORDS.values()
