"""The record: facts, their one order, corrections and undo, the codec, and the kept log of every released version."""

import json
import random
import uuid
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.visit import codec, facts, sheet
from drawthrough.visit.clock import COUNTS, Clock, uuid7, wall
from drawthrough.visit.fold import Folded, Incomplete, fold, in_order
from drawthrough.visit.record import Pen, facts_of
from drawthrough.visit.state import Reading, Run, Visit, Work

HERE = Path(__file__).parent
EXAMPLES = sorted((HERE.parents[1] / "examples").glob("*.toml"))
LOGS = sorted((HERE.parent / "logs").glob("v*.jsonl"))
START = 1_773_000_000_000  # some day in 2026 [ms]


class Hand:
    """A device whose clock and chance are known."""

    def __init__(self, device="phone", seed=1, start=START, step=1000):
        self.now, self.step = start, step
        self.chance = random.Random(seed)
        self.pen = Pen(device, self.tell, lambda: self.chance.getrandbits(80))

    def tell(self):
        self.now += self.step
        return self.now

    def mint(self, kind, **content):
        return self.pen.mint(kind, "visit-1", **content)


def reading(value, at="after filter"):
    return Reading(what="static", at=at, against="room", value=value, typed=f"{value} Pa")


def run(name="strips", **changes):
    given = Run(id=name, when="as found", mode="strips", speed="high")
    return msgspec.structs.replace(given, **changes)


def a_visit(hand):
    """Two runs with readings, a correction, an undo, and an undo of the undo."""
    taken = hand.mint(facts.ReadingTaken, run="strips", reading=reading(-40.0))
    other = hand.mint(facts.ReadingTaken, run="strips", reading=reading(-80.0, "after coil"))
    undone = hand.mint(facts.Withdrawn, of=other.id, why="wrong hole")
    return [
        hand.mint(facts.RunDescribed, run=run()),
        taken,
        other,
        hand.mint(facts.ReadingCorrected, of=taken.id, reading=reading(-42.0), why="a 2 read as 0"),
        undone,
        hand.mint(facts.Withdrawn, of=undone.id, why="it was the right one"),
        hand.mint(facts.WorkDone, work=Work(part="wheel", action="cleaned")),
    ]


def test_the_facts_of_a_sheet_add_up_to_its_visit_again():
    for path in EXAMPLES:
        visit = sheet.load(path)
        pen = Hand().pen
        assert fold(facts_of(visit, pen, "system-1", "visit-1")).visit == visit


def test_a_visit_goes_out_as_a_sheet_and_as_lines_and_comes_back():
    visit = sheet.load(EXAMPLES[0])
    minted = facts_of(visit, Hand().pen, "system-1", "visit-1")
    lines = codec.encode_lines(minted)
    assert codec.decode_lines(lines) == minted
    assert sheet.read(sheet.sheet_text(fold(minted).visit)) == visit


@settings(max_examples=60)
@given(st.randoms(use_true_random=False), st.integers(0, 5))
def test_any_order_and_any_repetition_folds_to_the_same_visit(chance, repeats):
    minted = a_visit(Hand())
    expected = fold(minted)
    arrived = list(minted) + [chance.choice(minted) for _ in range(repeats)]
    chance.shuffle(arrived)
    assert fold(arrived) == expected


def test_two_devices_that_saw_each_other_agree_on_the_last_word():
    phone, tablet = Hand("phone", 1), Hand("tablet", 2, start=START - 3_600_000)  # the tablet's clock runs an hour late
    described = phone.mint(facts.RunDescribed, run=run())
    taken = phone.mint(facts.ReadingTaken, run="strips", reading=reading(-40.0))
    tablet.pen.saw(taken)
    corrected = tablet.mint(facts.ReadingCorrected, of=taken.id, reading=reading(-42.0))
    assert corrected.moment > taken.moment
    for order in ([described, taken, corrected], [corrected, taken, described]):
        assert fold(order).run[0].reading[0].value == -42.0


