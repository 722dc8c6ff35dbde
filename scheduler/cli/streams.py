"""Output that outlives its reader: who closes it early, as head does, changes nothing about the command."""

import io
import os
import sys
from errno import EIO, EPIPE
from io import TextIOWrapper
from typing import Any


class _Lasting(io.RawIOBase):
    """Bytes for a file of the system, which go nowhere once nobody is there to read them."""

    def __init__(self, file: int) -> None:
        self._file = file
        # a terminal that was closed tells so in another way than a pipe
        self._gone = (EPIPE, EIO) if os.isatty(file) else (EPIPE,)

    def writable(self) -> bool:
        return True

    def fileno(self) -> int:
        return self._file

    def isatty(self) -> bool:
        return os.isatty(self._file)

    def write(self, contents: Any) -> int:
        try:
            return os.write(self._file, contents)
        except OSError as error:
            # told once: what could not be printed is not tried again when the process ends
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self._file)
            os.close(nowhere)
            if error.errno not in self._gone:
                raise
            return len(contents)


def outlive_readers() -> None:
    """Let what this process prints go nowhere once its reader is gone, and never fail for a letter.

    A long search is not to be lost because its progress was piped into something that ended, and the exit
    code is to be that of what was done. A full disk under the output is told, as before.
    """
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if isinstance(stream, TextIOWrapper):
            stream.flush()
            lasting = TextIOWrapper(
                io.BufferedWriter(_Lasting(stream.fileno())),
                encoding=stream.encoding,
                # a grower's letters that the terminal does not know must not end the command
                errors="replace",
                line_buffering=stream.line_buffering or name == "stderr",
                write_through=stream.write_through,
            )
            setattr(sys, name, lasting)
