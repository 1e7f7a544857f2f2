"""Causes of one visit: the odds against a plain enumeration, what work and looks do to them, and what may be said."""

import itertools
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough.judge import causes as judged
from drawthrough.judge.broad import broad_fit
from drawthrough.judge.causes import weighed
from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Causes
from drawthrough.judge.marks import Marks, marks_of
from drawthrough.judge.pair import pairs_of
from drawthrough.judge.priors import Priors
from drawthrough.trade.causes import NOTHING, beliefs
from drawthrough.visit.sheet import load
from drawthrough.visit.state import Pattern, Visit, Work

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def example(name: str) -> Visit:
    return load(EXAMPLES / f"{name}.toml")


def marks(visit: Visit) -> Marks:
    joint = broad_fit(visit, Priors())
    assert joint is not None
    pair = next(iter(pairs_of(visit, joint)), None)
    return marks_of(visit, joint, pair, None if pair else visit.run[0], Priors())


def causes(visit: Visit) -> Causes:
    found = judge(visit).causes
    assert found is not None
    return found


def odds(found: Causes, cause: str) -> float:
    return next(each.found for each in found.each if each.name == cause)


# --- the odds themselves ---


@pytest.mark.independent
@pytest.mark.parametrize("name", ["dirty-wheel-psc", "nothing-resolved", "tight-return"])
def test_odds_are_those_of_an_enumeration_with_whole_covariances(name: str) -> None:
    """Each case weighed anew by the integral of likelihood times its whole belief, by numpy, without shifts."""
    np = pytest.importorskip("numpy")
    visit = example(name)
    made = marks(visit)
    got = weighed(visit, made)
    precision, linear = np.array(made.readings.precision), np.array(made.readings.linear)
    mean = np.array([number.usual.mean for number in made.number])
    sd = np.array([number.usual.sd for number in made.number])
    size = len(mean)

    def log_evidence(case: judged.Case) -> float:
        centre, spread = mean.copy(), np.diag(sd**2)
        for option in case.options:
            for k in option.direction:
                direction = got.directions[k]
                line = np.zeros(size)
                for place, slope in direction.by.items():
                    line[place] = slope
                centre += line * direction.mean
                spread = spread + direction.sd**2 * np.outer(line, line)
        believed = np.linalg.inv(spread)
        right = believed @ centre + linear
        sign, determinant = np.linalg.slogdet(np.eye(size) + spread @ precision)
        assert sign > 0.0
        quadratic = right @ np.linalg.solve(believed + precision, right) - centre @ believed @ centre
        return float(0.5 * (quadratic - determinant))

    likeliest = [case for case in got.cases if case.probability > 1e-6][:25]
    usual = next(case for case in got.cases if not case.options)
    at_rest = log_evidence(usual)
    for case in likeliest:
        prior = sum(option.log_prior for option in case.options)
        expected = log_evidence(case) - at_rest + prior
        told = math.log(case.probability) - math.log(max(usual.probability, 1e-300))
        if usual.probability > 1e-250:
            assert told == pytest.approx(expected, abs=1e-6), [option.cause for option in case.options]


@pytest.mark.analytic
def test_without_a_reading_the_odds_are_those_before_any() -> None:
    """Independent causes, up to two of all and three of the six likeliest at once: added up over all sets by hand."""
    visit = replace(example("nothing-resolved"), work=())
    runs = tuple(replace(run, reading=()) for run in visit.run if run.when == "as found")
    found = causes(replace(visit, run=runs))
    assert not found.told
    often = {cause.name: cause.often for cause in judged.possible(visit)}
    cases = weighed(replace(visit, run=runs), marks(replace(visit, run=runs))).cases
    first = {option.cause for case in cases if len(case.options) == 3 for option in case.options}
    assert len(first) == 6
    sets = [chosen for n in range(3) for chosen in itertools.combinations(often, n)]
    total, held = 0.0, dict.fromkeys(often, 0.0)
    for chosen in (*sets, *itertools.combinations(first, 3)):
        weight = math.prod(often[c] / (1.0 - often[c]) for c in chosen)
        total += weight
        for cause in chosen:
            held[cause] += weight
    for cause, weight in held.items():
        assert odds(found, cause) == pytest.approx(weight / total, rel=0.05), cause
    assert found.found.tie


@pytest.mark.property
def test_probabilities_add_up() -> None:
    visit = example("dirty-wheel-psc")
    got = weighed(visit, marks(visit))
    assert sum(case.probability for case in got.cases) == pytest.approx(1.0)
    for cause in judged.possible(visit):
        assert 0.0 <= got.left(cause.name) <= got.found(cause.name) + 1e-12
    assert got.left(NOTHING) >= got.found(NOTHING)


