"""Totals of a plan, recomputed from its rows and the farm alone.

The planner fills the plan's own tables with these, and the audit compares them again. Every
function takes a plan whose names all exist (units, lots, kinds and places) and looks only at
the tables of what is sown, stands, is cut or picked and is delivered. Tables that go by day
cover day 0 up to, not including, ``farm.calendar.span``.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import accumulate

from scheduler.farm import work
from scheduler.farm.chores import minutes_of_chores
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Demand, Equipment, Farm, Growing
from scheduler.farm.orders.mixes import units_made
from scheduler.farm.shared import plants_beside
from scheduler.farm.units import MILLI, ceil_div
from scheduler.plan.bed_tally import bed_work
from scheduler.plan.cooling import cooler_rows
from scheduler.plan.lifts import as_they_leave
from scheduler.plan.outlets import outlet_rows
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import (
    ContentRow,
    EquipmentRow,
    FillRow,
    HoursRow,
    Plan,
    PositionRow,
    SeedRow,
    UnitRow,
    UseRow,
)

CHORE = "chore"
"""Chores of the house, as a kind of work."""

WORKS = ("sow", "transplant", "raft", "plant", "cut", "pick", "clear", "wash", "lift", CHORE)
"""Kinds of work hours are counted for, in the order of a day's rows."""


def with_totals(farm: Farm, plan: Plan) -> Plan:
    """Return the plan with its tables of use, hours, coolers, seed and outlets recomputed."""
    return replace(
        plan,
        use=tuple(place_use(farm, plan)),
        equipment=tuple(equipment_use(farm, plan)),
        hours=tuple(hours(farm, plan)),
        coolers=tuple(cooler_rows(farm, plan)),
        seed=tuple(seed(farm, plan)),
        outlets=tuple(outlet_rows(farm, plan)),
    )


def daily(runs: Iterable[tuple[int, int, int]], days: int) -> list[int]:
    """Add up ``(first day, day after the last, number)`` over days 0 to ``days - 1``."""
    steps = [0] * (days + 1)
    for start, end, number in runs:
        low, high = max(start, 0), min(end, days)
        if low < high:
            steps[low] += number
            steps[high] -= number
    return list(accumulate(steps[:days]))


def place_use(farm: Farm, plan: Plan) -> list[UseRow]:
    """Return slots used and slots open of every place on every day, places in the book's order."""
    days = farm.calendar.span
    runs: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for row in plan.positions:
        runs[row.place].append((row.enters, row.until, 1))
    for planting in plan.plantings:
        number = len(positions_in(planting.positions) or ())
        runs[planting.bed].append((planting.enters, planting.free, number))
    return [
        UseRow(place=place.name, day=day, used=used, slots=place.slots.on(day))
        for place in farm.places
        for day, used in enumerate(daily(runs[place.name], days))
    ]


def equipment_use(farm: Farm, plan: Plan) -> list[EquipmentRow]:
    """Return units in use and being washed of every kind on every day; all domes of a farm are one pool."""
    days = farm.calendar.span
    used: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for unit in plan.units:
        used[unit.kind].append((unit.enters, unit.leaves))
    kinds = [kind for kind in farm.equipment.values() if kind.item != "dome"]
    pool = dome_pool(farm)
    if pool is not None:
        kinds.append(pool)
        used[pool.name] = dome_spells(farm, plan)
    rows = []
    for kind in kinds:
        spells = used[kind.name]
        in_use = daily(((start, end, 1) for start, end in spells), days)
        washing = daily(((end, end + kind.wash_days, 1) for _, end in spells), days)
        rows += [
            EquipmentRow(kind=kind.name, day=day, in_use=busy, washing=wet, owned=kind.owned)
            for day, (busy, wet) in enumerate(zip(in_use, washing, strict=True))
        ]
    return rows


def dome_pool(farm: Farm) -> Equipment | None:
    """Return the farm's domes as one kind: names joined, numbers added, longest washing; None without any."""
    domes = [kind for kind in farm.equipment.values() if kind.item == "dome"]
    if not domes:
        return None
    return replace(
        domes[0],
        name="; ".join(kind.name for kind in domes),
        owned=sum(kind.owned for kind in domes),
        wash_days=max(kind.wash_days for kind in domes),
    )


