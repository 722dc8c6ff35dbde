"""A folder of results that is replaced whole or not at all.

The files are written into a new folder beside the old one, pushed to the disk, and the two change places
by renaming. Whatever fails on the way, the old folder is still there, untouched or put back.
"""

import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

NOTE = "plan.json"
"""The file that marks a folder as a raftway plan and lists what belongs to it."""

MARK = "raftway_plan"

LEFT_BY_DESKTOPS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
"""Files that desktops drop into any folder they show; they are not worth keeping."""


class FolderRefused(Exception):
    """The folder may not be written or replaced; the message says why and what to do."""


def check_target(folder: Path) -> None:
    """Make sure that a folder may be written: new, empty, or a plan with nothing else in it.

    Raises:
        FolderRefused: it holds something that replacing it would destroy, or is reached by a link.
    """
    folder = _absolute(folder)
    if folder.is_symlink():
        raise FolderRefused(f"{folder} is a link; name the folder itself")
    if not folder.parent.is_dir():
        raise FolderRefused(f"{folder.parent} is not a folder; make it first")
    if not may_be_written(folder.parent):
        raise FolderRefused(f"{folder.parent} may not be written to; name a folder elsewhere")
    if not folder.exists():
        return
    if not folder.is_dir():
        raise FolderRefused(f"{folder} is a file; name another folder")
    inside = _entries(folder)
    if not inside:
        return
    strangers = sorted(inside - _listed(folder))
    if strangers:
        raise FolderRefused(
            f"{folder} holds {strangers[0]}, which is not part of a raftway plan; "
            "move it away or name another folder"
        )


def may_be_written(folder: Path) -> bool:
    """Say whether files can be made in a folder, by trying: rights alone do not tell for every disk."""
    try:
        with tempfile.TemporaryDirectory(prefix=".raftway-", dir=folder):
            return True
    except OSError:
        return False


def replace_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files as the whole contents of a folder, in one step.

    Args:
        folder: where; its parent must exist. An older plan there is replaced.
        files: name with ``/`` between the parts -> contents; :data:`NOTE` must be among them.

    Raises:
        FolderRefused: see :func:`check_target`.
        OSError: the disk did not take it; what was there before still is.
        ValueError: a name leads out of the folder, or the note is missing.
    """
    if NOTE not in files:
        raise ValueError(f"{NOTE} is missing, so the folder could not be known again")
    folder = _absolute(folder)
    new = folder.with_name(f".{folder.name}.new-{os.getpid()}")
    old = folder.with_name(f".{folder.name}.old")
    _put_back(folder, old)
    check_target(folder)
    try:
        new.mkdir()
        for name, contents in files.items():
            _write(new, name, contents)
        _push_folders(new)
        _swap(folder, new, old)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    _push(folder.parent)
    shutil.rmtree(old, ignore_errors=True)


def keep_copy(folder: Path, kept: Path) -> None:
    """Copy a folder, whole or not at all, to a name that is free.

    Raises:
        FolderRefused: something is there already.
        OSError: the disk did not take it; nothing is left of the copy.
    """
    folder, kept = _absolute(folder), _absolute(kept)
    new = kept.with_name(f".{kept.name}.new-{os.getpid()}")
    try:
        shutil.copytree(folder, new, symlinks=True)
        _push_folders(new)
        if kept.is_symlink() or kept.exists():
            raise FolderRefused(f"{kept} is there already; move it away")
        new.rename(kept)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    _push(kept.parent)


def _absolute(folder: Path) -> Path:
    # not resolve(): the last part itself must not be a link, so it has to be looked at as it is named
    return Path(os.path.abspath(folder))  # noqa: PTH100


def _entries(folder: Path) -> set[str]:
    """Return the names of all files and links below a folder, and of empty folders."""
    found: set[str] = set()
    for at, folders, names in os.walk(folder):
        here = Path(at)
        linked = [name for name in folders if (here / name).is_symlink()]
        if not folders and not names and here != folder:
            found.add(here.relative_to(folder).as_posix())
        found.update((here / name).relative_to(folder).as_posix() for name in (*names, *linked))
    return {name for name in found if PurePosixPath(name).name not in LEFT_BY_DESKTOPS}


def _listed(folder: Path) -> set[str]:
    """Return the files a plan folder says it is made of; none when it is no plan folder."""
    note = folder / NOTE
    if note.is_symlink():
        return set()
    try:
        told = json.loads(note.read_text(encoding="utf-8"))
        if MARK not in told:
            return set()
        return {name for name in told["files"] if not (folder / name).is_symlink()}
    except (OSError, ValueError, KeyError, TypeError):
        return set()


def _write(new: Path, name: str, contents: bytes) -> None:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts:
        raise ValueError(f"{name!r} leads out of the folder")
    target = new / path
    target.parent.mkdir(parents=True, exist_ok=True)
    with target.open("xb") as file:
        file.write(contents)
        file.flush()
        os.fsync(file.fileno())


def _push_folders(top: Path) -> None:
    for at, _, _ in os.walk(top):
        _push(Path(at))


def _push(folder: Path) -> None:
    """Make sure the names in a folder are on the disk, where the system offers that."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _swap(folder: Path, new: Path, old: Path) -> None:
    if not folder.exists():
        new.rename(folder)
        return
    folder.rename(old)
    try:
        new.rename(folder)
    except BaseException:
        old.rename(folder)
        raise


def _put_back(folder: Path, old: Path) -> None:
    """Finish a swap that a power cut stopped half-way."""
    if old.is_symlink() or not old.is_dir():
        return
    if not folder.exists():
        old.rename(folder)
    elif NOTE in _listed(old):
        shutil.rmtree(old)
