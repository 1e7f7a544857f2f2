"""What was seen and could not be reached waits from visit to visit until it is done."""

import pytest

from drawthrough.plan.waiting import still_waiting
from drawthrough.visit import facts
from drawthrough.visit.fold import fold

pytestmark = pytest.mark.property


def _visit(book, name, *what):
    found = [book.pen.mint(facts.VisitOpened, name, system="system")]
    for kind, content in what:
        found.append(book.pen.mint(kind, name, **content))
    return fold(found)


def test_it_waits_until_it_is_done(book):
    first = _visit(book, "first", (facts.LeftWaiting, {"task": "wipe the cabinet", "why": "a dirty back wall"}))
    second = _visit(book, "second", (facts.LeftWaiting, {"task": "change the capacitor", "why": "behind the blower"}))
    assert [one.task for one in still_waiting([first, second])] == ["wipe the cabinet", "change the capacitor"]
    third = _visit(book, "third", (facts.TaskDone, {"task": "wipe the cabinet"}))
    (left,) = still_waiting([first, second, third])
    assert (left.task, left.why, left.visit) == ("change the capacitor", "behind the blower", "second")


def test_seen_again_it_waits_since_the_first_time(book):
    first = _visit(book, "first", (facts.LeftWaiting, {"task": "wipe the cabinet", "why": "a dirty back wall"}))
    again = _visit(book, "second", (facts.LeftWaiting, {"task": "wipe the cabinet", "why": ""}))
    (one,) = still_waiting([first, again])
    assert (one.visit, one.why) == ("first", "a dirty back wall")


def test_left_out_once_more_it_waits_on(book):
    first = _visit(book, "first", (facts.LeftWaiting, {"task": "wipe the cabinet", "why": "x"}))
    second = _visit(book, "second", (facts.TaskLeft, {"task": "wipe the cabinet", "why": "no time"}))
    assert len(still_waiting([first, second])) == 1


def test_taken_back_it_no_longer_waits(book):
    said = book.write(facts.LeftWaiting, task="wipe the cabinet", why="x")
    assert still_waiting([book.folded])
    book.write(facts.Withdrawn, of=said.id)
    assert not still_waiting([book.folded])
