"""The text view of a judgement: what changed first, with its interval; then what it rests on and what is open."""

import math
from collections.abc import Iterator

from drawthrough.judge.judgement import Finding, Judgement, Result
from drawthrough.report import figures, readings
from drawthrough.report.field import shown
from drawthrough.report.layout import Bar, paragraph, strip, table
from drawthrough.report.phrase import fill
from drawthrough.report.words import CLOSING, PARTS, RESULTS, words_of

NARROWEST = 80  # columns; a narrower terminal gets lines of this width

_RATIOS = ("as left over as found", "as found over as left")
# What changed, in the order in which it is said; the blower only where the wheel cannot be told from it.
_SAID = (
    "airflow", "airflow_at_equal_filter", "wheel_against_clean", "blower_against_clean", "coil_resistance",
    "specific_fan_power", "sensible_capacity", "total_capacity",
)  # fmt: skip
_STATIC = {
    "more air meets the same ducts": "Why the static rose",
    "less air meets the same ducts": "Why the static fell",
    "airflow is held, so the static stays": "What the static says",
    "the coil counts as duct": "What the static says",
    "static and airflow moved apart": "What the static says",
}
_BESIDE_STATIC = ("static above the nameplate", "static within the nameplate")
_WHOLE = ("no reading speaks of air", "readings contradict each other")  # of the fit as a whole, said first
_CHECKS = (
    "ducts as before", "ducts not checked", "both sides moved alike", "only the return side moved",
    "the supply side moved", "zero is the blower's heat", "zero is colder than the blower's heat",
    "zero is warmer than the blower's heat", "all elements work", "elements missing",
    "strip power does not fit the kit", "voltage moved", "line voltage low", "line voltage high",
)  # fmt: skip


def text(judgement: Judgement, width: int = 96, *, budget: bool = False) -> str:
    """Return what a judgement says as plain text, without any control characters.

    Parameters
    ----------
    judgement : Judgement
        What the engine says of a visit.
    width : int
        Longest line; at least 80 are taken.
    budget : bool
        Say under each figure what its uncertainty is made of.
    """
    width = max(width, NARROWEST)
    lines = list(_title(judgement, width))
    for heading, body in (
        ("What changed", _changed(judgement, width)),
        (None, _table(judgement, width, budget)),
        (None, _strip(judgement, width)),
        (_static_heading(judgement), _static(judgement, width)),
        ("Whose gain", _gains(judgement, width)),
        ("What checks it", _said(judgement, _CHECKS, width)),
        ("Electrical and charge", _said(judgement, None, width)),
        ("Readings", readings.told(judgement, width)),
        ("What would settle what is open", readings.nexts(judgement, width)),
    ):
        made = list(body)
        if made:
            lines += ["", *([heading] if heading else []), *made]
    lines += ["", *paragraph(CLOSING, width, "")]
    return "\n".join(lines) + "\n"


def _title(judgement: Judgement, width: int) -> Iterator[str]:
    yield from paragraph(judgement.site, width, "")
    yield from paragraph(judgement.system, width, "")
    if judgement.compared is None:
        yield from paragraph("No run as found is compared with a run as left.", width, "")
        return
    found, left = judgement.compared
    yield from paragraph(f"Compared on the air side: {found} (as found) and {left} (as left).", width, "")


def sentence(finding: Finding, extra: dict[str, float] | None = None) -> str:
    """Return a finding as a sentence: as it stands, in doubt, or not resolved."""
    words = words_of(finding.code)
    names = dict(finding.names)
    if "when" in names:
        names["When"] = names["when"].capitalize()
    unresolved = finding.standing == "not resolved"
    template = (words.unresolved if unresolved else words.sentence) or words.unresolved or words.sentence
    said = fill(template, {**finding.figures, **(extra or {})}, names)
    told = finding.standing in ("it stands", "not yet read") or (unresolved and words.unresolved)
    return said if told else f"{finding.standing.capitalize()}: {said[0].lower()}{said[1:]}"


def _ratio(judgement: Judgement, name: str) -> Result | None:
    return next((found for when in _RATIOS if (found := judgement.result(name, when)) is not None), None)


