"""The starter book and its plan, made once for three of the uses."""

import time

import pytest
from four_uses import commands, output_of

from scheduler.outputs import everything

LONGEST_WAIT = 600


@pytest.fixture(scope="session")
def planned(tmp_path_factory):
    """The folder with ``first-farm`` and ``first-plan``, made once however many processes test."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if base.name.startswith("popen-") else base) / "four-uses"
    try:
        folder.mkdir()
    except FileExistsError:
        until = time.monotonic() + LONGEST_WAIT
        while not (folder / "done").exists() and time.monotonic() < until:
            time.sleep(0.2)
        assert (folder / "done").exists(), "the other process did not plan the starter book"
        return folder
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setattr(everything, "PAGES", {})  # the report and the workbook have tests of their own
        for command in commands():
            output_of(command)
    (folder / "done").touch()
    return folder


@pytest.fixture
def here(planned, monkeypatch):
    """Stand in that folder."""
    monkeypatch.chdir(planned)
    return planned
