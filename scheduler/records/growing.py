"""What stands by the records as the table ``growing`` of a new book, so that a plan starts from it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.units import WHOLE_SHARE, ceil_div, spread
from scheduler.records.closures import held_back
from scheduler.records.pieces import Notes, Piece, fitting, note_what_is_left_out, pieces_of
from scheduler.records.rounding import Counted, parts_left
from scheduler.records.state import Content, Standing, State
from scheduler.records.yard import BED, RAFT

SLOTTED = (StageKind.TRAY.value, StageKind.BOARD.value)
"""What stands in slots that people may name."""

LATE = timedelta(days=366)
"""What is planned beyond the days of a book is shorter than this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowingRow:
    """One row of the book's table; its columns.

    ``order`` counts rafts from the harvest end, is the first position in a bed, or of trays and boards the
    first slot; None where that is not known.
    ``together`` is empty for units of their own. ``part_heads`` are ten thousandths of a head.
    """

    lot: str
    crop: str
    stage: str
    place: str
    since: date
    plants: int
    units: int
    order: int | None
    cuts_done: int
    last_cut: date | None
    not_before: date | None
    together: str = ""
    part_heads: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowingTable:
    """The rows, and in words what a row cannot say."""

    rows: tuple[GrowingRow, ...]
    notes: tuple[str, ...]


def growing_table(
    farm: Farm, state: State, first_day: date, end: date | None = None, counted: Counted | None = None
) -> GrowingTable:
    """Return what stands as rows of the book's table: trays, boards, then rafts by row, beds by position.

    Units are exact: a row is made for each group of units that the book would spread the plants over just
    as they stand, and one for each lot in a unit that several share. Only where the tier of a shared tray is
    not known, it is counted once for each lot, as far as there is room.
    Of trays the good seedlings are told: cells that were not counted yet by the crop's own share (margin
    taken off, as the planner does), counted seedlings by the share of them that are good enough to move on.

    Args:
        farm: the farm of the old book.
        state: what stands on the morning of the first day.
        first_day: first day of the new book.
        end: a day past the last that is planned; that of the old book unless given.
        counted: what the plan so far counts on; nothing but the day's own heads unless given.
    """
    notes = Notes()
    pieces = fitting(farm, pieces_of(farm, state, notes), first_day, notes)
    note_what_is_left_out(farm, state, notes)
    places = dict.fromkeys(piece.place for piece in pieces)
    held = _held(state, first_day, end or farm.calendar.date_of(farm.calendar.span))
    rows = [row for place in places for row in _rows(state, pieces, place, held)]
    items = [kind.value for kind in StageKind]
    rows.sort(key=lambda row: items.index(row.stage))
    rows = _with_parts(farm, state, _with_slots_there_are(farm, rows), counted or Counted())
    return GrowingTable(rows=tuple(rows), notes=notes.said)


def _with_parts(farm: Farm, state: State, rows: list[GrowingRow], counted: Counted) -> list[GrowingRow]:
    """Return the rows with what rounding left over: those that are cut where they stand."""
    still = [
        at
        for at, row in enumerate(rows)
        if row.stage != BED and farm.crops[row.crop].ends_in(StageKind(row.stage))
    ]
    cuts = [
        ((row.lot, row.since, row.cuts_done + 1), row.place, row.plants)
        for row in map(rows.__getitem__, still)
    ]
    parts = dict(zip(still, parts_left(farm, state, cuts, counted), strict=True))
    return [replace(row, part_heads=parts.get(at, 0)) for at, row in enumerate(rows)]


def _with_slots_there_are(farm: Farm, rows: Iterable[GrowingRow]) -> list[GrowingRow]:
    """Return the rows; trays and boards without slots that their place never has, or others are told in."""
    there = {place.name: place.slots.highest() for place in farm.places}
    holder: dict[tuple[str, int], object] = {}
    found = []
    for row in rows:
        if row.order is not None and row.stage in SLOTTED:
            slots = range(row.order, row.order + row.units)
            who = row.together or object()
            if slots[-1] > there.get(row.place, 0) or any(
                holder.setdefault((row.place, slot), who) != who for slot in slots
            ):
                row = replace(row, order=None)
        found.append(row)
    return found


