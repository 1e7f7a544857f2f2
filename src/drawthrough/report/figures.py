"""The table of a judgement's results: as found, as left, and one over the other, each with interval and standing."""

from collections.abc import Iterable

from drawthrough.judge.judgement import Judgement, Reason, Result
from drawthrough.report.field import Shown, plain, shown
from drawthrough.report.labels import labelled
from drawthrough.report.layout import Line
from drawthrough.report.phrase import capital
from drawthrough.report.voice import ENGLISH, Voice
from drawthrough.report.words import RESULTS, words_of

HEADS = ("as found", "as left", "as left over as found")
_INVERSE = "as found over as left"
_SHOWN = 3  # contributions to an uncertainty that are named
_AS_ANOTHER = ("airflow_per_capacity",)  # uncertain by what another row says already
_SAYS_ITSELF = ("superheat", "subcooling", "capacitance")
_ORDER = {name: k for k, name in enumerate(RESULTS)}


def label(name: str, voice: Voice = ENGLISH) -> str:
    """Return what a result is called; one that has no words yet is called by its name."""
    row = RESULTS.get(name)
    if row is None:
        return voice.say(name.replace("_", " "))
    return voice.say(row.in_si if row.in_si and voice.measures == "SI" else row.label)


def in_order(judgement: Judgement) -> list[Result]:
    """Return the results in the order in which they are told."""
    return sorted(judgement.results, key=lambda result: _ORDER.get(result.name, len(_ORDER)))


def made_of(result: Result, voice: Voice = ENGLISH) -> Shown:
    """Return a result's value and interval as they are shown."""
    unit = voice.unit_of_result(result.unit)
    reference = 1.0 if " over " in result.when else None
    return shown(unit.of(result.value), unit.of(result.low), unit.of(result.high), reference)


def cell(result: Result, voice: Voice = ENGLISH) -> tuple[str, ...]:
    """Return a result as the lines of its cell: best value and interval, or that it is not resolved."""
    made = made_of(result, voice)
    ends = voice.ends(made)
    inverse = (voice.say(_INVERSE),) if result.when == _INVERSE else ()
    if result.standing == "not resolved":
        return (voice.say("not resolved"), f"({ends})", *inverse)
    return (f"{made.value} ({ends})", *inverse)


def rows(judgement: Judgement) -> dict[tuple[str, int], dict[str, Result]]:
    """Return the results by name, counted where one name is given twice, and by the head under which they stand."""
    made: dict[tuple[str, int], dict[str, Result]] = {}
    for result in in_order(judgement):
        head = HEADS[2] if result.when == _INVERSE else result.when
        turn = 0
        while head in made.get((result.name, turn), {}):
            turn += 1
        made.setdefault((result.name, turn), {})[head] = result
    return made


def lines(judgement: Judgement, budget: bool = False, *, voice: Voice = ENGLISH) -> tuple[tuple[str, ...], list[Line]]:
    """Return the heads and rows of the table; heads under which nothing stands are left out."""
    found = rows(judgement)
    heads = tuple(head for head in HEADS if any(head in row for row in found.values()))
    made = [_line(judgement, name, turn, row, heads, budget, voice) for (name, turn), row in found.items()]
    return tuple(map(voice.say, heads)), made


def _line(
    judgement: Judgement,
    name: str,
    turn: int,
    row: dict[str, Result],
    heads: tuple[str, ...],
    budget: bool,
    voice: Voice,
) -> Line:
    standings = {result.standing for result in row.values()}
    alike = len(standings) == 1
    cells: list[tuple[str, ...]] = []
    for head in heads:
        result = row.get(head)
        if result is None:
            cells.append(())
        elif alike or result.standing == "not resolved":
            cells.append(cell(result, voice))
        else:
            cells.append((*cell(result, voice), voice.say(result.standing)))
    told = budget and name not in _AS_ANOTHER
    under = [_made_of(result, voice) for result in row.values() if result.budget] if told else []
    return Line(
        _name(judgement, name, turn, next(iter(row.values())), voice),
        tuple(cells),
        voice.say(standings.pop()) if alike and standings != {"not resolved"} else "",
        tuple(under),
    )


def _name(judgement: Judgement, name: str, turn: int, one: Result, voice: Voice) -> tuple[str, ...]:
    si_unit = next((r.unit for r in judgement.results if r.name == name and r.unit != "1"), one.unit)
    unit = voice.say(voice.unit_of_result(si_unit).label)
    first = f"{label(name, voice)}, {unit}" if unit else label(name, voice)
    if turn:
        return (first, f"({run_of(one)})")
    rated = beside(judgement, name, si_unit, voice)
    return (first, f"  {rated}") if rated else (first,)


