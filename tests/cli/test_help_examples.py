"""The example at the end of every help text runs as it stands, and every error shows it."""

import ast
import re
import shlex
import shutil
from datetime import date
from importlib import import_module
from pathlib import Path

import pytest
from staged import stage

from scheduler.cli import record_command, record_telling, records_opening, replan_command, status_command
from scheduler.cli.exits import DONE, SHORT
from scheduler.cli.main import COMMANDS, cli, run
from scheduler.outputs import everything

SCHEDULER = Path(__file__).resolve().parents[2] / "scheduler"
QUICK = {"--seconds": "1", "--deterministic": None, "--workers": "1", "--runs": "20"}
"""What is added to an example that searches or replays, so that it ends soon; the last one counts."""


def command_of(name):
    return getattr(import_module(f"scheduler.cli.{name}_command"), name)


def example_of(name):
    """Return the example of a command's help as words, without ``raftway``."""
    (text,) = re.findall(r"^Example: raftway (.+)$", command_of(name).epilog)
    return shlex.split(text)


@pytest.fixture(scope="module")
def staged(tmp_path_factory):
    folder = tmp_path_factory.mktemp("staged")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        _at(patch, date(2026, 4, 26))
        stage(folder)
    return folder


@pytest.fixture
def there(staged, tmp_path, monkeypatch):
    """A copy of the staged folder to stand in, on the day after the last that is recorded."""
    here = tmp_path / "here"
    shutil.copytree(staged, here)
    monkeypatch.chdir(here)
    monkeypatch.setattr(everything, "PAGES", {})
    monkeypatch.delenv("RAFTWAY_RECORDS", raising=False)
    _at(monkeypatch, date(2026, 3, 21))
    return here


def _at(patch, day):
    for module in (record_telling, record_command, records_opening, replan_command, status_command):
        patch.setattr(module, "today", lambda: day)


@pytest.mark.parametrize("name", COMMANDS)
def test_the_example_of_a_help_text_runs(name, there, capsys):
    words = example_of(name)
    known = {option for parameter in command_of(name).params for option in parameter.opts}
    added = [
        [option, *([] if value is None else [value])] for option, value in QUICK.items() if option in known
    ]
    code = run([*words, *(word for each in added for word in each)])
    told = capsys.readouterr()
    assert code in (DONE, SHORT), told.err
    assert told.out
    for option, file in zip(words, words[1:], strict=False):
        if option in ("--out", "--html", "--csv", "--svg", "--results"):
            assert (there / file).exists(), file


@pytest.mark.parametrize("name", COMMANDS)
def test_the_help_of_a_command_ends_with_its_example(name, capsys):
    assert run([name, "--help"]) == 0
    words = " ".join(capsys.readouterr().out.split())
    assert words.endswith(command_of(name).epilog)
    assert example_of(name)[0] == name


@pytest.mark.parametrize("name", COMMANDS)
def test_a_help_text_fits_a_terminal_of_80_columns_and_its_example_can_be_copied_in_one_line(
    name, capsys, monkeypatch
):
    monkeypatch.setenv("COLUMNS", "80")
    assert run([name, "--help"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line for line in lines if len(line) > 80 or "\\b" in line] == []
    assert lines[-1].strip() == command_of(name).epilog


def test_the_first_help_fits_a_terminal_of_80_columns(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    assert run(["--help"]) == 0
    assert [line for line in capsys.readouterr().out.splitlines() if len(line) > 80] == []


@pytest.mark.parametrize("name", COMMANDS)
def test_a_wrong_option_is_told_below_the_example_that_works(name, capsys):
    assert run([name, "--nonsense"]) == 2
    told = capsys.readouterr().err
    assert told.startswith(f"Usage: raftway {name} ")
    assert f"\n{command_of(name).epilog}\nTry 'raftway {name} --help' for help.\n\nError: " in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["chek", "my-farm"], "No such command 'chek'; did you mean 'check'?"),
        (
            ["check", "my-farm", "now"],
            "'now' is too much here; write a name that has blanks ",
        ),
        (["plan", "my-farm", "--out", "x", "--seconds", "0"], "0 is no number from 1 to 86,400; write one"),
        (["record", "my-farm", "withdraw"], "such as: raftway record my-farm withdraw 12"),
        (["status", "my-farm", "--plan", "plan", "--today", "2031-01-01"], "or another day of it"),
        (["grow"], "No such command 'grow'; raftway --help lists them"),
        (["check", "my-fram"], "'my-fram' does not exist; did you mean 'my-farm'?"),
        (["check", "elsewhere"], "'elsewhere' does not exist; raftway new NAME writes a book to begin with"),
        (["show", "nowhere"], "'nowhere' does not exist; raftway plan BOOK --out NAME writes a plan"),
        (
            ["plan", "my-farm", "--out", "x", "--seconds", "long"],
            "'long' is no number from 1 to 86,400; write one",
        ),
        (["crops", "--days-at-most", "0"], "0 is no whole number of at least 1; write one"),
    ],
)
def test_a_wrong_use_says_what_to_do_next(words, told, there, capsys):
    assert run(words) == 2
    assert told in capsys.readouterr().err.splitlines()[-1]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["limit", "plan"], "found the folder of a plan; expected a book; plan/book is the one it was made"),
        (["show", "my-farm"], "found a book; expected a folder that raftway plan wrote"),
        (["plan", ".", "--out", "p"], "expected "),
        (["record", "my-farm", "lost", "--lot", "XYZ-1", "--plants", "2"], "expected "),
    ],
)
def test_faults_end_with_how_many_there_are_and_what_to_do(words, told, there, capsys):
    assert run(words) == 1
    *faults, last = capsys.readouterr().err.splitlines()
    assert all(told in fault for fault in faults)
    assert last.startswith(f"{len(faults)} fault")
    assert f"mend {'it' if len(faults) == 1 else 'these'} and try again" in last


MESSAGES = (
    "UsageError",
    "BadParameter",
    "FolderRefused",
    "SheetRefused",
    "RecordsFailed",
    "NoCluster",
    "fail",
)
"""What a command is refused with, wherever it is raised; faults of tables say what was expected instead."""
NEXT_STEP = re.compile(
    r"[;:,] |\b(name|give|say|write|leave|make|mend|move|plan|choose|record|expected|lists|fill|tell)\b"
)
"""A message that stops at what was found, as in 'x is a file', has none of these."""


def _messages():
    """Return (place, text) of every message of a wrong use that stands in the code."""
    for path in sorted(SCHEDULER.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            named = getattr(node, "func", None)
            called = getattr(named, "attr", getattr(named, "id", ""))
            if called not in MESSAGES or not node.args:
                continue
            text = "".join(
                part.value
                for part in ast.walk(node.args[0])
                if isinstance(part, ast.Constant) and isinstance(part.value, str)
            )
            if text:
                yield f"{path.name}: {text}"


def test_every_message_of_a_wrong_use_says_what_to_do():
    messages = list(_messages())
    assert len(messages) > 50
    assert [each for each in messages if not NEXT_STEP.search(each.split(": ", 1)[1])] == []


def test_the_commands_without_a_book_say_so_in_the_first_help(capsys):
    assert run(["--help"]) == 0
    assert capsys.readouterr().out.rstrip().endswith(cli.epilog)
