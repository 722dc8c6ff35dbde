"""A model as the bytes its format has, which the solver gives out by way of a file only."""

import os
import tempfile
from pathlib import Path

from ortools.sat.python.cp_model import CpModel

OPEN_FILES = Path("/proc/self/fd")
"""Where Linux gives every open file of a process a name."""


def exported(model: CpModel) -> bytes | None:
    """Return a model as bytes; None where no file takes them.

    The file is one in memory where the system has such: a full disk is to end no search. Elsewhere it lies
    in the folder for temporary files, which may be full, closed to us or gone.
    """
    return _by_memory(model) or _by_disk(model)


def _by_memory(model: CpModel) -> bytes | None:
    if not hasattr(os, "memfd_create") or not OPEN_FILES.is_dir():
        return None
    try:
        with os.fdopen(os.memfd_create("raftway-model"), "rb") as file:
            return file.read() if model.export_to_file(str(OPEN_FILES / str(file.fileno()))) else None
    except OSError:
        return None


def _by_disk(model: CpModel) -> bytes | None:
    try:
        with tempfile.TemporaryDirectory(prefix="raftway-") as folder:
            file = Path(folder) / "model.pb"
            return file.read_bytes() if model.export_to_file(str(file)) else None
    except OSError:
        return None