@dataclass(slots=True)
class _Group:
    """Units in one place, one behind the other, with plants of one lot that are alike."""

    content: Content
    unit: Standing
    sizes: list[int]
    together: str = ""
    extra: bool = False


def _held(state: State, first_day: date, end: date) -> dict[tuple[str, str], date]:
    """Return (lot, place) -> first day its plants may be cut; past the last day while none is known."""
    return {
        (each.lot, each.place): (each.last or end + LATE) + timedelta(days=1)
        for each in held_back(state, first_day)
    }


def _rows(
    state: State, pieces: Sequence[Piece], place: str, held: Mapping[tuple[str, str], date]
) -> Iterator[GrowingRow]:
    groups: list[_Group] = []
    for piece in pieces:
        if piece.place == place:
            _add(groups, piece)
    rank, last = 0, ""
    for group in groups:
        content, unit = group.content, group.unit
        rank += 0 if group.together and group.together == last else 1
        last = group.together
        yield GrowingRow(
            lot=content.lot,
            crop=state.lots[content.lot].crop,
            stage=unit.item,
            place=place,
            since=unit.since,
            plants=sum(group.sizes),
            units=len(group.sizes),
            order=_order(group, place, rank),
            cuts_done=content.cuts,
            last_cut=content.last_cut,
            not_before=held.get((content.lot, unit.place)),
            together=group.together,
        )


def _order(group: _Group, place: str, rank: int) -> int | None:
    unit = group.unit
    if unit.item == BED:
        return unit.slot
    if unit.item == RAFT:
        return rank
    return unit.slot if unit.slot and not group.extra and unit.place == place else None


def _add(groups: list[_Group], piece: Piece) -> None:
    """Add a unit to the last group if the book would spread the plants just so, else begin a new one.

    Trays and boards have no order, so any group of their place will do; where slots or positions are known
    they follow one another.
    """
    unit, content = piece.unit, piece.content
    alone = [] if piece.together else groups[-1:] if unit.item in (RAFT, BED) else groups
    for group in reversed([group for group in alone if not group.together]):
        alike = (group.content.lot, group.content.cuts, group.content.last_cut, group.unit.since) == (
            content.lot,
            content.cuts,
            content.last_cut,
            unit.since,
        )
        known = unit.item == BED or (unit.item != RAFT and (unit.slot or group.unit.slot))
        behind = known and unit.slot != group.unit.slot + len(group.sizes)
        if alike and not behind and group.unit.item == unit.item and _is_spread([*group.sizes, piece.plants]):
            group.sizes.append(piece.plants)
            return
    groups.append(_Group(content, unit, [piece.plants], piece.together, piece.extra))


def _is_spread(sizes: Sequence[int]) -> bool:
    """Say whether the book spreads the sum of some plants over as many units just so: full ones first."""
    plants, units = sum(sizes), len(sizes)
    return list(sizes) == spread(plants, units, ceil_div(plants, units))


HEADINGS = (
    "lot",
    "crop",
    "stage",
    "place",
    "since",
    "plants",
    "units",
    "order",
    "cuts_done",
    "last_cut",
    "not_before",
    "together",
    "part_heads",
)
SELDOM = ("together", "part_heads")
"""Columns that are left out where no row has anything in them."""


def growing_cells(rows: Iterable[GrowingRow]) -> list[list[str]]:
    """Return rows as text cells of the book's table, the heading first; no column that nothing is in."""
    told = list(rows)
    names = [name for name in HEADINGS if name not in SELDOM or any(getattr(row, name) for row in told)]
    return [names, *([_cell(row, name) for name in names] for row in told)]


def _cell(row: GrowingRow, name: str) -> str:
    value = getattr(row, name)
    if name == "part_heads":
        return f"{value / WHOLE_SHARE:.4f}".rstrip("0") if value else ""
    return "" if value is None else str(value)
