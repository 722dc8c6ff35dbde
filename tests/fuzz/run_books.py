"""Judge mutated books in processes of their own and keep each verdict; a run that was stopped goes on.

``python tests/fuzz/run_books.py VERDICTS [BOOKS [EVERY]]``: VERDICTS is a file of lines of JSON, one a book;
of the sound books every one whose number EVERY divides is planned too. Ends with 1 when anything was wrong.
"""

import json
import sys
from collections.abc import Iterable, Iterator
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path

if __name__ == "__main__":
    ROOT = Path(__file__).resolve().parents[2]
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from forked import apart, load_all
from fuzz.judged import CHECK_SECONDS, MOST_MEMORY, PLAN_SECONDS, Verdict, judged_safely, nothing_told

EVERY = 5
"""One sound book of so many is planned; a plan takes a hundred times as long as a check."""

FUSE = CHECK_SECONDS + PLAN_SECONDS + 20
"""Seconds of the processor after which the system ends a process that does not end itself."""


def judged_apart(number: int, *, plan: bool) -> Verdict:
    """As ``judged_safely``, in a process of its own: that one's death or hunger is a verdict too."""
    ended = apart(partial(_told, number, plan), FUSE)
    if ended.answer is None:
        return nothing_told(number, f"the process ended with {ended.code} after {ended.seconds:.0f} s")
    made = Verdict(**(ended.answer | {"memory": ended.kilobytes}))
    if ended.kilobytes <= MOST_MEMORY:
        return made
    return replace(made, wrong=(*made.wrong, f"{ended.kilobytes} kilobytes"))


def _told(number: int, plan: bool) -> dict[str, object]:
    return asdict(judged_safely(number, plan=plan))


def run_books(numbers: Iterable[int], verdicts: Path, every: int = EVERY) -> Iterator[Verdict]:
    """Judge books that the file has no verdict of, add theirs to it, and return those of all."""
    kept = {verdict.number: verdict for verdict in read_verdicts(verdicts)}
    with verdicts.open("a", encoding="utf-8") as file:
        for number in numbers:
            if number in kept:
                yield kept[number]
                continue
            verdict = judged_apart(number, plan=number % every == 0)
            file.write(json.dumps(asdict(verdict)) + "\n")
            file.flush()
            yield verdict


def read_verdicts(path: Path) -> list[Verdict]:
    """Return the verdicts of a file; a last line that a killed run left unfinished is cut off."""
    if not path.exists():
        return []
    text = path.read_text(encoding="utf-8")
    whole = text[: text.rfind("\n") + 1]
    if whole != text:
        path.write_text(whole, encoding="utf-8")
    return [Verdict(**json.loads(line)) for line in whole.splitlines()]


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
    load_all()
    made = []
    for verdict in run_books(range(books), path, every):
        made.append(verdict)
        for wrong in verdict.wrong:
            sys.stdout.write(f"{verdict.number} ({verdict.base}, {verdict.form}): {wrong}\n")
            sys.stdout.flush()
    sys.stdout.write(summary(made) + "\n")
    return int(any(verdict.wrong for verdict in made))


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[2:]]
    sys.exit(main(Path(sys.argv[1]), *(given + [10_000, EVERY][len(given) :])))
