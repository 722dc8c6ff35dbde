"""Putting a book where there is none yet: whole or not at all, and never over anything."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.telling import typed
from scheduler.disk.whole import (
    absolute,
    beside,
    give_name,
    may_be_written,
    opened_by,
    push,
    write_all,
    write_new,
)

if TYPE_CHECKING:
    from scheduler.book.grids import Grid

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
            raise _taken(path)
        if any(path.iterdir()):
            raise click.UsageError(f"{path} is not empty; name a new folder, or empty this one")
    _check_folder(path)


def check_apart(*paths: Path | None) -> None:
    """Make sure that what one command writes goes into different files; None is not written.

    Raises:
        click.UsageError: two are the same.
    """
    seen: set[Path] = set()
    for path in paths:
        if path is not None and absolute(path) in seen:
            raise click.UsageError(f"{path} is named for two files; give each a name of its own")
        if path is not None:
            seen.add(absolute(path))


def place_file(path: Path, contents: bytes) -> None:
    """Write a new file.

    Raises:
        click.UsageError: something is there by now.
        OSError: the disk did not take it; nothing is left.
    """
    with beside(path) as new:
        write_new(new, contents)
        try:
            give_name(new, path)
        except FileExistsError:
            raise _taken(path) from None
        push(_folder_of(path))


def place_book(path: Path, grids: "Mapping[str, Grid]") -> None:
    """Write the tables of a book where there is none yet: a workbook, or a folder of CSV tables.

    Raises:
        click.UsageError: the path asks for a kind of file that is not written, or something is there by now.
        OSError: the disk did not take it; nothing is left.
    """
    if is_workbook(path):
        from scheduler.book.to_xlsx import workbook_file

        place_file(path, workbook_file(grids))
    else:
        from scheduler.book.to_csv import csv_files

        place_folder(path, csv_files(grids))


def place_folder(path: Path, files: Mapping[str, bytes]) -> None:
    """Write a new folder, or one in the place of an empty one; who stands in that is told to step in again.

    Raises:
        click.UsageError: the folder is no longer empty.
        OSError: the disk did not take it; nothing is left.
    """
    with beside(path) as new:
        write_all(new, files)
        check_free(path)
        path = absolute(path)  # the working folder cannot be taken away by the name "."
        stood_in = path.is_dir() and path.samefile(Path())
        if path.is_dir():
            path.rmdir()  # fails unless empty, so nothing can be lost
        new.rename(path)
        push(_folder_of(path))
    if stood_in:
        click.echo(f"The folder you stand in was made anew: step into it again, cd {typed(path)}", err=True)


def check_replaceable(path: Path, mark: str) -> None:
    """Make sure that a file may be written: new, or one of the same kind that was written before.

    Args:
        path: the file.
        mark: what such a file holds near its beginning.

    Raises:
        click.UsageError: something else is there, the file is open elsewhere, or its folder may not be
            written to.
    """
    if path.is_file() and not path.is_symlink():
        with path.open("rb") as file:
            if mark.encode() in file.read(len(mark) + 1000):
                check_closed(path)
                return
    check_free_file(path)


def check_free_file(path: Path) -> None:
    """Make sure that a file may be made.

    Raises:
        click.UsageError: something is there, or its folder may not be written to.
    """
    if path.is_symlink() or path.exists():
        raise _taken(path)
    _check_folder(path)


def check_closed(path: Path) -> None:
    """Make sure that no office program has a file open, which would save the old one over it.

    Raises:
        click.UsageError: one has.
    """
    mark = opened_by(path)
    if mark is not None:
        raise click.UsageError(
            f"{path} is open in another program: close it there, and run the command again "
            f"(if nothing has it open, delete {mark})"
        )


def _check_folder(path: Path) -> None:
    folder = _folder_of(path)
    if not folder.is_dir():
        raise click.UsageError(f"{folder} is not a folder; make it first")
    if not may_be_written(folder):
        raise click.UsageError(f"{folder} may not be written to; name another folder")


def _folder_of(path: Path) -> Path:
    return absolute(path).parent


def _taken(path: Path) -> click.UsageError:
    return click.UsageError(f"{path} is there already; name another, for nothing is written over it")
