"""What happens on a real day: reload, back, two tabs, a slip taken back, no script, a killed server, odd files."""

import signal
import sqlite3
import struct
import subprocess
import sys
import zlib

import pytest

from drawthrough.visit.sheet import load
from tests.browser import by_hand, looking

pytestmark = pytest.mark.property
RUN = "strips-found"


@pytest.fixture
def visit(tmp_path):
    """A running application whose record holds the demo visit; the address of that visit."""
    import httpx

    with looking.serving("--data", str(tmp_path / "record")) as address:
        with open("examples/dirty-wheel-psc.toml", "rb") as file:
            where = httpx.post(f"{address}bring", data={"once": "brought"}, files={"file": ("demo.toml", file)})
        yield f"{address.rstrip('/')}{where.headers['location']}"


def begin(page, visit: str) -> None:
    """Begin a run of the fan alone, which has no reading yet."""
    page.goto(f"{visit}/describe?when=as+found&mode=fan")
    by_hand.send(page, page.locator("form.entry"))


def put(page, text: str) -> None:
    before = by_hand.once_of(page)
    page.locator("#value").fill(text)
    page.locator("#value").press("Enter")
    by_hand.wait_for_another(page, before)


def values(page) -> list[str]:
    return [one.inner_text() for one in page.locator("#written .value").all()]


def test_a_reload_loses_nothing_and_doubles_nothing(visit, phone):
    page = phone(visit)
    begin(page, visit)
    put(page, "0.10")
    put(page, "0.24")
    label = page.locator("label.asked").inner_text()
    page.reload()
    assert values(page) == ["−0.10", "−0.24"]
    assert page.locator("label.asked").inner_text() == label


def test_back_shows_what_was_written(visit, phone):
    page = phone(visit)
    begin(page, visit)
    put(page, "0.10")
    page.locator(".head .up").click()
    page.go_back()
    page.wait_for_selector("#written .value")
    assert values(page) == ["−0.10"]


def test_two_tabs_write_into_one_visit(visit, phone):
    page = phone(visit)
    begin(page, visit)
    other = page.context.new_page()
    other.goto(page.url)
    put(page, "0.10")
    put(other, "0.11")  # the second tab still asks for the same reading: both are kept, nothing is overwritten
    page.reload()
    assert values(page) == ["−0.10", "−0.11"]


@pytest.mark.parametrize("script", [True, False])
def test_a_button_pressed_twice_writes_once(visit, phone, script):
    page = phone(visit, script=script)
    begin(page, visit)
    page.locator("#value").fill("0.10")
    page.locator("#writing .btn").dblclick()
    page.wait_for_selector("#written .value")
    page.wait_for_timeout(300)
    page.reload()
    assert values(page) == ["−0.10"]


def test_a_slip_is_corrected_and_stays_legible(visit, phone):
    page = phone(visit)
    begin(page, visit)
    put(page, "0.42")
    row = page.locator("#written article").first
    row.locator("summary").click()
    with page.expect_navigation():
        row.get_by_text("Correct it").click()
    page.locator("#value").fill("0.24")
    page.locator("#why").fill("two figures turned round")
    with page.expect_navigation():
        page.locator("#value").press("Enter")
    assert values(page) == ["−0.24"]
    assert page.locator("#written s").inner_text() == "−0.42 inwc"
    assert "two figures turned round" in page.locator("#written").inner_text()


def test_a_reading_is_taken_back_and_put_back(visit, phone):
    page = phone(visit)
    begin(page, visit)
    put(page, "0.42")
    row = page.locator("#written article").first
    row.locator("summary").click()
    with page.expect_navigation():
        row.get_by_text("Take it back").click()
    assert values(page) == []
    gone = page.locator("details", has_text="taken back").first
    gone.locator("> summary").click()
    gone.locator("article summary").click()
    with page.expect_navigation():
        gone.get_by_text("Put it back").click()
    assert values(page) == ["−0.42"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("twelve", "number"),
        ("75 F", "F measures"),
        ("24 V", "V measures"),
        ("9999", "The range of static"),
    ],
)
def test_what_cannot_be_read_is_said_beside_the_line_and_kept(visit, phone, typed, said):
    page = phone(visit)
    begin(page, visit)
    page.locator("#value").fill(typed)
    with page.expect_response(lambda answer: answer.url.endswith("/reading")) as answer:
        page.locator("#value").press("Enter")
    assert answer.value.status == 422
    page.wait_for_selector("#told .refusal")
    assert said in page.locator("#told").inner_text()
    assert page.locator("#value").input_value() == typed
    page.reload()
    assert values(page) == []


