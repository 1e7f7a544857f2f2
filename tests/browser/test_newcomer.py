"""A newcomer goes from the empty application to a proof, the demo's readings typed by hand on a phone."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from drawthrough.visit.sheet import load
from drawthrough.web.forms import values_of
from tests.browser import by_hand

DEMO = Path("examples/dirty-wheel-psc.toml")


@pytest.mark.property
def test_the_demo_typed_by_hand_is_judged_as_its_sheet(served, phone):
    """The same Judgement as `drawthrough judge` gives of the sheet; runs may stand in another order."""
    sheet = load(DEMO)
    page = phone(served)
    page.locator("#name").fill(sheet.site.name)
    page.locator("#altitude").fill(values_of(sheet.site)["altitude"])
    with page.expect_navigation():
        page.get_by_text("Begin the visit").tap()
    visit = page.url.removesuffix("/system").split("#")[0]

    place = page.locator('form[action$="/system/place"]')
    by_hand.fill(place, values_of(sheet.site))
    by_hand.send(page, place)
    equipment = page.locator('form[action$="/system/equipment"]')
    by_hand.fill(equipment, values_of(sheet.system))
    by_hand.send(page, equipment)
    for table in sheet.system.fan_table:
        form = page.locator('form[action$="/system/fan-table"]')
        by_hand.fill(form, {**values_of(table), "text": by_hand.pasted(table)})
        by_hand.send(page, form)
    for one in sheet.instrument:
        form = page.locator('form[action$="/system/instrument"].entry')
        by_hand.fill(form, values_of(one))
        by_hand.send(page, form)

    page.goto(f"{visit}/as-found")
    complaint = page.locator('form[action$="/complaint"]')
    by_hand.fill(complaint, {"words": sheet.complaint})
    by_hand.send(page, complaint)
    for name, things in (("pattern", sheet.pattern), ("gap", sheet.gap)):
        for one in things:
            form = page.locator(f'form[action$="/{name}"]')
            by_hand.fill(form, values_of(one))
            by_hand.send(page, form)

    def runs(when: str) -> None:
        begun = [run for run in sheet.run if run.when == when]
        for run in sorted(begun, key=lambda run: run.zero_for is not None):
            by_hand.describe(page, visit, run)
            for reading in run.reading:
                by_hand.write(page, reading)

    runs("as found")
    for room, name, things in (
        ("work", "work", sheet.work), ("leads", "leads/lead", sheet.lead), ("work", "price", sheet.price),
    ):  # fmt: skip
        page.goto(f"{visit}/{room}")
        for one in things:
            form = page.locator(f'form[action$="/{name}"].entry, form[action*="/{name}#"].entry')
            by_hand.fill(form, values_of(one))
            by_hand.send(page, form)
    runs("as left")

    page.goto(f"{visit}/proof")
    assert "1.27 times the air" in page.locator("h1").inner_text()
    told = page.request.get(f"{served}api/visits/{visit.rpartition('/')[2]}/judgement").json()
    command = [sys.executable, "-m", "drawthrough", "judge", str(DEMO), "--json"]
    expected = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    assert_same(told, expected)


def assert_same(told, expected) -> None:
    """Are two judgements the same, figures to nine digits, in whatever order the runs stand?"""
    assert told.keys() == expected.keys()
    for name in ("engine", "site", "system", "compared", "form"):
        assert told[name] == expected[name], name
    for name, key in (
        ("results", ("name", "when", "basis")),
        ("readings", ("run", "index")),
        ("findings", ("code", "names")),
        ("gains", ("part",)),
        ("next_readings", ("code",)),
    ):

        def place(one, key=key) -> str:
            return json.dumps([one.get(part) for part in key])

        ours, theirs = sorted(told[name], key=place), sorted(expected[name], key=place)
        assert list(map(place, ours)) == list(map(place, theirs)), name
        for one, other in zip(ours, theirs, strict=True):
            assert_alike(one, other, f"{name} {place(one)}")


def assert_alike(one, other, where) -> None:
    if isinstance(other, float) and isinstance(one, float | int):
        assert one == pytest.approx(other, rel=1e-6, abs=1e-9), where
    elif isinstance(other, dict):
        assert one.keys() == other.keys(), where
        for name in other:
            assert_alike(one[name], other[name], f"{where}.{name}")
    elif isinstance(other, list):
        assert len(one) == len(other), where
        for k, (ours, theirs) in enumerate(zip(one, other, strict=True)):
            assert_alike(ours, theirs, f"{where}[{k}]")
    else:
        assert one == other, where
