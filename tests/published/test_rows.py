"""One test a published row, and what holds for all rows together."""

from collections import Counter

import pytest

from tests.published import rows

ROWS = rows.load()


def _parameter(row: rows.Row) -> object:
    mark = pytest.mark.published if row.word == "published" else pytest.mark.restated
    return pytest.param(row, id=row.id, marks=mark)


@pytest.mark.parametrize("row", [_parameter(row) for row in ROWS])
def test_row(row: rows.Row) -> None:
    """The engine agrees with the row within its tolerance, or misses it where the row says so."""
    outcome = rows.work_out(row)
    published, ours, difference, tolerance = rows.shown(outcome)
    told = f"{row.function}: published {published}, ours {ours}, difference {difference}, tolerance {tolerance}"
    if row.disagrees is not None:
        assert not outcome.within, f"{told}: it agrees now; take `disagrees` out of the row ({row.disagrees})"
    else:
        assert outcome.within, f"{told} ({row.because})"


@pytest.mark.published
def test_there_are_enough_rows() -> None:
    """The project rests on at least 250 rows, most of them read from the document itself."""
    assert len(ROWS) >= 250
    assert sum(row.word == "published" for row in ROWS) > len(ROWS) / 2


@pytest.mark.published
def test_ids_are_unique() -> None:
    """An id names one row."""
    assert [name for name, count in Counter(row.id for row in ROWS).items() if count > 1] == []
