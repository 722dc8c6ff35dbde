"""The memory a process takes, for searches that are to keep within a limit."""

import sys

GIGABYTE = 2**30


def used() -> float:
    """Return the most gigabytes this process has held so far; 0 where the system does not tell."""
    try:
        import resource
    except ImportError:
        return 0.0
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most * (1 if sys.platform == "darwin" else 1024) / GIGABYTE
