"""Writes DEPENDENCIES.md: every package of the lock with its licence, as its own metadata states it.

Run it where all of the lock is installed; ``make lock`` does after it has pinned anew.
"""

import re
import sys
import tomllib
from collections.abc import Iterable, Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "DEPENDENCIES.md"
ELSEWHERE = {
    "atheris": "Apache-2.0 (its licence file; it is installed on Linux with x86-64 alone)",
    "colorama": "BSD-3-Clause (from memory: it is installed on Windows alone)",
}
"""Packages of the lock that some systems do not install -> what is known of their licence."""

LONGEST = 40
"""Letters of a licence's name; what is longer is its whole text."""

WORDS = {
    "Mozilla Public License": "MPL-2.0",
    "Permission is hereby granted, free of charge": "MIT",
    "Apache License": "Apache-2.0",
    "Redistribution and use in source and binary forms": "BSD",
}
"""Words of a licence file -> which licence that is."""

TOP = "\n".join(
    (
        "# Packages raftway is built on\n",
        "Made by `tests/docs/licences.py` from `requirements.lock` and what each package states of itself; "
        "a test holds it against the lock.",
        "Where a package states its licence in two ways, both stand here.",
        "Raftway itself is under the MIT licence, see `LICENSE`; the packages are installed beside it, "
        "and none of their code is part of it.\n",
        "| package | version | licence | needed |\n| --- | --- | --- | --- |\n",
    )
)


def locked() -> dict[str, list[str]]:
    """Return package -> versions; some have one for older and one for newer versions of Python."""
    found: dict[str, list[str]] = {}
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    for name, version in re.findall(r"^([a-z0-9.-]+)==([^\s;]+)", text, flags=re.MULTILINE):
        found.setdefault(name, []).append(version)
    return found


def belongs_here(name: str) -> bool:
    """Say whether the lock installs a package on this Python and this system."""
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    lines = re.findall(rf"^{re.escape(name)}==[^\\]*", text, flags=re.MULTILINE)
    markers = (Requirement(line).marker for line in lines)
    return any(marker is None or marker.evaluate() for marker in markers)


def licence_of(package: Distribution) -> str:
    """Return what a package states: an expression, else its fields, else what its licence file says."""
    told = package.metadata
    if told.get("License-Expression"):
        return str(told["License-Expression"])
    field = " ".join(str(told.get("License") or "").split())
    classes = [
        str(each).rpartition(" :: ")[2] for each in told.get_all("Classifier") or () if "License ::" in each
    ]
    said = [field] if 0 < len(field) <= LONGEST else []
    said += [each for each in classes if each not in said]
    return "; ".join(said) or f"not stated; its licence file: {_in_file(package)}"


def _in_file(package: Distribution) -> str:
    for file in package.files or ():
        if re.search(r"licen[cs]e", file.name, re.IGNORECASE):
            text = " ".join(Path(str(file.locate())).read_text(encoding="utf-8").split())
            return next((name for words, name in WORDS.items() if words in text), text[:LONGEST])
    return "there is none"


def uses() -> dict[str, list[str]]:
    """Return package -> what needs it: to run, or one of the extras of the project."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {"to run": project["dependencies"], **project["optional-dependencies"]}
    found: dict[str, list[str]] = {}
    for use, lines in wanted.items():
        for name in _reached(lines):
            found.setdefault(name, []).append(use)
    return found


def _reached(lines: Iterable[str]) -> set[str]:
    seen: set[tuple[str, str]] = set()
    waiting = [(Requirement(line), "") for line in lines]
    while waiting:
        wish, extra = waiting.pop()
        if wish.marker is not None and not wish.marker.evaluate({"extra": extra}):
            continue
        for each in ("", *wish.extras):
            key = (_plain(wish.name), each)
            if key not in seen:
                seen.add(key)
                waiting += [(Requirement(line), each) for line in _requires(wish.name)]
    return {name for name, _ in seen}


def _requires(name: str) -> list[str]:
    try:
        return distribution(name).requires or []
    except PackageNotFoundError:
        return []


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def rows() -> Iterator[str]:
    """Yield one row for each package of the lock."""
    needed = uses()
    for name, versions in sorted(locked().items()):
        try:
            licence = licence_of(distribution(name))
        except PackageNotFoundError:
            licence = ELSEWHERE.get(name, "not known: it is not installed here")
        use = needed.get(name, ["other systems"])
        told = "to run" if "to run" in use else ", ".join(use)
        yield f"| {name} | {', '.join(versions)} | {licence} | {told} |"


def page() -> str:
    """Return the whole page."""
    return TOP + "".join(f"{row}\n" for row in rows())


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    sys.stdout.write(f"Written to {PAGE}\n")
