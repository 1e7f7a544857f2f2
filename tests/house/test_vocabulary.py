"""The one table of quantities holds together."""

import math

import pytest

from drawthrough import units, vocabulary
from drawthrough.errors import OutOfRange
from drawthrough.vocabulary import QUANTITIES, SUFFIXES, Quantity


def test_names_are_unique() -> None:
    """A name that stood twice would silently replace the first."""
    names = [row[0] for row in vocabulary._ROWS]
    assert sorted(set(names)) == sorted(names)
    assert len(set(SUFFIXES)) == len(SUFFIXES)


@pytest.mark.parametrize("quantity", QUANTITIES.values(), ids=lambda quantity: quantity.name)
def test_row_is_sane(quantity: Quantity) -> None:
    """A known dimension, a range that is one, a meaning in words, a name in the house's form."""
    assert quantity.name == quantity.name.lower()
    assert quantity.name.isidentifier()
    assert quantity.dimension in units.UNITS
    assert math.isfinite(quantity.low)
    assert math.isfinite(quantity.high)
    assert quantity.low < quantity.high
    assert quantity.symbol.strip()
    assert len(quantity.meaning.split()) >= 1
    assert not quantity.meaning.endswith(".")


@pytest.mark.parametrize("quantity", QUANTITIES.values(), ids=lambda quantity: quantity.name)
def test_range_is_held(quantity: Quantity) -> None:
    """Both ends are accepted; beyond them, and what is no number, is refused with the limits."""
    assert vocabulary.check(quantity.name, quantity.low) == quantity.low
    assert vocabulary.check(quantity.name, quantity.high) == quantity.high
    width = quantity.high - quantity.low
    for value in (quantity.low - 0.01 * width, quantity.high + 0.01 * width, math.nan, math.inf, -math.inf):
        with pytest.raises(OutOfRange) as refusal:
            vocabulary.check(quantity.name, value)
        assert refusal.value.limits == (quantity.low, quantity.high)


def test_suffix_is_taken_off() -> None:
    """A name may say where or when; the quantity stays."""
    assert vocabulary.quantity_of("dry_bulb_return") is QUANTITIES["dry_bulb"]
    for name in ("dry_bulb_nowhere", "nothing", "nothing_return", "_return"):
        with pytest.raises(vocabulary.UnknownQuantity):
            vocabulary.quantity_of(name)


def test_no_name_is_another_with_a_suffix() -> None:
    """Otherwise a name would mean two quantities, unless both have the same dimension."""
    for name in QUANTITIES:
        stem, _, suffix = name.rpartition("_")
        if suffix in SUFFIXES and stem in QUANTITIES:
            assert QUANTITIES[stem].dimension == QUANTITIES[name].dimension
