"""The script that installs the programs of the tests asks for what is missing, and says what went wrong."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parents[2] / ".ci" / "programs"
TOOLS = ("sh", "tail", "mktemp", "rm", "cat")


@pytest.fixture
def machine(tmp_path):
    """Return a way to run the script on a machine with these commands of its own."""
    commands = tmp_path / "bin"
    commands.mkdir()
    for tool in TOOLS:
        (commands / tool).symlink_to(shutil.which(tool))

    def run(**own: str) -> tuple[int, str]:
        for name, text in own.items():
            path = commands / name.replace("_", "-")
            path.write_text(f"#!/bin/sh\n{text}\n")
            path.chmod(0o755)
        environment = {"PATH": str(commands), "TMPDIR": os.fspath(tmp_path)}
        done = subprocess.run(
            [SCRIPT], env=environment, capture_output=True, text=True, check=False, timeout=60
        )
        return done.returncode, done.stderr

    return run


ALL_BUT_CHROMIUM = '[ "$3" = chromium ] || echo installed'


def test_nothing_is_asked_for_when_all_is_there(machine):
    assert machine(dpkg_query="echo installed") == (0, "")


def test_without_apt_the_missing_packages_are_named(machine):
    code, said = machine(dpkg_query=ALL_BUT_CHROMIUM)
    assert code == 1
    assert "needs these packages of Debian: chromium\n" in said
    assert "There is no apt-get here, so install them yourself" in said


def test_who_is_not_root_is_told_so(machine):
    code, said = machine(dpkg_query="exit 1", apt_get="exit 9", id="echo 1000")
    assert code == 1
    assert "chromium libreoffice-calc" in said
    assert "Only root may install them" in said


def test_only_what_is_missing_is_installed(machine, tmp_path):
    note = tmp_path / "asked"
    code, said = machine(dpkg_query=ALL_BUT_CHROMIUM, apt_get=f'echo "$@" >> {note}', id="echo 0")
    assert (code, said) == (0, "Installing chromium\n")
    assert note.read_text() == "update\ninstall --yes --no-install-recommends chromium\n"


def test_a_failed_installation_shows_why(machine, tmp_path):
    code, said = machine(dpkg_query="exit 1", apt_get="echo the disk is full; exit 100", id="echo 0")
    assert code == 1
    assert "the disk is full" in said
    assert "apt-get failed" in said
    assert list(tmp_path.iterdir()) == [tmp_path / "bin"]
