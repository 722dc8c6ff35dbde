"""Judge mutated books in processes of their own and keep each verdict; a run that was stopped goes on.

``python tests/fuzz/run_books.py VERDICTS [BOOKS [EVERY]]``: VERDICTS is a file of lines of JSON, the last of
a book counts. All books are checked first; then one sound book of EVERY is planned too, of the starter's one
of ten times as many, for it takes five times as long. Ends with 1 when anything was wrong.
"""

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path

if __name__ == "__main__":
    ROOT = Path(__file__).resolve().parents[2]
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from forked import IN_ONE, add_line, each_apart, lines_of, load_all
from fuzz.base_books import EXAMPLES
from fuzz.judged import (
    CHECK_SECONDS,
    MOST_MEMORY,
    PLAN_SECONDS,
    SOUND,
    Verdict,
    judged_safely,
    nothing_told,
)

EVERY = 3
"""One sound book of so many is planned; a plan takes a hundred times as long as a check."""

WORTH_LOADING = 100
"""Books from which on it takes less time to load everything before the first process is forked."""

FUSE = CHECK_SECONDS + PLAN_SECONDS + 20
"""Seconds of the processor after which the system ends a process that does not end itself."""


def run_books(numbers: Sequence[int], verdicts: Path, every: int = EVERY) -> Iterator[Verdict]:
    """Judge what the file has no verdict of yet, add it to the file, and yield it."""
    kept = read_verdicts(verdicts)
    for plan in (False, True):
        left = [each for each in numbers if (is_wanted(kept[each], every) if plan else each not in kept)]
        for number, told, code in each_apart(partial(_told, plan), left, FUSE, 5 if plan else IN_ONE):
            made = Verdict(**told) if told else nothing_told(number, f"its process ended with {code}")
            kept[number] = _with_memory(made)
            add_line(verdicts, asdict(kept[number]))
            yield kept[number]


def _told(plan: bool, number: int) -> dict[str, object]:
    return asdict(judged_safely(number, plan=plan))


def _with_memory(verdict: Verdict) -> Verdict:
    if verdict.memory <= MOST_MEMORY:
        return verdict
    return replace(verdict, wrong=(*verdict.wrong, f"{verdict.memory} kilobytes"))


def is_wanted(verdict: Verdict, every: int) -> bool:
    """Say whether a book that was checked is to be planned, and was not yet."""
    if verdict.checked != SOUND or verdict.planned is not None or verdict.base in EXAMPLES:
        return False
    return verdict.number % (every * 10 if verdict.base == "starter" else every) == 0


def read_verdicts(path: Path) -> dict[int, Verdict]:
    """Return the verdicts of a file by number, the last one of each."""
    return {line["number"]: Verdict(**line) for line in lines_of(path)}


def summary(verdicts: Iterable[Verdict]) -> str:
    """Return one line of what became of some books."""
    listed = list(verdicts)
    planned = [verdict for verdict in listed if verdict.planned is not None]
    return (
        f"{len(listed)} books, {sum(verdict.checked == 0 for verdict in listed)} of them sound, "
        f"{len(planned)} planned; {sum(bool(verdict.wrong) for verdict in listed)} wrong; at most "
        f"{max((verdict.seconds[0] for verdict in listed), default=0):.1f} s for a check, "
        f"{max((verdict.seconds[1] for verdict in planned), default=0):.1f} s for a plan, "
        f"{max((verdict.memory for verdict in listed), default=0) // 1000} MB"
    )


def main(path: Path, books: int, every: int) -> int:
    """Judge books and say what was wrong."""
    if books >= WORTH_LOADING:
        load_all()
    for verdict in run_books(range(books), path, every):
        for wrong in verdict.wrong:
            sys.stdout.write(f"{verdict.number} ({verdict.base}, {verdict.form}): {wrong}\n")
            sys.stdout.flush()
    made = read_verdicts(path)
    sys.stdout.write(summary(made.values()) + "\n")
    return int(any(verdict.wrong for verdict in made.values()))


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[2:]]
    sys.exit(main(Path(sys.argv[1]), *(given + [10_000, EVERY][len(given) :])))
