"""The Tab key: each shell's lines, and what is offered behind them."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from helpers import write_book
from workbooks import write_workbook

from scheduler.cli.main import COMMANDS, run

ROOT = Path(__file__).resolve().parents[2]


def offered(monkeypatch, capsys, *words):
    """Return what zsh is offered for the last of some words."""
    monkeypatch.setenv("_RAFTWAY_COMPLETE", "zsh_complete")
    monkeypatch.setenv("COMP_WORDS", " ".join(["raftway", *words]))
    monkeypatch.setenv("COMP_CWORD", str(len(words)))
    with pytest.raises(SystemExit):
        run([])
    lines = capsys.readouterr().out.strip("\n").splitlines()
    return [value for kind, value in zip(lines[::3], lines[1::3], strict=True) if kind == "plain"]


@pytest.fixture
def plan(tmp_path):
    """The tables of a plan folder that completion reads."""
    folder = tmp_path / "plan"
    for name, text in {
        "tables/lots.csv": (
            "lot,crop\nBUT-260302,Butterhead\nLEA-260302,Leaf lettuce\nBUT-260309,Butterhead\n"
        ),
        "tables/demands.csv": "demand,customer\nR1,Harbour Table\nR2,Harbour Table\n",
        "tables/use.csv": (
            "place,day\nShelf A 1,2026-03-02\nNorth trough boards,2026-03-02\nNorth trough 1,2026-03-02\n"
        ),
        "book/shelves.csv": "shelf\nShelf A\n",
        "book/troughs.csv": "trough\nNorth trough\n",
    }.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return str(folder)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_lines_of_a_shell_are_printed(shell, capsys):
    assert run(["completion", shell]) == 0
    told = capsys.readouterr().out
    assert f"_RAFTWAY_COMPLETE={shell}_complete" in told
    assert "_raftway_completion" in told


def test_another_shell_is_refused_with_those_there_are(capsys):
    assert run(["completion", "tcsh"]) == 2
    assert "'bash', 'zsh', 'fish'" in capsys.readouterr().err


def test_commands_and_options_are_offered(monkeypatch, capsys):
    assert offered(monkeypatch, capsys, "re") == [each for each in COMMANDS if each.startswith("re")]
    assert offered(monkeypatch, capsys, "plan", "--see") == ["--seed"]


def test_cards_of_the_library_are_offered(monkeypatch, capsys):
    assert offered(monkeypatch, capsys, "crops", "basil_") == ["basil_genovese", "basil_thai"]


def test_names_of_a_plan_follow_the_word_of_a_question(monkeypatch, capsys, plan):
    assert offered(monkeypatch, capsys, "show", plan, "cu") == ["customer"]
    assert offered(monkeypatch, capsys, "show", plan, "crop", "") == ["Butterhead", "Leaf lettuce"]
    assert offered(monkeypatch, capsys, "show", plan, "crop", "Leaf", "le") == ["lettuce"]
    assert offered(monkeypatch, capsys, "show", plan, "customer", "H") == ["Harbour Table"]
    assert offered(monkeypatch, capsys, "show", plan, "lot", "BUT") == ["BUT-260302", "BUT-260309"]
    assert offered(monkeypatch, capsys, "show", plan, "short", "") == []
    assert offered(monkeypatch, capsys, "draw", plan, "trough", "") == ["North trough"]
    assert offered(monkeypatch, capsys, "draw", plan, "flow", "N") == [
        "North trough boards",
        "North trough 1",
    ]
    assert offered(monkeypatch, capsys, "show", plan, "tier", "") == ["Shelf A 1"]
    assert offered(monkeypatch, capsys, "show", plan, "zone", "North", "") == ["trough boards"]


@pytest.mark.parametrize("write", [write_book, write_workbook])
def test_names_of_a_book_in_either_form_follow_its_options(monkeypatch, capsys, tmp_path, write):
    book = str(write(tmp_path))
    assert offered(monkeypatch, capsys, "offer", book, "--product", "B") == ["Butterhead head"]
    assert offered(monkeypatch, capsys, "offer", book, "--customer", "") == ["Harbour Table"]
    assert offered(monkeypatch, capsys, "record", book, "cu") == ["culled", "cut"]
    assert offered(monkeypatch, capsys, "record", book, "sown", "--crop", "") == ["Butterhead"]


@pytest.mark.parametrize("book", ["nowhere", "nowhere.xlsx", "README.md"])
def test_a_book_that_cannot_be_read_offers_nothing_and_tells_nothing(monkeypatch, capsys, book):
    monkeypatch.chdir(ROOT)
    assert offered(monkeypatch, capsys, "offer", book, "--product", "") == []
    assert capsys.readouterr().err == ""


def test_bash_completes_a_name_with_a_blank_by_the_lines_it_was_given(tmp_path, plan):
    bash = shutil.which("bash")
    assert bash is not None, "the tests need bash, as make does"
    raftway = tmp_path / "bin" / "raftway"
    raftway.parent.mkdir()
    start = '-c "from scheduler.cli.main import main; main()" "$@"'
    raftway.write_text(f"#!/bin/sh\nexec {sys.executable} {start}\n")
    raftway.chmod(0o755)
    script = (
        'eval "$(raftway completion bash)"\n'
        f"COMP_WORDS=(raftway show {plan} customer H) COMP_CWORD=4\n"
        "_raftway_completion raftway\n"
        'printf "%s\\n" "${COMPREPLY[@]}"\n'
    )
    path = f"{raftway.parent}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        [bash, "--norc", "-c", script],
        env={**os.environ, "PATH": path, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "Harbour\\ Table\n"
