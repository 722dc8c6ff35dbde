"""Files written whole or not at all: first beside their place under a hidden name, then moved there.

A name is given only once every byte is on the disk. What goes wrong is told of the file that was asked for,
not of the hidden one. Hidden files of runs that were killed are cleared by the next run for the same place.
"""

import errno
import glob
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath

KEPT = "nothing was changed there"


@contextmanager
def beside(path: Path) -> Iterator[Path]:
    """Give a name beside a path to make a file or folder under; whatever is left there is taken away after.

    Raises:
        OSError: the disk did not take it; the error names ``path``.
    """
    path = absolute(path)
    new = path.with_name(f".{path.name}.new-{os.getpid()}")
    try:
        clear_leftovers(path)
        yield new
    except OSError as error:
        raise OSError(error.errno, f"{error.strerror or error}; {KEPT}", str(path)) from error
    finally:
        remove(new)


def clear_leftovers(path: Path) -> None:
    """Take away what runs that were killed left beside a path; runs that still go on keep theirs."""
    path = absolute(path)
    start = f".{path.name}.new-"
    for each in path.parent.glob(f"{glob.escape(start)}*"):
        number = each.name.removeprefix(start)
        if number.isascii() and number.isdigit() and not _runs(int(number)):
            remove(each)


def remove(path: Path) -> None:
    """Take away a file, a folder or a link, but never what a link leads to; what cannot be stays."""
    if path.is_symlink() or path.is_file():
        with suppress(OSError):
            path.unlink()
    else:
        shutil.rmtree(path, ignore_errors=True)


def write_new(path: Path, contents: bytes) -> None:
    """Write a file where none is, down to the disk, with the folders it lies in.

    Raises:
        FileExistsError: something is there, be it a link that leads nowhere.
        OSError: the disk did not take it.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(contents)
        file.flush()
        os.fsync(file.fileno())


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make a folder with files in it, down to the disk.

    Args:
        folder: it must not be there yet.
        files: name with ``/`` between the parts -> contents.

    Raises:
        ValueError: a name leads out of the folder.
        OSError: the disk did not take it.
    """
    folder.mkdir()
    for name, contents in files.items():
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts or not path.parts or "\\" in name or ":" in name:
            raise ValueError(f"{name!r} leads out of the folder")
        write_new(folder / path, contents)
    push_folders(folder)


def give_name(new: Path, path: Path) -> None:
    """Give a finished file its name, which nothing else may have by now.

    Raises:
        FileExistsError: something has.
        OSError: the disk did not take it.
    """
    try:
        # a hard link, unlike a rename, fails when something has come to that name
        os.link(new, path)
    except FileExistsError:
        raise
    except OSError:
        # a disk without hard links, such as many that are carried about
        if path.is_symlink() or path.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from None
        new.rename(path)


def replace_file(path: Path, contents: bytes) -> None:
    """Write a file in one step; an older one is whole until then.

    Raises:
        OSError: the disk did not take it; what was there before still is.
    """
    path = absolute(path)
    with beside(path) as new:
        write_new(new, contents)
        new.replace(path)
        push(path.parent)


def push_folders(top: Path) -> None:
    """Make sure that the names in a folder, and in those in it, are on the disk."""
    for at, _, _ in os.walk(top):
        push(Path(at))


def push(folder: Path) -> None:
    """Make sure that the names in a folder are on the disk, where the system offers that."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def absolute(path: Path) -> Path:
    """Return a path from the root on, without following a link in its last part."""
    # not resolve(): the last part itself must not be a link, so it has to be looked at as it is named
    return Path(os.path.abspath(path))  # noqa: PTH100


def may_be_written(folder: Path) -> bool:
    """Say whether files can be made in a folder, by trying: rights alone do not tell for every disk."""
    try:
        with beside(folder / "raftway") as trial:
            trial.mkdir()
            return True
    except OSError:
        return False


def opened_by(path: Path) -> Path | None:
    """Return the mark that an office program leaves beside a document it has open, if there is one."""
    for mark in marks_of(path.name):
        if (path.parent / mark).is_file():
            return path.parent / mark
    return None


def marks_of(name: str) -> tuple[str, ...]:
    """Return what the marks of a document of that name are called: in programs of two families."""
    return (f".~lock.{name}#", f"~${name}")


def _runs(number: int) -> bool:
    """Say whether another process of that number runs; where that cannot be asked, take it that it does."""
    if number == os.getpid():
        return False
    if os.name != "posix":
        return True
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