def test_a_correction_keeps_what_was_written_before():
    folded = fold(a_visit(Hand()))
    first = folded.history["strips", 0]
    assert [version.reading.value for version in first] == [-40.0, -42.0]
    assert first[1].why == "a 2 read as 0"
    assert first[0].moment < first[1].moment


def test_undo_is_a_fact_and_can_be_undone():
    hand = Hand()
    minted = a_visit(hand)
    assert [r.at for r in fold(minted).run[0].reading] == ["after filter", "after coil"]
    assert [r.at for r in fold(minted[:5]).run[0].reading] == ["after filter"]
    again = hand.mint(facts.Withdrawn, of=minted[5].id)
    assert [r.at for r in fold([*minted, again]).run[0].reading] == ["after filter"]


def test_a_withdrawn_correction_brings_the_first_figure_back():
    hand = Hand()
    minted = a_visit(hand)
    back = hand.mint(facts.Withdrawn, of=minted[3].id)
    assert fold([*minted, back]).run[0].reading[0].value == -40.0


def test_nothing_can_be_withdrawn_before_it_happened():
    hand = Hand()
    early = hand.mint(facts.Withdrawn, of="later")
    later = msgspec.structs.replace(hand.mint(facts.RunDescribed, run=run()), id="later")
    assert [r.id for r in fold([later, early]).run] == ["strips"]


def test_a_later_description_replaces_everything_but_the_readings():
    hand = Hand()
    minted = a_visit(hand)
    minted.append(hand.mint(facts.RunDescribed, run=run(doors_on=False)))
    folded = fold(minted)
    assert not folded.run[0].doors_on
    assert len(folded.run[0].reading) == 2


def test_a_reading_of_an_unknown_run_waits_and_is_named():
    hand = Hand()
    taken = hand.mint(facts.ReadingTaken, run="not yet here", reading=reading(-40.0))
    corrected = hand.mint(facts.ReadingCorrected, of="nowhere", reading=reading(-1.0))
    folded = fold([taken, corrected])
    assert folded.run == ()
    assert set(folded.astray) == {taken.id, corrected.id}
    described = hand.mint(facts.RunDescribed, run=run("not yet here"))
    assert len(fold([taken, corrected, described]).run[0].reading) == 1


def test_a_visit_without_its_place_cannot_be_judged_and_says_so():
    with pytest.raises(Incomplete, match="place"):
        _ = fold(a_visit(Hand())).visit


def test_the_order_is_by_moment_then_device_then_number():
    hand = Hand(step=0)  # a clock that stands still: the counter goes on
    minted = a_visit(hand)
    assert [f.sequence for f in in_order(reversed(minted))] == sorted(f.sequence for f in minted)
    assert len({f.moment for f in minted}) == len(minted)


@given(st.lists(st.tuples(st.integers(-5000, 5000), st.integers(0, 10_000)), min_size=1, max_size=30))
def test_a_moment_is_later_than_all_that_was_given_or_seen(events):
    clock, wall_time = Clock(), START
    for jump, foreign in events:
        wall_time += jump
        seen = (START + foreign) * COUNTS
        clock = clock.seen(seen, wall_time)
        ticked = clock.tick(wall_time)
        assert ticked.last > clock.last
        clock = ticked


def test_a_clock_a_day_ahead_is_not_followed():
    clock = Clock().tick(START)
    assert clock.seen((START + 2 * 24 * 3600 * 1000) * COUNTS, START) == clock
    assert wall(clock.last) == START


