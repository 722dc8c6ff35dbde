"""Markers of tests that need a program beside Python, and the rule that nothing is skipped unseen.

A test with a marker of :data:`programs.MARKERS` is skipped, with its reason in the summary, where the program
is missing. With ``RAFTWAY_NO_SKIP=1`` in the environment every skip of whatever kind is a failure instead.
"""

import gc
import os
import sys
from collections.abc import Generator

import pytest
from hypothesis import HealthCheck, settings
from programs import MARKERS, needed

NO_SKIP = "RAFTWAY_NO_SKIP"

LONG = (
    "structure/test_layout.py",
    "hostile/test_every_output.py",
    "faults/test_kills.py",
    "model/test_large_books.py",
    "fuzz/test_broken_plans.py",
)
"""Files of few tests that take long: begun first, so that no worker is left alone with one at the end."""


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Where Chromium is; for pages, rather use ``page_of`` of ``browser.py``."""
    return needed("chromium")


@pytest.fixture(scope="session")
def soffice_path() -> str:
    """Where LibreOffice is; for documents, rather use ``office_to`` of ``office.py``."""
    return needed("office")


@pytest.fixture(scope="session")
def libical_path() -> str:
    """Name of libical's library, for ctypes."""
    return needed("libical")


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip before any fixture is made, so that a fixture never fails for a missing program."""
    for marker in MARKERS:
        if item.get_closest_marker(marker):
            needed(marker)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Make a failure of a skip where none is allowed; what is expected to fail is no skip."""
    report = yield
    if call.excinfo is not None and call.excinfo.errisinstance(pytest.skip.Exception):
        _forbid(report, str(call.excinfo.value))
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Make a failure of a module that skips itself where no skip is allowed."""
    report = yield
    if report.skipped:
        _forbid(report, str(report.longrepr))
    return report


def _forbid(report: pytest.TestReport | pytest.CollectReport, reason: str) -> None:
    if os.environ.get(NO_SKIP) == "1":
        report.outcome = "failed"
        report.longrepr = f"skipped, which {NO_SKIP}=1 forbids: {reason}"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the long files first; all else stays in its order."""
    items.sort(key=lambda item: not item.path.as_posix().endswith(LONG))


def pytest_collection_finish() -> None:
    """Leave what all tests share, thousands of them and large libraries, out of every later look for garbage.

    Those looks would take a sixth of the time of all tests.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 50)


def pytest_sessionfinish() -> None:
    """Close the browser and remove the office's profile, if a test had them."""
    for name in ("browser", "office"):
        opened = sys.modules.get(name)
        if opened is not None:
            opened.close()


# a busy machine is no fault of a test
settings.register_profile(
    "any machine", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("any machine")