def test_it_is_told_how_the_figure_is_read_before_it_is_written(visit, phone):
    page = phone(visit)
    begin(page, visit)
    page.locator("#value").press_sequentially("0,24")
    page.get_by_text("Reads as −0,24").wait_for()
    assert values(page) == []


def test_the_judgement_follows_without_a_reload(visit, phone):
    page = phone(f"{visit}/run/{RUN}?free=1")
    page.evaluate("() => { window.untouched = true; }")
    before = by_hand.once_of(page)
    page.locator("#value").fill("0.09")
    page.locator("#value").press("Enter")
    by_hand.wait_for_another(page, before)
    page.locator("#written article:last-child i.word", has_text="it stands").or_(
        page.locator("#written article:last-child i.word", has_text="in doubt")
    ).wait_for()
    assert page.evaluate("() => window.untouched") is True


def test_spanish_from_the_first_screen_on(visit, phone):
    page = phone(visit, language="es")
    assert page.locator("html").get_attribute("lang") == "es"
    assert "Como se encontró" in page.locator("main").inner_text()
    page.locator(".manner summary").click()
    with page.expect_navigation():
        page.get_by_role("button", name="English").click()
    assert page.locator("html").get_attribute("lang") == "en"


def test_dark_is_dark_and_is_remembered(visit, phone):
    page = phone(visit)
    page.locator(".manner summary").click()
    with page.expect_navigation():
        page.get_by_role("button", name="Dark").click()
    page.goto(f"{visit}/proof")
    red, green, blue = (
        int(part)
        for part in page.evaluate("() => getComputedStyle(document.body).backgroundColor.match(/[0-9]+/g).slice(0, 3)")
    )
    assert max(red, green, blue) < 60


def test_si_units_at_will(visit, phone):
    page = phone(f"{visit}/proof")
    assert "cfm" in page.locator("main").inner_text()
    page.locator(".manner summary").click()
    with page.expect_navigation():
        page.get_by_role("button", name="SI units").click()
    assert "L/s" in page.locator("main").inner_text()
    assert " cfm" not in page.locator("main").inner_text()


