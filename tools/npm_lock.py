"""Takes out of `package-lock.json` what names a server: each package's address for donations. Called by `make lock`."""

import json
import sys
from pathlib import Path

LOCK = Path(__file__).resolve().parent.parent / "package-lock.json"


def without_addresses(text: str) -> str:
    """Return a lock file without the entries that npm only shows and never uses."""
    lock = json.loads(text)
    for entry in lock["packages"].values():
        for name in ("funding", "resolved"):
            entry.pop(name, None)
    return json.dumps(lock, indent=2, ensure_ascii=False) + "\n"


def main() -> int:
    """Rewrite the file."""
    LOCK.write_text(without_addresses(LOCK.read_text(encoding="utf-8")), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
