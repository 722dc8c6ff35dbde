"""The work of every day: what to order, sow, set out, cut, lift, throw away and deliver, and where."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.plan.layout.nursery_tasks import nursery_tasks
from scheduler.plan.layout.supply_tasks import order_tasks
from scheduler.plan.layout.task_book import WORKS, TaskBook, blank_task
from scheduler.plan.layout.units import Unit
from scheduler.plan.layout.words import standing_in_words
from scheduler.plan.rows import CutRow, Plan, TaskRow
from scheduler.plan.tally import lane_order


def task_rows(farm: Farm, plan: Plan, units: Iterable[Unit]) -> list[TaskRow]:
    """Return all tasks by day and order of work, past the last reported day too.

    A key names the lot, the work and, where a lot has several, which one of them it is in order of time;
    so it stays with the task when its day changes.
    """
    book = TaskBook(farm, plan, units)
    made = [
        *order_tasks(farm, plan),
        *nursery_tasks(book),
        *_rafts_in(book),
        *_cuts(book),
        *_lifts(book),
        *_discards(book),
        *_deliveries(book),
    ]
    made.sort(key=lambda task: (task.day, WORKS.index(task.work), task.key, task.lot, task.where, task.to))
    return _numbered(made)


def _numbered(tasks: list[TaskRow]) -> list[TaskRow]:
    """Tell tasks of one lot and work apart by a number, from the second in time on."""
    seen: Counter[str] = Counter()
    rows = []
    for task in tasks:
        seen[task.key] += 1
        number = seen[task.key]
        rows.append(task if number == 1 else replace(task, key=f"{task.key} {number}"))
    return rows


def _rafts_in(book: TaskBook) -> Iterator[TaskRow]:
    """Setting out on rafts: one task for each lot, day and row."""
    entering: dict[tuple[str, int, str], list[Unit]] = defaultdict(list)
    for raft in book.of_item("raft"):
        if raft.growing < 0:
            for lot in dict.fromkeys(part.lot for part in raft.parts):
                entering[lot, raft.enters, raft.stands[0].place].append(raft)
    for (lot, day, lane), rafts in entering.items():
        before = "tray" if book.crop(lot).board is None else "board"
        yield replace(
            blank_task("raft", book.lots[lot], day),
            units=len(rafts),
            unit_kind=rafts[0].kind,
            plants=sum(part.amount for raft in rafts for part in raft.parts if part.lot == lot),
            where=book.emptied(before, lot, day),
            to=f"intake end of {lane}",
        )


def _cuts(book: TaskBook) -> Iterator[TaskRow]:
    """Cutting: one task for each lot, day and row."""
    cut: dict[tuple[str, int, str], list[CutRow]] = defaultdict(list)
    for row in book.plan.cuts:
        cut[row.lot, row.day, book.units[row.unit].stands[0].place].append(row)
    for_whom: dict[tuple[str, int, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for chain in book.plan.chains:
        for_whom[chain.lot, chain.cut_day, chain.lane][chain.demand] += chain.heads
    for (lot, day, lane), rows in cut.items():
        rafts = [book.units[name] for name in dict.fromkeys(row.unit for row in rows)]
        yield replace(
            blank_task("cut", book.lots[lot], day),
            units=len(rafts),
            unit_kind=rafts[0].kind,
            plants=sum(row.heads for row in rows),
            where=standing_in_words(raft.stand_before(day) for raft in rafts),
            note=_cut_note(book, rows, for_whom[lot, day, lane]),
        )


def _cut_note(book: TaskBook, rows: list[CutRow], for_whom: dict[str, int]) -> str:
    plants, heads = sum(row.plants for row in rows), sum(row.heads for row in rows)
    numbers = sorted({row.number for row in rows})
    said = [f"{plants} plants"]
    if book.crop(rows[0].lot).cuts > 1:
        said.append(f"cut {' and '.join(str(number) for number in numbers)}")
    said += [f"{number} for {demand}{book.customer(demand)}" for demand, number in for_whom.items()]
    spare = heads - sum(for_whom.values())
    return "; ".join([*said, f"{spare} not asked for"] if spare else said)


def _lifts(book: TaskBook) -> Iterator[TaskRow]:
    """Rafts lifted out past others that stay: one task for each lot, day and row."""
    if not book.farm.rules.lift_out:
        return
    lifted: dict[tuple[str, int, str], list[Unit]] = defaultdict(list)
    for lane, rafts in lane_order(book.farm, book.plan).items():
        latest: int | None = None
        for row in rafts:
            raft = book.units[row.unit]
            if latest is not None and latest > row.leaves:
                lifted[raft.lot, row.leaves, lane].append(raft)
            latest = row.leaves if latest is None else max(latest, row.leaves)
    for (lot, day, _), rafts_out in lifted.items():
        yield replace(
            blank_task("lift", book.lots[lot], day),
            units=len(rafts_out),
            unit_kind=rafts_out[0].kind,
            where=standing_in_words(raft.stand_before(day) for raft in rafts_out),
            note="rafts ahead of it stay",
        )


def _discards(book: TaskBook) -> Iterator[TaskRow]:
    today = book.farm.today
    for lot in book.plan.lots:
        if not lot.discarded:
            continue
        rafts = [
            unit
            for unit in book.holding(lot.lot)
            if unit.growing >= 0
            and any(part.lot == lot.lot and part.leaves == today and not part.cuts for part in unit.parts)
        ]
        yield replace(
            blank_task("discard", lot, today),
            units=len(rafts),
            unit_kind=rafts[0].kind if rafts else "",
            plants=lot.discarded,
            where=standing_in_words(unit.stand_before(today) for unit in rafts),
            note="past its last good day" if lot.overdue else "",
        )


def _deliveries(book: TaskBook) -> Iterator[TaskRow]:
    for row in book.plan.demands:
        if row.target or not row.filled:
            continue
        yield TaskRow(
            key=f"deliver {row.demand}",
            day=row.day,
            work="deliver",
            lot="",
            crop=row.product,
            units=0,
            unit_kind="",
            plants=row.filled,
            where="",
            to=row.customer,
            note="" if row.filled >= row.amount else f"{row.amount - row.filled} of {row.amount} short",
        )
