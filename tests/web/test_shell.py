"""What stands around every page: headers, language, light, refusals, the list of visits, taking back, photos, logs."""

import pkgutil
import re
from importlib import import_module
from typing import Annotated, get_origin, get_type_hints

import pytest

from drawthrough.store import StoreError
from drawthrough.web import views
from drawthrough.web.views import View

pytestmark = pytest.mark.property

PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(20)
FOREIGN = {"origin": "http://elsewhere.example", "host": "127.0.0.1"}


def hidden(page: str, name: str) -> str:
    """The value of a hidden field of a page."""
    return re.search(rf'name="{name}" value="([^"]*)"', page)[1]


def all_views() -> list[type[View]]:
    for module in pkgutil.iter_modules(views.__path__):
        import_module(f"{views.__name__}.{module.name}")
    found, todo = [], [View]
    while todo:
        todo += (below := todo.pop().__subclasses__())
        found += below
    return found


@pytest.mark.parametrize("view", all_views(), ids=lambda view: view.__name__)
def test_every_field_of_a_view_says_what_it_is_for(view):
    hints = get_type_hints(view, include_extras=True)
    assert view.__struct_config__.frozen
    for name in view.__struct_fields__:
        assert get_origin(hints[name]) is Annotated, name
        assert len(hints[name].__metadata__[0]) > 8, name


def test_every_answer_carries_the_policy(demo):
    for path in ("/", f"/visit/{demo.visit}", "/nothing", "/static/drawthrough.css", "/api/visits"):
        policy = demo.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy


def test_pages_hold_no_inline_style_or_script(demo):
    for path in ("/", f"/visit/{demo.visit}", f"/visit/{demo.visit}/plan", f"/visit/{demo.visit}/photos"):
        page = demo.get(path).text
        assert not re.search(r"<script(?![^>]* src=)|<style|\sstyle=|\son[a-z]+=|https?://(?!www\.w3\.org)", page)


def test_the_language_comes_from_the_browser_and_can_be_chosen(client):
    client.headers["accept-language"] = "es-MX,es;q=0.9,en;q=0.5"
    assert '<html lang="es"' in client.get("/").text
    client.post("/preferences", data={"language": "en", "here": "/"})
    assert '<html lang="en"' in client.get("/").text


@pytest.mark.parametrize(
    ("header", "language"),
    [
        ("", "en"),
        ("fr", "en"),
        ("fr, es;q=0.2", "es"),
        ("es;q=0, en", "en"),
        ("en;q=0.1, es;q=0.9", "es"),
        ("x;q=", "en"),
    ],
)
def test_the_first_language_follows_its_weights(client, header, language):
    """RFC 9110, section 12.5.4."""
    assert f'<html lang="{language}"' in client.get("/", headers={"accept-language": header}).text


def test_light_is_chosen_and_nonsense_is_not(client):
    client.post("/preferences", data={"light": "dark", "here": "/"})
    assert 'data-light="dark"' in client.get("/").text
    client.post("/preferences", data={"light": "purple", "here": "/"})
    assert 'data-light="dark"' in client.get("/").text


@pytest.mark.parametrize("here", ["//elsewhere.example", "http://elsewhere.example", "/\\elsewhere.example", ""])
def test_the_way_back_stays_here(client, here):
    assert client.post("/preferences", data={"here": here}).headers["location"] == "/"


def test_another_sites_page_may_not_write(client):
    assert client.post("/preferences", headers=FOREIGN).status_code == 403
    assert client.post("/preferences", headers={"sec-fetch-site": "cross-site"}).status_code == 403


def test_another_name_for_this_machine_is_turned_away(client):
    assert client.get("/", headers={"host": "elsewhere.example"}).status_code == 400


@pytest.mark.parametrize(
    "path", ["/visit/nobody", "/visit/nobody/plan", "/visit/nobody/photos", "/static/../app.py", "/x"]
)
def test_an_unknown_address_is_said_in_words(client, path):
    answer = client.get(path)
    assert answer.status_code == 404
    assert "There is nothing at this address" in answer.text


