"""Tasks from the seed to the transplant boards."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.dates import dated
from scheduler.plan.layout.own_figures import decimal
from scheduler.plan.layout.task_book import Job, TaskBook, job
from scheduler.plan.layout.units import Unit
from scheduler.plan.layout.words import standing_in_words
from scheduler.plan.rows import LotRow
from scheduler.plan.words import seed_in_words

DOMES_OFF = "domes off"
"""Said of trays on the day their domes are no longer needed."""


def nursery_tasks(book: TaskBook) -> Iterator[Job]:
    """Yield soaking, sowing, uncovering, thinning and setting out on boards."""
    for lot in book.plan.lots:
        if lot.sown is None:
            continue
        if lot.origin != "growing":
            yield from _sowing(book, lot, lot.sown)
        yield from _care(book, lot, lot.sown)
    yield from _boards(book)


def _sowing(book: TaskBook, lot: LotRow, sown: int) -> Iterator[Job]:
    crop = book.crop(lot.lot)
    trays = [unit for unit in book.holding(lot.lot) if unit.item == "tray"]
    seeds, soak = seed_in_words(crop, lot.seeds), crop.handling.soak_hours
    if soak:
        early = sown - 1 if crop.handling.soaks_overnight else sown
        yield job(
            "soak",
            lot,
            max(early, book.farm.today),
            trays,
            plants=lot.cells,
            note=f"{seeds}, {decimal(soak)} hours in water before sowing",
        )
    variety = f"{crop.variety}: " if crop.variety else ""
    each = f"{crop.handling.seeds_per_cell} in a {'tray' if crop.sown_by_mass else 'cell'}"
    if crop.bought:
        each = "bought in: unpack, nothing is sown"
    yield job(
        "sow",
        lot,
        sown,
        trays,
        plants=lot.cells,
        to=standing_in_words(tray.stands[0] for tray in trays),
        note=f"{variety}{seeds}, {each}",
    )


def _care(book: TaskBook, lot: LotRow, sown: int) -> Iterator[Job]:
    """Uncovering and thinning, as far as the lot is still in its trays then."""
    handling = book.crop(lot.lot).handling
    notes: dict[tuple[str, int], list[str]] = defaultdict(list)
    notes["uncover", handling.dark_days].append("into the light")
    notes["uncover", handling.dome_days].append(DOMES_OFF)
    notes["thin", handling.thin_day].append("one seedling left in each cell")
    for (work, after), said in notes.items():
        day = sown + after
        trays, cells = book.in_trays(lot.lot, day)
        if after and day >= book.farm.today and trays:
            where = standing_in_words(tray.stand_before(day + 1) for tray in trays)
            words = (_domes(book, trays, day) if each == DOMES_OFF else each for each in said)
            yield job(work, lot, day, trays, plants=cells, where=where, note=", ".join(words))


def _domes(book: TaskBook, trays: list[Unit], day: int) -> str:
    """Say which trays lose their domes on a day: a tray keeps its own while any lot in it needs it."""
    needed = {tray.name: _dome_until(book, tray) for tray in trays}
    kept = [tray for tray in trays if needed[tray.name] > day]
    if not kept:
        return DOMES_OFF
    last = dated(book.farm.date_of(max(needed.values())))
    stays = f"until {last} for another lot in the tray"
    if len(kept) == len(trays):
        return f"dome stays on {stays}"
    where = standing_in_words(tray.stand_before(day + 1) for tray in kept)
    return f"{DOMES_OFF}, but at {where} on {stays}"


def _dome_until(book: TaskBook, tray: Unit) -> int:
    """Return the day on which the last lot in a tray needs its dome no more, or leaves."""
    needs = ((book.crop(part.lot).handling.dome_days, part.leaves) for part in tray.parts)
    return max(min(tray.enters + dome, leaves) for dome, leaves in needs)


def _boards(book: TaskBook) -> Iterator[Job]:
    """Setting out on boards: one task for each lot and day."""
    entering: dict[tuple[str, int], list[Unit]] = defaultdict(list)
    for board in book.of_item("board"):
        if board.growing < 0:
            for lot in dict.fromkeys(part.lot for part in board.parts):
                entering[lot, board.enters].append(board)
    for (lot, day), boards in entering.items():
        yield job(
            "transplant",
            book.lots[lot],
            day,
            boards,
            plants=sum(part.amount for board in boards for part in board.parts if part.lot == lot),
            where=book.emptied("tray", lot, day),
            to=standing_in_words(board.stands[0] for board in boards),
        )
