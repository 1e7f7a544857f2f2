"""The examples: read without a fault, say what they claim to; mutated, they never raise anything but SheetError."""

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawthrough.units import INWC
from drawthrough.visit import sheet
from drawthrough.visit.air_place import SIGN_FROM_PLACE
from drawthrough.visit.form import keys
from drawthrough.visit.sheet import SheetError
from drawthrough.visit.state import Run, Visit

CHECKOUT = Path(__file__).resolve().parents[2]
PATHS = sorted((CHECKOUT / "examples").glob("*.toml"))
TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in PATHS}
PAGE = (CHECKOUT / "docs" / "visit-sheet.md").read_text(encoding="utf-8")
MISTYPED = ("mistyped-reading", "strips-left", ("supply plenum", "room"))  # the example's one wrong reading
FRAGMENTS = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)


def visit(name: str) -> Visit:
    """Return an example."""
    return sheet.load(CHECKOUT / "examples" / f"{name}.toml")


def run_of(name: str, run: str) -> Run:
    """Return one run of an example."""
    return next(one for one in visit(name).run if one.id == run)


def statics(run: Run) -> dict[tuple[str, str | None], float]:
    """Return the pressures of a run, in inches of water."""
    return {(r.at, r.against): r.value / INWC for r in run.reading if r.what in ("static", "pressure_drop")}


def test_there_are_enough() -> None:
    """Each motor kind, both arrangements, and one of which nothing can be made."""
    assert len(TEXTS) >= 4
    systems = [visit(name).system for name in TEXTS]
    assert {system.motor for system in systems} == {"psc", "constant torque", "constant airflow"}
    assert {system.arrangement for system in systems} == {"draw-through", "blow-through"}


@pytest.mark.parametrize("name", TEXTS)
def test_example_reads_and_comes_back(name: str) -> None:
    """Without a fault; written and read again it is the same."""
    assert sheet.read(sheet.sheet_text(visit(name))) == visit(name)


@pytest.mark.parametrize("name", TEXTS)
def test_every_reading_has_its_both_sides(name: str) -> None:
    """What was read as found was read as left, run by run."""
    runs = visit(name).run

    def asked(when: str) -> list[set[tuple[str, str, str | None]]]:
        return [{(r.what, r.at, r.against) for r in run.reading} for run in runs if run.when == when]

    found, left = asked("as found"), asked("as left")
    assert len(found) == len(left)
    for before, after in zip(found, left, strict=True):
        assert {row for row in before - after if row[0] != "resistance"} == set()
        assert after - before == set()


@pytest.mark.parametrize("name", TEXTS)
def test_routes_agree(name: str) -> None:
    """What both hoses read at once is the difference of its two holes, within what the manometer allows."""
    for run in visit(name).run:
        read = statics(run)
        if (name, run.id) == MISTYPED[:2]:
            del read[MISTYPED[2]]
        for (at, against), value in read.items():
            if against in (None, "room"):
                continue
            first, second = read.get((at, "room")), read.get((str(against), "room"))
            if first is not None and second is not None:
                assert value == pytest.approx(first - second, abs=0.02)


def test_demo_shows_the_rise_to_be_explained() -> None:
    """A good cleaning with the coil inside the taps: each external static rises, the coil's share of it falls."""
    before, after = (statics(run_of("dirty-wheel-psc", f"strips-{when}")) for when in ("found", "left"))
    total = [read[("supply plenum", "room")] - read[("return plenum", "room")] for read in (before, after)]
    assert total[1] > 1.3 * total[0]
    assert run_of("dirty-wheel-psc", "zero-before-found").zero_for == "strips-found"


def test_coil_outside_the_taps_lowers_it() -> None:
    """The furnace's own taps: before the blower, and after the heat exchanger."""
    before, after = (statics(run_of("furnace-coil-outside", f"cooling-{when}")) for when in ("found", "left"))
    total = [read[("after heater", "room")] - read[("before blower", "room")] for read in (before, after)]
    assert total[1] < 0.95 * total[0]


def test_signs_left_away_are_taken_from_the_places() -> None:
    """The constant-airflow sheet is typed without a minus."""
    run = run_of("constant-airflow", "fan-found")
    suction = [r for r in run.reading if r.at == "after coil"]
    assert [(r.value < 0, r.typed[0], r.note) for r in suction] == [(True, "0", SIGN_FROM_PLACE)]


def test_one_reading_is_mistyped() -> None:
    """The point stands one place too far: ten times it, and both hoses read at once agree with it again."""
    name, run, hole = MISTYPED
    read = statics(run_of(name, run))
    across, low = read[("supply plenum", "return plenum")], read[("return plenum", "room")]
    assert across - (read[hole] - low) > 0.1
    assert across == pytest.approx(10 * read[hole] - low, abs=0.005)


def test_weak_capacitor_slows_the_wheel() -> None:
    """Less air and fewer turns together; a dirty wheel, as in the demo, turns faster as found."""
    found, left = (run_of("weak-capacitor", f"strips-{when}").reading for when in ("found", "left"))
    before, after = ({r.what: r.value for r in readings} for readings in (found, left))
    assert before["capacitance"] < 0.65 * after["capacitance"]
    assert before["speed"] < 0.9 * after["speed"]


