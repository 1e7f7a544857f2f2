"""What can go wrong with the file and the disk: a clear sentence each time, nothing lost, nothing doubled."""

import errno
import os
import sqlite3
from contextlib import closing

import pytest

from drawthrough.store import StoreError
from drawthrough.store.folder import PhotoFolder
from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit import codec
from tests.store.hands import Hand, files_of, kept_by, two_visits

PHOTO = b"\xff\xd8\xff\xe0 a wheel, as found \x00" * 50
JOURNALS = ("wal", "truncate")

pytestmark = pytest.mark.property


@pytest.fixture(params=JOURNALS)
def journal(request):
    return request.param


@pytest.fixture
def kept(tmp_path, journal):
    """A database with two visits, closed, in a folder of its own."""
    (tmp_path / "data").mkdir()
    path = tmp_path / "data" / "visits.db"
    with closing(SqliteStore(path, journal=journal)) as store:
        store.append(two_visits())
        store.put_photo(PHOTO, "image/jpeg")
    return path


def refused(path, kind, words, journal="wal"):
    """Opening is refused with these words, and leaves the file as it is."""
    before = path.read_bytes()
    with pytest.raises(StoreError, match=words) as caught:
        SqliteStore(path, journal=journal, patience=0.05)
    assert caught.value.kind == kind
    assert path.read_bytes() == before


def test_what_was_kept_is_there_after_opening_again(kept, journal):
    with closing(SqliteStore(kept, journal=journal)) as store:
        assert kept_by(store) == two_visits()
        assert store.append(two_visits()) == 0
        assert store.photo(store.put_photo(PHOTO, "image/jpeg")).content == PHOTO


def test_the_other_journal_reads_the_same_file(kept, journal):
    (other,) = set(JOURNALS) - {journal}
    with closing(SqliteStore(kept, journal=other)) as store:
        assert kept_by(store) == two_visits()
        assert store.append([Hand(seed=5).works()]) == 1


def test_durability_is_full(kept, journal):
    with closing(SqliteStore(kept, journal=journal)) as store:
        assert store._connection.execute("PRAGMA journal_mode").fetchone() == (journal,)
        assert store._connection.execute("PRAGMA synchronous").fetchone() == (2,)  # FULL


def test_the_lines_are_kept_as_the_codec_writes_them(kept):
    with closing(sqlite3.connect(kept)) as raw:
        lines = [line for (line,) in raw.execute("SELECT line FROM fact ORDER BY number")]
    assert lines == [codec.encode(fact) for fact in two_visits()]


def test_the_database_itself_refuses_to_change_a_fact(kept):
    with closing(sqlite3.connect(kept)) as raw:
        for statement in ("DELETE FROM fact WHERE number = 1", "UPDATE fact SET line = '' WHERE number = 1"):
            with pytest.raises(sqlite3.IntegrityError, match="for ever"):
                raw.execute(statement)


def test_the_same_file_open_twice_shows_the_same(kept, journal):
    hand = Hand(seed=5)
    with closing(SqliteStore(kept, journal=journal)) as one, closing(SqliteStore(kept, journal=journal)) as two:
        cursor = two.since(0)[1]
        one.append([worked := hand.works()])
        assert two.since(cursor)[0] == [worked]
        assert two.append([worked]) == 0


