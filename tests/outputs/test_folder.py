"""A folder of results is replaced whole or not at all, and nothing else is ever destroyed."""

import json
import sys
from pathlib import Path

import pytest

from scheduler.disk import whole
from scheduler.outputs import folder as folders
from scheduler.outputs.folder import NOTE, FolderRefused, check_target, replace_folder


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def names_in(folder):
    return [path.name for path in folder.iterdir()]


def plan_files(text="first"):
    names = ["plan.json", "tables/lots.csv"]
    note = json.dumps({"raftway_plan": 1, "files": names}).encode()
    return {"tables/lots.csv": text.encode(), "plan.json": note}


@pytest.fixture
def written(tmp_path):
    replace_folder(tmp_path / "plan", plan_files())
    return tmp_path / "plan"


def test_a_new_folder_gets_all_files_and_nothing_is_left_beside_it(written):
    assert contents(written) == plan_files()
    assert names_in(written.parent) == ["plan"]


def test_an_older_plan_is_replaced(written):
    replace_folder(written, plan_files("second"))
    assert contents(written) == plan_files("second")
    assert names_in(written.parent) == ["plan"]


def test_an_empty_folder_is_taken(tmp_path):
    (tmp_path / "plan").mkdir()
    replace_folder(tmp_path / "plan", plan_files())
    assert contents(tmp_path / "plan") == plan_files()


def test_files_a_desktop_leaves_behind_do_not_stop_it(written):
    (written / ".DS_Store").write_bytes(b"x")
    replace_folder(written, plan_files("second"))
    assert contents(written) == plan_files("second")


@pytest.mark.parametrize("name", ["notes.txt", "tables/lots copy.csv", "photos/.keep"])
def test_a_plan_with_something_else_in_it_is_refused_and_kept(written, name):
    (written / name).parent.mkdir(exist_ok=True)
    (written / name).write_text("mine")
    with pytest.raises(FolderRefused, match=f"holds {name}, which is not part of a raftway plan"):
        replace_folder(written, plan_files("second"))
    assert contents(written) == plan_files() | {name: b"mine"}


@pytest.mark.parametrize("note", ["{", "\udcff", '{"raftway_plan": 1}'])
def test_a_plan_whose_note_is_damaged_is_told_as_that_and_kept(written, note):
    (written / NOTE).write_bytes(note.encode(errors="surrogateescape"))
    before = contents(written)
    with pytest.raises(FolderRefused, match=r"plan\.json is damaged, .* put back a copy of the folder"):
        replace_folder(written, plan_files("second"))
    assert contents(written) == before


def test_a_note_of_somebody_else_is_none_of_a_damaged_plan(tmp_path):
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs" / NOTE).write_text('{"floors": 2}')
    with pytest.raises(FolderRefused, match=r"holds plan\.json, which is not part of a raftway plan"):
        replace_folder(tmp_path / "theirs", plan_files())


def test_a_folder_that_is_no_plan_is_refused_and_kept(tmp_path):
    (tmp_path / "book").mkdir()
    (tmp_path / "book" / "crops.csv").write_text("crop")
    with pytest.raises(FolderRefused, match=r"holds crops\.csv"):
        replace_folder(tmp_path / "book", plan_files())
    assert contents(tmp_path / "book") == {"crops.csv": b"crop"}


@pytest.mark.parametrize("note", ["", "[]", "7", '{"raftway_plan": 1}', '{"files": ["plan.json"]}'])
def test_a_note_of_another_kind_does_not_make_a_folder_a_plan(tmp_path, note):
    (tmp_path / "plan").mkdir()
    (tmp_path / "plan" / "plan.json").write_text(note)
    with pytest.raises(FolderRefused):
        check_target(tmp_path / "plan")


def test_a_file_in_the_way_is_refused(tmp_path):
    (tmp_path / "plan").write_text("a file")
    with pytest.raises(FolderRefused, match="is a file"):
        replace_folder(tmp_path / "plan", plan_files())
    assert (tmp_path / "plan").read_text() == "a file"


def test_a_missing_parent_is_told(tmp_path):
    with pytest.raises(FolderRefused, match="make it first"):
        check_target(tmp_path / "none" / "plan")


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="a folder nobody can write to")
def test_a_parent_that_may_not_be_written_to_is_told_before_anything_is_tried():
    with pytest.raises(FolderRefused, match="^/proc may not be written to; name a folder elsewhere$"):
        check_target(Path("/proc/plan"))