def dome_spells(farm: Farm, plan: Plan) -> list[tuple[int, int]]:
    """Return (first day, day after the last) that each tray has a dome: as long as a lot in it needs one."""
    crop_of = {lot.lot: farm.crops[lot.crop] for lot in plan.lots}
    trays = {unit.unit: unit for unit in plan.units if unit.item == "tray"}
    until: dict[str, int] = {}
    for row in plan.contents:
        if row.unit in trays:
            end = min(row.enters + crop_of[row.lot].handling.dome_days, row.leaves)
            until[row.unit] = max(until.get(row.unit, row.enters), end)
    return [(trays[name].enters, end) for name, end in until.items() if end > trays[name].enters]


def hours(farm: Farm, plan: Plan) -> list[HoursRow]:
    """Return work of each kind on each day that has any, by day, hundredths of a minute.

    Washing of what is thrown away on the first day, and lifting the rafts of a lot that is thrown away whole,
    are left out: they can wait, and must not stop a plan.
    """
    minutes: dict[tuple[int, str], int] = defaultdict(int)
    for day, name, _, number in work_of_crops(farm, plan):
        minutes[day, name] += number
    return [
        HoursRow(
            day=day,
            work=name,
            minutes=minutes[day, name],
            crew=None if farm.crew is None else farm.crew.on(day),
        )
        for day, name in sorted(minutes, key=lambda key: (key[0], WORKS.index(key[1])))
        if minutes[day, name] and 0 <= day < farm.calendar.span
    ]


def work_of_crops(farm: Farm, plan: Plan) -> Iterator[tuple[int, str, str, int]]:
    """Yield all work that hours are counted for: day, kind of work, crop and hundredths of a minute.

    The crop is empty for chores, and for lifting a raft that several crops share. Days may lie past the span.
    """
    yield from _content_work(farm, plan)
    yield from _cut_work(farm, plan)
    yield from _lift_work(farm, plan)
    yield from bed_work(farm, plan)
    for day, number in minutes_of_chores(farm.chores).items():
        yield day, CHORE, "", number


def _content_work(farm: Farm, plan: Plan) -> Iterator[tuple[int, str, str, int]]:
    """Sowing, setting out and washing, for each row of contents."""
    crop_of = {lot.lot: farm.crops[lot.crop] for lot in plan.lots}
    units = {unit.unit: unit for unit in plan.units}
    grown = growing_units(farm, plan)
    for row in plan.contents:
        crop, unit = crop_of[row.lot], units[row.unit]
        kind = farm.equipment[unit.kind]
        name, each, wash = _work_per_plant(crop, kind)
        if row.unit not in grown:
            yield row.enters, name, crop.name, each * row.plants
        yield row.leaves, "wash", crop.name, wash * row.plants
    kinds = {row.lot: farm.equipment[units[row.unit].kind] for row in plan.contents if row.unit in grown}
    for lot in plan.lots:
        if lot.discarded and lot.lot in kinds:
            _, _, wash = _work_per_plant(crop_of[lot.lot], kinds[lot.lot])
            yield farm.today, "wash", lot.crop, -wash * lot.discarded


def _work_per_plant(crop: Crop, kind: Equipment) -> tuple[str, int, int]:
    """Return the work that fills one kind of unit, its time for one plant (or cell), and that of washing."""
    if kind.item == "tray":
        return "sow", work.sow_per_cell(crop, kind), work.wash_tray_per_cell(crop, kind)
    if kind.item == "board":
        return "transplant", work.set_on_board_per_plant(crop), work.wash_board_per_plant(crop, kind)
    return "raft", work.set_on_raft_per_plant(crop), work.wash_raft_per_plant(crop, kind)


def _cut_work(farm: Farm, plan: Plan) -> Iterator[tuple[int, str, str, int]]:
    crop_of = {lot.lot: farm.crops[lot.crop] for lot in plan.lots}
    for row in plan.cuts:
        crop = crop_of[row.lot]
        yield row.day, "cut", crop.name, row.plants * work.cut_per_plant(crop)


