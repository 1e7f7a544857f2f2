"""Readings that can be worth taking next, each with its minutes and how well it tells."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal, NamedTuple

import msgspec

from drawthrough.trade.causes import CauseError, beliefs
from drawthrough.visit.state import AirPlace, Motor


class Offer(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One reading that could be taken."""

    code: str
    kind: Literal["pressure", "airflow", "mark", "look"]
    minutes: float
    at: AirPlace | None = None
    against: AirPlace | None = None
    sd: float = 0.0
    mark: str = ""
    cause: str = ""
    motor: tuple[Motor, ...] = ()


class Look(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How well eyes tell."""

    seen: float  # share of causes that are there and are seen
    mistaken: float  # share of those that are not and are


class Offers(NamedTuple):
    """All readings that could be taken, and how well a look tells."""

    offer: tuple[Offer, ...]
    look: Look


@cache
def offers() -> Offers:
    """Return the readings that the tool brings."""
    return read_offers(tomllib.loads((files("drawthrough.trade") / "next_readings.toml").read_text(encoding="utf-8")))


def read_offers(data: Mapping[str, Any]) -> Offers:
    """Return readings from the content of a file.

    Parameters
    ----------
    data : mapping
        A list under `reading`, and `look`.

    Raises
    ------
    CauseError
        An entry that is not of its form, one told twice, and one that tells of a mark or a cause that is not there.
    """
    try:
        listed = msgspec.convert(data.get("reading", []), list[Offer])
        look = msgspec.convert(data.get("look", {}), Look)
    except msgspec.ValidationError as refusal:
        raise CauseError(f"This is not a reading to take: {refusal}.") from refusal
    known = {"pressure": True, "airflow": True}
    for offer in listed:
        there = known.get(offer.kind, offer.mark in beliefs().mark or offer.cause in beliefs().cause)
        if not there or not offer.minutes > 0.0 or (offer.kind == "pressure") != (offer.at is not None):
            raise CauseError(f"{offer.code}: tells of nothing that is there, or takes no time.")
    twice = sorted({offer.code for offer in listed if sum(one.code == offer.code for one in listed) > 1})
    if twice:
        raise CauseError(f"Told twice: {', '.join(twice)}.")
    return Offers(tuple(listed), look)


def messages() -> Iterator[str]:
    """Yield what the readings are called."""
    for offer in offers().offer:
        yield offer.code
