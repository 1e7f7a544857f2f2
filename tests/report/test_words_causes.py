"""Causes, marks and next readings: each has words; odds are told plainly; verdicts say no more than they hold."""

import itertools
import re

import msgspec
import pytest

from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Cause, Causes, Evidence, Judgement, NextReading, Verdict
from drawthrough.report import causes_view as causes_room
from drawthrough.report.causes_view import causes_text, causes_view, rests_on_beliefs, unspoken
from drawthrough.report.readings import best, offered
from drawthrough.report.voice import ENGLISH, Voice
from drawthrough.report.words import WORDS
from drawthrough.report.words_causes import CAUSES, MARKS, SPEED_MEANS, evidence_told, in_a_hundred, named, to_one
from drawthrough.trade.causes import MISREAD, NOTHING, beliefs
from drawthrough.trade.next_readings import offers
from drawthrough.visit.sheet import load

pytestmark = pytest.mark.property

VOICES = [Voice(language, measures) for language in ("en", "es") for measures in ("field", "SI")]
SPANISH = Voice("es")
RATED = re.compile(r"\b(good|excellent|poor|fail|pass|score|grade|improved|healthy|recover)\b|[★%]{2}|●")
WHENS = ("as found", "as found over as left")


def plain(text: str) -> str:
    """Hard blanks as blanks."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def cause(name: str, found: float, left: float | None = None, **what: object) -> Cause:
    """A cause of which nothing was read, if not said otherwise."""
    often = beliefs().cause[name].often if name != NOTHING else 0.3
    told = {"often": often, "found_halved": found, "found_doubled": found, **what}
    return Cause(name=name, found=found, left=left, **told)


def evidence(mark: str, value: float, odds: float, when: str = "as found") -> Evidence:
    """What a mark says."""
    return Evidence(
        mark=mark,
        when=when,
        value=value,
        low=value - 0.1,
        high=value + 0.1,
        usual_low=-0.06,
        usual_high=0.06,
        odds=odds,
    )


def said(found: Verdict, left: Verdict | None, *each: Cause, voice: Voice = ENGLISH) -> causes_room.CausesView:
    """What is said of some causes."""
    judgement = judge(load("examples/nothing-resolved.toml"))
    causes = Causes(found=found, left=left, each=each, told=True)
    view = causes_view(msgspec.structs.replace(judgement, causes=causes), voice)
    assert view is not None
    return view


def sure(*causes: str) -> Verdict:
    """Each by itself."""
    return Verdict(causes=causes, tie=False, probability=0.96)


def tie(*causes: str) -> Verdict:
    """One of them at least."""
    return Verdict(causes=causes, tie=True, probability=0.9)


def test_every_cause_and_mark_has_words_and_no_words_are_left_over() -> None:
    """Those of the file, nothing wrong, and a bad reading."""
    assert set(CAUSES) == {*beliefs().cause, NOTHING, MISREAD}
    assert set(MARKS) == set(beliefs().mark)
    moved = {name for name, one in beliefs().cause.items() if any("speed" in shift.by for shift in one.shift)}
    assert set(SPEED_MEANS) == moved


def test_every_reading_to_take_has_words() -> None:
    """Each begins with a verb and is told with what it settles."""
    for offer in offers().offer:
        assert WORDS[offer.code].reading
        one = NextReading(code=offer.code, when="as left", settles=("wheel", "airflow"), minutes=offer.minutes)
        assert offered(one) == (
            f"{WORDS[offer.code].reading} For: a dirty blower wheel, airflow.",
            f"{offer.minutes:.0f} min",
        )


@pytest.mark.parametrize("voice", VOICES, ids=lambda voice: f"{voice.language} {voice.measures}")
def test_each_mark_is_told_of_each_cause_and_rates_nobody(voice: Voice) -> None:
    """More and less, beside what is usual and beside as left; nothing is left open, and no word is glued to another."""
    for name, one in beliefs().cause.items():
        for mark in {mark for shift in one.shift for mark in shift.by}:
            for when, value, odds in itertools.product(WHENS, (1.4, -1.4), (80.0, 1.1, 0.02)):
                if value < 0.0 and not MARKS[mark].usual_less:
                    continue
                told = evidence_told(name, evidence(mark, value, odds, when), "as found", voice)
                assert not re.search(r"[{}]|  |\.\.|-\d", told.replace("-6 ", "").replace("-0", "")), told
                assert told.endswith(".")
                assert not RATED.search(told)
                if voice.language == "es":
                    assert not re.search(r"\b(the|usual of|speaks|than|times)\b", told), told


def test_a_difference_is_told_as_more_or_less_in_the_unit_at_hand() -> None:
    """Kelvins become degrees Fahrenheit by their size alone."""
    one = Evidence(
        mark="subcooling", when="as found", value=-4.0, low=-5.0, high=-3.0, usual_low=-4.0, usual_high=4.0, odds=90.0
    )
    assert plain(evidence_told("low charge", one, "as found")) == (
        "As found, the subcooling is 7 F less than is usual (95 %: 5 to 9; usual -7 to 7): speaks for it, 90 to 1."
    )
    assert "4.0 K less than is usual (95 %: 3.0 to 5.0; usual -4 to 4)" in evidence_told(
        "low charge", one, "as found", Voice("en", "SI")
    )


@pytest.mark.parametrize(
    ("probability", "told"),
    [
        (1.0, "more than 99 in 100"), (0.9951, "more than 99 in 100"), (0.99, "99 in 100"), (0.62, "62 in 100"),
        (0.012, "1 in 100"), (0.004, "less than 1 in 100"), (0.0, "less than 1 in 100"),
    ],
)  # fmt: skip
def test_a_probability_is_so_many_in_a_hundred(probability: float, told: str) -> None:
    """Never none and never all."""
    assert plain(in_a_hundred(probability)) == told


@pytest.mark.parametrize(
    ("odds", "told"),
    [
        (9.58, "9.6 to 1"),
        (0.1, "10 to 1"),
        (476.0, "480 to 1"),
        (1e20, "more than 1000 to 1"),
        (0.0, "more than 1000 to 1"),
    ],
)
def test_odds_are_so_many_to_one(odds: float, told: str) -> None:
    """For and against alike."""
    assert plain(to_one(odds)) == told


def test_a_reading_that_the_others_contradict_comes_first() -> None:
    """With its reason in place of what it is for."""
    judgement = judge(load("examples/mistyped-reading.toml"))
    told = "Read again: static at supply plenum (in strips-left). The others contradict it."
    assert best(judgement) == f"Next (1 min): {told}"
    assert best(judgement, beside=True) == f"First (1 min): {told}"
    assert offered(judgement.next_readings[0]) == (told, "1 min")


def test_what_is_sure_is_said_by_itself() -> None:
    """One, two, or nothing; and what remains."""
    wheel, coil, nothing = cause("wheel", 0.999, 0.02), cause("coil", 0.96, 0.96), cause(NOTHING, 0.0, 0.03)
    view = said(sure("wheel", "coil"), sure("coil"), wheel, coil, nothing)
    assert plain(view.found) == (
        "Two things were wrong: the blower wheel was dirty (more than 99 in 100); the coil was dirty (96 in 100)."
    )
    assert plain(view.left) == "What remains as left: the coil is dirty (96 in 100)."
    assert "It is still there." in view.rows[1].lines
    view = said(sure(NOTHING), None, cause(NOTHING, 0.97))
    assert plain(view.found) == "As found, nothing is wrong (97 in 100)."
    assert view.left == ""
    assert view.heading == "Why it is so"


def test_a_tie_names_all_and_says_that_it_is_one() -> None:
    """And nothing wrong, where that is in it."""
    coil = cause("coil", 0.41, 0.4, evidence=(evidence("coil", 1.7, 3.0),))
    filter_, nothing = cause("filter", 0.30, 0.3, evidence=(evidence("filter", 1.8, 3.0),)), cause(NOTHING, 0.25, 0.25)
    view = said(tie("coil", "filter", NOTHING), tie("coil", "filter"), coil, filter_, nothing)
    assert plain(view.found) == (
        "At least one of these was there, or nothing was wrong (25 in 100), and the readings cannot tell which: "
        "a dirty coil (41 in 100), a loaded filter (30 in 100)."
    )
    assert plain(view.left).startswith("At least one of these remains as left, and the readings cannot tell which: a ")
    likely = said(tie("coil"), tie(NOTHING), coil, cause(NOTHING, 0.1, 0.9))
    assert plain(likely.found) == "What was wrong, most likely: the coil was dirty (41 in 100)."
    assert plain(likely.left) == "What remains as left: most likely nothing (90 in 100)."


def test_what_nothing_read_speaks_of_is_not_suspected() -> None:
    """It is named as such, and a tie of nothing else is not resolved."""
    leak, coil = cause("leak", 0.062, 0.062), cause("coil", 0.97, 0.01, evidence=(evidence("coil", 1.7, 90.0),))
    assert unspoken(leak)
    assert not unspoken(coil)
    view = said(sure("coil"), tie(NOTHING, "leak"), coil, leak, cause(NOTHING, 0.01, 0.8))
    assert plain(view.left) == "What remains as left: most likely nothing (80 in 100)."
    assert [row.name for row in view.rows] == ["A dirty coil"]
    assert view.unread == "Nothing read speaks of: a leak between filter and blower."  # in sight: it is in the tie
    assert view.beside == ()
    view = said(sure("coil"), tie(NOTHING), coil, leak, cause(NOTHING, 0.01, 0.9))
    assert (view.unread, view.beside) == ("", ("Nothing read speaks of: a leak between filter and blower.",))
    wheel = cause("wheel", 0.35, 0.05)
    view = said(tie("wheel", NOTHING, "leak"), tie(NOTHING, "leak"), wheel, leak, cause(NOTHING, 0.3, 0.6))
    assert view.found == "What was wrong is not resolved: nothing that was read speaks of it."
    assert view.left == "What remains as left is not resolved: nothing that was read speaks of it."


def test_a_tie_names_last_what_nothing_read_speaks_of() -> None:
    """Once for all of them, with their odds: they belong to it, and are not suspected."""
    coil = cause("coil", 0.4, evidence=(evidence("coil", 1.7, 3.0),))
    leak, wheel = cause("leak", 0.062), cause("wheel", 0.34)
    view = said(tie("coil", "wheel", "leak"), None, coil, wheel, leak, cause(NOTHING, 0.1))
    assert plain(view.found) == (
        "At least one of these is there as found, and the readings cannot tell which: a dirty coil (40 in 100), or "
        "what nothing read speaks of: a dirty blower wheel (34 in 100), a leak between filter and blower (6 in 100)."
    )


def test_nothing_is_told_of_work_that_was_not_done() -> None:
    """What no work ends can only pass; what is there still may have been worked on in vain."""
    volts, coil = cause("low voltage", 0.6, 0.45), cause("coil", 0.5, 0.5, evidence=(evidence("coil", 1.7, 3.0),))
    view = said(tie("low voltage", "coil"), tie("coil", "low voltage"), volts, coil, cause(NOTHING, 0.1, 0.1))
    lines = {row.name: plain(" ".join(row.lines)) for row in view.rows}
    assert "If it was there, it has passed by itself: 25 in 100." in lines["Low voltage"]
    assert "If it was there, it still is." in lines["A dirty coil"]


def test_what_rests_on_beliefs_says_so() -> None:
    """Only where it would be said otherwise."""
    assert rests_on_beliefs(cause("coil", 0.89, found_halved=1.0, found_doubled=0.19))
    assert rests_on_beliefs(cause("coil", 0.97, found_halved=1.0, found_doubled=0.6))
    assert not rests_on_beliefs(cause("coil", 0.999, found_halved=1.0, found_doubled=0.98))
    assert not rests_on_beliefs(cause("filter", 0.03, found_halved=0.0, found_doubled=0.09))


@pytest.mark.parametrize("example", ["dirty-wheel-psc", "tight-return", "weak-capacitor", "nothing-resolved"])
@pytest.mark.parametrize("voice", VOICES, ids=lambda voice: f"{voice.language} {voice.measures}")
def test_an_examples_causes_are_told_whole(example: str, voice: Voice) -> None:
    """Every cause is named once, in words; no bare code, no brace."""
    judgement: Judgement = judge(load(f"examples/{example}.toml"))
    view = causes_view(judgement, voice)
    assert view is not None
    assert judgement.causes is not None
    names = [*(row.name.lower() for row in view.rows), *(line.lower() for line in (*view.beside, view.unread))]
    for one in judgement.causes.each:
        if one.name == MISREAD:  # the readings themselves say which
            assert ("vea las lecturas" in view.unread or "see the readings" in view.unread) == (one.found >= 0.5)
        elif one.name != NOTHING:
            assert sum(named(one.name, voice).lower() in name for name in names) == 1, one.name
    told = " ".join(causes_text(judgement, 400, voice=voice)) + best(judgement, voice)
    assert not re.search(r"[{}]|\.\.", told)
    assert not RATED.search(told)


def test_the_causes_that_are_told_are_few() -> None:
    """The rest stand in a line or two."""
    for example in ("dirty-wheel-psc", "nothing-resolved", "constant-airflow"):
        view = causes_view(judge(load(f"examples/{example}.toml")))
        assert view is not None
        assert len(view.rows) <= 5
        assert len(view.beside) <= 3


def test_the_verdict_of_the_demo_in_spanish() -> None:
    """By hand."""
    view = causes_view(judge(load("examples/dirty-wheel-psc.toml")), SPANISH)
    assert view is not None
    assert plain(view.found) == (
        "Qué andaba mal: la turbina del soplador estaba sucia (más de 99 de cada 100). "
        "Probablemente también: el serpentín estaba sucio (92 de cada 100)."
    )
