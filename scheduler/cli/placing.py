"""Putting a book where there is none yet: whole or not at all, and never over anything."""

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

import click

from scheduler.outputs.folder import may_be_written

WORKBOOK = ".xlsx"
OTHER_KINDS = (".xls", ".xlsm", ".xlsb", ".xlt", ".xltx", ".ods", ".csv", ".tsv", ".numbers", ".txt")


def is_workbook(path: Path) -> bool:
    """Say whether a path asks for a workbook; otherwise it asks for a folder of CSV tables.

    Raises:
        click.UsageError: it asks for a kind of file that is not written.
    """
    suffix = path.suffix.lower()
    if suffix in OTHER_KINDS:
        raise click.UsageError(f"{path}: a book is a folder, or a workbook whose name ends in .xlsx")
    return suffix == WORKBOOK


def check_free(path: Path) -> None:
    """Make sure that a book may be written to a path.

    Raises:
        click.UsageError: something is there already, or the folder it would lie in is not or may not be
            written to.
    """
    if path.is_symlink() or path.exists():
        if is_workbook(path) or not path.is_dir() or path.is_symlink():
            raise click.UsageError(f"{path} is there already; name another, for nothing is written over it")
        if any(path.iterdir()):
            raise click.UsageError(f"{path} is not empty; name a new folder, or empty this one")
    if not _folder_of(path).is_dir():
        raise click.UsageError(f"{_folder_of(path)} is not a folder; make it first")
    if not may_be_written(_folder_of(path)):
        raise click.UsageError(f"{_folder_of(path)} may not be written to; name another folder")


def place_file(path: Path, contents: bytes) -> None:
    """Write a new file.

    Raises:
        click.UsageError: something is there by now.
        OSError: the disk did not take it; nothing is left.
    """
    new = _folder_of(path) / f".{path.name}.new-{os.getpid()}"
    try:
        _write(new, contents)
        _rename_to_free(new, path)
    finally:
        new.unlink(missing_ok=True)


def place_folder(path: Path, files: Mapping[str, bytes]) -> None:
    """Write a new folder, or fill an empty one.

    Raises:
        click.UsageError: the folder is no longer empty.
        OSError: the disk did not take it; nothing is left.
    """
    new = _folder_of(path) / f".{path.name}.new-{os.getpid()}"
    try:
        new.mkdir()
        for name, contents in files.items():
            _write(new / name, contents)
        check_free(path)
        if path.is_dir():
            path.rmdir()  # fails unless empty, so nothing can be lost
        new.rename(path)
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _folder_of(path: Path) -> Path:
    return Path(os.path.abspath(path)).parent  # noqa: PTH100 - a link is to be seen as it is named


def _write(path: Path, contents: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(contents)
        file.flush()
        os.fsync(file.fileno())


def _rename_to_free(new: Path, path: Path) -> None:
    try:
        # a hard link, unlike a rename, fails when something has come to that name
        os.link(new, path)
    except FileExistsError:
        raise click.UsageError(
            f"{path} is there already; name another, for nothing is written over it"
        ) from None
    except OSError:
        check_free(path)  # a disk without hard links
        new.rename(path)
