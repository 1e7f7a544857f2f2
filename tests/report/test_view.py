"""What pages say of a judgement: each figure is one of the judgement's, with its interval, in both languages."""

import re
from collections.abc import Iterator
from decimal import Decimal
from functools import cache

import msgspec
import pytest

from drawthrough.judge.engine import judge
from drawthrough.judge.judgement import Finding, Judgement, Result
from drawthrough.report import figures, text
from drawthrough.report.text import RATIOS
from drawthrough.report.view import LineView, ProofView, bound, proof_view
from drawthrough.report.view_customer import POINTS, customer_view, percent, plain
from drawthrough.report.voice import LANGUAGES, MEASURES, Voice
from drawthrough.visit.sheet import load

EXAMPLES = (
    "dirty-wheel-psc", "dirty-coil-clean-wheel", "constant-airflow", "furnace-coil-outside", "nothing-resolved",
    "weak-capacitor", "tight-return", "mistyped-reading",
)  # fmt: skip
VOICES = [Voice(language, measures) for language in LANGUAGES for measures in MEASURES]
GAP = " \N{NO-BREAK SPACE}"  # between a figure and its percent sign
INTERVAL = re.compile(r"95[ \N{NO-BREAK SPACE}]%: \S+ (?:to|a) \S+")

examples = pytest.mark.parametrize("example", EXAMPLES)
voices = pytest.mark.parametrize("voice", VOICES, ids=lambda voice: f"{voice.language}-{voice.measures}")


@cache
def judged(example: str) -> Judgement:
    """The judgement of an example."""
    return judge(load(f"examples/{example}.toml"))


@cache
def found_only(example: str) -> Judgement:
    """The judgement of an example before anything was touched."""
    visit = load(f"examples/{example}.toml")
    runs = tuple(run for run in visit.run if run.when == "as found")
    return judge(msgspec.structs.replace(visit, run=runs, work=()))


def texts(view: object) -> Iterator[str]:
    """Every text of a view, drawings too."""
    if isinstance(view, str):
        yield view
    elif isinstance(view, tuple):
        for one in view:
            yield from texts(one)
    elif isinstance(view, msgspec.Struct):
        for name in view.__struct_fields__:
            yield from texts(getattr(view, name))


def nothing(**changes: object) -> Judgement:
    """A judgement that says nothing, but for what is changed."""
    empty = Judgement(
        engine="0", site="a house", system="an air handler", compared=None, results=(), readings=(), findings=(),
        gains=(), next_readings=(), fit=None,
    )  # fmt: skip
    return msgspec.structs.replace(empty, **changes)


def ratio(name: str, value: float, low: float, high: float, standing: str = "it stands", when: int = 0) -> Result:
    """A ratio, made up."""
    return Result(
        name=name, when=RATIOS[when], unit="1", value=value, low=low, high=high, standing=standing  # type: ignore[arg-type]
    )  # fmt: skip


def is_rounded(shown: str, true: float) -> bool:
    """Is a figure the true value, rounded to its own last place?"""
    made = Decimal(shown.replace("\N{MINUS SIGN}", "-"))
    step = Decimal(1).scaleb(int(made.as_tuple().exponent))
    if "." not in shown:  # 1100 may be rounded to tens or hundreds
        step = Decimal(10) ** (len(shown) - len(shown.rstrip("0")))
    return abs(made - Decimal(true)) <= step * Decimal("0.5000001")


# --- the proof ---


@pytest.mark.property
@examples
@voices
def test_every_figure_is_one_of_the_judgement(example: str, voice: Voice) -> None:
    """Each result stands in exactly one line: its value and both ends, rounded and in its unit; none is added."""
    judgement = judged(example)
    view = proof_view(judgement, voice)
    lines: list[LineView] = [line for strip in view.strips for line in strip.lines]
    results = [
        row[head] for row in figures.rows(judgement).values() for head in figures.HEADS if head in row
    ]  # fmt: skip
    assert sorted(map(id, results)) == sorted(map(id, judgement.results))
    for line, result in zip(lines, results, strict=True):
        unit = voice.unit_of_result(result.unit)
        low, high = re.fullmatch(r"(\S+) (?:to|a) (\S+)", line.interval).groups()  # type: ignore[union-attr]
        assert is_rounded(low, unit.of(result.low))
        assert is_rounded(high, unit.of(result.high))
        assert line.standing == result.standing
        assert bool(line.value) == (result.standing != "not resolved")
        assert not line.value or is_rounded(line.value, unit.of(result.value))


@pytest.mark.property
@examples
@voices
def test_all_is_said_and_nothing_is_left_in_braces(example: str, voice: Voice) -> None:
    """No placeholder is left unfilled, no text is cut short."""
    for judgement in (judged(example), found_only(example)):
        for said in (*texts(proof_view(judgement, voice)), *texts(customer_view(judgement, voice))):
            assert "{" not in said, said
            assert "}" not in said, said


