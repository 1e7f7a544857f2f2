"""What the pages take from npm: small, whole, licensed, made the same each time, and never committed."""

import re
import subprocess
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from tests.house import walk
from tools import assets, npm_lock

SPANISH = "áéíóúüñÁÉÍÓÚÜÑ¿¡ºª«»"
FIGURES = "0123456789.,-−+±×÷°µ²³½¼¾%/()"
FONTS = [assets.STATIC / "fonts" / f"{face.name}.woff2" for face in assets.FACES]


def held(path: Path) -> set[int]:
    """Return the characters of a font."""
    with TTFont(path) as font:
        return set(font.getBestCmap())


def test_assets_are_what_the_tool_makes() -> None:
    """Nothing was edited by hand or left over from an older version; making them twice gives the same bytes."""
    for name, content in assets.files():
        assert (assets.STATIC / name).read_bytes() == content, f"{name}: run make run"


def test_fonts_are_light_enough() -> None:
    """All that a first page loads in fonts, and htmx beside it."""
    assert sum(path.stat().st_size for path in FONTS) <= assets.LARGEST
    assert (assets.STATIC / "htmx.js").stat().st_size <= 40_000


@pytest.mark.parametrize("path", FONTS, ids=lambda path: path.stem)
def test_font_holds_what_pages_write(path: Path) -> None:
    """English, Spanish and figures; the style sheet claims no more than the file holds."""
    characters = held(path)
    assert {*range(0x20, 0x7F), *map(ord, SPANISH + FIGURES)} <= characters
    sheet = (assets.STATIC / "fonts.css").read_text(encoding="utf-8")
    claimed = next(part for part in sheet.split("@font-face") if f"fonts/{path.name}" in part)
    assert f"unicode-range: {assets.ranges(frozenset(characters))};" in claimed
    assert "font-display: swap;" in claimed


def test_words_vary_in_weight_and_size() -> None:
    """Literata keeps its optical size, from the smallest words on a screen to the largest."""
    for path in FONTS[:2]:
        with TTFont(path) as font:
            axes = {axis.axisTag: (axis.minValue, axis.maxValue) for axis in font["fvar"].axes}
        assert axes == {"wght": (400, 700), "opsz": (12, 36)}


def test_digits_have_one_width() -> None:
    """Figures stand under each other."""
    for path in FONTS[2:]:
        with TTFont(path) as font:
            glyphs = font.getBestCmap()
            assert len({font["hmtx"][glyphs[ord(digit)]][0] for digit in "0123456789"}) == 1


def test_licences_stand_beside_the_fonts() -> None:
    """The Open Font License travels with the font."""
    for name in ("literata", "b612"):
        assert "SIL OPEN FONT LICENSE" in (assets.STATIC / "fonts" / f"{name}.txt").read_text(encoding="utf-8")


def test_ranges() -> None:
    """Neighbours are joined."""
    assert assets.ranges(frozenset({0x41, 0x42, 0x43, 0x2212, 0xA0})) == "U+41-43, U+A0, U+2212"


def test_nothing_of_it_is_committed() -> None:
    """What was fetched or made from it is ignored by git."""
    names = [str((assets.STATIC / name).relative_to(walk.CHECKOUT)) for name in ("htmx.js", "fonts.css", "fonts/x")]
    ignored = subprocess.run(
        ["git", "check-ignore", *names], cwd=walk.CHECKOUT, capture_output=True, text=True, check=False
    )
    assert ignored.stdout.split() == names
    kept = subprocess.run(["git", "ls-files", "--", *names], cwd=walk.CHECKOUT, capture_output=True, check=True)
    assert kept.stdout == b""


def test_a_package_carries_them() -> None:
    """Static files, templates and catalogues are data of the package."""
    text = (walk.CHECKOUT / "pyproject.toml").read_text(encoding="utf-8")
    data = re.search(r"\[tool\.setuptools\.package-data\]\n(.*?)\n\n", text, re.DOTALL)
    assert data is not None
    for pattern in ("**/*.mo", "web/static/**/*", "web/templates/**/*"):
        assert f'"{pattern}"' in data[1]
    root = walk.SOURCE
    assert root / "web" / "static" / "fonts" / "b612-400.woff2" in set(root.glob("web/static/**/*"))


def test_lock_loses_what_names_a_server() -> None:
    """Addresses of donations and of files; nothing else."""
    text = '{"packages": {"": {}, "a": {"version": "1.0.0", "funding": {"url": "x://y"}, "resolved": "x://z"}}}'
    assert (
        npm_lock.without_addresses(text)
        == '{\n  "packages": {\n    "": {},\n    "a": {\n      "version": "1.0.0"\n    }\n  }\n}\n'
    )
