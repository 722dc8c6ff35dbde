"""One mutated book through ``check`` and ``plan``: what the commands did, and what they should not have done.

Time is that of the processor, so that a busy machine finds no fault; an alarm ends what takes too much of it.
"""

import contextlib
import io
import json
import re
import resource
import shutil
import signal
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from fuzz.base_books import EXAMPLES
from fuzz.forms import WORKBOOK
from fuzz.mutated import Mutated, mutated

from scheduler.book.schema import load_schema
from scheduler.cli.main import run

CHECK_SECONDS = 20
PLAN_SECONDS = 120
"""Of the processor; a search gets one unit of the solver's own time, some two seconds."""

MOST_MEMORY = 2_000_000
"""In kilobytes, of a process that does nothing else."""

SOUND, FAULTY, SHORT, NO_PLAN = 0, 1, 3, 4
OTHERS = ("settings",)
"""Tables that any other may be held against."""

ALSO = {
    "substitutes": ("orders", "deliveries"),
    "ready": ("orders", "deliveries"),
    "order_changes": ("orders", "deliveries"),
    "fish_tanks": ("fish_weights", "fish_feeding"),
    "loops": ("fish_tanks", "troughs", "beds"),
    "crops": ("yield_curve", "equipment", "products", "recipes"),
    "products": ("recipes",),
    "orders": ("recipes",),
    "deliveries": ("recipes",),
    "box_shares": ("box_slots",),
}
"""Tables that are held against others without a column that refers to them."""


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What became of one mutated book.

    Attributes:
        number: of the book.
        base, form, kinds: of the book.
        checked, planned: exit codes; ``planned`` None where it was not planned.
        faults: how many faults the check told.
        wrong: what the commands should not have done, in words; empty when all is well.
        seconds: of the processor, for the check and for planning.
        memory: most of the process so far, in kilobytes.
    """

    number: int
    base: str
    form: str
    kinds: tuple[str, ...]
    checked: int
    planned: int | None
    faults: int
    wrong: tuple[str, ...]
    seconds: tuple[float, float]
    memory: int


class TooLong(Exception):
    """A command took more of the processor than it may."""


@contextlib.contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """End what runs within after so many seconds of the processor."""

    def end(_signal: int, _frame: object) -> None:
        raise TooLong(f"more than {seconds:g} s of the processor")

    before = signal.signal(signal.SIGPROF, end)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


@dataclass(frozen=True, kw_only=True)
class Ran:
    """What one command gave."""

    code: int
    out: str
    err: str
    seconds: float


def ran(arguments: Sequence[str], seconds: float) -> Ran:
    """Run a command in this process, as the program itself does."""
    out, err, start = io.StringIO(), io.StringIO(), time.process_time()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), at_most(seconds):
        code = run(arguments)
    return Ran(code=code, out=out.getvalue(), err=err.getvalue(), seconds=time.process_time() - start)


def judged(number: int, *, plan: bool = True) -> Verdict:
    """Make the mutated book of a number, run it, and say what was wrong.

    Args:
        number: of the book.
        plan: whether a book that the check passes is planned too; examples never are, for each takes long.
    """
    book = mutated(number)
    folder = Path(tempfile.mkdtemp(prefix="book-"))
    try:
        path = book.written(folder / "book")
        checked = ran(["check", str(path), "--json"], CHECK_SECONDS)
        faults, wrong = told_wrongly(book, checked)
        planned = None
        if checked.code == SOUND and plan and book.base not in EXAMPLES:
            planned = ran(
                ["plan", str(path), "--out", str(folder / "plan"), "--seconds", "1", "--deterministic"],
                PLAN_SECONDS,
            )
            wrong += planned_wrongly(planned, folder / "plan")
    finally:
        shutil.rmtree(folder)
    return Verdict(
        number=number,
        base=book.base,
        form=book.form,
        kinds=book.kinds,
        checked=checked.code,
        planned=None if planned is None else planned.code,
        faults=faults,
        wrong=tuple(wrong),
        seconds=(checked.seconds, 0 if planned is None else planned.seconds),
        memory=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss,
    )


def told_wrongly(book: Mutated, checked: Ran) -> tuple[int, list[str]]:
    """Return how many faults a check told, and what is wrong with how it told them."""
    if checked.code not in (SOUND, FAULTY) or checked.err:
        return 0, [f"check ended with {checked.code}: {checked.err[:500]}"]
    faults = json.loads(checked.out)["faults"]
    places = [str(fault["place"]) for fault in faults]
    wrong = [f"no such place: {place}" for place in places if not _is_there(book, place)]
    wrong += [
        f"nothing said: {fault}"
        for fault in faults
        if not (fault["found"] and fault["expected"] and fault["code"])
    ]
    wrong += [
        f"more than one line: {fault}" for fault in faults if _breaks(f"{fault['found']}{fault['expected']}")
    ]
    if bool(faults) != (checked.code == FAULTY):
        wrong.append(f"{len(faults)} faults and exit code {checked.code}")
    if book.spoilt is not None and str(book.spoilt) not in places:
        wrong.append(f"{book.spoilt} is spoilt and not told; told are {places[:5]}")
    if faults and book.touched is not None and not any(_is_near(book.touched, place) for place in places):
        wrong.append(f"{sorted(book.touched)} were touched, and told are {places[:5]}")
    return len(faults), wrong


def _breaks(text: str) -> bool:
    return any(not char.isprintable() for char in text)


def _table_of(place: str) -> tuple[str, str]:
    table, _, address = place.rpartition("!")
    return (table, address) if table and re.fullmatch(r"[A-Z]+[0-9]+", address) else (place, "")


def _is_there(book: Mutated, place: str) -> bool:
    """Say whether a place is a cell of the book as it was written, or a table or file of it."""
    if book.touched is None:
        return True  # bytes or sheets were changed: anything may stand anywhere
    table, address = _table_of(place)
    if not address:
        return (
            table in load_schema().tables
            or table in book.files
            or table in book.tables
            or table.endswith(WORKBOOK)
        )
    grid = book.tables.get(table)
    if grid is None:
        grid = next((grid for name, grid in book.tables.items() if _plain(name) == _plain(table)), None)
    if grid is None:
        return False
    letters, row = re.fullmatch(r"([A-Z]+)([0-9]+)", address).groups()  # type: ignore[union-attr]
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - ord("A") + 1
    width = max((len(cells) for cells in grid), default=0)
    return 1 <= int(row) <= len(grid) and 1 <= column <= max(width, 1)


def _plain(name: str) -> str:
    return "_".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _is_near(tables: frozenset[str], place: str) -> bool:
    """Say whether a fault stands in a table that was touched, or in one that is held against it."""
    told = _table_of(place)[0]
    told = told.removesuffix(".csv")
    names = {_plain(table) for table in tables}
    return _plain(told) in names or bool(names & _held_against(_plain(told)))


def _held_against(table: str) -> set[str]:
    """Return the tables whose names a table refers to, and those that every table is held against."""
    schema = load_schema()
    if table not in schema.tables:
        return set()
    refers = {column.refers_to for column in schema.tables[table].columns} - {"", "key"}
    places = {"shelves", "troughs", "board_zones", "beds"} if refers & {"place", "lane"} else set()
    return {*OTHERS, *places, *ALSO.get(table, ()), *(each for each in refers if each in schema.tables)}


def planned_wrongly(planned: Ran, folder: Path) -> list[str]:
    """Return what is wrong with how a book that the check passed was planned."""
    wrong = []
    if planned.code not in (SOUND, SHORT, NO_PLAN):
        wrong.append(f"plan ended with {planned.code}: {planned.err[-500:]}")
    if (planned.code in (SOUND, SHORT)) != (folder / "plan.json").is_file():
        wrong.append(f"exit code {planned.code}, and plan.json is{'' if folder.exists() else ' not'} there")
    return wrong


def judged_safely(number: int, *, plan: bool = True) -> Verdict:
    """As ``judged``; what comes out of a command as an exception stands in the verdict."""
    try:
        return judged(number, plan=plan)
    except Exception as error:
        return nothing_told(number, f"{type(error).__name__}: {error}")


def nothing_told(number: int, why: str) -> Verdict:
    """Return the verdict of a book whose commands came to no end of their own."""
    book = mutated(number)
    return Verdict(
        number=number,
        base=book.base,
        form=book.form,
        kinds=book.kinds,
        checked=-1,
        planned=None,
        faults=0,
        wrong=(why,),
        seconds=(0, 0),
        memory=0,
    )