@pytest.mark.property
@settings(max_examples=8, deadline=None)
@given(st.sampled_from(["dirty-wheel-psc", "weak-capacitor", "nothing-resolved"]), st.floats(0.3, 3.0))
def test_a_verdict_holds_what_it_claims(name: str, widths: float) -> None:
    visit = example(name)
    got = weighed(visit, marks(visit), widths)
    said = judged.verdict(got)
    if said.tie:
        assert said.probability >= judged.TOGETHER
        assert all(got.found(cause) < judged.SAID for cause in said.causes)
    else:
        assert all(got.found(cause) >= judged.SAID for cause in said.causes)


# --- what a technician would say of the examples ---


@pytest.mark.pinned
@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("dirty-wheel-psc", ("wheel",)),
        ("dirty-coil-clean-wheel", ("coil",)),
        ("constant-airflow", ("wheel",)),
        ("furnace-coil-outside", ("coil",)),
        ("weak-capacitor", ("weak capacitor",)),
        ("tight-return", ("tight return",)),
    ],
)
def test_each_scenario_is_named_by_its_cause(name: str, found: tuple[str, ...]) -> None:
    """The scenarios are invented: this says what the tool makes of them, and validates nothing."""
    said = causes(example(name)).found
    assert not said.tie
    assert said.causes == found


@pytest.mark.pinned
def test_what_was_mended_is_gone_and_what_was_not_remains() -> None:
    capacitor, tight = causes(example("weak-capacitor")), causes(example("tight-return"))
    assert next(each.left for each in capacitor.each if each.name == "weak capacitor") < 0.01  # type: ignore[operator]
    assert next(each.left for each in tight.each if each.name == "tight return") > 0.95  # type: ignore[operator]


@pytest.mark.pinned
def test_a_total_static_alone_is_a_tie() -> None:
    said = causes(example("nothing-resolved")).found
    assert said.tie
    assert len(said.causes) > 2


# --- what else moves the odds ---


def _with(visit: Visit, *work: Work, pattern: tuple[Pattern, ...] = ()) -> Causes:
    return causes(replace(visit, work=(*visit.work, *work), pattern=pattern))


@pytest.mark.analytic
def test_a_look_moves_the_odds_by_its_own_factor() -> None:
    """Bayes for one cause against its absence: nothing read speaks of the coil or the wheel there."""
    visit = replace(example("nothing-resolved"), work=())
    visit = replace(visit, run=tuple(replace(r, reading=()) for r in visit.run if r.when == "as found"))
    before, after = causes(visit), _with(visit, Work(part="coil", action="inspected", condition="still dirty"))
    factor = beliefs().look["still dirty"]
    p, q = odds(before, "coil"), odds(after, "coil")
    assert q / (1.0 - q) == pytest.approx(factor * p / (1.0 - p), rel=0.1)
    clean = _with(visit, pattern=(Pattern(surface="wheel", dirt="none"),))
    assert odds(clean, "wheel") < 0.1 * odds(before, "wheel") / (1.0 - odds(before, "wheel"))


@pytest.mark.analytic
def test_what_was_left_undone_speaks_against_its_cause() -> None:
    """The odds of the coil before any reading, where it was rinsed and where nobody touched it."""
    visit = example("nothing-resolved")
    without = tuple(work for work in visit.work if work.part != "coil")
    rinsed = (*without, Work(part="coil", action="rinsed", condition="seen clean"))

    def before(work: tuple[Work, ...]) -> float:
        changed = replace(visit, work=work)
        alone = {case.options[0] for case in weighed(changed, marks(changed)).cases if len(case.options) == 1}
        return sum(math.exp(option.log_prior) for option in alone if option.cause == "coil")

    cause = beliefs().cause["coil"]
    usual = cause.often / (1.0 - cause.often)
    assert before(rinsed) == pytest.approx(usual * cause.done)
    assert before(without) == pytest.approx(usual * cause.undone)


@pytest.mark.property
def test_widths_change_nothing_before_a_reading() -> None:
    visit = replace(example("nothing-resolved"), work=())
    visit = replace(visit, run=tuple(replace(r, reading=()) for r in visit.run if r.when == "as found"))
    for cause in causes(visit).each:
        assert cause.found_halved == pytest.approx(cause.found, abs=0.01)
        assert cause.found_doubled == pytest.approx(cause.found, abs=0.01)


@pytest.mark.analytic
def test_evidence_says_for_and_against() -> None:
    found = causes(example("weak-capacitor"))
    weak = next(each for each in found.each if each.name == "weak capacitor")
    by_mark = {evidence.mark: evidence for evidence in weak.evidence}
    assert by_mark["capacitance"].odds > 1e3
    assert by_mark["capacitance"].high < by_mark["capacitance"].usual_low
    coil = next(each for each in found.each if each.name == "coil")
    assert all(evidence.odds < 1.0 for evidence in coil.evidence)


@pytest.mark.property
def test_motors_have_the_causes_that_show_on_them() -> None:
    def names(name: str) -> set[str]:
        return {cause.name for cause in judged.possible(example(name))}

    assert "weak capacitor" in names("dirty-wheel-psc")
    assert not {"weak capacitor", "low voltage", "wrong speed", "backwards"} & names("constant-airflow")
