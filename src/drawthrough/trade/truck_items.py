"""What a truck carries for a deep clean: tools, instruments, protection, consumables and parts by code."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple, get_args

from drawthrough.errors import DrawthroughError
from drawthrough.visit.state import Use

KINDS = ("protection", "instrument", "tool", "consumable", "part")


class ItemFault(DrawthroughError):
    """An item cannot be read, or there is none of this code; names it."""


class Item(NamedTuple):
    """One item of the truck."""

    code: str
    name: str
    kind: str  # one of KINDS
    source: str
    number: int = 1
    along: tuple[str, ...] = ()  # it comes along where one of these is wanted
    use: str = ""  # the use of the chemical that it is
    hopefully_not: bool = False  # carried in the hope that it is not needed
    always: bool = False  # wanted on every visit


@cache
def items() -> dict[str, Item]:
    """Return every item by its code, in the order of the table."""
    return read_items(tomllib.loads((files("drawthrough.trade") / "truck.toml").read_text(encoding="utf-8")))


def item_of(code: str) -> Item:
    """Return the item of a code; raises ItemFault naming it where there is none."""
    if code not in items():
        raise ItemFault(f'There is no item "{code}" on the truck.')
    return items()[code]


def with_along(wanted: Iterable[str]) -> tuple[Item, ...]:
    """Return the items wanted, those of every visit and those that come along, in the order of the table."""
    codes = {item_of(code).code for code in wanted} | {one.code for one in items().values() if one.always}
    while more := {one.code for one in items().values() if codes.intersection(one.along)} - codes:
        codes |= more
    return tuple(one for one in items().values() if one.code in codes)


def item_for(use: Use) -> Item:
    """Return the chemical of a use."""
    return next(one for one in items().values() if one.use == use)


def read_items(table: Mapping[str, Any]) -> dict[str, Item]:
    """Return the items of a table; raises ItemFault naming the first that is wrong."""
    found = {code: _item(code, row, table.get("source", "")) for code, row in table.get("items", {}).items()}
    for one in found.values():
        for other in one.along:
            if other not in found:
                raise ItemFault(f'Item "{one.code}" comes along with "{other}", and there is no such item.')
    for use in get_args(Use):
        if (times := sum(one.use == use for one in found.values())) != 1:
            raise ItemFault(f'Use "{use}" has {times} items, not one.')
    return found


def _item(code: str, row: Mapping[str, Any], source: str) -> Item:
    try:
        one = Item(**{"source": source, **row, "code": code, "along": tuple(row.get("along", ()))})
    except TypeError as error:
        raise ItemFault(f'Item "{code}": a key is missing or unknown ({error}).') from error
    if not one.source:
        raise ItemFault(f'Item "{code}": no source, not even common practice.')
    if one.kind not in KINDS:
        raise ItemFault(f'Item "{code}": kind is "{one.kind}", not one of {", ".join(KINDS)}.')
    if type(one.number) is not int or one.number < 1:
        raise ItemFault(f'Item "{code}": number is {one.number!r}, not a whole number from one up.')
    if one.use and one.use not in get_args(Use):
        raise ItemFault(f'Item "{code}": use is "{one.use}", not one of {", ".join(get_args(Use))}.')
    return one


def messages() -> Iterator[str]:
    """Yield what items and their kinds are called."""
    yield from (one.name for one in items().values())
    yield from KINDS