def _lift_work(farm: Farm, plan: Plan) -> Iterator[tuple[int, str, str, int]]:
    """One lift for each raft that leaves while one that entered its lane before it stays."""
    if not farm.rules.lift_out:
        return
    cleared = {lot.lot for lot in plan.lots if lot.discarded and lot.discarded >= lot.plants}
    thrown = {row.unit for row in plan.contents if row.lot in cleared and row.leaves == farm.today}
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    crops_in: dict[str, set[str]] = defaultdict(set)
    for row in plan.contents:
        crops_in[row.unit].add(crop_of[row.lot])
    for rafts in lane_order(farm, plan).values():
        for raft, lifted in as_they_leave(rafts):
            if lifted and raft.unit not in thrown:
                held = crops_in.get(raft.unit, set())
                yield raft.leaves, "lift", min(held) if len(held) == 1 else "", farm.rules.lift_minutes


def growing_units(farm: Farm, plan: Plan) -> dict[str, Growing]:
    """Return the units that stood on the farm on day 0, with the growing entry each belongs to.

    A unit belongs to an entry of the same lot, stage and day; among several, to the one whose place it is in,
    and among several of one place by their order, slot by slot, as many as each has.
    Where plants on boards or rafts came from is not known (``from_day`` None) of what was found, and known of
    what a plan sets out: so boards filled on day 0 from the growing trays of a lot are new, even when boards
    of that lot were filled on the same day before the plan began. Of entries that stand in one unit together
    that of the first lot in it is told.
    """
    entries: dict[tuple[str, str, int], list[Growing]] = defaultdict(list)
    for entry in farm.growing:
        entries[entry.lot, str(entry.stage), entry.since].append(entry)
    if not entries:
        return {}
    held: dict[str, ContentRow] = {}
    for row in plan.contents:
        held.setdefault(row.unit, row)
    first = first_positions(plan.positions)
    plants: dict[str, int] = defaultdict(int)
    for row in plan.contents:
        plants[row.unit] += row.plants
    found: dict[str, Growing] = {}
    left = {id(entry): (entry.units, plants_beside(farm, entry)) for entry in farm.growing}
    for unit in sorted(plan.units, key=lambda unit: _in_turn(unit, first.get(unit.unit), plants[unit.unit])):
        what = held.get(unit.unit)
        if what is None or (unit.item != "tray" and what.from_day is not None):
            continue
        named = entries.get((what.lot, unit.item, unit.enters))
        if named:
            here = [entry for entry in named if _stands_there(farm, entry, first.get(unit.unit))] or named[:1]
            free = [entry for entry in here if _takes(left[id(entry)], plants[unit.unit])]
            entry = min(free or here, key=lambda entry: entry.order)
            found[unit.unit] = entry
            units, rest = left[id(entry)]
            left[id(entry)] = units - 1, rest - plants[unit.unit]
    return {unit.unit: found[unit.unit] for unit in plan.units if unit.unit in found}


def _in_turn(unit: UnitRow, position: PositionRow | None, plants: int) -> tuple[int, int]:
    """Return what units are given to entries by: rafts from the harvest end, others the fullest first."""
    slot = position.slot if position is not None and unit.item == "raft" else 0
    return slot, -plants


def _stands_there(farm: Farm, entry: Growing, position: PositionRow | None) -> bool:
    return position is not None and entry.place in names_of(farm, position.place)


def _takes(left: tuple[int, int], plants: int) -> bool:
    """Say whether an entry with so many units and plants left may have one with some plants in it."""
    units, rest = left
    return rest == plants if units == 1 else units > 1 and rest - plants >= units - 1


def names_of(farm: Farm, place: str) -> tuple[str, str]:
    """Return a place's own name and that of its shelf or trough: growing things may be under either."""
    return place, next((found.belongs_to for found in farm.places if found.name == place), place)


def first_positions(positions: Iterable[PositionRow]) -> dict[str, PositionRow]:
    """Return each unit's position on day 0 or, for later units, on the day it enters."""
    first: dict[str, PositionRow] = {}
    for row in sorted(positions, key=lambda row: row.enters):
        if row.unit not in first or row.enters <= 0 < row.until:
            first[row.unit] = row
    return first


