"""A new book that begins on a later day with what stands by the records."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from scheduler.book.book import typed_book
from scheduler.book.grids import Grid, grids_of
from scheduler.book.names import plain
from scheduler.book.raw import RawBook, raw_table
from scheduler.book.settings import TABLE as SETTINGS
from scheduler.book.to_csv import csv_files
from scheduler.farm.build import build_farm
from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.farm.units import ceil_div
from scheduler.plan.rows import Plan
from scheduler.records.accepted import in_order
from scheduler.records.box_past import COLUMNS as BOX_PAST
from scheduler.records.box_past import BoxesBefore, boxes_before
from scheduler.records.closures import NEEDED, closure_cells, closure_rows, held_back
from scheduler.records.entries import Entry
from scheduler.records.growing import LATE, growing_cells, growing_table
from scheduler.records.ready import Promised, ReadyRow, for_boxes, promised_before, ready_cells, ready_rows
from scheduler.records.rounding import Counted, counted_on
from scheduler.records.state import State

STANDING = ("orders", "box_shares")
"""Tables of what is delivered every so many weeks, counted from its own first day or that of the book."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextBook:
    """Its tables, as files by name as well, and what the grower must know of them."""

    raw: RawBook
    files: Mapping[str, bytes]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """How a new book begins.

    Attributes:
        first_day: its first day.
        weeks: its weeks; None for as many as lead to the old last day.
        promised: what a plan has cut before that day for which deliveries.
        boxes: what boxes held since the first day of the old book.
        counted: what the plan so far counts on of the cuts that have begun.
    """

    first_day: date
    weeks: int | None = None
    promised: Promised = field(default_factory=dict)
    boxes: BoxesBefore = field(default_factory=BoxesBefore)
    counted: Counted = field(default_factory=Counted)


def start_after(
    book: Farm, entries: Iterable[Entry], planned: tuple[Farm, Plan], begins: tuple[date, int | None]
) -> Start:
    """Return how a book begins that follows a plan, with what is known only from that plan.

    Args:
        book: the farm of the old book.
        entries: the entries that hold.
        planned: the farm and the plan so far.
        begins: first day and weeks of the new book, as in :class:`Start`.
    """
    first, weeks = begins
    return Start(
        first_day=first,
        weeks=weeks,
        promised=promised_before(*planned, first),
        boxes=boxes_before(book, entries, first, planned),
        counted=counted_on(*planned, first),
    )


def next_book(raw: RawBook, farm: Farm, state: State, start: Start) -> NextBook:
    """Return the tables of a book that begins on a day.

    ``first_day`` and ``weeks`` are set so that the last day stays, ``growing`` is what stands by the records,
    ``ready`` what waits in the cooler, ``closures`` has their quarantines and closures as well, and
    ``box_past`` what boxes held since the old book began. What is delivered every second week or less often
    goes on in the same weeks; all else is as in the old book.

    Args:
        raw: the old book.
        farm: the farm it describes.
        state: what stands on the morning of that day.
        start: that day, and what else is new.

    Raises:
        BookFaults: a table of the old book cannot be read.
    """
    first_day = start.first_day
    weeks = start.weeks or _weeks(farm, first_day)
    grids = _going_on(raw, farm, first_day, weeks)
    # the new book may go on where the old one ends, so its own deliveries are asked
    ready = _ready(_raw(raw.source, grids), state, start)
    end = _end(farm, first_day, weeks)
    growing = growing_table(farm, state, first_day, end, start.counted)
    past = [(share, day.isoformat(), product) for share, day, product in start.boxes.rows]
    new: dict[str, Sequence[Sequence[str]]] = {
        "growing": growing_cells(growing.rows),
        "ready": ready_cells(ready),
        "closures": closure_cells(closure_rows(farm, state, first_day, end)),
        "box_past": [BOX_PAST, *past],
    }
    for name, cells in new.items():
        if len(cells) > 1:
            grids[name] = _joined(grids.get(name), _grid(name, cells))
    notes = [*growing.notes, *start.boxes.notes, *for_boxes(ready), *_notes(state, first_day)]
    if "supplies" in grids:
        notes.append("stock in supplies is as in the old book: count it anew")
    return NextBook(raw=_raw(raw.source, grids), files=csv_files(grids), notes=tuple(notes))