@pytest.mark.property
@examples
@voices
def test_no_sentence_of_change_is_without_its_interval(example: str, voice: Voice) -> None:
    """The sentence first, and each that follows, carries the interval of what it says."""
    view = proof_view(judged(example), voice)
    for said in (view.headline, *view.more):
        assert INTERVAL.search(said.text), said.text


@pytest.mark.property
@examples
def test_the_headline_has_the_standing_of_what_it_says(example: str) -> None:
    """The peg beside the sentence is the airflow's."""
    judgement = judged(example)
    result = judgement.result("airflow", RATIOS[0])
    assert result is not None
    assert proof_view(judgement).headline.standing == result.standing


@pytest.mark.property
@examples
def test_pages_say_what_the_text_says(example: str) -> None:
    """One source of sentences: each sentence of the view stands in the text, lines and hard blanks aside."""
    judgement = judged(example)
    view = proof_view(judgement)
    page = " ".join(text.text(judgement, 400).split())
    said = (
        view.headline.text, *(one.text for one in view.more), *view.static, *view.checks, *view.others, *view.readings,
        *(offer.text for offer in view.worth), view.compared, view.gains_lead,
    )  # fmt: skip
    assert len(said) > 8
    for sentence in said:
        assert " ".join(sentence.split()) in page


@pytest.mark.property
@examples
def test_what_does_not_stand_says_why(example: str) -> None:
    """Each strip with a doubt gives its reasons; one without gives none."""
    for strip in proof_view(judged(example)).strips:
        assert bool(strip.why) == any(line.standing != "it stands" for line in strip.lines), strip.name
        assert all(": " in why for why in strip.why)
        assert strip.alike == (len({line.standing for line in strip.lines}) == 1)


@pytest.mark.property
def test_examples_show_the_drawings() -> None:
    """The demo has all three drawings, each with its numbers; what is one state alone is drawn alone."""
    view = proof_view(judged("dirty-wheel-psc"))
    assert view.fan is not None
    assert view.path is not None
    assert view.ratios is not None
    assert all(chart.rows and chart.svg.startswith("<svg") for chart in (view.fan, view.path, view.ratios))
    assert {row[0] for row in view.ratios.rows} == {figures.label(name) for name in text.SAID} - {
        "wheel against clean", "blower against clean",  # as found over as left: not on the scale of the others
    }  # fmt: skip
    assert all(strip.chart is not None for strip in view.strips)


@pytest.mark.property
def test_one_run_alone_says_what_it_says() -> None:
    """Before the work nothing is compared: it is said so, and the airflow as found stands with its interval."""
    view = proof_view(found_only("dirty-wheel-psc"))
    assert view.headline.text.startswith("Nothing can be compared")
    assert view.headline.standing == "not yet read"
    assert view.more_heading == "What one run alone says"
    (said,) = view.more
    airflow = found_only("dirty-wheel-psc").result("airflow", "as found")
    assert airflow is not None
    assert figures.made_of(airflow).value in said.text
    assert INTERVAL.search(said.text)
    assert view.next or view.worth, "the next reading is missing"


@pytest.mark.property
def test_a_visit_without_readings_says_so() -> None:
    """Nothing read: the sentence says it, its peg is an empty hole, no drawing pretends."""
    visit = load("examples/dirty-wheel-psc.toml")
    judgement = judge(msgspec.structs.replace(visit, run=()))
    view = proof_view(judgement)
    assert view.headline.standing == "not yet read"
    assert view.fan is view.path is view.ratios is None
    assert view.strips == ()


@pytest.mark.analytic
def test_two_runs_of_which_nothing_comes() -> None:
    """Compared, and no number: that is said too, rather than an empty page."""
    view = proof_view(nothing(compared=("one", "two")))
    assert view.headline.standing == "not resolved"
    assert view.headline.text == "Two runs are compared, but nothing that was read both times tells of the air."
    assert view.more == ()


@pytest.mark.analytic
def test_one_name_for_two_runs_is_told_apart() -> None:
    """The second airflow as found, of another run, is a strip of its own that names its run."""
    one = Result(
        name="airflow", when="as found", unit="m3/s", value=0.4, low=0.38, high=0.42, standing="it stands",
        basis="actual; strips-found",
    )  # fmt: skip
    other = msgspec.structs.replace(one, value=0.3, low=0.28, high=0.32, basis="actual; fan-found")
    first, second = proof_view(nothing(results=(one, other))).strips
    assert (first.name, second.name) == ("Airflow", "Airflow (fan-found)")