def test_a_locked_database_says_so_and_takes_the_fact_afterwards(kept, journal):
    fact = Hand(seed=5).works()
    with closing(SqliteStore(kept, journal=journal, patience=0.05)) as store:
        with closing(sqlite3.connect(kept, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StoreError, match=r"holds .*visits\.db locked; nothing was written") as caught:
                store.append([fact])
            assert caught.value.kind == "locked"
            assert kept_by(store) == two_visits(), "reading goes on"
            with pytest.raises(StoreError, match="locked"):
                store.put_photo(b"another", "image/jpeg")
            other.execute("COMMIT")
        assert store.append([fact]) == 1
        assert kept_by(store) == [*two_visits(), fact]


def test_a_database_that_another_program_has_to_itself_is_not_opened(kept, journal):
    if journal == "wal":  # a write-ahead log has no such lock; only the first opening of all takes one
        kept.unlink()
    with closing(sqlite3.connect(kept, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        refused(kept, "locked", "locked; nothing was written", journal)
        other.execute("COMMIT")
    SqliteStore(kept, journal=journal).close()


def test_a_full_disk_says_so_and_takes_the_fact_afterwards(kept, journal):
    hand = Hand(seed=5)
    with closing(SqliteStore(kept, journal=journal)) as store:
        (pages,) = store._connection.execute("PRAGMA page_count").fetchone()
        store._connection.execute(f"PRAGMA max_page_count = {pages}")
        batch = [hand.reads(float(k)) for k in range(200)]
        with pytest.raises(StoreError, match=r"no room left for .*visits\.db; nothing was written") as caught:
            store.append(batch)
        assert caught.value.kind == "full"
        assert kept_by(store) == two_visits(), "of a call that failed nothing is kept"
        with pytest.raises(StoreError, match="no room"):
            store.put_photo(PHOTO * 40, "image/jpeg")
        store._connection.execute("PRAGMA max_page_count = 100000")
        assert store.append(batch) == 200
        assert store.has_photo(store.put_photo(PHOTO * 40, "image/jpeg"))
    with closing(SqliteStore(kept, journal=journal)) as store:
        assert kept_by(store) == [*two_visits(), *batch]


def test_a_database_from_a_newer_version_is_left_alone(kept, journal):
    with closing(sqlite3.connect(kept)) as raw, raw:
        raw.execute("INSERT INTO migration (name) VALUES ('step_of_tomorrow')")
    for asked in JOURNALS:
        refused(kept, "newer", r"newer version of the program \(step_of_tomorrow\)", asked)
    with closing(sqlite3.connect(kept)) as raw:
        assert raw.execute("PRAGMA journal_mode").fetchone() == ("wal" if journal == "wal" else "delete",)


@pytest.mark.parametrize(
    "text", [b"x", b"Dear diary,\n", b"Dear diary,\n" * 1000, bytes(8192), b"SQLite format 2\x00" * 99]
)
def test_another_file_is_no_database(tmp_path, journal, text):
    path = tmp_path / "notes.txt"
    path.write_bytes(text)
    refused(path, "not a database", r"notes\.txt is not a database; it was left as it is", journal)
    assert files_of(tmp_path) == {"notes.txt": text}


def test_a_database_of_another_program_is_left_alone(tmp_path, journal):
    path = tmp_path / "other.db"
    for statement in ("CREATE TABLE song (name TEXT)", "PRAGMA application_id = 7"):
        with closing(sqlite3.connect(path)) as raw, raw:
            raw.execute(statement)
        refused(path, "not a database", "another program", journal)


def test_an_empty_file_becomes_a_database(tmp_path, journal):
    path = tmp_path / "new.db"
    path.touch()
    with closing(SqliteStore(path, journal=journal)) as store:
        assert store.append(two_visits()) == len(two_visits())


def test_a_database_that_was_cut_off_is_refused(kept, journal):
    whole = kept.read_bytes()
    for size in [
        1,
        15,
        16,
        17,
        99,
        100,
        512,
        4095,
        4096,
        4097,
        *range(8192, len(whole), 4096),
        len(whole) - 100,
        len(whole) - 1,
    ]:
        kept.write_bytes(whole[:size])
        refused(kept, "damaged" if size >= 16 else "not a database", r"visits\.db is", journal)
    kept.write_bytes(whole)
    with closing(SqliteStore(kept, journal=journal)) as store:
        assert kept_by(store) == two_visits()


def test_a_place_that_is_not_there_is_named(tmp_path):
    for path in (tmp_path / "nowhere" / "visits.db", tmp_path):
        with pytest.raises(StoreError, match="cannot be opened") as caught:
            SqliteStore(path)
        assert caught.value.kind == "unreachable"
        assert str(path) in str(caught.value)


def test_a_damaged_fact_is_named_and_the_others_are_read(kept, journal):
    spoilt = two_visits()[0]
    with closing(sqlite3.connect(kept)) as raw, raw:
        raw.execute("DROP TRIGGER fact_stays_as_it_is")
        raw.execute("UPDATE fact SET line = substr(line, 1, 40) WHERE id = ?", (spoilt.id,))
    with closing(SqliteStore(kept, journal=journal)) as store:
        for ask in (lambda: store.facts("visit-1"), lambda: store.since(0), lambda: store.append([spoilt])):
            with pytest.raises(StoreError, match=f"{spoilt.id} was kept but cannot be read: .*not JSON") as caught:
                ask()
            assert (caught.value.kind, caught.value.fact) == ("damaged", spoilt.id)
        assert len(store.facts("visit-2")) == 5
        assert store.since(1)[0] == two_visits()[1:]
        assert store.append([Hand(seed=5).works()]) == 1


def test_a_fact_of_a_newer_program_is_named(kept, journal):
    with closing(sqlite3.connect(kept)) as raw, raw:
        raw.execute(
            "INSERT INTO fact (id, visit, device, sequence, moment, kind, line) VALUES"
            """ ('n', 'visit-9', 'd', 1, 1, 'sung', '{"version": 99, "fact": "sung"}')"""
        )
    with (
        closing(SqliteStore(kept, journal=journal)) as store,
        pytest.raises(StoreError, match="fact n was kept but cannot be read: This fact is of version 99"),
    ):
        store.facts("visit-9")


def test_a_line_of_an_older_program_is_the_same_fact(kept, journal):
    first = two_visits()[0]
    with closing(sqlite3.connect(kept)) as raw, raw:  # as if an older codec had put the members in another order
        raw.execute("DROP TRIGGER fact_stays_as_it_is")
        raw.execute("UPDATE fact SET line = json_patch('{}', line) || '  ' WHERE id = ?", (first.id,))
    with closing(SqliteStore(kept, journal=journal)) as store:
        assert store.append([first]) == 0


class TestPhotoFolder:
    """Photos as files beside the database."""

    @pytest.fixture
    def place(self, tmp_path):
        return tmp_path / "photos"

    @pytest.fixture
    def store(self, tmp_path, place):
        with closing(SqliteStore(tmp_path / "visits.db", photos=place)) as store:
            yield store

    def test_a_photo_is_a_file_under_its_digest_and_nothing_else_stays(self, store, place):
        digest = store.put_photo(PHOTO, "image/jpeg")
        first = (place / digest).stat()
        store.put_photo(PHOTO, "image/jpeg")
        assert files_of(place) == {digest: PHOTO}
        assert (place / digest).stat().st_ino == first.st_ino, "it is not written again"

    def test_a_photo_that_was_lost_is_not_here_and_can_be_put_in_again(self, store, place):
        digest = store.put_photo(PHOTO, "image/jpeg")
        (place / digest).unlink()
        assert not store.has_photo(digest)
        assert store.photo(digest) is None
        store.put_photo(PHOTO, "image/jpeg")
        assert store.photo(digest).content == PHOTO

    def test_a_photo_that_was_cut_off_is_seen_and_mended(self, store, place):
        digest = store.put_photo(PHOTO, "image/jpeg")
        (place / digest).write_bytes(PHOTO[:-1])
        assert not store.has_photo(digest)
        with pytest.raises(StoreError, match=f"photo {digest} is damaged") as caught:
            store.photo(digest)
        assert caught.value.kind == "damaged"
        store.put_photo(PHOTO, "image/jpeg")
        assert store.photo(digest).content == PHOTO

    def test_a_write_that_breaks_off_leaves_no_file(self, store, place, monkeypatch):
        def broken(handle):
            raise OSError(errno.ENOSPC, "No space left on device")

        monkeypatch.setattr("drawthrough.store.folder.os.fsync", broken)
        with pytest.raises(StoreError, match="no room left") as caught:
            store.put_photo(PHOTO, "image/jpeg")
        assert caught.value.kind == "full"
        assert files_of(place) == {}
        monkeypatch.undo()
        assert store.has_photo(store.put_photo(PHOTO, "image/jpeg"))

    def test_a_name_appears_only_after_the_content_is_on_disk(self, store, place, monkeypatch):
        done = []
        real_sync, real_replace = os.fsync, os.replace
        monkeypatch.setattr(os, "fsync", lambda handle: (done.append("sync"), real_sync(handle)))
        monkeypatch.setattr(os, "replace", lambda old, new: (done.append("name"), real_replace(old, new)))
        store.put_photo(PHOTO, "image/jpeg")
        assert done == ["sync", "sync", "name", "sync"], "the new folder; content, name, the name in its folder"

    def test_what_a_killed_writer_left_is_no_photo(self, store, place):
        place.mkdir()
        (place / "abc.part").write_bytes(PHOTO[:100])
        assert not store.has_photo("abc.part")
        assert store.photo("abc.part") is None

    def test_a_folder_that_is_a_file_is_named(self, store, place):
        place.write_bytes(b"")
        with pytest.raises(StoreError, match="photos") as caught:
            store.put_photo(PHOTO, "image/jpeg")
        assert caught.value.kind == "unreachable"

    def test_photos_move_from_the_file_to_a_folder_and_back(self, tmp_path, place):
        path = tmp_path / "moved.db"
        with closing(SqliteStore(path)) as store:
            first = store.put_photo(PHOTO, "image/jpeg")
        with closing(SqliteStore(path, photos=place)) as store:
            assert store.photo(first).content == PHOTO
            second = store.put_photo(PHOTO * 2, "image/png")
        with closing(SqliteStore(path)) as store:
            assert store.has_photo(first)
            assert not store.has_photo(second)
            store.put_photo(PHOTO * 2, "image/png")
            assert store.photo(second).content == PHOTO * 2

    def test_a_missing_file_has_no_size(self, place):
        assert PhotoFolder(place).size("0" * 64) is None
        assert PhotoFolder(place).get("0" * 64) is None
