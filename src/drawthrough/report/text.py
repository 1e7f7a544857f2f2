"""The text view of a judgement: what changed first, with its interval; then what it rests on and what is open."""

import math
from collections.abc import Iterator
from typing import NamedTuple

from drawthrough.judge.judgement import Finding, Judgement, Result
from drawthrough.report import figures, readings
from drawthrough.report.causes_view import causes_heading, causes_text
from drawthrough.report.field import shown
from drawthrough.report.layout import Bar, paragraph, strip, table
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words import CLOSING, PARTS, RESULTS, words_of

NARROWEST = 80  # columns; a narrower terminal gets lines of this width

RATIOS = ("as left over as found", "as found over as left")
# What changed, in the order in which it is said; the blower only where the wheel cannot be told from it.
SAID = (
    "airflow", "airflow_at_equal_filter", "wheel_against_clean", "blower_against_clean", "coil_resistance",
    "specific_fan_power", "sensible_capacity", "total_capacity",
)  # fmt: skip
_STATIC = {
    "more air meets the same ducts": N_("Why the static rose"),
    "less air meets the same ducts": N_("Why the static fell"),
    "airflow is held, so the static stays": N_("What the static says"),
    "the coil counts as duct": N_("What the static says"),
    "static and airflow moved apart": N_("What the static says"),
}
_BESIDE_STATIC = ("static above the nameplate", "static within the nameplate")
_WHOLE = ("no reading speaks of air", "readings contradict each other")  # of the fit as a whole, said first
_CHECKS = (
    "ducts as before", "ducts not checked", "both sides moved alike", "only the return side moved",
    "the supply side moved", "zero is the blower's heat", "zero is colder than the blower's heat",
    "zero is warmer than the blower's heat", "all elements work", "elements missing",
    "strip power does not fit the kit", "voltage moved", "line voltage low", "line voltage high",
)  # fmt: skip


def text(judgement: Judgement, width: int = 96, *, budget: bool = False, voice: Voice = ENGLISH) -> str:
    """Return what a judgement says as plain text, without any control characters.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    width : int
        Longest line; at least 80 are taken.
    budget : bool
        Say under each figure what its uncertainty is made of.
    voice : Voice
        Language and units.
    """
    width = max(width, NARROWEST)
    lines = list(_title(judgement, width, voice))
    for heading, body in (
        (voice.say("What changed"), _changed(judgement, width, voice)),
        (None, _table(judgement, width, budget, voice)),
        (None, _strip(judgement, width, voice)),
        (voice.say(static_heading(judgement)), _static(judgement, width, voice)),
        (voice.say(causes_heading(judgement)), causes_text(judgement, width, voice=voice)),
        (voice.say("Whose gain"), _gains(judgement, width, voice)),
        (voice.say("What checks it"), _listed(checks(judgement, voice=voice), width)),
        (voice.say("Electrical and charge"), _listed(others(judgement, voice=voice), width)),
        (voice.say("Readings"), readings.told(judgement, width, voice=voice)),
        (voice.say("What would settle what is open"), readings.nexts(judgement, width, voice=voice)),
    ):
        made = list(body)
        if made:
            lines += ["", *([heading] if heading else []), *made]
    lines += ["", *paragraph(voice.say(CLOSING), width, "")]
    return "\n".join(lines) + "\n"


def _title(judgement: Judgement, width: int, voice: Voice) -> Iterator[str]:
    yield from paragraph(judgement.site, width, "")
    yield from paragraph(judgement.system, width, "")
    yield from paragraph(compared(judgement, voice=voice), width, "")


def compared(judgement: Judgement, *, voice: Voice = ENGLISH) -> str:
    """Return which two runs are compared on the air side."""
    if judgement.compared is None:
        return voice.say("No run as found is compared with a run as left.")
    found, left = judgement.compared
    return voice.say("Compared on the air side: {found} (as found) and {left} (as left).", found=found, left=left)


def sentence(finding: Finding, extra: dict[str, float] | None = None, *, voice: Voice = ENGLISH) -> str:
    """Return a finding as a sentence: as it stands, in doubt, or not resolved."""
    words = words_of(finding.code)
    unresolved = finding.standing == "not resolved"
    template = (words.unresolved if unresolved else words.sentence) or words.unresolved or words.sentence
    said = voice.fill(template, {**finding.figures, **(extra or {})}, finding.names)
    told = finding.standing in ("it stands", "not yet read") or (unresolved and words.unresolved)
    return said if told else marked(finding.standing, said, voice)


