"""The application over a record on disk: a lock of another program, a full disk, and what is there afterwards."""

import errno
import sqlite3

import pytest

from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit.sheet import load
from drawthrough.web import create_app
from tests.web.conftest import DEMO, Client, SteppingTimepiece

pytestmark = pytest.mark.property
SENT = {"run": "strips-left", "what": "static", "at": "return plenum", "against": "room", "value": "0.15 inwc"}


@pytest.fixture
def record(tmp_path):
    store = SqliteStore(tmp_path / "visits.sqlite", photos=tmp_path / "photos", patience=0.05)
    app = create_app(store, SteppingTimepiece(), device="disk")
    yield Client(app, app.state.ledger.bring_visit(load(DEMO), app.state.ledger.once()))
    store.close()


def readings(client) -> int:
    return sum(len(run.reading) for run in client.ledger.opened(client.visit).folded.run)


def test_a_locked_record_is_said_and_the_same_form_goes_through_later(record, tmp_path):
    before = readings(record)
    other = sqlite3.connect(tmp_path / "visits.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    refused = record.post(f"/visit/{record.visit}/reading", data={"once": "locked-1", **SENT})
    assert refused.status_code == 503
    assert "locked" in refused.text
    assert readings(record) == before
    other.execute("ROLLBACK")
    other.close()
    for _ in range(2):
        assert record.post(f"/visit/{record.visit}/reading", data={"once": "locked-1", **SENT}).status_code == 303
    assert readings(record) == before + 1


def test_a_full_disk_is_said_and_nothing_is_kept(record, tmp_path, monkeypatch):
    """A photo goes to the folder beside the record; the disk says that it is full, as errno ENOSPC."""
    from drawthrough.store import folder

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(folder.PhotoFolder, "put", full)
    png = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(20)
    answer = record.post(
        f"/visit/{record.visit}/photos", data={"once": "p", "of": "x"}, files={"photo": ("p.png", png)}
    )
    assert answer.status_code == 507
    assert "disk is full" in answer.text
    assert record.ledger.opened(record.visit).folded.photo == ()


def test_what_was_acknowledged_is_there_for_another_process(record, tmp_path):
    record.post(f"/visit/{record.visit}/reading", data={"once": "kept-1", **SENT})
    again = SqliteStore(tmp_path / "visits.sqlite", photos=tmp_path / "photos")
    assert again.has("kept-1")
    again.close()


def test_two_applications_on_one_record_see_each_other(record, tmp_path):
    store = SqliteStore(tmp_path / "visits.sqlite", photos=tmp_path / "photos")
    other = Client(create_app(store, SteppingTimepiece(10**9), device="second"), record.visit)
    before = readings(other)
    record.post(f"/visit/{record.visit}/reading", data={"once": "seen-1", **SENT})
    assert readings(other) == before + 1
    other.post(f"/visit/{record.visit}/reading", data={"once": "seen-2", **SENT})
    assert readings(record) == before + 2
    store.close()
