"""Tests that lack a program are skipped with the reason; with RAFTWAY_NO_SKIP=1 no skip is let through."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
SAMPLE = """
import pytest
from programs import SEARCHES

SEARCHES.update({"chromium": lambda: None, "office": lambda: "/here"})


@pytest.fixture(scope="module")
def page():
    raise AssertionError("made although the browser is missing")


@pytest.mark.chromium
def test_one(page):
    raise AssertionError("run although the browser is missing")


@pytest.mark.chromium
def test_two():
    raise AssertionError("run although the browser is missing")


@pytest.mark.office
def test_three():
    pass


def test_four(chromium_path):
    raise AssertionError("run although the browser is missing")


@pytest.mark.xfail
def test_five():
    raise AssertionError
"""
FINE = "def test_fine():\n    pass\n"


def run(folder: Path, text: str, *, no_skip: bool, workers: int = 0) -> tuple[int, str]:
    for name in ("conftest.py", "programs.py"):
        shutil.copy(TESTS / name, folder)
    (folder / "test_sample.py").write_text(text)
    (folder / "test_fine.py").write_text(FINE)
    markers = "".join(f"    {name}: needs it\n" for name in ("chromium", "office", "libical"))
    (folder / "pytest.ini").write_text(f"[pytest]\npythonpath = .\naddopts = -rfEs\nmarkers =\n{markers}")
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    environment["RAFTWAY_NO_SKIP"] = "1" if no_skip else ""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-n", str(workers)]
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False, timeout=120
    )
    return done.returncode, done.stdout


def counts(output: str) -> dict[str, int]:
    last = output.strip().splitlines()[-1]
    return {word: int(number) for number, word in re.findall(r"(\d+) (\w+)", last)}


def test_a_missing_program_skips_its_tests_and_the_summary_says_which_and_how_many(tmp_path):
    code, output = run(tmp_path, SAMPLE, no_skip=False)
    assert (code, counts(output)) == (0, {"passed": 2, "skipped": 3, "xfailed": 1})
    told = re.findall(r"SKIPPED \[(\d)\] .*chromium is not installed \(make test-all installs it\)", output)
    assert sum(map(int, told)) == 3, output


@pytest.mark.parametrize("workers", [0, 1])
def test_where_no_skip_is_allowed_a_missing_program_fails_its_tests(tmp_path, workers):
    code, output = run(tmp_path, SAMPLE, no_skip=True, workers=workers)
    found = counts(output)
    assert code == 1
    assert "skipped" not in found
    assert (found["passed"], found["xfailed"]) == (2, 1)
    assert found.get("failed", 0) + found.get("error", 0) + found.get("errors", 0) == 3
    assert "RAFTWAY_NO_SKIP=1 forbids: chromium is not installed" in output


OTHER_SKIPS = {
    "a mark": "import pytest\n\n\n@pytest.mark.skip(reason='not today')\ndef test_it():\n    pass\n",
    "a condition": "import pytest\n\n\n@pytest.mark.skipif(1, reason='not today')\ndef test_2():\n    pass\n",
    "a call": "import pytest\n\n\ndef test_it():\n    pytest.skip('not today')\n",
    "a fixture": (
        "import pytest\n\n\n@pytest.fixture\ndef it():\n    pytest.skip('not today')\n\n\n"
        "def test_it(it):\n    pass\n"
    ),
    "a module": "import pytest\n\npytest.skip('not today', allow_module_level=True)\n",
}


@pytest.mark.parametrize("kind", OTHER_SKIPS)
def test_any_other_skip_is_let_through_only_where_skips_are_allowed(tmp_path, kind):
    assert run(tmp_path, OTHER_SKIPS[kind], no_skip=False)[0] == 0
    code, output = run(tmp_path, OTHER_SKIPS[kind], no_skip=True)
    assert code in (1, 2)
    assert "not today" in output


def test_a_module_that_skips_itself_is_seen_through_workers_too(tmp_path):
    code, output = run(tmp_path, OTHER_SKIPS["a module"], no_skip=True, workers=1)
    assert code != 0
    assert "not today" in output