def marked(standing: str, said: str, voice: Voice) -> str:
    """Return a sentence that begins with its standing."""
    return f"{capital(voice.say(standing))}: {said[0].lower()}{said[1:]}"


def _ratio(judgement: Judgement, name: str) -> Result | None:
    return next((found for when in RATIOS if (found := judgement.result(name, when)) is not None), None)


class Said(NamedTuple):
    """A sentence with the standing of what it says."""

    text: str
    standing: str


def changed(judgement: Judgement, *, voice: Voice = ENGLISH) -> list[Said]:
    """Return what changed, a sentence for each result, the most telling first."""
    said = [Said(sentence(one, voice=voice), one.standing) for one in judgement.findings if one.code in _WHOLE]
    for name in SAID:
        if name == "blower_against_clean" and _ratio(judgement, "wheel_against_clean") is not None:
            continue
        result = _ratio(judgement, name)
        if result is not None:
            said.append(Said(of_ratio(result, voice), result.standing))
    if judgement.compared is None and not said:
        nothing = voice.say("Nothing can be compared: there are no readings of the air both as found and as left.")
        said.append(Said(nothing, "not yet read"))
        said.extend(
            Said(_state(result, voice), result.standing) for result in judgement.results if result.name == "airflow"
        )
    elif not said:
        nothing = voice.say("Two runs are compared, but nothing that was read both times tells of the air.")
        said.append(Said(nothing, "not resolved"))
    return said


def speaks_as_a_whole(judgement: Judgement) -> bool:
    """Is there something to say of all readings together before any number: nothing read, or nothing fits?"""
    return any(finding.code in _WHOLE for finding in judgement.findings)


def of_ratio(result: Result, voice: Voice = ENGLISH) -> str:
    """Return what became of one quantity, with its interval; that it is not resolved, where it is not."""
    row = RESULTS[result.name]
    made = figures.made_of(result, voice)
    slots = {"value": made.value, "range": voice.ends(made), "airflow": voice.unit("cfm").label}
    if result.standing == "not resolved":
        return voice.say(row.unresolved, **slots)
    told = voice.say(row.changed, **slots)
    return told if result.standing == "it stands" else marked(result.standing, told, voice)


def _changed(judgement: Judgement, width: int, voice: Voice) -> Iterator[str]:
    for one in changed(judgement, voice=voice):
        yield from paragraph(one.text, width, "  ", "    ")


def _state(result: Result, voice: Voice) -> str:
    made = figures.made_of(result, voice)
    slots = {
        "When": capital(voice.say(result.when)),
        "value": made.value,
        "range": voice.ends(made),
        "unit": voice.unit("cfm").label,
    }
    if result.standing == "not resolved":
        return voice.say("{When}, the airflow is not resolved (95 %: {range} {unit}).", **slots)
    return voice.say("{When}, the blower moves {value} {unit} (95 %: {range}).", **slots)


def _table(judgement: Judgement, width: int, budget: bool, voice: Voice) -> Iterator[str]:
    heads, lines = figures.lines(judgement, budget, voice=voice)
    if not lines:
        return
    yield from table(heads, lines, width)
    yield ""
    told = [voice.say("In brackets the 95 % interval.")]
    if budget:
        told.append(voice.say("A belief is what was held before any reading."))
    yield from paragraph(" ".join((*told, figures.bases(judgement, voice=voice))), width)
    for reason in figures.why(judgement, voice=voice):
        yield from paragraph(reason, width, "  ", "    ")


def _strip(judgement: Judgement, width: int, voice: Voice) -> Iterator[str]:
    groups = []
    for when in RATIOS:
        bars = [
            Bar(
                figures.label(result.name, voice),
                result.low,
                result.high,
                None if result.standing == "not resolved" else result.value,
                result.standing != "it stands",
            )
            for result in figures.in_order(judgement)
            if result.when == when
        ]
        groups.append((voice.say(when), bars))
    made = strip(groups, width)
    if made:
        yield from made
        yield from paragraph(
            voice.say(
                "The line at 1 is no change. ==O== it stands, //O// in doubt, - - - not resolved; O is the best value."
            ),
            width,
        )


