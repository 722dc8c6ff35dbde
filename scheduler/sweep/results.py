"""Answers kept in a file of JSON lines: one item a line, written whole, found again by its key."""

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

Answer = Mapping[str, Any]
"""What an item comes to: names and values that JSON has."""

BEGINS = b'{"answer": '
"""How every line begins, so that a line that was cut off can be told from a file of something else."""


class Damaged(Exception):  # the word is the message
    """A line in the middle of the file is none of ours; the message says which."""


class Results:
    """Answers of a sweep, in memory and in a file.

    A line that a killed writer left without its end is cut off when the file is opened again.
    """

    def __init__(self, path: Path | None) -> None:
        """Read what is there; without a path nothing is kept beyond this object.

        Raises:
            Damaged: a line is no answer, or the file is a link.
            OSError: the file cannot be read or written.
        """
        self.path = path
        self.found: dict[str, Answer] = {}
        if path is not None and path.is_symlink():
            raise Damaged(f"{path} is a link; name the file itself")
        if path is not None and path.exists():
            self._read(path)

    def add(self, key: str, answer: Answer) -> None:
        """Keep an answer: the whole line reaches the disk before this returns.

        Raises:
            OSError: the disk did not take it.
        """
        self.found[key] = answer
        if self.path is None:
            return
        line = json.dumps({"key": key, "answer": answer}, ensure_ascii=False, sort_keys=True) + "\n"
        try:
            _add(self.path, line.encode("utf-8"))
        except OSError as error:
            raise OSError(
                error.errno, f"{error.strerror}; answers before are kept", str(self.path)
            ) from error

    def _read(self, path: Path) -> None:
        contents = path.read_bytes()
        whole = contents[: contents.rfind(b"\n") + 1]
        for number, line in enumerate(whole.splitlines(), start=1):
            try:
                told = json.loads(line)
                key, answer = told["key"], told["answer"]
            except (ValueError, TypeError, KeyError, RecursionError):
                key = answer = None
            if not isinstance(key, str) or not isinstance(answer, dict):
                raise Damaged(f"{path}:{number}: found no answer of a sweep; expected a line that it wrote")
            self.found[key] = answer
        begun = contents[len(whole) :]
        if not (begun.startswith(BEGINS) or BEGINS.startswith(begun)):
            raise Damaged(f"{path}: found an end that is no answer of a sweep; expected a file that it wrote")
        if begun:
            with path.open("r+b") as file:
                file.truncate(len(whole))


def _add(path: Path, contents: bytes) -> None:
    """Add a line to a file, down to the disk; where that does not take it, the file is as it was."""
    there = path.exists()
    file = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o644)
    before, left = os.fstat(file).st_size, contents
    try:
        while left:
            left = left[os.write(file, left) :]
        os.fsync(file)
    except OSError:
        # what another sweep added meanwhile is not cut off
        if os.fstat(file).st_size == before + len(contents) - len(left):
            with suppress(OSError):
                os.ftruncate(file, before)
        if not there and not os.fstat(file).st_size:
            with suppress(OSError):
                path.unlink()
        raise
    finally:
        os.close(file)