@given(st.integers(0, 2**48 - 1), st.integers(0, 2**80 - 1))
def test_ids_are_version_seven_and_sort_by_time(milliseconds, chance):
    # RFC 9562: 48 bits of Unix time in milliseconds, version 7, variant 10.
    made = uuid.UUID(uuid7(milliseconds, chance))
    assert made.version == 7
    assert made.variant == uuid.RFC_4122
    assert made.int >> 80 == milliseconds
    if milliseconds:
        assert uuid7(milliseconds - 1, chance) < str(made)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("no json", "not JSON"),
        ("[1]", "no version"),
        ('{"fact": "work done"}', "no version"),
        ('{"version": true, "fact": "work done"}', "no version"),
        ('{"version": 99, "fact": "work done"}', "version 99"),
        ('{"version": 1, "fact": "never heard of"}', "not a fact"),
        ('{"version": 1, "fact": "work done"}', "not a fact"),
        ("\ud800", "not JSON"),
    ],
)
def test_a_line_that_is_no_fact_is_refused_with_its_number(line, words):
    with pytest.raises(codec.FactError, match=words) as caught:
        codec.decode_lines("\n" + line)
    assert str(caught.value).startswith("Line 2:")


@given(st.text(max_size=60) | st.binary(max_size=60))
def test_no_line_makes_the_codec_fail_otherwise(line):
    with pytest.raises(codec.FactError):  # no line so short is a fact
        codec.decode(line)


@given(st.randoms(use_true_random=False))
def test_a_line_is_written_in_one_way_only(chance):
    for fact in a_visit(Hand(seed=chance.randrange(1000))):
        line = codec.encode(fact)
        assert codec.encode(codec.decode(line)) == line


@pytest.mark.parametrize("log", LOGS, ids=lambda log: log.stem)
def test_every_released_version_is_read_for_ever(log):
    folded = fold(codec.decode_lines(log.read_text(encoding="utf-8")))
    kept = json.loads(log.with_suffix(".json").read_text(encoding="utf-8"))
    # What was kept then, read with what has been added to the state since.
    kept["visit"] = msgspec.to_builtins(msgspec.convert(kept["visit"], Visit))
    assert json.loads(msgspec.json.encode(plain(folded))) == json.loads(msgspec.json.encode(kept))


def test_there_is_a_log_of_todays_version():
    assert f"v{codec.VERSION}" in {log.stem for log in LOGS}


def plain(folded: Folded):
    """The state as data: the visit, and the versions of each reading."""
    return {
        "visit": msgspec.to_builtins(folded.visit),
        "history": [
            [run_id, place, [version.reading.typed for version in versions]]
            for (run_id, place), versions in sorted(folded.history.items())
        ],
        "withdrawn": sorted(folded.withdrawn),
    }


def test_a_fact_bears_the_id_that_its_form_carried():
    hand = Hand()
    once = hand.pen.id()
    minted = hand.mint(facts.Withdrawn, id=once, of="x")
    assert minted.id == once
    assert hand.mint(facts.Withdrawn, of="x").id != once
    opening, *rest = facts_of(sheet.load(EXAMPLES[0]), hand.pen, "system-1", "visit-1", first=once)
    assert opening.id == once
    assert once not in {fact.id for fact in rest}


def variants(line):
    """The same line written otherwise, and lines in which something is wrong."""
    whole = json.loads(line)
    yield line
    yield line.encode()
    yield json.dumps(whole)
    yield json.dumps(dict(reversed(whole.items())))
    yield line[:-1] + ',"version":1}'
    yield line[:-1] + ',"version":2}'
    yield line[:-1] + ',"colour":"red"}'
    yield line[:-1]
    yield line + " x"
    yield line.replace('"sequence":', '"sequence":"x","later":')
    yield line.replace('{"version":1,', '{"version":1,"version":1,')
    yield line.replace('{"version":1,', '{"version":1,,')


def test_the_fast_way_and_the_long_way_say_the_same():
    for fact in a_visit(Hand()):
        for line in variants(codec.encode(fact)):
            assert said(codec.decode, line) == said(codec._decode_step_by_step, line)


def said(decode, line):
    """A fact, or what its refusal says."""
    try:
        return decode(line)
    except codec.FactError as refusal:
        return str(refusal)


def test_what_is_written_today_is_read_the_fast_way(monkeypatch):
    monkeypatch.setattr(codec, "_decode_step_by_step", None)
    for fact in a_visit(Hand()):
        assert codec.decode(codec.encode(fact)) == fact
        assert codec.decode(codec.encode(fact).encode()) == fact