def test_a_visit_is_begun_once(client):
    once = hidden(client.get("/").text, "once")
    form = {"once": once, "name": "<b>Corner house</b>", "altitude": "1120 ft"}
    first = client.post("/visit", data=form)
    again = client.post("/visit", data=form)
    assert first.status_code == again.status_code == 303
    assert first.headers["location"] == again.headers["location"] == f"/visit/{once}/system"
    page = client.get("/").text
    assert page.count("&lt;b&gt;Corner house&lt;/b&gt;") == 1
    assert "<b>Corner" not in page
    assert client.ledger.opened(once).folded.site.altitude == pytest.approx(1120 * 0.3048)


def test_an_altitude_without_a_unit_is_refused_in_words(client):
    answer = client.post("/visit", data={"once": "x", "name": "Corner house", "altitude": "twelve"})
    assert answer.status_code == 422
    assert client.ledger.lines() == []


def test_another_visit_takes_over_what_does_not_change(demo):
    page = demo.get("/").text
    system = hidden(page, "system")
    where = demo.post("/visit", data={"once": hidden(page, "once"), "system": system}).headers["location"]
    first, second = demo.ledger.opened(demo.visit).folded, demo.ledger.opened(where.rpartition("/")[2]).folded
    assert (second.system_id, second.site, second.system, second.instrument) == (
        first.system_id, first.site, first.system, first.instrument,
    )  # fmt: skip
    assert second.run == ()


def test_taking_back_and_putting_back(demo):
    path = f"/visit/{demo.visit}"
    before = demo.ledger.opened(demo.visit).folded
    last = before.price[-1].item
    page = demo.get(path).text
    demo.post(f"{path}/withdraw", data={"once": hidden(page, "once"), "of": hidden(page, "of"), "here": path})
    assert last not in {price.item for price in demo.ledger.opened(demo.visit).folded.price}
    page = demo.get(path).text
    assert "Put back" in page
    undo = page[page.index("Put back") - 900 : page.index("Put back")]
    demo.post(f"{path}/withdraw", data={"once": "w2", "of": re.findall(r'name="of" value="([^"]*)"', undo)[-1]})
    assert demo.ledger.opened(demo.visit).folded.price == before.price


def test_the_beginning_of_a_visit_is_not_taken_back(demo):
    first = demo.ledger.opened(demo.visit).facts[0].id
    assert demo.post(f"/visit/{demo.visit}/withdraw", data={"once": "w", "of": first}).status_code == 404


def test_a_sheet_goes_out_and_comes_in_the_same(demo, client):
    sheet = demo.get(f"/visit/{demo.visit}/sheet.toml")
    where = client.post("/bring", data={"once": "b"}, files={"file": ("visit.toml", sheet.content)}).headers["location"]
    assert client.ledger.opened(where.rpartition("/")[2]).visit == demo.ledger.opened(demo.visit).visit
    lines = demo.get(f"/visit/{demo.visit}/facts.jsonl")
    client.post("/bring", data={"once": "c"}, files={"file": ("visit.jsonl", lines.content)})
    assert client.ledger.opened(demo.visit).facts == demo.ledger.opened(demo.visit).facts


@pytest.mark.parametrize(
    ("name", "content", "status"),
    [
        ("a.toml", b"[site]\n", 422),
        ("a.toml", b"\xff\xfe\x00", 422),
        ("a.jsonl", b"no fact", 422),
        ("a.jsonl", b"\xff", 415),
    ],
)
def test_a_file_that_is_no_record_is_refused(client, name, content, status):
    assert client.post("/bring", data={"once": "b"}, files={"file": (name, content)}).status_code == status
    assert client.ledger.lines() == []


def test_a_photo_is_kept_once_and_shown(demo):
    path = f"/visit/{demo.visit}/photos"
    once = hidden(demo.get(path).text, "once")
    for _ in range(2):
        answer = demo.post(
            path, data={"once": once, "of": "<i>wheel</i>", "when": "as found"}, files={"photo": ("p.png", PNG)}
        )
        assert answer.status_code == 303
    (fact,) = demo.ledger.opened(demo.visit).folded.photo
    assert demo.get(f"/photo/{fact.digest}").content == PNG
    page = demo.get(path).text
    assert "&lt;i&gt;wheel&lt;/i&gt;" in page
    assert f'src="/photo/{fact.digest}"' in page


