"""Every public function of physics and measure says what it takes, in which units, and where it comes from."""

import doctest
import inspect
import re
from collections.abc import Iterator

import pytest

from drawthrough import units, vocabulary
from tests.house import walk

FUNCTIONS = list(walk.public_functions())
UNIT = re.compile(r"\[(?P<unit>[^\[\]]+)\]\.?$")
SI_UNITS = {units.si_unit(dimension) for dimension in units.UNITS}


def faults(function: walk.Documented) -> Iterator[str]:
    """Yield what is missing from, or wrong in, the docstring of a function."""
    hints = walk.hints(function.call)
    signature = inspect.signature(function.call)
    if not function.summary.endswith("."):
        yield "the summary is not a sentence"
    needed = {"Notes", "Examples", "References"}
    if signature.parameters:
        needed.add("Parameters")
    if hints.get("return") is not type(None):
        needed.add("Returns")
    raised = walk.raised(function.call)
    if raised:
        needed.add("Raises")
    yield from (f"no section {name}" for name in walk.SECTIONS if name in needed and name not in function.sections)
    order = [name for name in function.sections if name in walk.SECTIONS]
    if order != sorted(order, key=walk.SECTIONS.index):
        yield f"sections in the order {order}"
    yield from (f"section {name} is empty" for name, body in function.sections.items() if not body.strip())
    yield from (f"Raises does not name {name}" for name in raised if name not in function.sections.get("Raises", ""))
    if ">>>" not in function.sections.get("Examples", ">>>"):
        yield "Examples holds no example"
    if ".. [1]" not in function.sections.get("References", ".. [1]"):
        yield "References holds no numbered source"
    if list(function.entries) != list(signature.parameters):
        yield f"Parameters are {list(function.entries)}, the signature's {list(signature.parameters)}"
    for name, (_, description) in function.entries.items():
        if walk.is_float(hints.get(name)):
            yield from _unit_faults(name, description)
    if walk.is_float(hints.get("return")):
        match = UNIT.search(" ".join(function.sections.get("Returns", "").split()))
        if match is None or match["unit"] not in SI_UNITS:
            yield "Returns does not end in an SI unit in brackets"


def _unit_faults(name: str, description: str) -> Iterator[str]:
    try:
        unit = vocabulary.quantity_of(name).unit
    except vocabulary.UnknownQuantity:
        yield f"{name} is not in the vocabulary"
        return
    match = UNIT.search(description)
    if match is None:
        yield f"{name} does not end in its unit in brackets"
    elif match["unit"] != unit:
        yield f"{name} is in [{match['unit']}], the vocabulary says [{unit}]"


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.path)
def test_docstring(function: walk.Documented) -> None:
    """The docstring has every section, and its names and units are the signature's and the vocabulary's."""
    assert list(faults(function)) == []


def test_the_check_sees_faults() -> None:
    """The check itself: a docstring with a wrong unit, a missing section and a strange parameter is refused."""

    def bad(dry_bulb: float, oddness: float) -> float:
        """Return a number.

        Parameters
        ----------
        dry_bulb : float
            Temperature. [F]
        oddness : float
            What? [1]

        Returns
        -------
        float
            A number.
        """
        raise vocabulary.UnknownQuantity(f"{dry_bulb} {oddness}")

    summary, sections = walk.take_apart(inspect.getdoc(bad) or "")
    found = "\n".join(faults(walk.Documented("physics.bad", "bad", bad, summary, sections)))
    for fault in ("[F]", "oddness is not", "no section Raises", "no section Notes", "Returns does not end"):
        assert fault in found


@pytest.mark.parametrize("name", sorted({function.module for function in FUNCTIONS}))
def test_examples_run(name: str) -> None:
    """The examples in the docstrings give what they show."""
    result = doctest.testmod(walk.load(name), optionflags=doctest.NORMALIZE_WHITESPACE)
    assert result.attempted > 0
    assert result.failed == 0
