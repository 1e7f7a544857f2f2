"""A person at the pages: fills in forms by their labels' fields, opens what is folded, writes readings on the line."""

import time
from typing import Any

from drawthrough.visit.sheet_text import quantity_text
from drawthrough.visit.state import FanTable, Reading, Run
from drawthrough.web.forms import values_of


def fill(form: Any, values: dict[str, str]) -> None:
    """Fill in the fields of a form by their names; what is folded is opened first."""
    for name, value in values.items():
        field = form.locator(f'[name="{name}"]')
        if not field.count():
            continue
        kind = field.first.evaluate("one => one.type || one.tagName.toLowerCase()")
        if kind == "hidden":
            continue
        unfold(field.first)
        if kind == "radio":
            form.locator(f'[name="{name}"][value="{value}"]').check()
        elif kind == "select-one":
            field.select_option(value)
        else:
            field.fill(value)


def unfold(field: Any) -> None:
    """Open every fold that a field lies in, the outermost first, by its own summary."""
    folds = field.locator("xpath=ancestor::details[not(@open)]")
    for _ in range(folds.count()):
        folds.first.locator("> summary").click()


def send(page: Any, form: Any, button: str = ".btn, .quiet") -> None:
    """Press a form's own button and wait for the page that comes."""
    with page.expect_navigation():
        form.locator(button).last.click()


def pasted(table: FanTable) -> str:
    """A fan table as a spreadsheet would give it."""
    return "\n".join(
        f"{quantity_text(static, 'static')}\t{quantity_text(airflow, 'airflow')}"
        for static, airflow in zip(table.static, table.airflow, strict=True)
    )


def describe(page: Any, visit: str, run: Run) -> None:
    """Begin a run."""
    page.goto(f"{visit}/describe?when={run.when.replace(' ', '+')}&mode={run.mode}")
    form = page.locator("form.entry")
    fill(form, values_of(run))
    send(page, form)


def write(page: Any, reading: Reading) -> None:
    """Write one reading on the line: on the one that is asked for if it is this one, else on one chosen by hand."""
    form = page.locator("#writing")
    asked = {
        name: form.locator(f'input[type="hidden"][name="{name}"]').input_value()
        if form.locator(f'input[type="hidden"][name="{name}"]').count()
        else ""
        for name in ("what", "at", "against")
    }
    typed = values_of(reading)
    if asked != {"what": reading.what, "at": reading.at, "against": reading.against or ""}:
        other = form.get_by_text("Another reading").or_(form.get_by_text("Write down another"))
        unfold(other)
        with page.expect_navigation():
            other.click()
        form = page.locator("#writing")
        if form.locator("#what").input_value() != reading.what:
            before = once_of(page)
            form.locator("#what").select_option(reading.what)
            wait_for_another(page, before)
        fill(page.locator("#writing"), {name: typed.get(name, "") for name in ("at", "against")})
    form = page.locator("#writing")
    fill(form, {name: typed.get(name, "") for name in ("with", "time", "note", "hole")})
    form.locator("#value").fill(typed["value"])
    before = once_of(page)
    form.locator("#value").press("Enter")
    wait_for_another(page, before)


def once_of(page: Any) -> str:
    """The id that the writing line would write under: each line has its own."""
    return str(page.locator('#writing [name="once"]').input_value())


def wait_for_another(page: Any, before: str, patience: float = 8.0) -> None:
    """Wait until another writing line stands there; a page's policy forbids the driver to wait inside it."""
    until = time.monotonic() + patience
    while True:
        line = page.locator('#writing [name="once"]')
        if line.count() and line.first.input_value() != before:
            return
        assert time.monotonic() < until, f"no new line: {page.locator('#told').inner_text()}"
        page.wait_for_timeout(10)