def _going_on(raw: RawBook, farm: Farm, first_day: date, weeks: int) -> dict[str, Grid]:
    """Return the tables of the old book as they go on from a day; what stands and waits is left out."""
    grids = dict(grids_of(raw, longest=None))
    settings = {"first_day": first_day.isoformat(), "weeks": str(weeks)}
    grids[SETTINGS] = _with_settings(grids[SETTINGS], settings)
    for name in STANDING:
        if name in grids:
            grids[name] = _counted_from(grids[name], farm.calendar.first_day)
    grids.pop("growing", None)
    grids.pop("ready", None)
    return grids


def _ready(book: RawBook, state: State, start: Start) -> list[ReadyRow]:
    """Return which deliveries of the new book what waits in the cooler is for."""
    if not any(lot.cooler for lot in state.lots.values()):
        return []
    return ready_rows(build_farm(typed_book(book)), state, start.first_day, start.promised)


def _notes(state: State, day: date) -> Iterator[str]:
    """Yield what is held back from a day on."""
    for held in held_back(state, day):
        until = f"through {held.last}" if held.last else "without end"
        yield f"{held.lot} in {held.place} is {held.why}, {until}: {NEEDED}"


def _raw(source: str, grids: Mapping[str, Grid]) -> RawBook:
    tables = {}
    for name, grid in grids.items():
        rows = [list(grid.columns), *(list(row) for row in grid.rows)]
        tables[name] = raw_table(name, list(enumerate(rows, start=1)))
    return RawBook(source=source, tables=tables, unread=frozenset(), faults=())


def _weeks(farm: Farm, first_day: date) -> int:
    """Return the weeks that lead to the old last day; as many as before where that has passed."""
    calendar = farm.calendar
    left = calendar.days - calendar.day_of(first_day)
    return ceil_div(left, WEEK) if left > 0 else calendar.days // WEEK


def _end(farm: Farm, first_day: date, weeks: int) -> date:
    """Return a day past all that a new book plans: that of the old book unless the new one goes on longer."""
    calendar, over = farm.calendar, first_day + timedelta(weeks=weeks)
    return calendar.date_of(calendar.span) if calendar.day_of(over) <= calendar.days else over + LATE


def _with_settings(grid: Grid, changed: Mapping[str, str]) -> Grid:
    name_at, value_at = grid.columns.index("setting"), grid.columns.index("value")
    rows = []
    for row in grid.rows:
        cells = list(row)
        cells[value_at] = changed.get(plain(row[name_at]), row[value_at])
        rows.append(tuple(cells))
    return replace(grid, rows=tuple(rows))


def _counted_from(grid: Grid, began: date) -> Grid:
    """Give what is not delivered every week the first day of the old book, from which its weeks count."""
    if "every_weeks" not in grid.columns:
        return grid
    dated = _joined(grid, Grid(name=grid.name, columns=("from",), rows=()))
    weeks_at, from_at = dated.columns.index("every_weeks"), dated.columns.index("from")
    rows = []
    for row in dated.rows:
        cells = list(row)
        if cells[weeks_at] not in ("", "1"):
            cells[from_at] = cells[from_at] or began.isoformat()
        rows.append(tuple(cells))
    return replace(dated, rows=tuple(rows))


def _grid(name: str, cells: Sequence[Sequence[str]]) -> Grid:
    return Grid(name=name, columns=tuple(cells[0]), rows=tuple(tuple(row) for row in cells[1:]))


def _joined(old: Grid | None, new: Grid) -> Grid:
    """Return the rows of two grids of a table under the columns of both, the schema's first."""
    if old is None:
        return new
    columns = in_order(new.name, [*old.columns, *new.columns])
    cells = [dict(zip(grid.columns, row, strict=True)) for grid in (old, new) for row in grid.rows]
    rows = tuple(tuple(row.get(name, "") for name in columns) for row in cells)
    return Grid(name=new.name, columns=columns, rows=rows)