@pytest.mark.analytic
def test_a_percent_sign_stays_with_its_figure() -> None:
    """Everywhere in a view, and nothing else is changed."""
    blank = "\N{NO-BREAK SPACE}"
    assert bound(("95 %: 1 to 2", ("of 3 %",))) == (f"95{blank}%: 1 to 2", (f"of 3{blank}%",))
    view: ProofView = proof_view(judged("nothing-resolved"))
    assert not any(re.search(r"\d %", said) for said in texts(view))


# --- the customer ---

MORE = "system moves 27 % more air than before the work (between 26 and 29 %)."
OPEN = (
    "These readings cannot tell whether your system moves more or less air than before the work "
    "(between 9 % less and 20 % more)."
)
TENTH = "system moves 10 % less air than before the work (between 5 and 15 %)."
SLOWER = "Before the work the blower wheel did what today's would do turning 15.7 % slower (between 14.7 and 17.0 %)."
LESS = "The coil holds the same amount of air back 53 % less than before (between 50 and 56 %)."


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("result", "told"),
    [
        (ratio("airflow", 1.27, 1.26, 1.29), f"Your {MORE}"),
        (ratio("airflow", 0.9, 0.85, 0.95), f"Your {TENTH}"),
        (ratio("airflow", 1.04, 0.91, 1.20, "not resolved"), OPEN),
        (ratio("airflow", 1.27, 1.26, 1.29, "in doubt"), f"In doubt: your {MORE}"),
        (ratio("airflow", 1.04, 0.91, 1.20, "in doubt"), OPEN),  # nothing came to rest, and 1 lies within
        (ratio("wheel_against_clean", 0.843, 0.830, 0.853, when=1), SLOWER),
        (ratio("coil_resistance", 0.47, 0.44, 0.50), LESS),
    ],
    ids=["more", "less", "open", "in doubt", "in doubt and open", "wheel", "coil"],
)  # fmt: skip
def test_percent_by_hand(result: Result, told: str) -> None:
    """A ratio of 1.27 is 27 % more; what is less turns its interval about."""
    assert plain(result) == told


@pytest.mark.analytic
def test_an_interval_beside_no_change_shows_that_it_stops_short() -> None:
    """1.0004 to 1.03 is more, if little: its low end is not shown as 0 %."""
    made = percent(ratio("airflow", 1.0152, 1.0004, 1.03))
    assert float(made.low) > 0.0


@pytest.mark.property
@examples
@voices
def test_a_customer_reads_no_trade_words(example: str, voice: Voice) -> None:
    """Before and after, not as found and as left; no watts for each cfm, no capacities; every figure with its span."""
    view = customer_view(judged(example), voice)
    said = [view.headline.text, view.beside, *(one.text for one in view.points), *view.open]
    shown = [*said, *(line.when for line in view.strip_lines), *(texts(view.strip) if view.strip else ())]
    for one in shown:
        assert not re.search(r"as found|as left|como se (encontró|dejó)|W/|Btu|kW|odds", one), one
    for one in filter(None, said):
        assert re.search(r"between|entre", one), one
    assert 1 <= 1 + len(view.points) <= POINTS
    assert len(view.know) == 3


@pytest.mark.property
def test_a_new_filter_is_not_taken_for_the_works_gain() -> None:
    """The demo got a new filter too: beside the gain stands what it would be with the same filter both times."""
    view = customer_view(judged("dirty-wheel-psc"))
    assert "27" in view.headline.text
    assert re.search(rf"same filter both times it would be 23[{GAP}]% more", view.beside)


@pytest.mark.property
def test_what_is_not_resolved_is_no_gain_for_a_customer() -> None:
    """The fifth example proves nothing, and says so in its first sentence."""
    view = customer_view(judged("nothing-resolved"))
    assert view.headline.standing == "not resolved"
    assert view.headline.text.startswith("These readings cannot tell")
    assert view.points == ()
    assert all(line.value == "" and line.interval for line in view.strip_lines)


@pytest.mark.analytic
def test_a_customer_is_told_why_nothing_can_be_said() -> None:
    """Nothing after the work; nothing that fits; nothing of the air: three different sentences."""
    clash = Finding(code="readings contradict each other", standing="not resolved")
    told = [
        customer_view(judgement).headline
        for judgement in (
            nothing(),
            nothing(compared=("one", "two"), findings=(clash,)),
            nothing(compared=("one", "two")),
        )
    ]
    assert [one.standing for one in told] == ["not yet read", "not resolved", "not resolved"]
    assert told[0].text.startswith("What the work changed cannot be said")
    assert told[1].text.startswith("The readings contradict each other")
    assert told[2].text.startswith("Two runs are compared")
    assert customer_view(nothing()).know == ()
