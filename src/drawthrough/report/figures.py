"""The table of a judgement's results: as found, as left, and one over the other, each with interval and standing."""

from collections.abc import Iterable

from drawthrough.judge.judgement import Judgement, Reason, Result
from drawthrough.report.field import FIELD, OF_RESULT, Shown, plain, shown
from drawthrough.report.layout import Line
from drawthrough.report.phrase import fill
from drawthrough.report.words import RESULTS, belief, words_of

HEADS = ("as found", "as left", "as left over as found")
_INVERSE = "as found over as left"
_SHOWN = 3  # contributions to an uncertainty that are named
_AS_ANOTHER = ("airflow_per_capacity",)  # uncertain by what another row says already
_ORDER = {name: k for k, name in enumerate(RESULTS)}


def label(name: str) -> str:
    """Return what a result is called; one that has no words yet is called by its name."""
    row = RESULTS.get(name)
    return row.label if row is not None else name.replace("_", " ")


def in_order(judgement: Judgement) -> list[Result]:
    """Return the results in the order in which they are told."""
    return sorted(judgement.results, key=lambda result: _ORDER.get(result.name, len(_ORDER)))


def made_of(result: Result) -> Shown:
    """Return a result's value and interval as they are shown, in the unit of the field."""
    unit = OF_RESULT[result.unit]
    reference = 1.0 if " over " in result.when else None
    return shown(unit.of(result.value), unit.of(result.low), unit.of(result.high), reference)


def cell(result: Result) -> tuple[str, ...]:
    """Return a result as the lines of its cell: best value and interval, or that it is not resolved."""
    made = made_of(result)
    inverse = (_INVERSE,) if result.when == _INVERSE else ()
    if result.standing == "not resolved":
        return ("not resolved", f"({made.interval})", *inverse)
    return (f"{made.value} ({made.interval})", *inverse)


def lines(judgement: Judgement, budget: bool = False) -> tuple[tuple[str, ...], list[Line]]:
    """Return the heads and rows of the table; heads under which nothing stands are left out."""
    rows: dict[tuple[str, int], dict[str, Result]] = {}
    for result in in_order(judgement):
        head = HEADS[2] if result.when == _INVERSE else result.when
        turn = 0
        while head in rows.get((result.name, turn), {}):
            turn += 1
        rows.setdefault((result.name, turn), {})[head] = result
    heads = tuple(head for head in HEADS if any(head in row for row in rows.values()))
    return heads, [_line(judgement, name, turn, row, heads, budget) for (name, turn), row in rows.items()]


def _line(
    judgement: Judgement, name: str, turn: int, row: dict[str, Result], heads: tuple[str, ...], budget: bool
) -> Line:
    standings = {result.standing for result in row.values()}
    alike = len(standings) == 1
    cells: list[tuple[str, ...]] = []
    for head in heads:
        result = row.get(head)
        if result is None:
            cells.append(())
        elif alike or result.standing == "not resolved":
            cells.append(cell(result))
        else:
            cells.append((*cell(result), result.standing))
    under = [_made_of(result) for result in row.values() if result.budget and name not in _AS_ANOTHER] if budget else []
    return Line(
        _name(judgement, name, turn, next(iter(row.values()))),
        tuple(cells),
        standings.pop() if alike and standings != {"not resolved"} else "",
        tuple(under),
    )


def _name(judgement: Judgement, name: str, turn: int, one: Result) -> tuple[str, ...]:
    unit = next(
        (OF_RESULT[r.unit].label for r in judgement.results if r.name == name and r.unit != "1"),
        OF_RESULT[one.unit].label,
    )
    first = f"{label(name)}, {unit}" if unit else label(name)
    if turn:
        return (first, f"({one.basis.rpartition('; ')[2]})")
    beside = {"external_static": "static_rated", "capacitance": "capacitance_rated"}.get(name)
    rated = next((f.figures[beside] for f in judgement.findings if beside in f.figures), None) if beside else None
    if rated is None:
        return (first,)
    if name == "external_static":
        return (first, f"  nameplate: {plain(rated, FIELD['inwc'])}")
    return (first, f"  print: {plain(rated, FIELD['uF'])}")


def _made_of(result: Result) -> str:
    parts = [
        f"{100 * part.share:.0f} % {_contribution(part.label)}"
        for part in result.budget[:_SHOWN]
        if part.label != "everything else"
    ]
    return f"{result.when}: {'; '.join(parts)}"


def _contribution(text: str) -> str:
    name = text.removeprefix("prior: ").replace("_", " ")
    return f"belief: {belief(name)}" if text.startswith("prior: ") else name


def clause(reason: Reason) -> str:
    """Return a reason as a clause of a sentence."""
    words = words_of(reason.code)
    return fill(words.clause or words.sentence, reason.figures, reason.names)


def why(judgement: Judgement) -> list[str]:
    """Return for everything that does not simply stand its reasons, those of like reason together."""
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in in_order(judgement):
        if result.standing != "it stands":
            clauses = "; ".join(dict.fromkeys(map(clause, result.reasons)))
            groups.setdefault((result.standing, clauses), []).append(result)
    return [
        f"{standing.capitalize()}: {_called(results)}{': ' if clauses else ''}{clauses}."
        for (standing, clauses), results in groups.items()
    ]


def _called(results: Iterable[Result]) -> str:
    whens: dict[str, list[str]] = {}
    for result in results:
        whens.setdefault(label(result.name), []).append(result.when)
    groups: dict[tuple[str, ...], list[str]] = {}
    for name, found in whens.items():
        groups.setdefault(tuple(dict.fromkeys(found)), []).append(name)
    return "; ".join(f"{_listed(names)} {' and '.join(found)}" for found, names in groups.items())


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def bases(judgement: Judgement) -> str:
    """Return what kind of number some of the results are, those of like kind together."""
    kinds: dict[str, dict[bool, str]] = {}
    for result in in_order(judgement):
        basis = result.basis.partition(";")[0]
        if basis and result.name not in ("superheat", "subcooling", "capacitance"):
            kinds.setdefault(label(result.name), {}).setdefault(" over " in result.when, basis)
    groups: dict[str, list[str]] = {}
    for name, found in kinds.items():
        both = len(found) > 1
        said = "; ".join(f"{'as a ratio ' if kind and both else ''}{basis}" for kind, basis in found.items())
        groups.setdefault(said, []).append(name)
    told = [f"{_listed(names)}: {said}" for said, names in groups.items()]
    return " ".join(f"{said[0].upper()}{said[1:]}." for said in told)