def _changed(judgement: Judgement, width: int) -> Iterator[str]:
    said = [sentence(finding) for finding in judgement.findings if finding.code in _WHOLE]
    for name in _SAID:
        if name == "blower_against_clean" and _ratio(judgement, "wheel_against_clean") is not None:
            continue
        result = _ratio(judgement, name)
        if result is None:
            continue
        row = RESULTS[name]
        made = figures.made_of(result)
        if result.standing == "not resolved":
            said.append(row.unresolved.format(range=made.interval))
        else:
            told = row.changed.format(value=made.value, range=made.interval)
            marked = f"{result.standing.capitalize()}: {told[0].lower()}{told[1:]}"
            said.append(told if result.standing == "it stands" else marked)
    if judgement.compared is None and not said:
        said.append("Nothing can be compared: there are no readings of the air both as found and as left.")
        said.extend(_state(result) for result in judgement.results if result.name == "airflow")
    for first in said:
        yield from paragraph(first, width, "  ", "    ")


def _state(result: Result) -> str:
    made = figures.made_of(result)
    if result.standing == "not resolved":
        return f"{result.when.capitalize()}, the airflow is not resolved (95 %: {made.interval} cfm)."
    return f"{result.when.capitalize()}, the blower moves {made.value} cfm (95 %: {made.interval})."


def _table(judgement: Judgement, width: int, budget: bool) -> Iterator[str]:
    heads, lines = figures.lines(judgement, budget)
    if not lines:
        return
    yield from table(heads, lines, width)
    yield ""
    beliefs = "A belief is what was held before any reading. " if budget else ""
    yield from paragraph(f"In brackets the 95 % interval. {beliefs}{figures.bases(judgement)}", width)
    for reason in figures.why(judgement):
        yield from paragraph(reason, width, "  ", "    ")


def _strip(judgement: Judgement, width: int) -> Iterator[str]:
    groups = []
    for when in _RATIOS:
        bars = [
            Bar(
                figures.label(result.name),
                result.low,
                result.high,
                None if result.standing == "not resolved" else result.value,
                result.standing != "it stands",
            )
            for result in figures.in_order(judgement)
            if result.when == when
        ]
        groups.append((when, bars))
    made = strip(groups, width)
    if made:
        yield from made
        yield from paragraph(
            "The line at 1 is no change. ==O== it stands, //O// in doubt, - - - not resolved; O is the best value.",
            width,
        )


def _static_finding(judgement: Judgement) -> Finding | None:
    return next((finding for finding in judgement.findings if finding.code in _STATIC), None)


def _static_heading(judgement: Judgement) -> str:
    finding = _static_finding(judgement)
    return _STATIC[finding.code] if finding is not None and finding.standing == "it stands" else "What the static says"


def _static(judgement: Judgement, width: int) -> Iterator[str]:
    finding = _static_finding(judgement)
    if finding is not None:
        extra: dict[str, float] = {}
        airflow = judgement.result("airflow", "as left over as found")
        if airflow is not None:
            # What these ducts would make of so much more air: the exponent carries the airflow's interval along.
            exponent = finding.figures.get("exponent", 1.0)
            for end, value in (("", airflow.value), ("_low", airflow.low), ("_high", airflow.high)):
                extra[f"airflow_ratio{end}"] = value
                extra[f"expected_ratio{end}"] = value**exponent
        yield from paragraph(sentence(finding, extra), width)
    beside = [sentence(other) for other in judgement.findings if other.code in _BESIDE_STATIC]
    if beside:
        yield from paragraph(" ".join(beside), width)


def _gains(judgement: Judgement, width: int) -> Iterator[str]:
    if not judgement.gains:
        return
    ratio = judgement.result("airflow", "as left over as found")
    whole = ""
    if ratio is not None and ratio.standing != "not resolved":
        made = figures.made_of(ratio)
        whole = f", which together make {made.value}"
    blower = any(gain.part == "blower" for gain in judgement.gains)
    meant = " The blower stands for wheel, motor, voltage and capacitor together." if blower else ""
    yield from paragraph(f"Factors of the airflow{whole}.{meant}", width)
    rows = []
    for gain in judgement.gains:
        name = PARTS.get(gain.part, gain.part)
        made = shown(math.exp(gain.value), math.exp(gain.low), math.exp(gain.high), 1.0)
        open_ended = gain.standing == "not resolved"
        rows.append(
            (name, f"not resolved (95 %: {made.interval})" if open_ended else f"{made.value} ({made.interval})")
        )
    wide = max(len(name) for name, _ in rows)
    for name, told in rows:
        yield f"    {name:<{wide}}  {told}"


def _said(judgement: Judgement, codes: tuple[str, ...] | None, width: int) -> Iterator[str]:
    """Yield the sentences of some codes, or of all those that no other section says."""
    elsewhere = {*_STATIC, *_BESIDE_STATIC, *_CHECKS, *_WHOLE}
    for finding in judgement.findings:
        if (finding.code in codes) if codes is not None else (finding.code not in elsewhere):
            yield from paragraph(sentence(finding), width, "  ", "    ")
