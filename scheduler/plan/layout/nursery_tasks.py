"""Tasks from the seed to the transplant boards."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from scheduler.plan.layout.own_figures import decimal
from scheduler.plan.layout.task_book import TaskBook, blank_task
from scheduler.plan.layout.units import Unit
from scheduler.plan.layout.words import standing_in_words
from scheduler.plan.rows import LotRow, TaskRow


def nursery_tasks(book: TaskBook) -> Iterator[TaskRow]:
    """Yield soaking, sowing, uncovering, thinning and setting out on boards."""
    for lot in book.plan.lots:
        if lot.sown is None:
            continue
        if lot.origin != "growing":
            yield from _sowing(book, lot, lot.sown)
        yield from _care(book, lot, lot.sown)
    yield from _boards(book)


def _sowing(book: TaskBook, lot: LotRow, sown: int) -> Iterator[TaskRow]:
    crop = book.crop(lot.lot)
    trays = [unit for unit in book.holding(lot.lot) if unit.item == "tray"]
    soak = crop.handling.soak_hours
    if soak:
        early = sown - 1 if crop.handling.soaks_overnight else sown
        yield replace(
            blank_task("soak", lot, max(early, book.farm.today)),
            units=len(trays),
            unit_kind=crop.tray.unit,
            plants=lot.cells,
            note=f"{lot.seeds} seeds, {decimal(soak)} hours in water before sowing",
        )
    variety = f"{crop.variety}: " if crop.variety else ""
    yield replace(
        blank_task("sow", lot, sown),
        units=len(trays),
        unit_kind=crop.tray.unit,
        plants=lot.cells,
        to=standing_in_words(tray.stands[0] for tray in trays),
        note=f"{variety}{lot.seeds} seeds, {crop.handling.seeds_per_cell} in a cell",
    )


def _care(book: TaskBook, lot: LotRow, sown: int) -> Iterator[TaskRow]:
    """Uncovering and thinning, as far as the lot is still in its trays then."""
    handling = book.crop(lot.lot).handling
    days = [
        ("uncover", handling.dark_days, "into the light"),
        ("uncover", handling.dome_days, "domes off"),
        ("thin", handling.thin_day, "one seedling left in each cell"),
    ]
    for work, after, note in days:
        day = sown + after
        trays, cells = book.in_trays(lot.lot, day)
        if after and day >= book.farm.today and trays:
            yield replace(
                blank_task(work, lot, day),
                units=len(trays),
                unit_kind=trays[0].kind,
                plants=cells,
                where=standing_in_words(tray.stand_before(day + 1) for tray in trays),
                note=note,
            )


def _boards(book: TaskBook) -> Iterator[TaskRow]:
    """Setting out on boards: one task for each lot and day."""
    entering: dict[tuple[str, int], list[Unit]] = defaultdict(list)
    for board in book.of_item("board"):
        if board.growing < 0:
            for lot in dict.fromkeys(part.lot for part in board.parts):
                entering[lot, board.enters].append(board)
    for (lot, day), boards in entering.items():
        yield replace(
            blank_task("transplant", book.lots[lot], day),
            units=len(boards),
            unit_kind=boards[0].kind,
            plants=sum(part.amount for board in boards for part in board.parts if part.lot == lot),
            where=book.emptied("tray", lot, day),
            to=standing_in_words(board.stands[0] for board in boards),
        )
