"""Programs beside Python that some tests need: found, or skipped with the reason; never skipped unseen.

With ``RAFTWAY_NO_SKIP=1`` every skip is a failure (see ``conftest.py``): nothing is left out unnoticed.
"""

import ctypes.util
import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

APT = "make test-all installs it"


def first_of(*names: str) -> Callable[[], str | None]:
    """Return a search for the first of some commands."""
    return lambda: next((path for path in map(shutil.which, names) if path), None)


def postgres() -> str | None:
    """Return the folder of PostgreSQL's programs; Debian keeps them beside the path."""
    found = shutil.which("initdb")
    beside = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return str(Path(found).resolve().parent if found else beside[-1].parent) if found or beside else None


SEARCHES: dict[str, Callable[[], str | None]] = {
    "chromium": first_of("chromium", "chromium-browser", "google-chrome"),
    "office": first_of("soffice", "libreoffice"),
    "libical": lambda: ctypes.util.find_library("ical"),
    "postgres": postgres,
    "pdftotext": first_of("pdftotext"),
    "pdftoppm": first_of("pdftoppm"),
}
"""Program -> what finds it; the first four are markers as well."""

MARKERS = ("chromium", "office", "libical", "postgres")


@cache
def found(program: str) -> str | None:
    """Return where a program (for libical: its library) is, if it is installed."""
    return SEARCHES[program]()


def needed(program: str) -> str:
    """Return where a program is; skip the test that calls this when it is missing."""
    path = found(program)
    if path is None:
        pytest.skip(f"{program} is not installed ({APT})")
    return path