def png(side: int) -> bytes:
    """A grey picture of a size, made by hand: PNG (ISO/IEC 15948)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    rows = b"".join(b"\0" + bytes((x * 7 + y) % 256 for x in range(side)) for y in range(side))
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def test_a_photo_is_shrunk_on_the_device_and_shown(visit, phone, tmp_path):
    picture = tmp_path / "camera.png"
    picture.write_bytes(png(2400))
    page = phone(f"{visit}/photos?when=as+found")
    page.locator("#photo").set_input_files(picture)
    page.locator("#of").fill("wheel")
    page.wait_for_timeout(800)  # the picture is drawn anew on the device
    with page.expect_navigation():
        page.get_by_text("Keep the photo").click()
    shown = page.locator("main img").first
    shown.scroll_into_view_if_needed()
    page.wait_for_timeout(300)
    assert shown.evaluate("one => one.naturalWidth") == 1600
    kept = page.request.get(shown.evaluate("one => one.src"))
    assert kept.headers["content-type"] == "image/jpeg"
    assert shown.get_attribute("alt") == "wheel, as found"


def test_a_text_file_is_no_photo(visit, phone, tmp_path):
    file = tmp_path / "note.jpg"
    file.write_text("not a photo")
    page = phone(f"{visit}/photos")
    page.watch.allowed.append("415")
    page.locator("#photo").set_input_files(file)
    page.locator("#of").fill("wheel")
    with page.expect_navigation():
        page.get_by_text("Keep the photo").click()
    assert "not a photo" in page.locator(".refusal").inner_text()
    assert page.locator("#of").input_value() == "wheel"


def test_a_loggers_file_is_read_and_a_window_picked(visit, phone, tmp_path):
    rows = ["Time,Return dry bulb (F),Supply dry bulb (F),Power (W)"]
    for k in range(360):
        stamp = f"2026-04-02 {10 + k // 360:02d}:{k // 6 % 60:02d}:{k % 6 * 10:02d}"
        rows.append(f"{stamp},{76.0 + 0.1 * (k % 2):.1f},{56.0 + 0.1 * (k % 3):.1f},{2600 + k % 5}")
    file = tmp_path / "day.csv"
    file.write_text("\n".join(rows))
    page = phone(f"{visit}/log?run=cooling-left")
    page.locator("#log").set_input_files(file)
    with page.expect_navigation():
        page.get_by_role("button", name="Read it").click()
    assert page.locator("figure svg").count() == 1
    before = len(next(run for run in load("examples/dirty-wheel-psc.toml").run if run.id == "cooling-left").reading)
    with page.expect_navigation():
        page.get_by_text("Take these as readings of the run").first.click()
    assert len(values(page)) > before


def test_html_in_a_note_is_text(visit, phone):
    page = phone(visit)
    begin(page, visit)
    by_hand.fill(page.locator("#writing"), {"note": "<img src=x onerror=alert(1)><b>bold</b>"})
    put(page, "0.10")
    page.reload()
    assert "<b>bold</b>" in page.locator("#written").inner_text()
    assert page.locator("#written b").count() == 0


def test_an_unknown_visit_is_said_in_words(visit, phone):
    page = phone(visit)
    page.watch.allowed.append("404")
    page.goto(f"{visit}x")
    assert "nothing at this address" in page.locator("main").inner_text()


def test_without_script_everything_can_be_written(visit, phone):
    page = phone(visit, script=False)
    begin(page, visit)
    for typed in ("0.10", "0.24", "0.38"):
        page.locator("#value").fill(typed)
        with page.expect_navigation():
            page.locator("#value").press("Enter")
    assert values(page) == ["−0.10", "−0.24", "−0.38"]


def test_the_keyboard_alone_is_enough(visit, desktop):
    page = desktop(visit)
    begin(page, visit)
    page.keyboard.type("0.10")
    before = by_hand.once_of(page)
    page.keyboard.press("Enter")
    by_hand.wait_for_another(page, before)
    assert page.evaluate("() => document.activeElement.id") == "value"
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.matches('#writing *')")
    page.keyboard.press("Shift+Tab")
    page.keyboard.type("0.24")
    before = by_hand.once_of(page)
    page.keyboard.press("Enter")
    by_hand.wait_for_another(page, before)
    assert values(page) == ["−0.10", "−0.24"]


def test_a_server_killed_between_two_facts_loses_nothing(tmp_path, phone):
    """What was acknowledged is on disk: the process is killed outright, and a new one shows it."""
    import httpx

    record = tmp_path / "record"
    command = [sys.executable, "-m", "drawthrough", "serve", "--port", "0", "--data", str(record)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    address = looking.ADDRESS.search(child.stdout.readline())[0]
    with open("examples/dirty-wheel-psc.toml", "rb") as file:
        where = httpx.post(f"{address}bring", data={"once": "brought"}, files={"file": ("demo.toml", file)})
    visit = where.headers["location"]
    sent = {
        "run": RUN,
        "what": "static",
        "at": "return plenum",
        "against": "room",
        "value": "0.099",
        "value_unit": "inwc",
    }
    assert httpx.post(f"{address.rstrip('/')}{visit}/reading", data={"once": "fact-1", **sent}).status_code == 303
    child.send_signal(signal.SIGKILL)
    child.wait()
    child.stdout.close()
    with looking.serving("--data", str(record)) as again:
        page = phone(f"{again.rstrip('/')}{visit}/run/{RUN}")
        assert values(page).count("−0.099") == 1
        httpx.post(f"{again.rstrip('/')}{visit}/reading", data={"once": "fact-1", **sent})
        page.reload()
        assert values(page).count("−0.099") == 1


def test_a_record_of_a_newer_version_is_left_as_it_is(tmp_path):
    record = tmp_path / "record"
    with looking.serving("--data", str(record)):
        pass
    database = sqlite3.connect(record / "visits.sqlite")
    database.execute("INSERT INTO migration (number, name) VALUES (99, 'from the future')")
    database.commit()
    database.close()
    before = (record / "visits.sqlite").read_bytes()
    command = [sys.executable, "-m", "drawthrough", "serve", "--port", "0", "--data", str(record)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=20, check=False)
    assert done.returncode == 1
    assert "newer" in done.stderr
    assert (record / "visits.sqlite").read_bytes() == before
