"""The four uses of the README: its own commands, run as they stand, and tables as plain rows."""

import contextlib
import io
import re
import shlex
from datetime import date
from pathlib import Path

from scheduler.cli.main import run

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SECTION = README.split("\n## Four uses, from question to answer\n")[1].split("\n## ")[0]
QUICK = ("--seconds", "1", "--deterministic")
"""What is added to a command that plans: the last of an option counts."""


def commands(title: str = "") -> list[str]:
    """Return the raftway commands below a heading of the section, or those before the first."""
    parts = re.split(r"^### (.+)\n", SECTION, flags=re.MULTILINE)
    text = dict(zip(parts[1::2], parts[2::2], strict=True))[title] if title else parts[0]
    blocks = re.findall(r"```text\n(.*?)```", text, flags=re.DOTALL)
    return [line for block in blocks for line in block.splitlines() if line.startswith("raftway ")]


def output_of(command: str) -> str:
    """Run a command of the README in the current folder and return what it prints."""
    _, name, *words = shlex.split(command)
    with contextlib.redirect_stdout(io.StringIO()) as told:
        assert run([name, *words, *(QUICK if name == "plan" else ())]) == 0, command
    return told.getvalue()


def day(text: str) -> date:
    """Return the day of a cell."""
    return date.fromisoformat(text)
