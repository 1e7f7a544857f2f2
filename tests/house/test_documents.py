"""The documentation says what is: generated pages are up to date, every command is told, the version is one."""

import re
import tomllib

import pytest

import drawthrough
from drawthrough.cli.calculations import CALCULATIONS
from drawthrough.cli.main import COMMANDS
from tests.house import walk
from tools.docs import PAGES


def read(name: str) -> str:
    """Return a file of the checkout."""
    return (walk.CHECKOUT / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PAGES)
def test_generated_page_is_up_to_date(name: str) -> None:
    """`make docs` would change nothing."""
    assert (walk.CHECKOUT / name).exists(), f"{name} is missing: run make docs"
    assert read(name) == PAGES[name](), f"{name} is out of date: run make docs"


def test_version_is_one() -> None:
    """Package, project file and changelog name one version."""
    newest = re.search(r"^## (\S+)", read("CHANGELOG.md"), re.MULTILINE)
    assert newest is not None
    assert newest[1] == drawthrough.__version__
    assert tomllib.loads(read("pyproject.toml"))["project"]["version"] == drawthrough.__version__


@pytest.mark.parametrize("command", COMMANDS)
def test_command_is_documented(command: str) -> None:
    """In the README and on its own page."""
    assert f"`drawthrough {command}" in read("README.md")
    assert f"## drawthrough {command}\n" in read("docs/commands.md")


@pytest.mark.parametrize("name", CALCULATIONS)
def test_calculation_is_documented(name: str) -> None:
    """With its equation and its sources."""
    page = read("docs/commands.md")
    assert f"### {name}\n" in page


def test_changelog_is_sentences() -> None:
    """Each entry begins with a capital or a command and ends in a full stop."""
    entries = re.split(r"^- ", read("CHANGELOG.md").partition("\n## ")[2], flags=re.MULTILINE)[1:]
    assert entries
    for entry in entries:
        text = " ".join(entry.split("\n## ")[0].split())
        assert re.match(r"[A-Z`]", text), text
        assert text.endswith("."), text


def test_decisions_are_numbered_once() -> None:
    """A number names one decision, and each says its status, context, decision and consequences."""
    paths = sorted((walk.CHECKOUT / "docs" / "decisions").glob("*.md"))
    numbers = [path.name[:4] for path in paths]
    assert len(set(numbers)) == len(numbers)
    for path in paths:
        text = path.read_text(encoding="utf-8")
        assert text.startswith(f"# {path.name[:4]} ")
        for part in ("**Status**", "**Context.**", "**Decision.**", "**Consequences.**"):
            assert part in text, f"{path.name} has no {part}"


def test_readme_begins_with_the_job_and_two_commands() -> None:
    """The job in one paragraph at the very top, then the two commands, then the picture."""
    text = read("README.md")
    assert text.index("make run") < text.index("make test") < text.index("<!-- picture: begin")
    assert len(text.partition("```")[0].strip().split("\n\n")) == 2, "a title and one paragraph"


@pytest.mark.parametrize(
    "target", re.findall(r"^([a-z]+):.*##", (walk.CHECKOUT / "Makefile").read_text(), re.MULTILINE)
)
def test_make_target_is_phony(target: str) -> None:
    """No file of that name can keep it from running."""
    assert target in re.search(r"^\.PHONY: (.*)$", read("Makefile"), re.MULTILINE)[1].split()  # type: ignore[index]