@pytest.mark.parametrize(
    ("content", "status", "said"),
    [
        (b"just text", 415, "not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", 415, "not a photo"),
        (PNG + bytes(9 * 1024 * 1024), 413, "more than 8 MB"),
        (PNG + bytes(40 * 1024 * 1024), 413, "larger than the 12 MB"),
        (b"", 422, "No photo was chosen"),
    ],
    ids=["text", "svg", "9 MB", "40 MB", "empty"],
)
def test_what_is_no_photo_is_refused_and_what_was_typed_stays(demo, content, status, said):
    path = f"/visit/{demo.visit}/photos"
    answer = demo.post(
        path, data={"once": "p", "of": "the wheel", "when": "as left"}, files={"photo": ("p.png", content)}
    )
    assert answer.status_code == status
    assert said in answer.text
    assert demo.ledger.opened(demo.visit).folded.photo == ()
    if "12 MB" not in said:
        assert 'value="the wheel"' in answer.text


def log_of(minutes: int) -> bytes:
    """A steady cooling run, one row each ten seconds: invented."""
    rows = ["Time,Return dry bulb (F),Supply dry bulb (F),Power (W)"]
    for k in range(minutes * 6):
        stamp = f"2026-04-02 {10 + k // 360:02d}:{k // 6 % 60:02d}:{k % 6 * 10:02d}"
        rows.append(f"{stamp},{76.0 + 0.1 * (k % 2):.1f},{56.0 + 0.1 * (k % 3):.1f},{2600 + k % 5}")
    return "\n".join(rows).encode()


def test_a_logs_window_becomes_readings_once(demo):
    path = f"/visit/{demo.visit}/log"
    before = len(next(run for run in demo.ledger.opened(demo.visit).folded.run if run.id == "cooling-left").reading)
    where = demo.post(f"{path}?run=cooling-left", data={"once": "log1"}, files={"log": ("day.csv", log_of(60))})
    page = demo.get(where.headers["location"]).text
    assert "day.csv" in page
    form = {name: re.findall(rf'name="{name}" value="([^"]*)"', page)[-1] for name in ("once", "first", "log")}
    for _ in range(2):
        assert demo.post(f"{path}/pick?run=cooling-left", data=form).status_code == 303
    run = next(run for run in demo.ledger.opened(demo.visit).folded.run if run.id == "cooling-left")
    added = run.reading[before:]
    assert {(one.what, one.at) for one in added} >= {("dry_bulb", "return"), ("dry_bulb", "supply")}
    assert all(one.uncertainty for one in added)
    assert added[0].value == pytest.approx((76.05 - 32) / 1.8 + 273.15, abs=0.06)


def test_a_file_that_is_no_log_is_refused(demo):
    for content in (b"no table", b"\x00\x01", b"a,b\n1,2\n"):
        answer = demo.post(
            f"/visit/{demo.visit}/log?run=cooling-left", data={"once": "l"}, files={"log": ("x.csv", content)}
        )
        assert answer.status_code == 422
    assert demo.ledger.opened(demo.visit).folded.log == ()


@pytest.mark.parametrize(
    ("kind", "status"), [("locked", 503), ("full", 507), ("newer", 503), ("damaged", 500), ("unreachable", 503)]
)
def test_what_the_store_cannot_do_is_said_in_words(demo, monkeypatch, kind, status):
    def refuse(*_: object) -> None:
        raise StoreError(kind, "the particulars")

    monkeypatch.setattr(demo.ledger.store, "append", refuse)
    answer = demo.post(f"/visit/{demo.visit}/photos", data={"once": "p", "of": "x"}, files={"photo": ("p.png", PNG)})
    assert answer.status_code == status
    assert "the particulars" not in answer.text
    assert demo.ledger.opened(demo.visit).folded.photo == ()


def test_a_fault_of_the_program_is_owned(demo, monkeypatch):
    monkeypatch.setattr(demo.ledger, "lines", lambda: 1 / 0)
    answer = demo.get("/")
    assert answer.status_code == 500
    assert "A fault of this program" in answer.text