def lane_order(farm: Farm, plan: Plan) -> dict[str, list[UnitRow]]:
    """Return the rafts of each lane, first in first.

    What grows goes first, as the book orders it; then by the day of entering; rafts of one day, and
    those of one growing entry, by slot.
    """
    grown = growing_units(farm, plan)
    rank = {id(entry): (entry.order, at) for at, entry in enumerate(farm.growing)}
    first = first_positions(plan.positions)
    lanes: dict[str, list[tuple[tuple[int, int, int, int, str], UnitRow]]] = defaultdict(list)
    for unit in plan.units:
        if unit.item != "raft":
            continue
        entry, position = grown.get(unit.unit), first.get(unit.unit)
        slot = position.slot if position else 0
        if entry is not None:
            lane = position.place if position else entry.place
            lanes[lane].append(((0, *rank[id(entry)], slot, unit.unit), unit))
        elif position is not None:
            lanes[position.place].append(((1, unit.enters, 0, slot, unit.unit), unit))
    return {
        lane: [unit for _, unit in sorted(rafts, key=lambda keyed: keyed[0])] for lane, rafts in lanes.items()
    }


def seed(farm: Farm, plan: Plan) -> list[SeedRow]:
    """Return seed by day and crop; cost in hundredths of money, rounded up."""
    cells: dict[tuple[int, str], int] = defaultdict(int)
    for lot in plan.lots:
        if lot.sown is not None and lot.cells:
            cells[lot.sown, lot.crop] += lot.cells
    rows = []
    for (day, name), number in sorted(cells.items()):
        crop = farm.crops[name]
        seeds = number * crop.handling.seeds_per_cell
        cost = ceil_div(seeds * crop.handling.seed_cost, MILLI)
        rows.append(SeedRow(crop=name, variety=crop.variety, day=day, cells=number, seeds=seeds, cost=cost))
    return rows


def units_sold(farm: Farm, product: str, heads: Mapping[str, int]) -> int:
    """Return the whole sale units that heads (crop name -> heads) make; crops of no use count nothing."""
    return units_made(farm.products[product], heads)


def demand_filled(farm: Farm, plan: Plan) -> dict[str, int]:
    """Return sale units each demand gets; where it is all or nothing, an incomplete delivery gets 0."""
    return {name: sum(units.values()) for name, units in units_given(farm, plan).items()}


def units_given(farm: Farm, plan: Plan) -> dict[str, dict[str, int]]:
    """Return demand name -> product -> sale units it gets: what was ordered first, then substitutes by rank.

    Products of which it gets nothing are left out; where a delivery is all or nothing, an incomplete one
    gets nothing.
    """
    return units_of(farm, plan.fills)


def units_of(farm: Farm, fills: Iterable[FillRow]) -> dict[str, dict[str, int]]:
    """Return the same as :func:`units_given`, from fills alone."""
    heads = parcel_heads(fills)
    return {demand.name: _given(farm, demand, heads.get(demand.name, {})) for demand in farm.demands}


def parcel_heads(fills: Iterable[FillRow]) -> dict[str, dict[str, dict[str, int]]]:
    """Return demand name -> product ("" for the one ordered) -> crop name -> heads that go into it."""
    heads: dict[str, dict[str, dict[str, int]]] = defaultdict(lambda: defaultdict(lambda: defaultdict(int)))
    for row in fills:
        heads[row.demand][row.substitute][row.crop] += row.heads
    return heads


def demand_heads(fills: Iterable[FillRow]) -> dict[str, dict[str, int]]:
    """Return demand name -> crop name -> heads that go into it."""
    heads: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in fills:
        heads[row.demand][row.crop] += row.heads
    return heads


def _given(farm: Farm, demand: Demand, heads: Mapping[str, Mapping[str, int]]) -> dict[str, int]:
    left, given = demand.amount, {}
    for name in demand.products:
        into = heads.get("" if name == demand.product else name, {})
        ready = demand.in_hand if name == demand.product else 0
        units = min(units_sold(farm, name, into) + ready, left)
        if units:
            given[name] = units
            left -= units
    if left and farm.rules.all_or_nothing and not demand.is_target:
        return {}
    return given


def plants_standing(plan: Plan, days: int) -> dict[StageKind, list[int]]:
    """Return plants (cells, in trays) that stand in each stage on days 0 to ``days - 1``."""
    item_of = {unit.unit: unit.item for unit in plan.units}
    runs: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for row in plan.contents:
        runs[item_of[row.unit]].append((row.enters, row.leaves, row.plants))
    for planting in plan.plantings:
        runs["bed"].append((planting.enters, planting.leaves, planting.plants))
    return {kind: daily(runs[kind.value], days) for kind in StageKind}
