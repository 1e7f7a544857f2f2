"""What holds for every test: Hypothesis profiles, and that nothing is skipped unseen where the gates are kept."""

import os
import sys
from collections.abc import Generator
from typing import Any

import pytest
from hypothesis import settings

ON_PHONE = sys.platform == "emscripten"
GATED = os.environ.get("CI", "").lower() in ("1", "true", "yes")

# A gate must give the same answer twice, so it draws the same examples; elsewhere new ones are drawn each time.
settings.register_profile("desk", deadline=None, max_examples=60)
settings.register_profile("gate", deadline=None, max_examples=60, derandomize=True)
settings.register_profile("phone", deadline=None, max_examples=25, derandomize=True, database=None)
settings.load_profile("phone" if ON_PHONE else "gate" if GATED else "desk")

# On the phone the references cannot be imported: the one reason for which a test may be left out there.
LEFT_OUT_ON_PHONE = "could not import"
# Measured tables that are too large to keep; what they are needed for stands in rows of this repository as well.
KEPT_ELSEWHERE = "not kept in this repository"


def _reason(report: Any) -> str:
    longrepr = report.longrepr
    return str(longrepr[2]) if isinstance(longrepr, tuple) else str(longrepr)


def _refuse_skip(report: Any) -> None:
    """Turn a skip into a failure where the gates are kept."""
    if not GATED or report.outcome != "skipped" or hasattr(report, "wasxfail"):
        return
    reason = _reason(report)
    if KEPT_ELSEWHERE in reason or (ON_PHONE and LEFT_OUT_ON_PHONE in reason):
        return
    report.outcome = "failed"
    report.longrepr = f"skipped where the gates are kept (CI is set): {reason}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, Any, Any]:
    """Let no test be skipped where the gates are kept."""
    report = yield
    _refuse_skip(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, Any, Any]:
    """Let no module be skipped where the gates are kept."""
    report = yield
    _refuse_skip(report)
    return report
