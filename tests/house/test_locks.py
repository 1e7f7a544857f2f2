"""The lock files pin everything, agree among themselves, and name no server and no folder."""

import json
import re

import pytest

from tests.house import walk

LOCKS = sorted((walk.CHECKOUT / "requirements").glob("*.txt"))
PIN = re.compile(r"^(?P<name>[a-z0-9-]+)==(?P<version>\S+) \\$", re.MULTILINE)
ADDRESS = re.compile(r"://|--(?:extra-)?index-url|--find-links|--trusted-host|(?:^|[\s=\"'])/\w|@ ", re.MULTILINE)


def pins(text: str) -> dict[str, str]:
    """Return each pinned package of a lock with its version."""
    return {match["name"]: match["version"] for match in PIN.finditer(text)}


def test_there_is_a_lock_for_each_list() -> None:
    """Each `.in` has its `.txt`."""
    assert [path.stem for path in LOCKS] == ["build", "node", "phone", "run", "test"]
    assert {path.stem for path in LOCKS} == {path.stem for path in (walk.CHECKOUT / "requirements").glob("*.in")}


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.stem)
def test_lock_pins_with_hashes(path: object) -> None:
    """Every line is a pin, a hash of it, or a comment; every pin has a hash."""
    text = path.read_text(encoding="utf-8")  # type: ignore[attr-defined]
    assert pins(text)
    for line in text.splitlines():
        assert re.match(r"^(#.*|\s+#.*|\s+--hash=sha256:[0-9a-f]{64}( \\)?|[a-z0-9-]+==\S+ \\|)$", line), line
    for block in re.split(r"^(?=[a-z0-9-]+==)", text, flags=re.MULTILINE)[1:]:
        assert "--hash=sha256:" in block


@pytest.mark.parametrize("name", ["package.json", "package-lock.json", *(f"requirements/{p.name}" for p in LOCKS)])
def test_lock_names_no_server_and_no_folder(name: str) -> None:
    """What was installed is known by its hash; where it came from is nobody's business."""
    text = (walk.CHECKOUT / name).read_text(encoding="utf-8")
    assert ADDRESS.findall(text) == []
    assert "resolved" not in text


def test_locks_agree() -> None:
    """A package has one version in all lists."""
    test = pins((walk.CHECKOUT / "requirements" / "test.txt").read_text(encoding="utf-8"))
    for path in LOCKS:
        if path.stem == "node":  # stands apart: brought only where the machine has no node of its own
            continue
        for name, version in pins(path.read_text(encoding="utf-8")).items():
            assert test[name] == version, f"{name} in {path.name}"


def test_node_side_is_pinned() -> None:
    """One exact version of what is asked for, and an integrity hash for everything."""
    package = json.loads((walk.CHECKOUT / "package.json").read_text(encoding="utf-8"))
    wanted = package["dependencies"] | package["devDependencies"]
    assert all(re.fullmatch(r"\d+\.\d+\.\d+", version) for version in wanted.values())
    locked = json.loads((walk.CHECKOUT / "package-lock.json").read_text(encoding="utf-8"))["packages"]
    assert all("integrity" in entry for name, entry in locked.items() if name)
    assert all(locked[f"node_modules/{name}"]["version"] == version for name, version in wanted.items())
