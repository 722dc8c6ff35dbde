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

OTHER_SKIPS = {
    "mark": "import pytest\n\n\n@pytest.mark.skip(reason='no mark today')\ndef test_it():\n    pass\n",
    "condition": (
        "import pytest\n\n\n@pytest.mark.skipif(1, reason='no condition today')\ndef test_2():\n    pass\n"
    ),
    "call": "import pytest\n\n\ndef test_it():\n    pytest.skip('no call today')\n",
    "fixture": (
        "import pytest\n\n\n@pytest.fixture\ndef it():\n    pytest.skip('no fixture today')\n\n\n"
        "def test_it(it):\n    pass\n"
    ),
    "module": "import pytest\n\npytest.skip('no module today', allow_module_level=True)\n",
}
"""What skips -> a module of one test that it skips, with its own name in the reason."""


def run(folder: Path, *, no_skip: bool, workers: int = 0) -> tuple[int, str]:
    """Run tests of every kind of skip, in one session as each costs seconds."""
    for name in ("conftest.py", "programs.py"):
        shutil.copy(TESTS / name, folder)
    for name, text in {"sample": SAMPLE, **OTHER_SKIPS, "fine": FINE}.items():
        (folder / f"test_{name}.py").write_text(text)
    markers = "".join(f"    {name}: needs it\n" for name in ("chromium", "office", "libical"))
    (folder / "pytest.ini").write_text(f"[pytest]\npythonpath = .\naddopts = -rfEs\nmarkers =\n{markers}")
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    environment["RAFTWAY_NO_SKIP"] = "1" if no_skip else ""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-n", str(workers)]
    command += ["--continue-on-collection-errors"]  # or that of the module would leave all others unrun
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False, timeout=120
    )
    return done.returncode, done.stdout


def counts(output: str) -> dict[str, int]:
    last = output.strip().splitlines()[-1]
    return {word: int(number) for number, word in re.findall(r"(\d+) (\w+)", last)}


@pytest.fixture(scope="module")
def let_through(tmp_path_factory):
    """A run where skips are allowed."""
    return run(tmp_path_factory.mktemp("allowed"), no_skip=False)


@pytest.fixture(scope="module", params=[0, 1])
def forbidden(request, tmp_path_factory):
    """A run where no skip is allowed, alone and through a worker."""
    return run(tmp_path_factory.mktemp("forbidden"), no_skip=True, workers=request.param)


def test_a_missing_program_skips_its_tests_and_the_summary_says_which_and_how_many(let_through):
    code, output = let_through
    assert (code, counts(output)) == (0, {"passed": 2, "skipped": 3 + len(OTHER_SKIPS), "xfailed": 1})
    told = re.findall(r"SKIPPED \[(\d)\] .*chromium is not installed \(make test-all installs it\)", output)
    assert sum(map(int, told)) == 3, output


def test_any_other_skip_is_let_through_where_skips_are_allowed_and_told(let_through):
    for kind in OTHER_SKIPS:
        assert re.search(rf"SKIPPED \[1\] test_{kind}\.py.*: no {kind} today", let_through[1]), kind


def test_where_no_skip_is_allowed_a_missing_program_fails_its_tests(forbidden):
    code, output = forbidden
    found = counts(output)
    assert code == 1
    assert "skipped" not in found
    assert (found["passed"], found["xfailed"]) == (2, 1)
    # the three and what any other skip left out
    assert found.get("failed", 0) + found.get("error", 0) + found.get("errors", 0) == 3 + len(OTHER_SKIPS)
    assert "RAFTWAY_NO_SKIP=1 forbids: chromium is not installed" in output


@pytest.mark.parametrize("kind", OTHER_SKIPS)
def test_where_no_skip_is_allowed_any_other_fails_its_test(forbidden, kind):
    code, output = forbidden
    assert code == 1
    assert re.search(rf"^(FAILED|ERROR) test_{kind}\.py", output, re.MULTILINE), output
    assert re.search(rf"RAFTWAY_NO_SKIP=1 forbids: .*no {kind} today", output), output
