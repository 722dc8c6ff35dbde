"""Tasks of a plan that were done, as entries: what the plan has, and over it what was counted."""

import hashlib
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from math import floor
from typing import Any

from scheduler.book.place import Cell
from scheduler.farm.farm import Farm
from scheduler.farm.units import MILLI, ceil_div
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.earlier import lot_at_large
from scheduler.plan.entering import entering
from scheduler.plan.instead import delivery_key, demands_by_key, outlet_key
from scheduler.plan.left_behind import left_behind, told_behind
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import ContentRow, CutRow, FillRow, Plan, PositionRow, TaskRow
from scheduler.plan.sale_rows import SaleRow
from scheduler.plan.thrown import thrown_away
from scheduler.records import entries as kinds
from scheduler.records.drafts import Hints, Kept, Told
from scheduler.records.entries import Put
from scheduler.records.yard import BOARD, RAFT, TRAY

NO_RECORD = ("order", "soak", "uncover", "lift", "clean", "chore")
"""Work that leaves no trace in what stands where: nothing is recorded of it."""

STAGE_OF = {"sow": "tray", "transplant": "board", "raft": "raft", "plant": "bed"}
"""Work -> the units that it fills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A task that was done.

    Attributes:
        key: its key in the plan.
        when: day it was done; None for the day of the plan.
        counted: what was counted; None for what the plan has.
        who, seed_lot, note: as filled in.
        where: where it was told.
        cells: field -> where it was told.
    """

    key: str
    when: date | str | None = None
    counted: int | None = None
    who: str = ""
    seed_lot: str = ""
    note: str = ""
    where: Cell
    cells: Mapping[str, Cell] = field(default_factory=dict)


def op_of(task: TaskRow, day: date, part: str = "") -> str:
    """Return the name of the entry of a task of a day; ``part`` tells several entries of one task apart.

    The date counts, not the number of the day: a later plan has tasks of the same name on its own days.
    """
    told = "\n".join((task.key, day.isoformat(), task.lot, task.where, task.to, part))
    return f"task {hashlib.sha256(told.encode()).hexdigest()[:32]}"


def is_recorded(task: TaskRow) -> bool:
    """Say whether a task leaves entries in the records."""
    return task.work not in NO_RECORD


