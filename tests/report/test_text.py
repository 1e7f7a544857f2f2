"""The text view of the four examples: snapshots, and what must hold of any of them.

`DRAWTHROUGH_SNAPSHOTS=write pytest tests/report/test_text.py` writes the snapshots anew; read the difference before
it is kept.
"""

import os
import re
from functools import cache
from pathlib import Path

import msgspec
import pytest

from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Judgement, NextReading, Result
from drawthrough.report.field import OF_RESULT
from drawthrough.report.figures import cell, label, made_of
from drawthrough.report.text import text
from drawthrough.report.words import CLOSING, RESULTS
from drawthrough.visit import sheet
from drawthrough.visit.state import Visit
from tests.house import walk

EXAMPLES = sorted(path.stem for path in (walk.CHECKOUT / "examples").glob("*.toml"))
SNAPSHOTS = Path(__file__).with_name("snapshots")
WRITE = os.environ.get("DRAWTHROUGH_SNAPSHOTS") == "write"
WIDTHS = (80, 96, 110)


@cache
def visit_of(name: str) -> Visit:
    """Return an example's visit."""
    return sheet.load(walk.CHECKOUT / "examples" / f"{name}.toml")


@cache
def judged(name: str) -> Judgement:
    """Return an example's judgement."""
    return judge(visit_of(name))


def flat(said: str) -> str:
    """Return a text with its line breaks taken out."""
    return " ".join(said.split())


@pytest.mark.pinned
@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("budget", [False, True], ids=["plain", "budget"])
def test_snapshot(name: str, budget: bool) -> None:
    """Nothing changed unseen."""
    path = SNAPSHOTS / f"{name}{'-budget' if budget else ''}.txt"
    said = text(judged(name), budget=budget)
    if WRITE:
        path.write_text(said, encoding="utf-8")
    assert path.exists(), f"{path.name} is missing: run with DRAWTHROUGH_SNAPSHOTS=write"
    assert said == path.read_text(encoding="utf-8")


@pytest.mark.property
def test_each_example_has_its_snapshots() -> None:
    """And no snapshot is left over from an example that is gone."""
    wanted = {f"{name}{kind}.txt" for name in EXAMPLES for kind in ("", "-budget")}
    assert {path.name for path in SNAPSHOTS.glob("*.txt")} == wanted


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("budget", [False, True])
def test_lines_fit_and_are_plain(name: str, width: int, budget: bool) -> None:
    """No line is longer than asked for, none ends in a blank, and none holds a control character."""
    said = text(judged(name), width, budget=budget)
    for line in said.splitlines():
        assert len(line) <= width, line
        assert line == line.rstrip()
    assert said.isprintable() or all(letter.isprintable() or letter == "\n" for letter in said)
    assert said.isascii()


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_not_resolved_says_so(name: str) -> None:
    """Its interval stands there, its best value does not, and its reason is told."""
    judgement = judged(name)
    said = flat(text(judgement))
    for result in judgement.results:
        if result.standing != "not resolved":
            continue
        made = cell(result)
        assert made[0] == "not resolved"
        assert f"({interval_of(result)})" in made
        assert f"{value_of(result)} ({interval_of(result)})" not in said
        assert re.search(rf"Not resolved: [^.]*{re.escape(label(result.name))}[^.]*{result.when}", said), result.name
    for gain in judgement.gains:
        if gain.standing == "not resolved":
            assert re.search(rf"{gain.part}[^.]* not resolved \(95 %: ", said)
    if name != "mistyped-reading":  # there all that was compared is told, some of it in doubt
        assert sum(result.standing == "not resolved" for result in judgement.results) > 0


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_resolved_is_given_with_its_interval(name: str) -> None:
    """Value and interval side by side or one under the other, for every result that is given as one."""
    said = text(judged(name), 110)
    for result in judged(name).results:
        if result.standing != "not resolved":
            assert value_of(result) in said
            assert interval_of(result) in said


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_table_says_no_digit_beyond_the_uncertainty(name: str) -> None:
    """No decimal is shown that is worth less than a fifteenth of the interval's half width."""
    for result in judged(name).results:
        unit = OF_RESULT[result.unit]
        half = (unit.of(result.high) - unit.of(result.low)) / 2
        for number in re.findall(r"\d+(?:\.\d+)?", " ".join(cell(result))):
            decimals = len(number.partition(".")[2])
            # One digit of the half width, or two where it begins below 1.5: 0.0149 is shown to thousandths, 0.015 not.
            assert decimals == 0 or 15 * 10.0**-decimals >= half or touches_one(result), (result.name, number, half)


def touches_one(result: Result) -> bool:
    """Return whether a ratio stops so close to 1 that it takes further digits to see it."""
    return " over " in result.when and min(abs(result.low - 1), abs(result.high - 1)) < (result.high - result.low) / 2


