"""Tasks in beds: setting in, picking, and pulling out with the clean-up after it."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.book.words import counted
from scheduler.farm.dates import short_day
from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.bed_tally import growing_plantings
from scheduler.plan.layout.task_book import Job, TaskBook, job


def bed_tasks(book: TaskBook) -> Iterator[Job]:
    """Yield setting in, picking and clearing: one task for each lot, day and bed."""
    found = growing_plantings(book.farm, book.plan)
    picked = {row.planting for row in book.plan.pickings}
    yield from _plantings(book, [row for row in book.plan.plantings if row.planting not in found])
    yield from _pickings(book)
    gone = {row.planting for row in book.plan.plantings if is_discarded(book, row) and row.planting in found}
    yield from _clearings(book, [row for row in book.plan.plantings if row.planting not in gone - picked])


def is_discarded(book: TaskBook, row: PlantingRow) -> bool:
    """Say whether plants leave their bed on the first day, as what is thrown away does."""
    return row.leaves == book.farm.today


def pulled_out(book: TaskBook, lot: str) -> Iterator[str]:
    """Say where plants of a lot stand in beds that are thrown away on the first day."""
    picked = {row.planting for row in book.plan.pickings}
    for row in book.plan.plantings:
        if row.lot == lot and is_discarded(book, row) and row.planting not in picked:
            yield in_bed(row.bed, [row])


def in_bed(bed: str, rows: list[PlantingRow]) -> str:
    """Say where plants stand in a bed: ``Bed 1 positions 1-12``."""
    said = ", ".join(row.positions for row in rows)
    one = said.isdigit()
    return f"{bed} {'position' if one else 'positions'} {said}"


def _plantings(book: TaskBook, plantings: list[PlantingRow]) -> Iterator[Job]:
    entering: dict[tuple[str, int, str], list[PlantingRow]] = defaultdict(list)
    for row in plantings:
        entering[row.lot, row.enters, row.bed].append(row)
    for (lot, day, bed), rows in entering.items():
        yield job(
            "plant",
            book.lots[lot],
            day,
            plants=sum(row.plants for row in rows),
            where=book.emptied("tray", lot, day),
            to=in_bed(bed, rows),
        )


def _pickings(book: TaskBook) -> Iterator[Job]:
    plantings = {row.planting: row for row in book.plan.plantings}
    picked: dict[tuple[str, int, str], list[PickingRow]] = defaultdict(list)
    for row in book.plan.pickings:
        planting = plantings[row.planting]
        picked[planting.lot, row.day, planting.bed].append(row)
    for_whom: dict[tuple[str, int, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for chain in book.plan.chains:
        for_whom[chain.lot, chain.cut_day, chain.lane][chain.demand] += chain.heads
    for (lot, day, bed), rows in picked.items():
        where = [plantings[row.planting] for row in rows]
        heads = sum(row.heads for row in rows)
        yield job(
            "pick",
            book.lots[lot],
            day,
            plants=heads,
            where=in_bed(bed, where),
            note=_note(book, lot, (sum(row.plants for row in where), heads), for_whom[lot, day, bed]),
        )


def _note(book: TaskBook, lot: str, sizes: tuple[int, int], for_whom: dict[str, int]) -> str:
    plants, heads = sizes
    unit = "g" if book.crop(lot).is_sold_by_mass else "pieces"
    said = [f"{counted(plants, 'plant')}, {heads:,} {unit}"]
    said += [f"{number:,} for {demand}{book.customer(demand)}" for demand, number in for_whom.items()]
    spare = heads - sum(for_whom.values())
    return "; ".join([*said, f"{spare:,} not asked for"] if spare else said)


def _clearings(book: TaskBook, plantings: list[PlantingRow]) -> Iterator[Job]:
    leaving: dict[tuple[str, int, str], list[PlantingRow]] = defaultdict(list)
    for row in plantings:
        leaving[row.lot, row.leaves, row.bed].append(row)
    for (lot, day, bed), rows in leaving.items():
        if day >= book.farm.calendar.span:
            continue
        free = short_day(book.farm.date_of(max(row.free for row in rows)))
        yield job(
            "clear",
            book.lots[lot],
            day,
            plants=sum(row.plants for row in rows),
            where=in_bed(bed, rows),
            note=f"pull out after the last picking and clean up; free again on {free}",
        )
