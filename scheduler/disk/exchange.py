"""Two names of one disk that change places in one step, where the system offers that.

Renaming twice leaves a moment in which neither the old folder nor the new one has the name; a program killed
just then would leave it so.
"""

import ctypes
import os
import sys
from collections.abc import Callable
from pathlib import Path

HERE = -100
"""Linux: paths are looked up from the working folder (``AT_FDCWD``)."""

EXCHANGE = 2
"""The flag for changing places, the same number on both systems (``RENAME_EXCHANGE``, ``RENAME_SWAP``)."""


def exchanged(one: Path, other: Path) -> bool:
    """Let two names change places, and say whether that was done; nothing has changed where it was not."""
    change = _system_call()
    if change is None:
        return False
    # a disk that does not offer it says so by another answer than 0
    return change(os.fsencode(one), os.fsencode(other)) == 0


def _system_call() -> Callable[[bytes, bytes], int] | None:
    """Return what the C library of this system calls it: renameat2(2) of Linux, renamex_np(2) of macOS."""
    if sys.platform not in ("linux", "darwin"):
        return None
    library = ctypes.CDLL(None)
    if sys.platform == "linux":
        linux = getattr(library, "renameat2", None)
        return linux and (lambda one, other: int(linux(HERE, one, HERE, other, EXCHANGE)))
    mac = getattr(library, "renamex_np", None)
    return mac and (lambda one, other: int(mac(one, other, EXCHANGE)))
