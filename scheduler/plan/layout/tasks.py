"""The work of every day: what to order, sow, set out, cut, lift, throw away and deliver, and where."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from scheduler.book.words import counted
from scheduler.farm.farm import Farm
from scheduler.plan.entering import entering
from scheduler.plan.instead import delivery_key, outlet_key
from scheduler.plan.layout.bed_tasks import bed_tasks, pulled_out
from scheduler.plan.layout.chore_tasks import chore_tasks
from scheduler.plan.layout.nursery_tasks import nursery_tasks
from scheduler.plan.layout.rest_tasks import rest_tasks
from scheduler.plan.layout.supply_tasks import order_tasks
from scheduler.plan.layout.task_book import WORKS, Job, TaskBook, job
from scheduler.plan.layout.units import Unit
from scheduler.plan.layout.words import slots_in_words, standing_in_words
from scheduler.plan.lifts import as_they_leave
from scheduler.plan.rows import CutRow, LotRow, Plan, TaskRow
from scheduler.plan.tally import lane_order, units_given
from scheduler.plan.words import plant_word


def task_rows(farm: Farm, plan: Plan, units: Iterable[Unit]) -> list[TaskRow]:
    """Return all tasks by day and order of work, past the last reported day too.

    A key names the lot, the work and, where a lot has several, which one of them it is in order of time;
    so it stays with the task when its day changes. Units add up to what there is to do: one that several
    lots share is counted on the first of their lines for a kind of work on a day.
    """
    book = TaskBook(farm, plan, units)
    made = [
        *(Job(task) for task in order_tasks(farm, plan)),
        *nursery_tasks(book),
        *_rafts_in(book),
        *_cuts(book),
        *bed_tasks(book),
        *_lifts(book),
        *_discards(book),
        *_left_behind(book),
        *(Job(task) for task in _deliveries(book)),
        *(Job(task) for task in chore_tasks(farm)),
        *(Job(task) for task in rest_tasks(farm, plan)),
        *(Job(task) for task in _outlets(book)),
    ]
    made.sort(key=_order)
    return _numbered(_with_units(made))


def _order(each: Job) -> tuple[int, int, int, str, str, str, str]:
    task = each.task
    return task.day, WORKS.index(task.work), each.rank, task.key, task.lot, task.where, task.to


def _with_units(jobs: Iterable[Job]) -> Iterator[TaskRow]:
    """Count each unit once a day for a kind of work, and say on later lines with whom it is shared."""
    counted_for: dict[tuple[int, str, str], str] = {}
    for each in jobs:
        task, own = each.task, 0
        shared: Counter[tuple[str, str]] = Counter()
        for unit in each.units:
            first = counted_for.setdefault((task.day, task.work, unit.name), task.lot)
            if first == task.lot:
                own += 1
            else:
                shared[unit.item, first] += 1
        notes = [f"shares {_several(item, number)} with {lot}" for (item, lot), number in shared.items()]
        note = "; ".join([task.note, *notes] if task.note else notes)
        yield replace(task, units=own, note=note) if each.units else task


def _several(item: str, number: int) -> str:
    return f"a {item}" if number == 1 else counted(number, item)


def _numbered(tasks: Iterable[TaskRow]) -> list[TaskRow]:
    """Tell tasks of one lot and work apart by a number, from the second in time on."""
    seen: Counter[str] = Counter()
    rows = []
    for task in tasks:
        seen[task.key] += 1
        number = seen[task.key]
        rows.append(task if number == 1 else replace(task, key=f"{task.key} {number}"))
    return rows


def _rafts_in(book: TaskBook) -> Iterator[Job]:
    """Setting out on rafts: one task for each lot that goes into a row, in the order of the row.

    What went in first stands nearest the harvest end, and leaves first.
    """
    for rank, run in enumerate(entering(book.farm, book.plan)):
        rafts = [book.units[name] for name in run.rafts]
        before = "tray" if book.crop(run.lot).board is None else "board"
        made = job(
            "raft",
            book.lots[run.lot],
            run.day,
            rafts,
            plants=sum(part.amount for raft in rafts for part in raft.parts if part.lot == run.lot),
            where=book.emptied(before, run.lot, run.day),
            to=f"intake end of {run.lane}",
            note=f"behind {' and '.join(run.behind)}" if run.behind else "",
        )
        yield replace(made, rank=rank)


def _cuts(book: TaskBook) -> Iterator[Job]:
    """Cutting: one task for each lot, day and row."""
    cut: dict[tuple[str, int, str], list[CutRow]] = defaultdict(list)
    for row in book.plan.cuts:
        cut[row.lot, row.day, book.units[row.unit].stands[0].place].append(row)
    for_whom: dict[tuple[str, int, str], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for chain in book.plan.chains:
        for_whom[chain.lot, chain.cut_day, chain.lane][chain.demand] += chain.heads
    for (lot, day, lane), rows in cut.items():
        rafts = [book.units[name] for name in dict.fromkeys(row.unit for row in rows)]
        yield job(
            "cut",
            book.lots[lot],
            day,
            rafts,
            plants=sum(row.heads for row in rows),
            where=standing_in_words(raft.stand_before(day) for raft in rafts),
            note=_cut_note(book, rows, for_whom[lot, day, lane]),
        )


def _cut_note(book: TaskBook, rows: list[CutRow], for_whom: dict[str, int]) -> str:
    plants, heads = sum(row.plants for row in rows), sum(row.heads for row in rows)
    numbers = sorted({row.number for row in rows})
    crop = book.crop(rows[0].lot)
    cuts, noun, unit = crop.cuts, plant_word(crop), " g" if crop.grams else ""
    said = [counted(plants, noun) + _from_each_raft(book, rows)]
    if not heads:
        # what may grow again must stay, also where it gave nothing to sell this time
        way = "cut back" if numbers[-1] < cuts else "take out"
        yields = "gram" if crop.grams else "head"
        said = [f"{way} {said[0]}: no {yields} is counted on from {'it' if plants == 1 else 'them'}"]
    if cuts > 1:
        said.append(f"cut {' and '.join(str(number) for number in numbers)}")
    said += [f"{number}{unit} for {demand}{book.customer(demand)}" for demand, number in for_whom.items()]
    spare = heads - sum(for_whom.values())
    return "; ".join([*said, f"{spare}{unit} not asked for"] if spare else said)


def _from_each_raft(book: TaskBook, rows: list[CutRow]) -> str:
    """Say how many plants come from which slot; nothing where there is one raft."""
    plants: Counter[int] = Counter()
    for row in rows:
        plants[book.units[row.unit].stand_before(row.day).slot] += row.plants
    if len(plants) == 1:
        return ""
    slots: dict[int, list[int]] = defaultdict(list)
    for slot in sorted(plants):
        slots[plants[slot]].append(slot)
    each = [
        f"{number} from {'each of ' if len(those) > 1 else ''}{slots_in_words(those)}"
        for number, those in slots.items()
    ]
    return f": {', '.join(each)}"


def _lifts(book: TaskBook) -> Iterator[Job]:
    """Rafts lifted out past others that stay: one task for each lot, day and row."""
    if not book.farm.rules.lift_out:
        return
    lifted: dict[tuple[str, int, str], list[Unit]] = defaultdict(list)
    for lane, rafts in lane_order(book.farm, book.plan).items():
        for row, is_lifted in as_they_leave(rafts):
            if is_lifted:
                raft = book.units[row.unit]
                lifted[raft.lot, row.leaves, lane].append(raft)
    for (lot, day, _), rafts_out in lifted.items():
        yield job(
            "lift",
            book.lots[lot],
            day,
            rafts_out,
            where=standing_in_words(raft.stand_before(day) for raft in rafts_out),
            note="rafts ahead of it stay",
        )


def _left_behind(book: TaskBook) -> Iterator[Job]:
    """Throwing away what goes nowhere from trays and boards: one task for each lot and day."""
    for (lot, day), plants in book.left_behind.items():
        if day == book.farm.today and book.lots[lot].discarded:
            continue  # it goes with what is thrown away of it that day
        units = [unit for unit in book.holding(lot) if unit.name in plants]
        where = standing_in_words(unit.stand_before(day) for unit in units)
        note = _past(book.lots[lot])
        yield job("discard", book.lots[lot], day, units, plants=sum(plants.values()), where=where, note=note)


def _discards(book: TaskBook) -> Iterator[Job]:
    """Throwing away what grew on the first day: one task for each lot."""
    today = book.farm.today
    for lot in book.plan.lots:
        if not lot.discarded:
            continue
        left = book.left_behind.get((lot.lot, today), {})
        units = [unit for unit in book.holding(lot.lot) if unit.name in {*book.thrown[lot.lot], *left}]
        where = [standing_in_words(unit.stand_before(today) for unit in units), *pulled_out(book, lot.lot)]
        yield job(
            "discard",
            lot,
            today,
            units,
            plants=lot.discarded + sum(left.values()),
            where="; ".join(filter(None, where)),
            note=_past(lot),
        )


def _past(lot: LotRow) -> str:
    return "past its last good day" if lot.overdue else ""


def _outlets(book: TaskBook) -> Iterator[TaskRow]:
    """What goes to outlets, on each of their days."""
    for row in book.plan.outlets:
        yield TaskRow(
            key=outlet_key(row.outlet, row.product, book.farm.date_of(row.day)),
            day=row.day,
            work="deliver",
            lot="",
            crop=row.product,
            units=0,
            unit_kind="",
            plants=row.units,
            where="",
            to=row.outlet,
            note="to sell there",
        )


def _deliveries(book: TaskBook) -> Iterator[TaskRow]:
    given = units_given(book.farm, book.plan)
    in_hand = {demand.name: demand.in_hand for demand in book.farm.demands}
    boxed: dict[str, list[str]] = defaultdict(list)
    for item in book.plan.box_items:
        boxed[item.demand] += [item.product] if item.product else []
    for row in book.plan.demands:
        if row.target or not row.filled:
            continue
        missing = f"{row.missing} of {row.amount} short" if row.missing else ""
        for product, units in given[row.demand].items():
            instead = "" if product == row.product else f"in place of {row.product}"
            ready = 0 if instead else min(in_hand[row.demand], units)
            cooler = f"{ready} from the cooler" if ready else ""
            yield TaskRow(
                key=delivery_key(row.demand, product if instead else ""),
                day=row.day,
                work="deliver",
                lot="",
                crop=product,
                units=0,
                unit_kind="",
                plants=units,
                where="",
                to=row.customer,
                note="; ".join(filter(None, (instead, " and ".join(boxed[row.demand]), cooler, missing))),
            )
            missing = ""
