"""Every raftway command in a block of README.md runs in a test, or is listed here with the reason why not."""

import re
import shlex
import shutil
from functools import cache
from pathlib import Path

import pytest
from four_uses import SECTION

from scheduler.cli.main import run
from scheduler.outputs import saved

ROOT = Path(__file__).resolve().parents[2]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
PLAN = ROOT / "examples" / "alder-quay" / "plan"
ELSEWHERE = {
    r"raftway plan examples/alder-quay/book ": "takes a minute; what it printed is held against its plan",
    r"raftway plan my-farm\.xlsx ": "the starter book is planned by the four uses, from a folder",
    r"raftway plan my-farm ": "takes a minute; tests/cli plan smaller books with these options",
    r"raftway compare examples/": "takes minutes; the example of its help text runs on a small farm",
    r"raftway sweep my-farm .*--workers": "takes minutes; the example of its help text runs on a small farm",
    r"raftway sweep my-farm .*--cluster": "needs a cluster; tests/sweep start one of their own",
}
"""Beginning of a command -> why it is not run here."""


def lines(kind):
    """Return the raftway commands of the blocks of a kind, without those of the four uses."""
    blocks = re.findall(rf"```{kind}\n(.*?)```", TEXT.replace(SECTION, ""), flags=re.DOTALL)
    found = [line.removeprefix("$ ") for block in blocks for line in block.splitlines()]
    return list(dict.fromkeys(line for line in found if line.startswith("raftway ")))


HERE = [line for line in lines("text") if not any(re.match(each, line) for each in ELSEWHERE)]
OF_A_PLAN = [line for line in HERE if re.match(r"raftway \w+ plan ", line)]
OF_A_BOOK = [line for line in HERE if line not in OF_A_PLAN]


@pytest.mark.parametrize("reason", ELSEWHERE)
def test_what_is_not_run_here_still_stands_in_the_readme(reason):
    assert any(re.match(reason, line) for line in lines("text"))


@pytest.fixture(scope="module")
def opened():
    """Open the plan of the example once for all its commands."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(saved, "open_plan", cache(saved.open_plan))
        yield


@pytest.mark.parametrize("line", OF_A_PLAN)
def test_a_command_that_asks_a_plan_answers_on_the_example(line, opened, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    _, name, _, *words = shlex.split(line)
    lots = {path.split(",")[0] for path in (PLAN / "tables" / "lots.csv").read_text().splitlines()}
    # the plan of the example is made anew now and then, and with it its lots
    words = [_near(word, lots) if re.fullmatch(r"[A-Z]{3}-\d{6}", word) else word for word in words]
    assert run([name, str(PLAN), *words]) == 0, capsys.readouterr().err
    if "--out" in words:
        assert (tmp_path / words[words.index("--out") + 1]).stat().st_size > 500


def _near(lot, lots):
    return lot if lot in lots else min(each for each in lots if each.startswith(lot[:6]))


def test_the_commands_of_the_first_ten_minutes_run_one_after_the_other(tmp_path, monkeypatch, capsys):
    assert [line.split()[1] for line in OF_A_BOOK] == ["new", "check", "convert", "convert", "labels"]
    monkeypatch.chdir(tmp_path)
    for line in OF_A_BOOK:
        assert run(shlex.split(line)[1:]) == 0, line
        assert capsys.readouterr().out, line
    assert (tmp_path / "my-farm.xlsx").is_file()
    assert (tmp_path / "again.xlsx").is_file()
    shutil.rmtree(tmp_path / "my-farm")