def _static_finding(judgement: Judgement) -> Finding | None:
    return next((finding for finding in judgement.findings if finding.code in _STATIC), None)


def static_heading(judgement: Judgement) -> str:
    """Return the heading over what the static says."""
    finding = _static_finding(judgement)
    return _STATIC[finding.code] if finding is not None and finding.standing == "it stands" else "What the static says"


def static_said(judgement: Judgement, *, voice: Voice = ENGLISH) -> str:
    """Return why the static moved, or an empty text where nothing is found on it."""
    finding = _static_finding(judgement)
    if finding is None:
        return ""
    extra: dict[str, float] = {}
    airflow = judgement.result("airflow", "as left over as found")
    if airflow is not None:
        # What these ducts would make of so much more air: the exponent carries the airflow's interval along.
        exponent = finding.figures.get("exponent", 1.0)
        for end, value in (("", airflow.value), ("_low", airflow.low), ("_high", airflow.high)):
            extra[f"airflow_ratio{end}"] = value
            extra[f"expected_ratio{end}"] = value**exponent
    return sentence(finding, extra, voice=voice)


def static_beside(judgement: Judgement, *, voice: Voice = ENGLISH) -> list[str]:
    """Return how the static stands beside the nameplate, a sentence for each state."""
    return [sentence(other, voice=voice) for other in judgement.findings if other.code in _BESIDE_STATIC]


def _static(judgement: Judgement, width: int, voice: Voice) -> Iterator[str]:
    said = static_said(judgement, voice=voice)
    if said:
        yield from paragraph(said, width)
    beside = static_beside(judgement, voice=voice)
    if beside:
        yield from paragraph(" ".join(beside), width)


def gains(judgement: Judgement, *, voice: Voice = ENGLISH) -> tuple[str, list[tuple[str, str]]]:
    """Return whose gain in airflow it was: what the factors are, and each part with its factor and interval."""
    if not judgement.gains:
        return "", []
    ratio = judgement.result("airflow", "as left over as found")
    if ratio is not None and ratio.standing != "not resolved":
        made = figures.made_of(ratio, voice)
        lead = [voice.say("Factors of the airflow, which together make {value}.", value=made.value)]
    else:
        lead = [voice.say("Factors of the airflow.")]
    if any(gain.part == "blower" for gain in judgement.gains):
        lead.append(voice.say("The blower stands for wheel, motor, voltage and capacitor together."))
    rows = []
    for gain in judgement.gains:
        name = voice.say(PARTS.get(gain.part, gain.part))
        made = shown(math.exp(gain.value), math.exp(gain.low), math.exp(gain.high), 1.0)
        ends = voice.ends(made)
        open_ended = gain.standing == "not resolved"
        rows.append(
            (name, voice.say("not resolved (95 %: {range})", range=ends) if open_ended else f"{made.value} ({ends})")
        )
    return " ".join(lead), rows


def _gains(judgement: Judgement, width: int, voice: Voice) -> Iterator[str]:
    lead, rows = gains(judgement, voice=voice)
    if not rows:
        return
    yield from paragraph(lead, width)
    wide = max(len(name) for name, _ in rows)
    for name, told in rows:
        yield f"    {name:<{wide}}  {told}"


def checks(judgement: Judgement, *, voice: Voice = ENGLISH) -> list[str]:
    """Return what checks the numbers, a sentence each."""
    return [sentence(finding, voice=voice) for finding in judgement.findings if finding.code in _CHECKS]


def others(judgement: Judgement, *, voice: Voice = ENGLISH) -> list[str]:
    """Return what is found of motor, capacitor, strips and charge, and all that no other section says."""
    elsewhere = {*_STATIC, *_BESIDE_STATIC, *_CHECKS, *_WHOLE}
    return [sentence(finding, voice=voice) for finding in judgement.findings if finding.code not in elsewhere]


def _listed(sentences: list[str], width: int) -> Iterator[str]:
    for one in sentences:
        yield from paragraph(one, width, "  ", "    ")
