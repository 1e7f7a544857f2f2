"""The store's contract: one class of tests, run unchanged over every way of keeping facts."""

import hashlib
import random
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

from drawthrough.store import FactConflict, Store, StoreError
from drawthrough.visit import codec, facts
from drawthrough.visit.fold import fold, in_order
from drawthrough.visit.state import Site
from tests.store.hands import MAKERS, Hand, altered, kept_by, reading, two_visits

PHOTO = b"\xff\xd8\xff\xe0 a wheel, as found \x00" * 50


@pytest.mark.property
class TestContract:
    """What every store promises."""

    @pytest.fixture(params=MAKERS)
    def store(self, request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
        made = MAKERS[request.param](tmp_path)
        yield made
        made.close()

    def test_an_empty_store_answers(self, store):
        assert store.facts("visit-1") == []
        assert store.since(0) == ([], 0)
        assert store.visits() == []
        assert store.highest_sequence("phone") == 0
        assert store.photo("0" * 64) is None
        assert not store.has_photo("0" * 64)
        assert store.append([]) == 0

    def test_what_is_put_in_comes_out(self, store):
        minted = two_visits()
        assert store.append(minted) == len(minted)
        for visit in ("visit-1", "visit-2"):
            assert store.facts(visit) == [fact for fact in in_order(minted) if fact.visit == visit]
        assert store.facts("visit-3") == []

    def test_the_order_is_that_of_all_devices_not_of_arrival(self, store):
        minted = two_visits()
        expected = [fact for fact in in_order(minted) if fact.visit == "visit-1"]
        random.Random(3).shuffle(minted)
        for fact in minted:
            store.append([fact])
        assert store.facts("visit-1") == expected

    def test_facts_of_one_moment_are_ordered_by_device_and_number(self, store):
        fact = Hand().opens()
        places = [("tablet", 1, "d"), ("phone", 2, "a"), ("tablet", 1, "c"), ("phone", 10, "b"), ("Phone", 3, "e")]
        store.append(
            msgspec.structs.replace(fact, device=device, sequence=sequence, id=name)
            for device, sequence, name in places
        )
        assert [found.id for found in store.facts("visit-1")] == ["e", "a", "b", "c", "d"]

    def test_appending_again_is_a_no_op(self, store):
        minted = two_visits()
        assert store.append(minted[:5]) == 5
        assert store.append(minted[:5]) == 0
        assert store.append(minted) == len(minted) - 5
        assert store.append([minted[0], minted[0]]) == 0
        assert kept_by(store) == minted

    def test_a_fact_twice_in_one_call_is_one(self, store):
        fact = Hand().opens()
        assert store.append([fact, fact, fact]) == 1
        assert kept_by(store) == [fact]

    def test_facts_may_come_from_an_iterator(self, store):
        minted = two_visits()
        assert store.append(iter(minted)) == len(minted)
        assert kept_by(store) == minted

    def test_another_fact_under_a_known_id_is_refused_and_nothing_of_the_call_kept(self, store):
        hand = Hand()
        first, second, third = hand.opens(), hand.describes(), hand.works()
        store.append([first])
        with pytest.raises(FactConflict, match=f"{first.id} is known with other content") as caught:
            store.append([second, altered(first), third])
        assert caught.value.kind == "conflict"
        assert caught.value.fact == first.id
        assert kept_by(store) == [first]
        assert store.append([second, third]) == 2

    def test_two_facts_under_one_id_in_one_call_are_refused(self, store):
        fact = Hand().opens()
        with pytest.raises(FactConflict):
            store.append([fact, altered(fact)])
        assert kept_by(store) == []

    @pytest.mark.parametrize(
        "spoil",
        [
            lambda fact: msgspec.structs.replace(fact, reading=reading(float("nan"))),
            lambda fact: msgspec.structs.replace(fact, reading=reading(float("inf"))),
            lambda fact: msgspec.structs.replace(fact, run="\ud800"),
            lambda fact: msgspec.structs.replace(fact, moment=2**63),
            lambda fact: msgspec.structs.replace(fact, sequence=-(2**64)),
            lambda fact: msgspec.structs.replace(fact, run=5),
            lambda fact: msgspec.structs.replace(fact, run=object()),
        ],
    )
    def test_a_fact_that_could_not_be_read_again_is_not_kept(self, store, spoil):
        hand = Hand()
        first, second = hand.opens(), hand.reads(-40.0)
        with pytest.raises(StoreError, match="cannot be written down and read back the same") as caught:
            store.append([first, spoil(second)])
        assert caught.value.kind == "damaged"
        assert caught.value.fact == second.id
        assert kept_by(store) == []

    def test_a_figure_that_would_be_lost_in_silence_is_refused(self, store):
        # Not a number may be left out, and JSON has none: it would come back as left out.
        site = Site(name="a house", altitude=0.0, electricity_price=float("nan"))
        described = Hand().pen.mint(facts.SiteDescribed, "visit-1", site=site)
        assert codec.decode(codec.encode(described)).site.electricity_price is None
        with pytest.raises(StoreError, match="read back the same"):
            store.append([described])
        assert kept_by(store) == []

    def test_a_generator_that_fails_leaves_nothing(self, store):
        hand = Hand()

        def failing():
            yield hand.opens()
            raise RuntimeError("the line broke off")

        with pytest.raises(RuntimeError):
            store.append(failing())
        assert kept_by(store) == []
        assert store.append([hand.opens()]) == 1

    def test_since_gives_what_came_after(self, store):
        minted = two_visits()
        store.append(minted[:4])
        first, cursor = store.since(0)
        assert first == minted[:4]
        assert store.since(cursor) == ([], cursor)
        store.append(minted)
        rest, last = store.since(cursor)
        assert rest == minted[4:]
        assert store.since(last) == ([], last)

    def test_since_goes_in_steps(self, store):
        minted = two_visits()
        store.append(minted)
        found, cursor = [], 0
        while True:
            some, cursor = store.since(cursor, limit=5)
            if not some:
                break
            assert len(some) <= 5
            found += some
        assert found == minted

    def test_a_cursor_of_another_store_misses_nothing(self, store):
        minted = two_visits()
        store.append(minted)
        found, cursor = store.since(10_000)
        assert found == minted
        assert store.since(cursor) == ([], cursor)
        assert store.since(-3)[0] == minted

    def test_a_refused_call_moves_no_cursor(self, store):
        hand = Hand()
        first = hand.opens()
        store.append([first])
        _, cursor = store.since(0)
        with pytest.raises(FactConflict):
            store.append([hand.works(), altered(first)])
        later = hand.describes()
        store.append([later])
        assert store.since(cursor)[0] == [later]

    def test_the_list_of_visits_has_the_latest_first(self, store):
        minted = two_visits()
        store.append(reversed(minted))
        second, first = store.visits()
        assert (second.visit, second.system, second.facts) == ("visit-2", "system-3", 5)
        assert second.opened_moment == minted[11].moment, "the first opening was withdrawn"
        assert second.last_moment == minted[13].moment
        assert (first.visit, first.system, first.facts) == ("visit-1", "system-1", 9)
        assert first.opened_moment == minted[0].moment
        assert first.last_moment == max(fact.moment for fact in minted if fact.visit == "visit-1")

    def test_a_visit_whose_opening_has_not_arrived_is_listed(self, store):
        hand = Hand()
        opened, described, worked = hand.opens(), hand.describes(), hand.works()
        store.append([worked, described])
        (line,) = store.visits()
        assert (line.system, line.opened_moment, line.last_moment) == ("", described.moment, worked.moment)
        store.append([opened])
        assert store.visits()[0].system == "system-1"

    def test_the_list_says_what_the_fold_says(self, store):
        minted = two_visits()
        random.Random(5).shuffle(minted)
        for count, fact in enumerate(minted, 1):
            store.append([fact])
            assert sum(line.facts for line in store.visits()) == count
            for line in store.visits():
                assert line.system == fold(store.facts(line.visit)).system_id

    def test_the_highest_number_is_that_of_the_device(self, store):
        minted = two_visits()
        random.Random(7).shuffle(minted)
        store.append(minted)
        for device in ("phone", "tablet"):
            assert store.highest_sequence(device) == max(f.sequence for f in minted if f.device == device)
        assert store.highest_sequence("another") == 0

    def test_facts_are_counted_and_found_by_their_ids(self, store):
        minted = two_visits()
        store.append(minted)
        for visit in {fact.visit for fact in minted}:
            assert store.count(visit) == len(store.facts(visit)) > 0
        assert store.count("another") == 0
        assert all(store.has(fact.id) for fact in minted)
        assert not store.has("another")

    def test_any_text_may_be_an_id(self, store):
        odd = ["", "'; DROP TABLE fact; --", "with \u0000 in it", "ü·家", "%", "../../etc"]
        hand = Hand()
        minted = [hand.opens(visit, f"of {visit}") for visit in odd]
        assert store.append(minted) == len(odd)
        for fact in minted:
            assert store.facts(fact.visit) == [fact]
        assert {line.visit: line.system for line in store.visits()} == {visit: f"of {visit}" for visit in odd}

    def test_a_photo_comes_back_by_its_digest(self, store):
        digest = store.put_photo(PHOTO, "image/jpeg")
        assert digest == hashlib.sha256(PHOTO).hexdigest()
        assert store.has_photo(digest)
        photo = store.photo(digest)
        assert (photo.digest, photo.media, photo.content) == (digest, "image/jpeg", PHOTO)

    def test_a_photo_put_in_twice_is_one_and_stays_as_it_was(self, store):
        digest = store.put_photo(PHOTO, "image/jpeg")
        assert store.put_photo(PHOTO, "image/png") == digest
        assert store.photo(digest).media == "image/jpeg"

    def test_an_empty_photo_is_a_photo(self, store):
        digest = store.put_photo(b"", "image/webp")
        assert store.has_photo(digest)
        assert store.photo(digest).content == b""

    @pytest.mark.parametrize("address", ["", "../a.db", "a.db", "/etc/passwd", "%", "\u0000", "f" * 5000])
    def test_what_is_no_digest_finds_nothing(self, store, address):
        store.put_photo(PHOTO, "image/jpeg")
        assert store.photo(address) is None
        assert not store.has_photo(address)

    def test_photos_and_facts_do_not_touch_each_other(self, store):
        minted = two_visits()
        store.append(minted[:3])
        _, cursor = store.since(0)
        digest = store.put_photo(PHOTO, "image/jpeg")
        taken = Hand("camera", 9).pen.mint(
            facts.PhotoTaken, "visit-1", digest=digest, media="image/jpeg", size=len(PHOTO), of="wheel", when="as found"
        )
        store.append([taken])
        assert store.since(cursor)[0] == [taken]

    def test_closing_twice_does_nothing(self, store):
        store.append(two_visits())
        store.close()
        store.close()