class Tasks:
    """The tasks of a plan, by key, with what the plan's other tables say of them."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Take a plan."""
        self.farm, self.plan = farm, plan
        self._ready = {delivery_key(demand.name, ""): demand.ready for demand in farm.demands}
        self._given: dict[str, list[FillRow | SaleRow]] = defaultdict(list)
        for fill in plan.fills:
            self._given[delivery_key(fill.demand, fill.substitute)].append(fill)
        for sale in plan.sales:
            self._given[outlet_key(sale.outlet, sale.product, farm.date_of(sale.day))].append(sale)
        self._demand_of = demands_by_key(plan.fills)
        self.by_key: dict[str, TaskRow] = {task.key: task for task in plan.tasks}
        self._lots = {row.lot: row for row in plan.lots}
        self._family: dict[str, list[str]] = defaultdict(list)
        for lot in self._lots:
            self._family[self._at_large(lot)].append(lot)
        self._items = {row.unit: row.item for row in plan.units}
        self._contents: dict[str, list[ContentRow]] = defaultdict(list)
        self._lots_in: dict[str, set[str]] = defaultdict(set)
        for content in plan.contents:
            self._contents[content.lot].append(content)
            self._lots_in[content.unit].add(content.lot)
        self._stands: dict[str, list[PositionRow]] = defaultdict(list)
        for position in sorted(plan.positions, key=lambda row: row.enters):
            self._stands[position.unit].append(position)
        self._cut_on: dict[tuple[str, int], list[CutRow]] = defaultdict(list)
        for cut in plan.cuts:
            self._cut_on[cut.lot, cut.day].append(cut)
        self._planted: dict[tuple[str, int], list[PlantingRow]] = defaultdict(list)
        for planting in plan.plantings:
            self._planted[planting.lot, planting.enters].append(planting)
        self._rafts = _rafts_of(farm, plan)
        self._thrown = thrown_away(farm, plan)
        self._left_behind = told_behind(farm, plan, left_behind(farm, plan, self._thrown))
        self._same_day: dict[tuple[str, int, str], list[str]] = defaultdict(list)
        self._of_lot: dict[tuple[str, str], list[str]] = defaultdict(list)
        for task in plan.tasks:
            self._same_day[self._at_large(task.lot), task.day, task.work].append(task.key)
            self._of_lot[self._at_large(task.lot), task.work].append(task.key)

    def told(self, done: Done) -> Iterator[Told]:
        """Yield the entries of a task; none for work of which nothing is recorded.

        Raises:
            KeyError: the plan has no task of that key.
        """
        task = self.by_key[done.key]
        if task.work == "deliver":
            yield from self._delivered(task, done)
        elif is_recorded(task):
            given, hints = self._one(task, done)
            yield self._told(task, done, given, hints)

    def ops(self, task: TaskRow) -> tuple[str, ...]:
        """Return the names of the entries that a task leaves."""
        if task.work == "deliver":
            day = self.farm.date_of(task.day)
            return tuple(op_of(task, day, lot) for lot, _, _ in self._fills(task))
        return (op_of(task, self.farm.date_of(task.day)),) if is_recorded(task) else ()

    def _told(
        self, task: TaskRow, done: Done, given: dict[str, Any], hints: Hints | None, part: str = ""
    ) -> Told:
        common = {
            "when": done.when or self.farm.date_of(task.day),
            "who": done.who,
            "note": done.note,
            "seed_lot": done.seed_lot,
            "task": task.key,
        }
        cells = dict(done.cells)
        if "counted" in cells:
            counted = "heads" if task.work in ("cut", "pick", "deliver") else "plants"
            cells[counted] = cells["counted"]
        if hints is not None:
            hints = replace(hints, due=self.farm.date_of(task.day), wanted=task.plants)
        return Told(
            op=op_of(task, self.farm.date_of(task.day), part),
            given={**common, **given},
            where=done.where,
            cells=cells,
            hints=hints,
        )

    def _one(self, task: TaskRow, done: Done) -> tuple[dict[str, Any], Hints]:
        count = task.plants if done.counted is None else done.counted
        planned = frozenset(() if done.counted is not None else ("plants", "heads"))
        given: dict[str, Any] = {"lot": task.lot, "plants": count}
        match task.work:
            case "sow":
                given |= {"what": kinds.SOWN, "crop": task.crop, "to": task.to, "units": task.units}
                return given, Hints(planned=planned, puts=self._puts(task))
            case "thin":
                given |= {"what": kinds.THINNED, "plants": done.counted}
                return given, Hints(planned=planned)
            case "transplant" | "raft" | "plant":
                given |= {"what": kinds.MOVED, "place": task.where, "to": task.to, "units": task.units}
                family = self._family[self._at_large(task.lot)]
                hints = Hints(
                    planned=planned,
                    staying=self._staying(task, family),
                    alone=self._staying(task, [task.lot]),
                    beside=tuple(lot for lot in family if lot != task.lot),
                    puts=self._puts(task),
                    after=tuple(self._before(task, task.work)),
                    boarded_by=next(self._before(task, "transplant"), "") if task.work == "raft" else "",
                )
                return given, hints
            case "cut":
                return self._cut(task, done)
            case "pick":
                given = {"what": kinds.CUT, "lot": task.lot, "place": task.where, "heads": count}
                return given, Hints(planned=planned)
            case "clear":
                return {"what": kinds.DISCARDED, "lot": task.lot, "place": task.where}, Hints()
            case _:
                # rows that the plan numbers apart are one lot here, of which the others may stay
                alone = len(self._family[self._at_large(task.lot)]) == 1
                whole = alone and self._lots[task.lot].discarded == self._lots[task.lot].plants
                if whole and done.counted is None:
                    given = {"lot": task.lot, "what": kinds.DISCARDED, "place": task.where}
                    return given, Hints(planned=planned)
                given |= {"what": kinds.CULLED, "place": task.where}
                gone = self._gone(task)
                kept = tuple(self._kept(task, {self._items[unit] for unit in gone}))
                emptied, rafts = self._emptied(task, gone), self._rafts_emptied(task, gone)
                return given, Hints(planned=planned, emptied=emptied, kept=kept, rafts_emptied=rafts)

    def _gone(self, task: TaskRow) -> dict[str, int]:
        """Return the plants that a task throws away of each unit."""
        gone: dict[str, int] = dict(self._left_behind.get((task.lot, task.day), {}))
        if task.day == self.farm.today:
            for unit, plants in self._thrown.get(task.lot, {}).items():
                gone[unit] = gone.get(unit, 0) + plants
        return gone

    def _emptied(self, task: TaskRow, gone: Mapping[str, int]) -> tuple[str, ...]:
        """Return the kind of each tray and board that a task empties of its lot; none if it does more."""
        stands = self._stood(task)
        items = tuple(self._items[unit] for unit in gone)
        whole = all(plants >= stands[unit] for unit, plants in gone.items())
        in_nursery = whole and set(items) <= {TRAY, BOARD}
        return items if in_nursery and sum(gone.values()) == task.plants else ()

    def _rafts_emptied(self, task: TaskRow, gone: Mapping[str, int]) -> int:
        """Return how many rafts a task empties of its lot."""
        stands = self._stood(task)
        return sum(self._items[unit] == RAFT and plants >= stands[unit] for unit, plants in gone.items())

    def _stood(self, task: TaskRow) -> dict[str, int]:
        """Return the plants of a task's lot that stand in each unit when it is done."""
        stands: dict[str, int] = defaultdict(int)
        for row in self._rows(task):
            stands[row.unit] += row.plants if row.leaves >= task.day else 0
        return stands

    def _kept(self, task: TaskRow, items: Collection[str]) -> Iterator[Kept]:
        """Yield what of a lot goes on standing in units of some kinds when a task throws others away."""
        for row in self._rows(task):
            if self._items.get(row.unit) not in items or not row.enters <= task.day < row.leaves:
                continue
            places = [each.place for each in self._stands[row.unit] if each.enters <= task.day]
            yield Kept(unit=row.unit, lot=row.lot, place=places[-1] if places else "", plants=row.plants)

    def _rows(self, task: TaskRow) -> Iterator[ContentRow]:
        """Yield what units hold of the lot of a task, all its rows that the plan numbers apart."""
        for lot in self._family[self._at_large(task.lot)]:
            yield from self._contents[lot]

    def _at_large(self, lot: str) -> str:
        return lot_at_large(lot, self._lots)

    def _staying(self, task: TaskRow, rows: Sequence[str]) -> tuple[int, int] | None:
        """Return what the plan leaves of some rows in the stage before, and what leaves it on that day.

        Where several tasks of a day share what leaves, only the last of them says so.
        """
        *others, last = self._keys(task, task.work, rows) or [""]  # none of a lot the plan does not know
        if last != task.key:
            return None
        has_boards = self.farm.crops[task.crop].board is not None
        before = "board" if task.work == "raft" and has_boards else "tray"
        later, leaving = 0, -sum(self.by_key[key].plants for key in others)
        for row in (row for lot in rows for row in self._contents[lot]):
            if self._items.get(row.unit) == before and row.enters < task.day:
                later += row.plants if row.leaves > task.day else 0
                leaving += row.plants if row.leaves == task.day else 0
        # what is thrown away on that day stays until its own task is told
        thrown = sum(self.by_key[key].plants for key in self._keys(task, "discard", rows))
        thrown = min(thrown, max(leaving, 0))
        return later + thrown, max(leaving, 0) - thrown

    def _before(self, task: TaskRow, work: str) -> Iterator[str]:
        """Yield the key of each task of a kind of work with a lot that the plan has before a task."""
        for key in self._of_lot[self._at_large(task.lot), work]:
            if key == task.key:
                return
            if self.by_key[key].day <= task.day:
                yield key

    def _keys(self, task: TaskRow, work: str, rows: Sequence[str]) -> list[str]:
        """Return the tasks of a kind of work with some rows on the day of a task."""
        keys = self._same_day[self._at_large(task.lot), task.day, work]
        return [key for key in keys if self.by_key[key].lot in rows]

    def _puts(self, task: TaskRow) -> tuple[Put, ...]:
        """Return the units a task fills and the plants of each; none where rafts are shared by lots."""
        item = STAGE_OF[task.work]
        if item == "bed":
            return tuple(
                Put(row.bed, position, 1)
                for row in self._planted[task.lot, task.day]
                for position in positions_in(row.positions) or ()
                if task.to.startswith(f"{row.bed} position")
            )
        plants: dict[str, int] = defaultdict(int)
        for row in self._contents[task.lot]:
            is_of_it = item != "raft" or row.unit in self._rafts[task.key]
            if row.enters == task.day and self._items.get(row.unit) == item and is_of_it:
                plants[row.unit] += row.plants
        puts = []
        for unit, number in plants.items():
            stand = next(iter(self._stands[unit]), None)
            if stand is not None:
                if item == "raft" and len(self._lots_in[unit]) > 1:
                    return ()
                puts.append(Put(stand.place, 0 if item == "raft" else stand.slot, number))
        return tuple(puts)

    def _cut(self, task: TaskRow, done: Done) -> tuple[dict[str, Any], Hints]:
        cuts = list(self._cuts(task))
        plants = sum(row.plants for row in cuts)
        gone = 0
        for unit in dict.fromkeys(row.unit for row in cuts):
            cut = sum(row.plants for row in cuts if row.unit == unit)
            leaving = sum(
                row.plants for row in self._contents[task.lot] if row.unit == unit and row.leaves == task.day
            )
            gone += min(cut, leaving)
        heads = task.plants if done.counted is None else done.counted
        given = {
            "what": kinds.CUT,
            "lot": task.lot,
            "place": task.where,
            "plants": plants,
            "heads": heads,
            "left": plants - gone,
        }
        planned = {"plants"} if done.counted is not None else {"plants", "heads"}
        return given, Hints(planned=frozenset(planned))

    def _cuts(self, task: TaskRow) -> Iterator[CutRow]:
        """Yield the cuts of a task: those of its lot and day in its row."""
        for row in self._cut_on[task.lot, task.day]:
            if any(task.where.startswith(f"{stand.place} slot") for stand in self._stands[row.unit]):
                yield row

    def _delivered(self, task: TaskRow, done: Done) -> Iterator[Told]:
        """Yield what each lot gave; a count other than planned is taken from the lots in turn."""
        fills = self._fills(task)
        product = self.farm.products.get(task.crop)
        wanted, so_far = done.counted, Fraction(0)
        for at, (lot, crop, heads) in enumerate(fills):
            each = product.sources.get(crop, MILLI) if product else MILLI
            if wanted is not None and product is not None and product.parts:
                # of a mix each lot gave its part of every unit
                heads = ceil_div(heads * wanted, max(1, task.plants))
            elif wanted is not None:
                most = ceil_div(wanted * each, MILLI)
                heads = most if at == len(fills) - 1 else min(heads, most)
                wanted -= heads * MILLI // each
            # what is left over of one lot makes a unit with that of the next
            before, so_far = floor(so_far), so_far + Fraction(heads * MILLI, each)
            if heads:
                given = {
                    "what": kinds.DELIVERED,
                    "lot": lot,
                    "heads": heads,
                    "delivery": self._demand(task),
                    "customer": task.to,
                    "product": task.crop,
                }
                is_mix = product is not None and bool(product.parts)
                hints = Hints(units=None if is_mix else floor(so_far) - before)
                yield self._told(task, done, given, hints, lot)

    def _fills(self, task: TaskRow) -> list[tuple[str, str, int]]:
        """Return lot, crop and heads of a delivery, lots in the order in which they were cut."""
        heads: dict[tuple[str, str], int] = defaultdict(int)
        for each in self._ready.get(task.key, ()):
            heads[each.lot, each.crop] += each.heads
        for row in sorted(self._given.get(task.key, ()), key=lambda row: (row.cut_day, row.lot)):
            heads[row.lot, row.crop] += row.heads
        return [(lot, crop, number) for (lot, crop), number in heads.items()]

    def _demand(self, task: TaskRow) -> str:
        """Return the delivery a task is for; empty for an outlet, which is told as a customer."""
        return self._demand_of.get(task.key, "")


def _rafts_of(farm: Farm, plan: Plan) -> dict[str, set[str]]:
    """Return task of setting out on rafts -> the rafts that it puts into its row.

    Plans made before rafts went in one behind the other have one task for all rafts of a lot in a row.
    """
    runs: dict[tuple[int, str, str], list[tuple[str, ...]]] = defaultdict(list)
    for run in entering(farm, plan):
        runs[run.day, f"intake end of {run.lane}", run.lot].append(run.rafts)
    found: dict[str, set[str]] = defaultdict(set)
    tasks: dict[tuple[int, str, str], list[str]] = defaultdict(list)
    for task in plan.tasks:
        if task.work == "raft":
            tasks[task.day, task.to, task.lot].append(task.key)
    for of, keys in tasks.items():
        for number, rafts in enumerate(runs[of]):
            found[keys[min(number, len(keys) - 1)]].update(rafts)
    return found
