"""Makes `docs/vocabulary.md`: the one table of quantities, and the units in which each can be typed."""

from drawthrough import units
from drawthrough.vocabulary import QUANTITIES, SUFFIXES
from tools.markdown import table


def render() -> str:
    """Return the page."""
    parts = [
        "# Vocabulary",
        "",
        "Engine, visit sheet, command line and report name each quantity by the first column. A name may end in one",
        "word of place or time: " + ", ".join(f"`_{suffix}`" for suffix in SUFFIXES) + ".",
        "The range is what is plausible; an equation may accept less.",
        "",
        *table(
            ["name", "symbol", "SI unit", "meaning", "from", "to", "units that can be typed"],
            [
                [
                    f"`{name}`",
                    quantity.symbol,
                    quantity.unit,
                    quantity.meaning,
                    f"{quantity.low:g}",
                    f"{quantity.high:g}",
                    ", ".join(units.choices(quantity.dimension)),
                ]
                for name, quantity in QUANTITIES.items()
            ],
        ),
        "",
        "## Units",
        "",
        "SI value = number x factor + offset. Factors are exact by definition except where a unit rests on another",
        "(see decision 0002 for the inch of water).",
    ]
    for dimension in units.UNITS:
        parts += [
            "",
            f"### {dimension.replace('_', ' ').capitalize()}",
            "",
            *table(["unit", "factor", "offset"], [_unit_line(unit, dimension) for unit in units.choices(dimension)]),
        ]
    return "\n".join(parts) + "\n"


def _unit_line(unit: str, dimension: str) -> list[str]:
    found = units.find(unit, dimension)
    return [unit, f"{found.factor:.12g}", f"{found.offset:.12g}"]
