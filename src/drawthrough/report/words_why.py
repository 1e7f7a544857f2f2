"""The words for why: what a number rests on, step by step down to the readings, each with its standing and source."""

from collections.abc import Iterator

from drawthrough.judge.judgement import Judgement, Result
from drawthrough.judge.why import Ground, why
from drawthrough.report.figures import clause, label
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.trade.standing import rules

_NUMBER = N_("{name}, {when}: {standing}. Basis: {source}.")
_ENDS = N_("{name}, {when}: {standing}.")
_REASON = N_("{clause} ({source})")
# Steps that are worked out on the way and are no result of their own.
STEPS = {"rise": N_("rise of the air's temperature over the strips")}


def grounds_told(judgement: Judgement, result: Result, voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return what a result rests on, from the number itself down to the readings, a sentence each.

    Parameters
    ----------
    judgement : Judgement
        What was judged.
    result : Result
        One of its results.
    voice : Voice
        How it is told.
    """
    ground = why(judgement, result.name, result.when)
    if ground is None:
        return ()
    return tuple(dict.fromkeys(_told(one, voice) for one in _down(ground)))


def _down(ground: Ground) -> Iterator[Ground]:
    yield ground
    for one in ground.below:
        yield from _down(one)


def _told(one: Ground, voice: Voice) -> str:
    say = voice.say
    kind = one.name in rules().kind
    name = say(STEPS.get(one.name, one.name)) if kind or one.name in STEPS or not one.source else label(one.name, voice)
    slots = {"name": capital(name), "when": say(one.when), "standing": say(one.standing)}
    if one.readings:
        told = voice.count(
            "{name}, {when}, {n} reading: {standing}.", "{name}, {when}, {n} readings: {standing}.",
            len(one.readings), **slots,
        )  # fmt: skip
    else:
        told = say(_NUMBER, source=say(one.source), **slots) if one.below else say(_ENDS, **slots)
    reasons = "; ".join(
        say(_REASON, clause=capital(clause(reason, voice).rstrip(".")), source=say(reason.source))
        for reason in one.reasons
    )
    return f"{told} {reasons}." if reasons else told


def messages() -> Iterator[str]:
    """Yield every sentence, and the sources of the rules."""
    known = rules()
    yield from (_NUMBER, _ENDS, _REASON, *STEPS.values())
    for rule in known.rule.values():
        yield rule.source
    for need in known.needs.values():
        yield need.source
