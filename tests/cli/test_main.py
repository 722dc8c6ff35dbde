"""The command line as a whole: help is quick and shows how, the version is told."""

import subprocess
import sys

import pytest

from scheduler import __version__
from scheduler.cli.main import COMMANDS, run

HEAVY = ("ortools", "pandas", "numpy", "matplotlib", "openpyxl", "icalendar")


def test_help_lists_every_command_and_every_exit_code(capsys):
    assert run(["--help"]) == 0
    shown = capsys.readouterr().out
    for command in COMMANDS:
        assert f"\n  {command} " in shown
    for code in (*range(6), 130):
        assert f"\n    {code:<3}  " in shown, code


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_every_command_has_an_example(command, capsys):
    assert run([command, "--help"]) == 0
    assert f"raftway {command}" in capsys.readouterr().out.split("Usage:")[1].split("\n", 1)[1]


@pytest.mark.parametrize("arguments", [["--help"], ["plan", "--help"], ["check", "--help"], ["--version"]])
def test_help_and_version_load_nothing_heavy(arguments):
    code = (
        "import sys\n"
        "from scheduler.cli.main import run\n"
        f"assert run({arguments!r}) == 0\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_the_version_is_told(capsys):
    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"raftway, version {__version__}\n"


def test_without_a_command_the_help_is_shown_and_the_code_is_2(capsys):
    assert run([]) == 2
    assert "Commands:" in "".join(capsys.readouterr())


def test_a_reader_that_closes_early_is_no_fault(tmp_path):
    code = "import sys; from scheduler.cli.main import main; sys.argv[1:] = ['--help']; main()"
    search = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert search.stdout is not None
    search.stdout.close()
    assert b"Traceback" not in search.communicate()[1]
