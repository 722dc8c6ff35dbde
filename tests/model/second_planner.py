"""A second planner for tiny farms, written from the rules' own text, for another solver (HiGHS).

It shares nothing with the planner under test: whole units are chosen by the day they leave, plants are put
into them, a row's order is kept by forbidding every pair of stays in which one raft overtakes another, and
a raft may keep its slot as long as it likes. All places of one kind must have one pace.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import combinations

import highspy
from bench.trials.highs import new_solver
from model.second_beds import Beds
from model.second_shortage import MANY, added, products_of, shortage

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.places import PlaceKind
from scheduler.farm.work import set_on_board_per_plant, set_on_raft_per_plant, sow_per_cell

MOST_RAFTS = 20


@dataclass(frozen=True)
class Stay:
    """Rafts of one lot and way in one row: plants by the days they are cut, rafts by the day they leave."""

    crop: Crop
    lot: tuple
    enters: int
    row: str
    rank: tuple
    """Order of entry; rafts of one rank may leave in any order."""


@dataclass(frozen=True)
class Again:
    """Days to the next cut, and days it may wait."""

    days: int
    wait: int


@dataclass
class Second:
    """The model while it is being written."""

    farm: Farm
    solver: highspy.Highs
    trays: dict = field(default_factory=lambda: defaultdict(list))
    boards: dict = field(default_factory=lambda: defaultdict(list))
    rafts: dict = field(default_factory=lambda: defaultdict(list))
    onto_rafts: dict = field(default_factory=lambda: defaultdict(list))
    minutes: dict = field(default_factory=lambda: defaultdict(list))
    heads: dict = field(default_factory=lambda: defaultdict(list))
    picked: dict = field(default_factory=lambda: defaultdict(list))
    beds: Beds | None = None

    def whole(self, most=MANY):
        return self.solver.addIntegral(0, most)

    def keep(self, constraint):
        self.solver.addConstr(constraint)


def least_shortage(farm: Farm) -> int:
    """Return the least value-weighted shortage of firm demand that any plan of a farm can have."""
    solver = new_solver()
    solver.setOptionValue("mip_rel_gap", 0.0)
    model = Second(farm, solver)
    model.beds = Beds(model)
    for crop in farm.crops.values():
        _grow(model, crop)
    for index, row in enumerate(farm.growing):
        _grow_on(model, index, row)
    model.beds.write()
    _units(model)
    _rows(model)
    _hours(model)
    solver.minimize(shortage(model))
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(solver.getObjectiveValue())


def _last(farm):
    return farm.calendar.span


def _days(farm, work, place, start, stage):
    """Days on which a stage that began on ``start`` may end."""
    return [
        day
        for day in range(max(start, farm.today), _last(farm) + 1)
        if farm.calendar.is_open(work, day)
        and stage.days * 1000 <= farm.pace.grown(place, start, day) <= (stage.days + stage.wait) * 1000
    ]


def _days_of_growing(farm, work, place, start, stage):
    """The same for what grows already; what was due before its next work is done takes a week to catch up."""
    last = start
    while farm.pace.grown(place, start, last + 1) <= (stage.days + stage.wait) * 1000:
        last += 1
    opens = [day for day in range(farm.today, farm.today + 60) if farm.calendar.is_open(work, day)]
    if last < opens[0]:
        return [day for day in opens if day <= min(farm.today + 7, _last(farm))]
    return _days(farm, work, place, start, stage)


def _grow(model, crop):
    farm = model.farm
    kind = farm.equipment[crop.tray.unit]
    shelf = farm.places_of(PlaceKind.TIER)[0].belongs_to
    if crop.is_cut_in_trays:
        _grow_in_trays(model, crop, kind, shelf)
        return
    work = Work.TRANSPLANT if crop.board else Work.RAFT
    for sown in range(farm.today, _last(farm) + 1):
        if not (farm.calendar.is_open(Work.SOW, sown) and crop.may_sow(sown)):
            continue
        lot = (crop.name, sown)
        for day in _days(farm, work, shelf, sown, crop.tray):
            rows = model.whole()
            owner = "shared" if farm.rules.share_trays else lot
            model.trays[crop.tray.unit, sown, owner, kind.rows].append((day, rows))
            model.minutes[sown].append(rows * (sow_per_cell(crop, kind) * kind.cells_per_row))
            out = _next_stage(model, crop, lot, sown, day)
            model.keep(10_000 * added(out) <= crop.tray.survival * kind.cells_per_row * rows)


def _grow_in_trays(model, crop, kind, shelf):
    farm = model.farm
    for sown in range(farm.today, _last(farm) + 1):
        if farm.calendar.is_open(Work.SOW, sown) and crop.may_sow(sown):
            owner = "shared" if farm.rules.share_trays else (crop.name, sown)
            trays = model.trays[crop.tray.unit, sown, owner, kind.rows]
            days = _days(farm, Work.HARVEST, shelf, sown, crop.tray)
            for rows in _cut_in_trays(model, crop, ((crop.name, sown), sown), trays, (days, 1)):
                work = sow_per_cell(crop, kind) * kind.cells_per_row
                model.minutes[sown].append(rows * work)


def _cut_in_trays(model, crop, lot, trays, first):
    """Whole rows (growing: plants) by the days they are cut; they stand until the last of them."""
    farm, (days, number) = model.farm, first
    each = 1 if isinstance(lot[0][1], str) else farm.equipment[crop.tray.unit].cells_per_row
    shelf = farm.places_of(PlaceKind.TIER)[0].belongs_to
    made = []
    for sequence in _sequences(farm, crop, shelf, days, number):
        rows = model.whole()
        trays.append((sequence[-1][1], rows))
        for cut, day in sequence:
            model.heads[crop.name, *lot, cut].append((day, rows * each))
            model.minutes[day].append(rows * (each * crop.minutes.cut))
        made.append(rows)
    return made


def _next_stage(model, crop, lot, sown, day):
    """Plants that leave trays go onto boards or rafts on the same day; return what may be set out."""
    farm = model.farm
    if crop.picking is not None:
        return model.beds.set_in(crop, (*lot, sown), day)
    if crop.board is None:
        return _rafts(model, crop, (*lot, sown), day)
    plants = model.whole()
    model.minutes[day].append(plants * set_on_board_per_plant(crop))
    staying = []
    trough = farm.places_of(PlaceKind.ZONE)[0].belongs_to
    for off in _days(farm, Work.RAFT, trough, day, crop.board):
        staying.append(_board_part(model, crop, lot, day, off))
    model.keep(added(staying) == plants)
    return [plants]


def _board_part(model, crop, lot, day, off, growing=None):
    part = model.whole()
    per_unit = crop.board.plants_per_unit if growing is None else -(-growing.plants // growing.units)
    shared = model.farm.rules.share_boards and growing is None
    model.boards[crop.board.unit, day, "shared" if shared else lot, per_unit].append((off, part))
    model.keep(10_000 * added(_rafts(model, crop, (*lot, day), off)) <= crop.board.survival * part)
    return part


def _rafts(model, crop, way, day):
    """Set plants of one lot and way on rafts on a day, in any row the crop may use; return how many."""
    parts = []
    for lane in model.farm.places_of(PlaceKind.LANE):
        if lane.name in crop.lanes:
            stay = Stay(crop, way, day, lane.name, (1, day))
            plants = model.whole()
            model.minutes[day].append(plants * set_on_raft_per_plant(crop))
            days = _days(model.farm, Work.HARVEST, lane.belongs_to, day, crop.finish)
            _cut(model, stay, plants, _sequences(model.farm, crop, lane.belongs_to, days))
            parts.append(plants)
    return parts


def _sequences(farm, crop, place, days, number=1):
    """Every sequence of cut days that plants may have, from cut ``number`` on one of ``days`` on."""
    again = Again(crop.cut_interval, crop.finish.wait)
    found = []
    for day in days:
        found.append(((number, day),))
        if number < crop.cuts:
            later = _sequences(farm, crop, place, _days(farm, Work.HARVEST, place, day, again), number + 1)
            found += [((number, day), *rest) for rest in later]
    return found


def _is_wanted(farm, crop, day):
    """Say whether heads cut on a day could go into some delivery: a crop cut once is cut on no other day."""
    return any(
        any(crop.name in farm.products[name].sources for name in products_of(demand))
        and demand.first - demand.max_age <= day <= demand.last
        for demand in farm.demands
    )


def _cut(model, stay, plants, sequences):
    """Cut plants of a stay; what is never cut leaves whenever its raft does."""
    parts = []
    if stay.crop.cuts == 1:
        sequences = [each for each in sequences if _is_wanted(model.farm, stay.crop, each[0][1])]
    for sequence in sequences:
        part = model.whole()
        parts.append(part)
        model.rafts[stay].append((sequence[-1][1], part))
        for number, day in sequence:
            model.heads[stay.crop.name, stay.lot, stay.enters, number].append((day, part))
            model.minutes[day].append(part * stay.crop.minutes.cut)
    rest = model.whole()
    model.rafts[stay].append((max(stay.enters, model.farm.today), rest))
    model.keep(added(parts) + rest == plants)


def _grow_on(model, index, row: Growing):
    farm, crop = model.farm, model.farm.crops[row.crop]
    lot = (crop.name, f"growing {index}")
    per_unit = -(-row.plants // row.units)
    if row.stage is StageKind.BED:
        model.beds.found(index, row)
        return
    if row.stage is StageKind.RAFT:
        lane = farm.place(row.place)
        stay = Stay(crop, lot, row.since, lane.name, (0, row.order, row.since, index))
        plants = model.whole()
        model.keep(plants == row.plants)
        since, stage = row.since, crop.finish
        if row.cuts_done:
            since, stage = row.last_cut, Again(crop.cut_interval, crop.finish.wait)
        days = _days_of_growing(farm, Work.HARVEST, lane.belongs_to, since, stage)
        _cut(model, stay, plants, _sequences(farm, crop, lane.belongs_to, days, row.cuts_done + 1))
        return
    place = farm.places_of(PlaceKind.TIER if row.stage is StageKind.TRAY else PlaceKind.ZONE)[0].belongs_to
    moved = []
    if crop.is_cut_in_trays:
        since, stage = row.since, crop.tray
        if row.cuts_done:
            since, stage = row.last_cut, Again(crop.cut_interval, crop.tray.wait)
        days = _days_of_growing(farm, Work.HARVEST, place, since, stage)
        trays = model.trays[crop.tray.unit, row.since, lot, per_unit]
        moved = _cut_in_trays(model, crop, (lot, row.since), trays, (days, row.cuts_done + 1))
    elif row.stage is StageKind.TRAY:
        work = Work.TRANSPLANT if crop.board else Work.RAFT
        for day in _days_of_growing(farm, work, place, row.since, crop.tray):
            part = model.whole()
            moved.append(part)
            model.trays[crop.tray.unit, row.since, lot, per_unit].append((day, part))
            model.keep(added(_next_stage(model, crop, lot, row.since, day)) <= part)
    else:
        for day in _days_of_growing(farm, Work.RAFT, place, row.since, crop.board):
            moved.append(_board_part(model, crop, lot, row.since, day, row))
    model.keep(added(moved) <= row.plants)


def _units(model):
    """Whole trays and boards, by the day they leave; slots and equipment on every day."""
    farm = model.farm
    for kind, groups in ((PlaceKind.TIER, model.trays), (PlaceKind.ZONE, model.boards)):
        slots, owned = defaultdict(list), defaultdict(list)
        for (unit, enters, _, per_unit), parts in groups.items():
            leaving = {day: model.whole() for day, _ in parts}
            for day in leaving:
                # What stays until a day or longer stands in units that stay as long.
                staying = [part for off, part in parts if off >= day]
                model.keep(
                    added(staying) <= per_unit * added([n for off, n in leaving.items() if off >= day])
                )
            for off, number in leaving.items():
                for day in range(max(enters, farm.today), off + farm.equipment[unit].wash_days):
                    owned[unit, day].append(number)
                    if day < off:
                        slots[day].append(number)
        for day, numbers in slots.items():
            model.keep(added(numbers) <= sum(place.slots.on(day) for place in farm.places_of(kind)))
        for (unit, _day), numbers in owned.items():
            model.keep(added(numbers) <= farm.equipment[unit].owned)


def _rows(model):
    """Whole rafts by the day they leave their slot: none overtakes another, none beyond the slots."""
    farm = model.farm
    groups = defaultdict(list)
    for stay, parts in model.rafts.items():
        shared = farm.rules.share_rafts and stay.rank[0]
        owner = "shared" if shared else stay.lot
        groups[stay.row, stay.rank, owner, stay.crop.finish.unit, _per_raft(farm, stay)] += [
            (stay.enters, *part) for part in parts
        ]
    stays, standing, owned = defaultdict(list), defaultdict(list), defaultdict(list)
    resting = defaultdict(list)
    for (row, rank, owner, unit, per_raft), parts in groups.items():
        enters = max(parts[0][0], farm.today)
        leaving = _leaving(model, enters, [part[1:] for part in parts], per_raft)
        if not rank[0]:
            model.keep(added(leaving.values()) == farm.growing[rank[3]].units)
        for off, number in leaving.items():
            used = model.solver.addBinary()
            model.keep(number <= MOST_RAFTS * used)
            stays[row].append((rank, off, used))
            resting[row].append((owner[0], rank[0], enters, off + farm.place(row).rest, used))
            for day in range(enters, off):
                standing[row, day].append(number)
            for day in range(enters, off + farm.equipment[unit].wash_days):
                owned[unit, day].append(number)
    _in_order(model, {} if farm.rules.lift_out else stays)
    _keep_apart(model, {row: held for row, held in resting.items() if farm.place(row).rest})
    for (row, day), numbers in standing.items():
        model.keep(added(numbers) <= farm.place(row).slots.on(day))
    for (unit, _day), numbers in owned.items():
        model.keep(added(numbers) <= farm.equipment[unit].owned)


def _keep_apart(model, stays):
    """Of two crops in a row that rests none comes in before the other has left and the row has rested."""
    for held in stays.values():
        for (crop, new, enters, free, used), (second, also_new, later, gone, too) in combinations(held, 2):
            if crop != second and (new or also_new) and enters < gone and later < free:
                model.keep(used + too <= 1)


def _leaving(model, enters, parts, per_raft):
    """Rafts by the day they leave, enough for what is still on them; any day will do."""
    leaving = {day: model.whole(MOST_RAFTS) for day in range(enters, _last(model.farm) + 2)}
    for day in leaving:
        staying = [part for off, part in parts if off >= day]
        model.keep(added(staying) <= per_raft * added([n for off, n in leaving.items() if off >= day]))
    return leaving


def _in_order(model, stays):
    for used in stays.values():
        for (rank, off, one), (other_rank, other_off, other) in combinations(used, 2):
            if (rank < other_rank and off > other_off) or (rank > other_rank and off < other_off):
                model.keep(one + other <= 1)


def _per_raft(farm, stay):
    if stay.rank[0]:
        return stay.crop.finish.plants_per_unit
    row = farm.growing[stay.rank[3]]
    return -(-row.plants // row.units)


def _hours(model):
    if model.farm.crew is not None:
        for day, parts in model.minutes.items():
            if day >= model.farm.today:
                model.keep(added(parts) <= model.farm.crew.on(day))
