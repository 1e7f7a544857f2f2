"""The page and the schema of the JSON form are those that the code makes, and tell every field and every code."""

import msgspec
import pytest

from drawthrough.report.words import WORDS
from tests.house import walk
from tools import judgement_page

pytestmark = pytest.mark.property


@pytest.mark.parametrize(
    ("name", "render"),
    [("judgement.md", judgement_page.render), ("judgement.schema.json", judgement_page.render_schema)],
)
def test_page_is_up_to_date(name: str, render: object) -> None:
    """`make docs` would change nothing."""
    assert callable(render)
    assert (walk.CHECKOUT / "docs" / name).read_text(encoding="utf-8") == render(), f"docs/{name}: run make docs"


@pytest.mark.parametrize("structure", judgement_page.STRUCTURES, ids=lambda structure: structure.__name__)
def test_each_field_has_its_meaning(structure: type[msgspec.Struct]) -> None:
    """None without, none too many."""
    fields = {field.name for field in msgspec.structs.fields(structure)}
    assert set(judgement_page.MEANING[structure.__name__]) == fields


def test_each_structure_and_code_is_told() -> None:
    """Everything that the schema defines, and every code."""
    assert set(judgement_page.schema()["$defs"]) == {s.__name__ for s in judgement_page.STRUCTURES}
    page = judgement_page.render()
    for code in WORDS:
        assert f"| `{code}` |" in page
