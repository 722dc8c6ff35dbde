"""A folder of results that is replaced whole or not at all.

The files are written into a new folder beside the old one, pushed to the disk, and the two change places
in one step where the system can do that, else by renaming. Whatever fails on the way, the old folder is still
there, untouched or put back.
"""

import errno
import json
import os
import shutil
from collections.abc import Collection, Iterable, Mapping
from pathlib import Path, PurePosixPath

from scheduler.disk.exchange import exchanged
from scheduler.disk.whole import (
    absolute,
    beside,
    marks_of,
    may_be_written,
    push,
    push_folders,
    remove,
    write_all,
)

NOTE = "plan.json"
"""The file that marks a folder as a raftway plan and lists what belongs to it."""

MARK = "raftway_plan"

LEFT_BY_DESKTOPS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
"""Files that desktops drop into any folder they show; they are not worth keeping."""


OR_AGAIN = "put back a copy of the folder, or plan again into another"
"""What to do about a plan folder whose note is damaged; nobody can write that by hand."""


class FolderRefused(Exception):
    """The folder may not be written or replaced; the message says why and what to do."""


def check_target(folder: Path) -> None:
    """Make sure that a folder may be written: new, empty, or a plan with nothing else in it.

    Raises:
        FolderRefused: it holds something that replacing it would destroy, or is reached by a link.
    """
    folder = absolute(folder)
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
    listed = _listed(folder)
    strangers = sorted(inside - listed)
    _check_closed(folder, listed, strangers)
    if strangers and NOTE in strangers and _is_damaged(folder / NOTE):
        raise FolderRefused(
            f"{folder / NOTE} is damaged, so nothing tells which files are the plan's; {OR_AGAIN}"
        )
    if strangers:
        raise FolderRefused(
            f"{folder} holds {strangers[0]}, which is not part of a raftway plan; "
            "move it away or name another folder"
        )


def _check_closed(folder: Path, listed: Iterable[str], strangers: Collection[str]) -> None:
    """Make sure that no file of a plan is open in an office program, which would save the old one over it.

    Raises:
        FolderRefused: one is.
    """
    for name in sorted(listed):
        path = PurePosixPath(name)
        for mark in marks_of(path.name):
            if path.with_name(mark).as_posix() in strangers:
                raise FolderRefused(
                    f"{folder / name} is open in another program: close it there, and run the command again "
                    f"(if nothing has it open, delete {folder / path.with_name(mark)})"
                )


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
    folder = absolute(folder)
    old = folder.with_name(f".{folder.name}.old")
    _put_back(folder, old)
    check_target(folder)
    with beside(folder) as new:
        write_all(new, files)
        _swap(folder, new, old)
        push(folder.parent)
    remove(old)


def keep_copy(folder: Path, kept: Path) -> None:
    """Copy a folder, whole or not at all, to a name that is free.

    Raises:
        FolderRefused: something is there already.
        OSError: the disk did not take it; nothing is left of the copy.
    """
    folder, kept = absolute(folder), absolute(kept)
    with beside(kept) as new:
        _copy(folder, new)
        push_folders(new)
        if kept.is_symlink() or kept.exists():
            raise FolderRefused(f"{kept} is there already; move it away")
        new.rename(kept)
        push(kept.parent)


def _copy(folder: Path, new: Path) -> None:
    try:
        shutil.copytree(folder, new, symlinks=True)
    except shutil.Error as several:
        # it tells of every file at once, and of none by number
        source, _, why = several.args[0][0]
        raise OSError(errno.EIO, f"{source} could not be copied ({why})") from several


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
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return set()


def _is_damaged(note: Path) -> bool:
    """Say whether the note of a plan can no longer be read, or no longer lists files; others' are not."""
    try:
        told = json.loads(note.read_text(encoding="utf-8"))
    except (ValueError, RecursionError):
        return True
    except OSError:
        return False
    return isinstance(told, dict) and MARK in told


def _swap(folder: Path, new: Path, old: Path) -> None:
    """Give the new folder the name; an older one is then under the hidden name, and is taken away with it."""
    if not folder.exists():
        new.rename(folder)
        return
    if exchanged(new, folder):
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