def test_tight_return_is_most_of_the_static() -> None:
    """What is lost before the filter is more than filter and coil take together, as found and as left."""
    for when in ("found", "left"):
        read = statics(run_of("tight-return", f"strips-{when}"))
        assert read[("return plenum", "room")] < 0.5 * read[("after coil", "room")]


# --- the reference page ---


def test_fragments_together_are_a_sheet() -> None:
    """Every fragment of the page, in its order."""
    assert len(FRAGMENTS) == 21
    made = sheet.read("\n".join(FRAGMENTS))
    assert made.run[1].zero_for == "strips-found"


@pytest.mark.parametrize("fragment", FRAGMENTS, ids=lambda text: text.split("\n")[0])
def test_each_fragment_stands_alone(fragment: str) -> None:
    """Put into a sheet that has nothing but what is needed, it brings no fault of its own keys."""
    _, faults = sheet.examine(fragment)
    allowed = {"missing table", "missing key", "no runs", "unknown id", "unknown table", "place not here"}
    assert {fault.kind for fault in faults} <= allowed, [str(fault) for fault in faults]


def tables() -> dict[str, type[Any]]:
    """Return the headings of the page under which the keys of each table are told."""
    system, run = keys(Visit)["system"].table, keys(Visit)["run"].table
    assert system is not None
    assert run is not None
    made: dict[str, type[Any]] = {}
    for key in keys(Visit).values():
        if key.table is not None:
            made[f"## [{key.name}]" if key.sort == "table" else f"## [[{key.name}]]"] = key.table
    for name in ("strips", "capacitor"):
        made[f"### [system.{name}]"] = keys(system)[name].table  # type: ignore[assignment]
    made["### [[system.fan_table]]"] = keys(system)["fan_table"].table  # type: ignore[assignment]
    made["### [[run.reading]]"] = keys(run)["reading"].table  # type: ignore[assignment]
    return made


@pytest.mark.parametrize(("heading", "table"), tables().items(), ids=list(tables()))
def test_page_tells_every_key(heading: str, table: type[Any]) -> None:
    """With its meaning, and what may stand there."""
    section = re.split(r"\n#{2,3} ", PAGE.partition(f"\n{heading}\n")[2])[0]
    for key in keys(table).values():
        if key.table is not None:
            continue
        (row,) = re.findall(rf"^\| `{key.name}` \|(.*)\|$", section, re.MULTILINE)
        assert key.meaning in row
        assert ("needed" in row.split("|")[0]) == key.required
        for choice in key.choices:
            assert f"`{choice}`" in row


# --- nothing but SheetError ---


@pytest.mark.property
@settings(max_examples=300)
@given(data=st.binary(max_size=200) | st.text(max_size=200))
def test_arbitrary_input(data: bytes | str) -> None:
    """Bytes and texts of any kind are a sheet or a SheetError."""
    found, faults = sheet.examine(data)
    assert (found is None) == bool(faults)


PIECES = (
    '"', "[", "]", "{", "}", "=", "#", "\n", ",", "'''", '"""', "1e400", "-", "+", "nan", "[[run]]", "\x00", "é", "\\",
    "0 inwc", "true", "1979-05-27", "[[system.fan_table]]", "value = 3", "[site]", "= [1]", "= {}",
)  # fmt: skip


@pytest.mark.property
@settings(max_examples=150)
@given(name=st.sampled_from(sorted(TEXTS)), data=st.data())
def test_mutated_example(name: str, data: Any) -> None:
    """Pieces cut out, doubled, swapped and put in anywhere: a sheet, or a SheetError that says where."""
    text = TEXTS[name]
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(0, 60)))
        text = text[:start] + data.draw(st.sampled_from(("", text[start:end] * 2, *PIECES))) + text[end:]
    error = None
    try:
        sheet.read(text)
    except SheetError as caught:
        error = caught
    assert error is None or (error.faults and str(error))


VALUES = (
    "1", "-1", "0.5", "true", '""', '"0"', '"1 inwc"', '"-5 inwc"', '"1e9 F"', '"75 F"', "[]", "{}", "[[1]]", '["a"]',
    "inf", "nan", "2026-04-14", "09:10:00", '"room"', '"as left"', '"psc"', '"1 2 3 inwc"', '"5 % + 1 digit (k=2)"',
    '"k=2"', '"+"', '"zero"', "[{}]", "[{a=1}]", "9" * 30, '"static"', '"1/0 in"', '"٣ F"',
)  # fmt: skip


@pytest.mark.property
@settings(max_examples=150)
@given(name=st.sampled_from(sorted(TEXTS)), data=st.data())
def test_wrong_value_anywhere(name: str, data: Any) -> None:
    """Any value in the place of any other."""
    spots = [match.span(1) for match in re.finditer(r'= ("[^"\n]*"|true|false|[\d.]+)', TEXTS[name])]
    text = TEXTS[name]
    chosen = data.draw(st.lists(st.sampled_from(spots), min_size=1, max_size=5, unique=True))
    for start, end in sorted(chosen, reverse=True):
        text = text[:start] + data.draw(st.sampled_from(VALUES)) + text[end:]
    found, faults = sheet.examine(text)
    if found is None:
        assert all(fault.line for fault in faults)
    else:
        assert sheet.read(sheet.sheet_text(found)) == found