@pytest.mark.parametrize("mark", [".~lock.plan.json#", "~$plan.json", "tables/.~lock.lots.csv#"])
def test_a_plan_with_a_file_that_is_open_elsewhere_is_refused_and_kept(written, mark):
    (written / mark).write_text("someone")
    with pytest.raises(FolderRefused, match=r"is open in another program: close it there") as told:
        replace_folder(written, plan_files("second"))
    assert f"delete {written / mark}" in str(told.value)
    assert contents(written) == plan_files() | {mark: b"someone"}


def test_looking_leaves_nothing_behind(tmp_path):
    check_target(tmp_path / "plan")
    assert list(tmp_path.iterdir()) == []


def test_a_link_in_place_of_the_folder_is_refused(written):
    link = written.with_name("link")
    link.symlink_to(written, target_is_directory=True)
    with pytest.raises(FolderRefused, match="is a link"):
        replace_folder(link, plan_files("second"))
    assert contents(written) == plan_files()


def test_a_linked_table_folder_is_not_followed(written, tmp_path):
    outside = tmp_path / "outside"
    (written / "tables").rename(outside)
    (written / "tables").symlink_to(outside, target_is_directory=True)
    with pytest.raises(FolderRefused, match="holds tables"):
        replace_folder(written, plan_files("second"))
    assert contents(outside) == {"lots.csv": b"first"}


@pytest.mark.parametrize("name", ["../out.csv", "/etc/out.csv", "tables/../../out.csv"])
def test_a_name_that_leads_out_of_the_folder_is_refused(written, name):
    with pytest.raises(ValueError, match="leads out of the folder"):
        replace_folder(written, plan_files("second") | {name: b"x"})
    assert contents(written) == plan_files()
    assert names_in(written.parent) == ["plan"]


def test_a_full_disk_leaves_the_older_plan_whole(written, monkeypatch):
    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(whole.os, "fsync", full)
    with pytest.raises(OSError, match="No space left on device; nothing was changed there") as told:
        replace_folder(written, plan_files("second"))
    assert told.value.filename == str(written)
    assert contents(written) == plan_files()
    assert names_in(written.parent) == ["plan"]


@pytest.fixture
def two_renames(monkeypatch):
    """A system that cannot let two names change places in one step."""
    monkeypatch.setattr(folders, "exchanged", lambda _one, _other: False)


@pytest.mark.usefixtures("two_renames")
def test_a_plan_is_replaced_by_renaming_where_names_cannot_change_places(written):
    replace_folder(written, plan_files("second"))
    assert contents(written) == plan_files("second")
    assert names_in(written.parent) == ["plan"]


def test_at_no_moment_is_there_neither_plan(written, monkeypatch):
    seen, rename = [], Path.rename
    monkeypatch.setattr(Path, "rename", lambda self, to: seen.append(self.name) or rename(self, to))
    replace_folder(written, plan_files("second"))
    # one rename would take the old one away before the next brings the new one
    assert seen == [] or not sys.platform.startswith("linux")
    assert contents(written) == plan_files("second")


@pytest.mark.usefixtures("two_renames")
def test_a_failing_swap_puts_the_older_plan_back(written, monkeypatch):
    rename = Path.rename

    def failing(self, target):
        if ".new-" in self.name:
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(OSError, match="Input/output error"):
        replace_folder(written, plan_files("second"))
    monkeypatch.undo()
    assert contents(written) == plan_files()
    assert names_in(written.parent) == ["plan"]


def test_a_swap_stopped_by_a_power_cut_is_finished_by_the_next_one(written):
    written.rename(written.with_name(".plan.old"))
    replace_folder(written, plan_files("second"))
    assert contents(written) == plan_files("second")
    assert names_in(written.parent) == ["plan"]


def test_a_stopped_swap_is_undone_when_the_next_one_fails(written, monkeypatch):
    written.rename(written.with_name(".plan.old"))
    monkeypatch.setattr(folders, "write_all", lambda *_: (_ for _ in ()).throw(OSError(28, "full")))
    with pytest.raises(OSError, match="full"):
        replace_folder(written, plan_files("second"))
    assert contents(written) == plan_files()
