"""Killed at any moment of its writing, a command leaves the old or the new, whole; the next run works."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]


def faults(folder, number, seed, *names):
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(ROOT / "tests")])}
    program = [sys.executable, str(HERE / "kills.py"), str(folder), str(number), str(seed), *names]
    done = subprocess.run(program, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def test_a_command_killed_at_a_moment_of_its_writing_leaves_old_results_whole(tmp_path):
    quick = (
        "new",
        "convert back",
        "plan again",
        "publish",
        "record",
        "trace",
        "sweep results",
        "learn",
    )
    assert faults(tmp_path, 1, 1, *quick) == []


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(1, 5))
def test_every_command_that_writes_killed_at_many_moments(tmp_path, seed):
    assert faults(tmp_path, 25, seed) == []