def value_of(result: Result) -> str:
    """Return the best value as it is shown."""
    return made_of(result).value


def interval_of(result: Result) -> str:
    """Return the interval as it is shown."""
    return made_of(result).interval


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_what_changed_comes_first_and_the_bounds_last(name: str) -> None:
    """The sentence first, with its interval; the closing line says what an interval is and whose work charge is."""
    said = text(judged(name))
    body = said.split("\n\n")
    assert body[1].startswith("What changed\n")
    assert "95 %" in body[1].splitlines()[1]
    assert flat(body[-1]) == CLOSING
    assert judged(name).site in body[0]


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_result_has_words(name: str) -> None:
    """Name and SI unit of each result are those of the words."""
    for result in judged(name).results:
        assert result.name in RESULTS
        assert result.unit == ("1" if " over " in result.when else RESULTS[result.name].unit)


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_reading_that_needs_a_word_has_one(name: str) -> None:
    """The count is right, and each that does not plainly stand is named, or counted with its group."""
    judgement = judged(name)
    said = flat(text(judgement))
    plain = sum(reading.standing == "it stands" and not reading.reasons for reading in judgement.readings)
    assert f"{len(judgement.readings)} readings; {plain} stand without remark." in said


@pytest.mark.property
def test_a_reading_that_contradicts_is_named_with_what_is_expected() -> None:
    """A supply static misread by a third is set aside or doubted by name."""
    visit = visit_of("dirty-wheel-psc")
    wrong = []
    for run in visit.run:
        readings = tuple(
            msgspec.structs.replace(r, value=r.value + 20.0, typed="0.363 inwc")
            if run.id == "strips-left" and r.at == "supply plenum"
            else r
            for r in run.reading
        )
        wrong.append(msgspec.structs.replace(run, reading=readings))
    said = flat(text(judge(msgspec.structs.replace(visit, run=tuple(wrong)))))
    assert re.search(
        r"(Set aside|In doubt), contradicts the other readings: static supply plenum against room, "
        r"0\.363 inwc \(strips-left\), where the others expect 0\.\d+ in\. w\.c\.",
        said,
    )
    assert "Read again: static at supply plenum (in strips-left)." in said


@pytest.mark.property
def test_one_state_alone_reads_well() -> None:
    """Without a run as left nothing is compared, and the text says so and gives what there is."""
    visit = visit_of("dirty-wheel-psc")
    found = tuple(run for run in visit.run if run.when == "as found")
    said = text(judge(msgspec.structs.replace(visit, run=found, work=())))
    assert "No run as found is compared with a run as left." in said
    assert "Nothing can be compared" in said
    assert "as left over as found" not in said
    assert "As found, the blower moves 8" in said
    assert "airflow, cfm" in said


@pytest.mark.property
def test_without_readings_of_the_air_it_says_so() -> None:
    """No figure, no table, but sentences."""
    visit = visit_of("nothing-resolved")
    empty = tuple(msgspec.structs.replace(run, reading=()) for run in visit.run)
    said = text(judge(msgspec.structs.replace(visit, run=empty)))
    assert "Nothing can be said of the air" in said


@pytest.mark.property
def test_what_is_past_is_not_offered_as_next() -> None:
    """Nobody can read the state as found once the work is done."""
    said = flat(text(judged("nothing-resolved")))
    offers = said.rpartition("What would settle what is open")[2]
    assert offers.startswith(" Next (")
    assert not any(offer.when == "as found" for offer in judged("nothing-resolved").next_readings)


@pytest.mark.property
def test_a_reading_as_found_is_not_read_again_once_that_state_is_past() -> None:
    """Even where the others contradict it: how it stands is told among the readings."""
    judgement = judged("mistyped-reading")
    code = "again: static supply plenum in strips-found"
    wrong = NextReading(code=code, when="as found", settles=("static",), minutes=1.0)
    both = flat(text(msgspec.structs.replace(judgement, next_readings=(wrong, *judgement.next_readings))))
    assert "Read again: static at supply plenum (in strips-left)." in both
    assert "(in strips-found)" not in both
    before = tuple(one for one in judgement.readings if one.when == "as found")
    alone = msgspec.structs.replace(judgement, next_readings=(wrong,), readings=before)
    assert "Read again: static at supply plenum (in strips-found)." in flat(text(alone))


@pytest.mark.property
def test_the_budget_is_under_each_main_number() -> None:
    """The largest share first, with its words."""
    said = flat(text(judged("dirty-wheel-psc"), budget=True))
    airflow = judged("dirty-wheel-psc").result("airflow", "as found")
    assert airflow is not None
    share = f"{100 * airflow.budget[0].share:.0f} %"
    assert f"as found: {share} belief: place of the supply probe with strips;" in said
    assert "belief:" not in text(judged("dirty-wheel-psc"))
