"""Parsers fed with bytes: they answer or refuse, and nothing else comes out.

The short run mutates sound inputs from the seed alone; the long one lets coverage guide, with the package
atheris (the extra ``fuzz``), and is skipped where that cannot be had.
"""

import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest
from fuzz.parsers import FUNCTIONS, seeds, words
from fuzz.results import note

HARNESS = Path(__file__).resolve().with_name("with_atheris.py")
RUNS = int(os.environ.get("RAFTWAY_RUNS", "20000"))
SHORT = 60
OF_WHOLE_FOLDERS = {"tables": 25, "plans": 25}
"""Parsers that read a whole folder each time, and how many mutations are tried of them."""


def spoilt(draw, data, dictionary):
    """Return bytes with a few changed, left out, doubled, or replaced by words the parser knows."""
    made = bytearray(data)
    for _ in range(draw.randint(1, 4)):
        at, to = sorted((draw.randrange(len(made) + 1), draw.randrange(len(made) + 1)))
        what = draw.randrange(5)
        if what == 0 and made:
            made[min(at, len(made) - 1)] = draw.choice((0, 10, 34, 44, 61, 255, draw.randrange(256)))
        elif what == 1:
            del made[at : min(to, at + 40)]
        elif what == 2:
            made[at:at] = made[at : min(to, at + 200)]
        else:
            made[at : to if what == 3 else at] = draw.choice(dictionary)
    return bytes(made)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_sound_inputs_are_taken_and_mutated_ones_taken_or_refused(name):
    draw, dictionary = Random(name), words(name)
    for data in seeds(name):
        FUNCTIONS[name](data)
    for number in range(OF_WHOLE_FOLDERS.get(name, SHORT)):
        data = spoilt(draw, draw.choice(seeds(name)), dictionary)
        try:
            FUNCTIONS[name](data)
        except Exception as error:
            raise AssertionError(f"{name}, mutation {number}: {data!r}") from error


@pytest.mark.soak
@pytest.mark.parametrize("name", FUNCTIONS)
def test_inputs_that_coverage_guides_are_taken_or_refused(name):
    if importlib.util.find_spec("atheris") is None:
        pytest.skip("needs atheris, of the extra fuzz: it is made for CPython on Linux alone, x86-64")
    command = [sys.executable, str(HARNESS), name, str(RUNS)]
    done = subprocess.run(command, capture_output=True, text=True, errors="replace", check=False)
    assert done.returncode == 0, done.stderr[-3000:]
    ran = re.search(r"number_of_executed_units: (\d+)", done.stderr)
    assert ran, done.stderr[-1000:]
    note(f"inputs of the parser of {name}, guided by coverage", int(ran.group(1)))
