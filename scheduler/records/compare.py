"""What stands by the records beside what should stand by the plan, and tasks of which nothing is recorded."""

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.instead import demands_by_key
from scheduler.plan.rows import Plan, TaskRow
from scheduler.plan.views.standing import standing_on
from scheduler.records import entries as kinds
from scheduler.records.entries import Entry, lot_in_records
from scheduler.records.pieces import expected
from scheduler.records.state import Content, State
from scheduler.records.tasks import Tasks
from scheduler.records.yard import BED, CELLS, TRAY


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Amount:
    """Units of one kind in one place that hold plants of a lot; of trays ``plants`` counts ``form``."""

    item: str
    place: str
    units: int
    plants: int
    form: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A lot that does not stand as planned; places in the order of the farm."""

    lot: str
    crop: str
    planned: tuple[Amount, ...]
    stands: tuple[Amount, ...]


def differences(farm: Farm, plan: Plan, state: State, day: int) -> list[Difference]:
    """Return the lots that at the end of a day do not stand as the plan has it.

    Cells that were counted are held against the seedlings the plan expects of its cells, and fewer of them
    are a difference, as are fewer cells where none were counted; a tray whose tier the book does not name is
    where the plan has it.
    """
    planned, stands = _planned(farm, plan, state, day), standing_of(state)
    crops = {row.lot: row.crop for row in plan.lots} | {lot.lot: lot.crop for lot in state.lots.values()}
    order = {place.name: at for at, place in enumerate(farm.places)}
    found = []
    for lot in dict.fromkeys([*planned, *stands]):
        ours, theirs = planned.get(lot, []), stands.get(lot, [])
        if not _alike(farm, crops[lot], (ours, theirs)):
            found.append(
                Difference(
                    lot=lot,
                    crop=crops[lot],
                    planned=tuple(sorted(ours, key=lambda each: order.get(each.place, -1))),
                    stands=tuple(sorted(theirs, key=lambda each: order.get(each.place, -1))),
                )
            )
    return sorted(found, key=lambda each: (each.crop, each.lot))


def _planned(farm: Farm, plan: Plan, state: State, day: int) -> dict[str, list[Amount]]:
    units: dict[tuple[str, str, str], int] = defaultdict(int)
    plants: dict[tuple[str, str, str], int] = defaultdict(int)
    grown = {lot_in_records(row.lot, state.lots) for row in plan.lots if row.origin == "growing"}
    for place in standing_on(farm, plan, day):
        for unit in place.standing:
            plants_of: dict[str, int] = defaultdict(int)
            for load in unit.loads:
                plants_of[lot_in_records(load.lot, state.lots)] += load.plants
            for lot, number in plants_of.items():
                if number:
                    units[lot, unit.item, place.place] += 1
                    plants[lot, unit.item, place.place] += number
    for row in plan.plantings:
        if row.enters <= day < row.leaves:
            key = lot_in_records(row.lot, state.lots), BED, row.bed
            units[key] += row.plants
            plants[key] += row.plants
    found: dict[str, list[Amount]] = defaultdict(list)
    for (lot, item, place_name), number in units.items():
        form = CELLS if item == TRAY and lot not in grown else "plants"
        count = plants[lot, item, place_name]
        found[lot].append(Amount(item=item, place=place_name, units=number, plants=count, form=form))
    return found


def standing_of(state: State) -> dict[str, list[Amount]]:
    """Return lot -> what stands of it by the records, units of a kind and place together."""
    units: dict[tuple[str, str, str, str], int] = defaultdict(int)
    plants: dict[tuple[str, str, str, str], int] = defaultdict(int)
    for unit in state.units:
        for lot in dict.fromkeys(content.lot for content in unit.contents):
            forms = {content.form for content in unit.contents if content.lot == lot}
            key = lot, unit.item, unit.place, forms.pop() if unit.item == TRAY else "plants"
            units[key] += 1
            plants[key] += unit.of(lot)
    found: dict[str, list[Amount]] = defaultdict(list)
    for (lot, item, place, form), number in units.items():
        count = plants[lot, item, place, form]
        found[lot].append(Amount(item=item, place=place, units=number, plants=count, form=form))
    return found


_Sum = tuple[int, list[Amount]]
"""Units of one kind in one place, and what they are made up of."""


def _alike(farm: Farm, crop: str, both: tuple[list[Amount], list[Amount]]) -> bool:
    owners = {place.name: place.belongs_to for place in farm.places}
    shelves = {each.place for each in both[1] if each.place not in owners}
    planned, stands = (_summed(amounts, owners, shelves) for amounts in both)
    if planned.keys() != stands.keys():
        return False
    return all(_as_many(farm, crop, planned[key], there) for key, there in stands.items())


def _as_many(farm: Farm, crop: str, planned: _Sum, stands: _Sum) -> bool:
    """Say whether as many units stand as planned, with as many plants; of trays at least the seedlings."""
    (wanted, theirs), (units, ours) = planned, stands
    if units != wanted:
        return False
    if {each.form for each in (*ours, *theirs)} == {CELLS}:
        # a cell that was thrown away is one even where as many seedlings are expected of the others
        return sum(each.plants for each in ours) >= sum(each.plants for each in theirs)
    if ours[0].item == TRAY and crop in farm.crops:
        return _good(farm, crop, ours) >= _good(farm, crop, theirs)
    return sum(each.plants for each in ours) == sum(each.plants for each in theirs)


def _summed(
    amounts: list[Amount], owners: Mapping[str, str], shelves: Collection[str]
) -> dict[tuple[str, str], _Sum]:
    """Put together what stands in one place; all tiers of a shelf where the records do not know the tier."""
    found: dict[tuple[str, str], _Sum] = {}
    for each in amounts:
        owner = owners.get(each.place, each.place)
        key = each.item, owner if owner in shelves else each.place
        units, those = found.get(key, (0, []))
        found[key] = units + each.units, [*those, each]
    return found


def _good(farm: Farm, crop: str, amounts: list[Amount]) -> int:
    return sum(
        expected(
            farm.crops[crop],
            Content(lot="", plants=each.plants, form=each.form, cuts=0, last_cut=None, until=None),
        )
        for each in amounts
    )


KIND_OF = {
    "sow": (kinds.SOWN,),
    "thin": (kinds.THINNED, kinds.GERMINATED),
    "transplant": (kinds.MOVED,),
    "raft": (kinds.MOVED,),
    "plant": (kinds.MOVED,),
    "cut": (kinds.CUT,),
    "pick": (kinds.CUT,),
    "clear": (kinds.DISCARDED, kinds.CULLED, kinds.LOST),
    "discard": (kinds.CULLED, kinds.DISCARDED, kinds.LOST),
}
"""Work of a plan -> what may be told of it without naming the task."""


def not_recorded(tasks: Tasks, entries: Sequence[Entry], day: int) -> list[TaskRow]:
    """Return the tasks up to a day of which nothing is recorded, in the order of the days.

    An entry that names no task counts for the earliest task it can be of: of its lot and work, or of its
    delivery. ``entries`` are all that were ever written: one that was withdrawn was told as well.
    """
    ops = {entry.op for entry in entries}
    free = Counter(_what_of(entry) for entry in entries if not entry.task)
    missing = []
    demands = demands_by_key(tasks.plan.fills)
    for task in tasks.plan.tasks:
        names = tasks.ops(task)
        if task.day > day or not names or ops.issuperset(names):
            continue
        told = _told_of(task, demands)
        key = next((each for each in told if free[each]), None)
        if key is None:
            missing.append(task)
        elif task.work != "deliver":
            free[key] -= 1
    return missing


def _what_of(entry: Entry) -> tuple[str, str]:
    if entry.what == kinds.DELIVERED:
        return entry.what, entry.delivery
    return (f"{entry.what} {entry.stage}" if entry.what == kinds.MOVED else entry.what), entry.lot


def _told_of(task: TaskRow, demands: Mapping[str, str]) -> list[tuple[str, str]]:
    if task.work == "deliver":
        return [(kinds.DELIVERED, demands.get(task.key, ""))]
    stage = {"transplant": "board", "raft": "raft", "plant": "bed"}.get(task.work)
    return [(f"{what} {stage}" if stage else what, task.lot) for what in KIND_OF[task.work]]