def run_of(result: Result) -> str:
    """Return the run that a result belongs to, where one name is given for more than one."""
    return result.basis.rpartition("; ")[2]


def beside(judgement: Judgement, name: str, si_unit: str, voice: Voice = ENGLISH) -> str:
    """Return what nameplate or print says of a result, or an empty text where neither does."""
    figure = {"external_static": "static_rated", "capacitance": "capacitance_rated"}.get(name)
    rated = next((f.figures[figure] for f in judgement.findings if figure in f.figures), None) if figure else None
    if rated is None:
        return ""
    value = plain(rated, voice.unit_of_result(si_unit))
    if name == "external_static":
        return voice.say("nameplate: {value}", value=value)
    return voice.say("print: {value}", value=value)


def _made_of(result: Result, voice: Voice) -> str:
    parts = [
        f"{100 * part.share:.0f} % {labelled(part.label, voice)}"
        for part in result.budget[:_SHOWN]
        if part.label != "everything else"
    ]
    return f"{voice.say(result.when)}: {'; '.join(parts)}"


def clause(reason: Reason, voice: Voice = ENGLISH) -> str:
    """Return a reason as a clause of a sentence."""
    words = words_of(reason.code)
    return voice.fill(words.clause or words.sentence, reason.figures, reason.names)


def why(judgement: Judgement, *, voice: Voice = ENGLISH) -> list[str]:
    """Return for everything that does not simply stand its reasons, those of like reason together."""
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in in_order(judgement):
        if result.standing != "it stands":
            clauses = "; ".join(dict.fromkeys(clause(reason, voice) for reason in result.reasons))
            groups.setdefault((result.standing, clauses), []).append(result)
    return [
        f"{capital(voice.say(standing))}: {_called(results, voice)}{': ' if clauses else ''}{clauses}."
        for (standing, clauses), results in groups.items()
    ]


def why_of(result: Result, voice: Voice = ENGLISH) -> str:
    """Return a result's standing with the reasons for it, as a sentence."""
    clauses = "; ".join(dict.fromkeys(clause(reason, voice) for reason in result.reasons))
    return f"{capital(voice.say(result.standing))}{': ' if clauses else ''}{clauses}."


def _called(results: Iterable[Result], voice: Voice) -> str:
    whens: dict[str, list[str]] = {}
    for result in results:
        whens.setdefault(label(result.name, voice), []).append(voice.say(result.when))
    groups: dict[tuple[str, ...], list[str]] = {}
    for name, found in whens.items():
        groups.setdefault(tuple(dict.fromkeys(found)), []).append(name)
    return "; ".join(
        voice.say("{results} {when}", results=listed(names, voice), when=_all_of(found, voice))
        for found, names in groups.items()
    )


def _all_of(whens: tuple[str, ...], voice: Voice) -> str:
    made = whens[0]
    for when in whens[1:]:
        made = voice.say("{list} and {last}", list=made, last=when)
    return made


def listed(names: list[str], voice: Voice = ENGLISH) -> str:
    """Return several names as they stand in a sentence."""
    if len(names) == 1:
        return names[0]
    return voice.say("{list} and {last}", list=", ".join(names[:-1]), last=names[-1])


def basis(results: Iterable[Result], voice: Voice = ENGLISH) -> str:
    """Return what kind of number one quantity is, state and ratio; an empty text where its name says so already."""
    found: dict[bool, str] = {}
    for result in results:
        told = result.basis.partition(";")[0]
        if told and result.name not in _SAYS_ITSELF:
            found.setdefault(" over " in result.when, labelled(told, voice))
    both = len(found) > 1
    return "; ".join(
        voice.say("as a ratio {basis}", basis=told) if kind and both else told for kind, told in found.items()
    )


def bases(judgement: Judgement, *, voice: Voice = ENGLISH) -> str:
    """Return what kind of number some of the results are, those of like kind together."""
    alike: dict[str, list[Result]] = {}
    for result in in_order(judgement):
        alike.setdefault(label(result.name, voice), []).append(result)
    groups: dict[str, list[str]] = {}
    for name, results in alike.items():
        said = basis(results, voice)
        if said:
            groups.setdefault(said, []).append(name)
    return " ".join(capital(f"{listed(names, voice)}: {said}.") for said, names in groups.items())
