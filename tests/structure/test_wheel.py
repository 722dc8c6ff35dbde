"""The built wheel works from an empty folder, without the checkout beside it."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

pytest.importorskip("hatchling")

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    built, unpacked = tmp_path_factory.mktemp("built"), tmp_path_factory.mktemp("unpacked")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(built)]
    subprocess.run(command, cwd=ROOT, capture_output=True, check=True)
    (wheel,) = built.glob("*.whl")
    with zipfile.ZipFile(wheel) as file:
        file.extractall(unpacked)
    return unpacked


def in_wheel(unpacked, code):
    environment = {**os.environ, "PYTHONPATH": str(unpacked)}
    return subprocess.run(
        [sys.executable, "-P", "-c", code],
        cwd=unpacked,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_wheel_holds_every_file_of_packages_and_shared_tables(unpacked):
    for package, inside in (("scheduler", "scheduler"), ("crops", "crops"), ("shared", "scheduler/_shared")):
        for path in (ROOT / package).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert (unpacked / inside / path.relative_to(ROOT / package)).is_file(), path


def test_the_command_and_its_tables_are_found_in_the_wheel(unpacked):
    code = (
        "import scheduler.reference, scheduler.plan.columns, crops.library, sys\n"
        "from scheduler.cli.main import run\n"
        "print(scheduler.reference.shared_folder())\n"
        "assert len(scheduler.plan.columns.columns()) > 10\n"
        "sys.exit(run(['crops']))\n"
    )
    done = in_wheel(unpacked, code)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(str(unpacked / "scheduler" / "_shared"))
