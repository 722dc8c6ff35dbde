"""How the project is laid out: small modules, one direction, one lock, no addresses."""

import re
import shutil
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

import crops
import scheduler

ROOT = Path(__file__).resolve().parents[2]
MOST_LINES = 400
MADE = {".git", ".venv", "out", "build", "dist", "__pycache__", ".hypothesis"}
NAMESPACES = re.compile(r"http" r"://www\.w3\.org/(2000/svg|1999/xlink)(?=[\"'\s])")
"""Names that a drawing has to bear; no browser asks for them."""
# the tests of the crop library compare whole pages, sources and all
MAY_HOLD_ADDRESSES = re.compile(r"crops/sources\.csv|shared/reference/[^/]+\.csv|tests/crops/.+\.py")


@cache
def tree():
    """Return every text file that belongs to the project."""
    return list(read_tree())


def read_tree():
    for path in sorted(ROOT.rglob("*")):
        within = path.relative_to(ROOT)
        made = MADE.intersection(within.parts) or any(part.endswith("_cache") for part in within.parts)
        if not made and path.is_file() and path.suffix not in {".xlsx", ".png"}:
            yield within.as_posix(), path.read_text(encoding="utf-8", errors="replace")


def test_the_packages_are_the_project_s_own_and_not_others_of_the_same_name():
    assert Path(scheduler.__file__).parent == ROOT / "scheduler"
    assert Path(crops.__file__).parent == ROOT / "crops"


def test_no_module_is_longer_than_400_lines():
    long = {
        name: text.count("\n")
        for name, text in tree()
        if name.startswith(("scheduler/", "crops/"))
        and name.endswith(".py")
        and text.count("\n") > MOST_LINES
    }
    assert long == {}


def holds(program, *words):
    """Run a program that looks at the whole project; beside other tests, as it takes one processor alone."""
    path = shutil.which(program, path=str(Path(sys.executable).parent))
    assert path is not None
    done = subprocess.run([path, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_data_flows_one_way_and_the_audit_never_sees_the_model():
    holds("lint-imports", "--no-cache")


def test_types_hold():
    holds("mypy")


def test_only_sources_hold_addresses():
    found = [
        name
        for name, text in tree()
        if re.search(r"https?://\w", NAMESPACES.sub("", text)) and not MAY_HOLD_ADDRESSES.fullmatch(name)
    ]
    assert found == []


def test_nothing_reads_beside_the_project():
    outside = re.compile(r"\.\./+(shared|reference)\b|/work/")
    assert [
        name for name, text in tree() if outside.search(text) and name != "tests/structure/test_layout.py"
    ] == []


@pytest.fixture(scope="module")
def lock():
    text = (ROOT / "requirements.lock").read_text()
    return [entry for entry in re.split(r"\n(?=\S)", text.replace("\\\n", " ").strip()) if entry]


def test_every_line_of_the_lock_is_one_version_with_its_hashes(lock):
    assert len(lock) > 20
    for entry in lock:
        assert re.match(r"[a-z0-9.-]+==\S+ ", entry), entry
        assert "--hash=sha256:" in entry, entry


def test_every_dependency_of_the_project_is_in_the_lock(lock):
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    wanted += project["optional-dependencies"]["build"]
    locked = {entry.split("==")[0] for entry in lock}
    assert {re.split(r"[<>=!~ \[]", each)[0] for each in wanted} <= locked
