"""Kinds of instrument that one press lists, with the accuracy that ordinary ones have."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files


@cache
def ready() -> tuple[Mapping[str, str], ...]:
    """Return the kinds, each as the fields of the form of an instrument."""
    data = tomllib.loads((files("drawthrough.trade") / "instruments.toml").read_text(encoding="utf-8"))
    return tuple(data["instrument"])


def messages() -> Iterator[str]:
    """Yield what the kinds are called."""
    yield from (one["id"] for one in ready())
