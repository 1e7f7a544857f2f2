"""What a next reading is worth: the expected fall of what is open, against drawing the reading and weighing anew."""

import math
import random
from pathlib import Path

import pytest
from msgspec.structs import replace

from drawthrough.judge import outlook
from drawthrough.judge.broad import broad_fit
from drawthrough.judge.causes import Weighed, possible, weighed
from drawthrough.judge.engine import judge
from drawthrough.judge.joint import Joint
from drawthrough.judge.marks import Marks, marks_of
from drawthrough.judge.outlook import Prospect
from drawthrough.judge.priors import Priors
from drawthrough.measure.shift import Likelihood
from drawthrough.trade.next_readings import offers
from drawthrough.visit.sheet import load
from drawthrough.visit.state import Pattern, Visit, Work

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def as_found(name: str, *whats: str) -> Visit:
    """An example before anything was done, with readings of these quantities only."""
    visit = load(EXAMPLES / f"{name}.toml")
    runs = [run for run in visit.run if run.when == "as found" and run.mode != "zero"]
    kept = (replace(run, reading=tuple(r for r in run.reading if r.what in whats)) for run in runs)
    return replace(visit, run=tuple(kept), work=())


def opened(visit: Visit) -> tuple[Joint, Marks, Weighed]:
    joint = broad_fit(visit, Priors())
    assert joint is not None
    made = marks_of(visit, joint, None, visit.run[0], Priors())
    return joint, made, weighed(visit, made)


def entropy(got: Weighed, names: list[str]) -> float:
    total = 0.0
    for name in names:
        p = got.found(name)
        if 0.0 < p < 1.0:
            total -= p * math.log2(p) + (1.0 - p) * math.log2(1.0 - p)
    return total


@pytest.mark.independent
@pytest.mark.parametrize("mark", ["capacitance", "coil", "blower"])
def test_bits_are_those_of_readings_drawn_and_weighed_anew(mark: str) -> None:
    """400 readings drawn from what the cases expect, each added to the others and all odds worked out again."""
    visit = as_found("weak-capacitor", "static")
    _, made, before = opened(visit)
    place = made.place(mark)
    assert place is not None
    noise = 0.05
    told = sum(outlook.bits_of_reading(before, Prospect({place: 1.0}, noise**2), left=False).values())

    rng = random.Random(5)
    names = [cause.name for cause in possible(visit)]
    expected = list(outlook._expected(before, Prospect({place: 1.0}, noise**2)))
    chosen = rng.choices(expected, [case.probability for case, _, _ in expected], k=400)
    falls = []
    for _, mean, sd in chosen:
        value = rng.gauss(mean, sd)
        precision = [list(row) for row in made.readings.precision]
        linear = list(made.readings.linear)
        precision[place][place] += noise**-2
        linear[place] += value / noise**2
        readings = Likelihood(tuple(map(tuple, precision)), tuple(linear))
        falls.append(entropy(before, names) - entropy(weighed(visit, made._replace(readings=readings)), names))
    mean = sum(falls) / len(falls)
    error = math.sqrt(sum((fall - mean) ** 2 for fall in falls)) / len(falls)
    # The look ahead counts the likeliest thirty cases only, which hold all but a few parts in a hundred.
    assert told == pytest.approx(mean, abs=3.0 * error + 0.06 * mean)


@pytest.mark.analytic
def test_a_perfect_look_takes_away_all_that_is_open_of_its_cause() -> None:
    visit = as_found("nothing-resolved", "static")
    _, _, before = opened(visit)
    p = before.found("coil")
    entropy_of_coil = -p * math.log2(p) - (1.0 - p) * math.log2(1.0 - p)
    assert outlook.bits_of_look(before, "coil", 1.0, 0.0, left=False)["coil"] == pytest.approx(
        entropy_of_coil, rel=0.05
    )
    assert sum(outlook.bits_of_look(before, "coil", 0.5, 0.5, left=False).values()) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.property
def test_a_sharper_reading_never_settles_less() -> None:
    visit = as_found("weak-capacitor", "static")
    _, made, before = opened(visit)
    place = made.place("speed")
    assert place is not None
    bits = [
        sum(outlook.bits_of_reading(before, Prospect({place: 1.0}, noise**2), left=False).values())
        for noise in (0.01, 0.03, 0.1, 0.3, 3.0)
    ]
    assert bits == sorted(bits, reverse=True)
    assert bits[-1] == pytest.approx(0.0, abs=0.01)


@pytest.mark.analytic
def test_the_variance_of_a_number_falls_as_in_least_squares() -> None:
    """Reading the number itself with noise as wide as the number halves the variance: half a bit."""
    visit = as_found("dirty-wheel-psc", "static")
    joint, _, _ = opened(visit)
    number = {0: 1.0}
    sd = math.sqrt(joint.solution.variance(number))
    assert outlook.bits_of_number(joint, number, number, sd) == pytest.approx(0.5, rel=1e-6)


# --- the line itself ---


@pytest.mark.property
def test_what_was_read_is_not_asked_for_again_and_the_best_comes_first() -> None:
    visit = as_found("dirty-wheel-psc", "static", "pressure_drop")
    judgement = judge(visit)
    asked = [offer for offer in judgement.next_readings if offer.bits > 0.0]
    assert asked
    assert [o.bits / o.minutes for o in asked] == sorted((o.bits / o.minutes for o in asked), reverse=True)
    read = {(r.at, r.against) for run in visit.run for r in run.reading}
    for offer in offers().offer:
        if (offer.at, offer.against) in read:
            assert offer.code not in {one.code for one in asked}


@pytest.mark.property
def test_it_changes_as_readings_come_in() -> None:
    few, more = as_found("dirty-wheel-psc"), as_found("dirty-wheel-psc", "static", "pressure_drop")
    first, then = (judge(visit).next_readings for visit in (few, more))
    assert {offer.code for offer in first if offer.bits} != {offer.code for offer in then if offer.bits}
    looked = replace(more, work=(Work(part="coil", action="inspected", condition="seen clean"),))
    assert "look at the coil" not in {offer.code for offer in judge(looked).next_readings}
    seen = replace(more, pattern=(Pattern(surface="coil", dirt="film"),))
    assert "look at the coil" not in {offer.code for offer in judge(seen).next_readings}


@pytest.mark.property
def test_what_the_others_contradict_is_read_again_before_all_else() -> None:
    first = judge(load(EXAMPLES / "mistyped-reading.toml")).next_readings[0]
    assert first.code == "again: static supply plenum in strips-left"


@pytest.mark.property
def test_the_state_as_found_is_not_asked_for_once_it_is_past() -> None:
    for path in EXAMPLES.glob("*.toml"):
        visit = load(path)
        if any(run.when == "as left" for run in visit.run):
            asked = [offer for offer in judge(visit).next_readings if not offer.code.startswith("again")]
            assert all(offer.when == "as left" for offer in asked), path.stem
