"""Work for workers of other processes, for tests: they import this module by its name."""

import os
import signal
from pathlib import Path
from time import sleep


def square(number: int) -> dict[str, int]:
    """Return a number and its square."""
    return {"number": number, "square": number * number}


def square_or_die_once(number: int, folder: str) -> dict[str, int]:
    """Return a number and its square; the first time that 3 is asked for, end the worker."""
    marker = Path(folder) / "died"
    if number == 3 and not marker.exists():
        marker.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return square(number)


def die(number: int) -> dict[str, int]:
    """End the worker."""
    os.kill(os.getpid(), signal.SIGKILL)
    return square(number)


def fail(number: int) -> dict[str, int]:
    """Raise what no other worker would do better."""
    raise ValueError(f"no square of {number}")


def slow_square(number: int, folder: str) -> dict[str, int]:
    """Return a number and its square after a while; leave a mark for each time it begins."""
    with (Path(folder) / f"{number}").open("a") as marks:
        marks.write(f"{os.getpid()}\n")
    sleep(0.4)
    return square(number)
