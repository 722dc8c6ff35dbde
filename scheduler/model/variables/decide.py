"""Makes the variables of a model: plants first, then heads and fills, units, and the queues of rafts."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from ortools.sat.python.cp_model import CpModel

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.shared import carrier, is_carrier
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.model.options.frame import OUTLET
from scheduler.model.options.most import MostPlants
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.options.pools import lanes_of
from scheduler.model.variables.box_picks import box_picks
from scheduler.model.variables.crates import decide_crates
from scheduler.model.variables.decide_beds import days_of_going_on, pickings, plantings
from scheduler.model.variables.decide_heads import raft_heads, tray_heads
from scheduler.model.variables.decide_lifts import lifts
from scheduler.model.variables.decisions import (
    MIXED,
    Decisions,
    Queue,
    RaftClass,
    Tag,
    UnitGroup,
    raft_lot_of,
)
from scheduler.model.variables.groups import board_group, raft_group, tray_group

HOLD_DAYS = 10
"""Days an emptied raft may be planned to wait behind rafts ahead of it."""

MANY_RAFTS = 1_000_000
"""More rafts than any farm has: puts what grows on day 0 before every day."""


def decide(model: CpModel, chosen: Decisions) -> None:
    """Make every variable of a model."""
    _plants(model, chosen)
    picked = pickings(model, chosen)
    _heads_and_fills(model, chosen, picked)
    box_picks(model, chosen)
    decide_crates(model, chosen)
    _sold(model, chosen)
    _groups(chosen)
    _unit_counts(model, chosen)
    _emptied_units(model, chosen)
    _lifted_first(model, chosen)
    _queues(model, chosen)
    lifts(model, chosen)
    _lots(model, chosen)


def _plants(model: CpModel, chosen: Decisions) -> None:
    farm, most = chosen.farm, MostPlants(chosen.frame)
    into: dict[TrayOut | BoardOut, int] = defaultdict(int)
    for source, plants in plantings(model, chosen).items():
        into[source] += plants
    for index, option in enumerate(chosen.options.raft_sets):
        limit = most.plants(option)
        chosen.raft_plants[option] = chosen.new(model, limit, f"set{index}", Tag(option.crop, option.day))
        chosen.raft_lots[option] = raft_lot_of(option)
        if option.source is not None:
            into[option.source] += limit
        _cuts(model, chosen, option, limit)
    for index, board in enumerate(chosen.options.board_outs):
        stage = farm.crops[board.crop].board
        limit = ceil_div(into[board] * WHOLE_SHARE, stage.survival if stage else WHOLE_SHARE)
        if board.source is None:
            limit = min(limit, farm.growing[board.growing].plants)
        else:
            into[board.source] += limit
        chosen.board_plants[board] = chosen.new(model, limit, f"boarded{index}", Tag(board.crop, board.day))
    _tray_rows(model, chosen, into)


def _tray_rows(model: CpModel, chosen: Decisions, into: dict[TrayOut | BoardOut, int]) -> None:
    """Rows of cells by the day they leave; ``into`` has the most plants that go on from each option."""
    farm, most = chosen.farm, MostPlants(chosen.frame)
    days = days_of_going_on(chosen)
    for out in chosen.options.tray_outs:
        if out.cuts:
            into[out] = most.cells(out)
            days[out] = [out.sown]
    for index, out in enumerate(chosen.options.tray_outs):
        tray = farm.crops[out.crop].tray
        cells = into[out] if out.cuts else ceil_div(into[out] * WHOLE_SHARE, tray.survival)
        limit = ceil_div(cells, farm.equipment[tray.unit].cells_per_row)
        if out.growing >= 0:
            limit = farm.growing[out.growing].plants
        tag = Tag(out.crop, min(days[out]), until=max(days[out]))
        chosen.tray_rows[out] = chosen.new(model, limit, f"rows{index}", tag)


def _cuts(model: CpModel, chosen: Decisions, option: RaftSet, limit: int) -> None:
    """Plants at each cut, and plants gone after their last cut; one variable serves for a crop cut once."""
    tag = Tag(option.crop, option.day)
    once = chosen.farm.crops[option.crop].cuts == 1
    gone = chosen.leaving[option]
    for step in option.cuttings:
        name = f"cut_{option.crop}_{option.day}_{step.number}_{step.day}"
        variable = chosen.new(model, limit, name, tag)
        chosen.cut_plants[option, step] = variable
        if once:
            gone[step.day] = [variable]
    if not once:
        for day in option.exits:
            gone[day] = [chosen.new(model, limit, f"gone_{option.crop}_{option.day}_{day}", tag)]
    if option.source is None:
        chosen.thrown[option] = chosen.new(model, limit, f"thrown{option.growing}", tag)
        gone.setdefault(chosen.frame.start, []).append(chosen.thrown[option])


def _heads_and_fills(model: CpModel, chosen: Decisions, picked: Mapping[str, set[int]]) -> None:
    frame, farm = chosen.frame, chosen.farm
    cut_days: dict[str, set[int]] = defaultdict(set, picked)
    raft_heads(model, chosen, cut_days)
    tray_heads(model, chosen, cut_days)
    for index, wish in enumerate(frame.wishes):
        opens = wish.first - wish.age
        tag = Tag("", opens, True, until=wish.last)
        chosen.short[index] = chosen.new(model, wish.amount, f"short{index}", tag)
        if farm.rules.all_or_nothing and not wish.is_target and wish.level != OUTLET:
            chosen.whole[index] = chosen.new(model, 1, f"whole{index}", tag)
    for number, parcel in enumerate(chosen.parcels):
        wish = frame.wishes[parcel.wish]
        product = farm.products[parcel.product]
        for crop in [MIXED] if product.parts else product.sources:
            tag = Tag(crop, wish.first - wish.age, True, until=wish.last)
            chosen.units[number, crop] = chosen.new(model, wish.amount, f"units{number}_{crop}", tag)
        for crop, per_unit in product.sources.items():
            heads = ceil_div(wish.amount * per_unit, MILLI)
            for day in sorted(cut_days[crop]):
                if frame.serves(day, wish):
                    chosen.fills[crop, day, number] = chosen.new(
                        model, heads, f"fill{number}_{crop}_{day}", Tag(crop, day, True)
                    )


def _sold(model: CpModel, chosen: Decisions) -> None:
    for index, week in enumerate(chosen.frame.outlets):
        tag = Tag("", week.stalls[0].day - week.max_age, True, until=week.stalls[-1].day)
        for number, step in enumerate(week.steps):
            chosen.sold[index, number] = chosen.new(model, step.amount, f"sold{index}_{number}", tag)


def _groups(chosen: Decisions) -> None:
    farm = chosen.farm
    for out in chosen.options.tray_outs:
        chosen.tray_groups[tray_group(farm, out)].append(out)
    for board in chosen.options.board_outs:
        chosen.board_groups[board_group(farm, board)].append(board)
    for option in chosen.options.raft_sets:
        kind = _class_of(chosen, option)
        group = raft_group(farm, option)
        chosen.raft_groups[group].append(option)
        chosen.class_of[group] = kind


def _class_of(chosen: Decisions, option: RaftSet) -> RaftClass:
    farm = chosen.farm
    crop = farm.crops[option.crop]
    if option.source is None:
        index = carrier(farm, option.growing)
        row = farm.growing[index]
        home = next(b for b in chosen.bundles if row.place in lanes_of([b]))
        return RaftClass(crop=row.crop, kind=crop.finish.unit, bundles=(home.name,), growing=index)
    name = _raft_mate(farm, crop)
    homes = chosen.homes.get(name)
    allowed = tuple(
        bundle.name
        for bundle in chosen.bundles
        if bundle.pool == option.pool and lanes_of([bundle]) <= crop.lanes
        if homes is None or bundle.name in homes
    )
    return RaftClass(crop=name, kind=crop.finish.unit, bundles=allowed)


def _raft_mate(farm: Farm, crop: Crop) -> str:
    """Return the crop in whose name rafts stand: where rafts are shared, the first of all that may share."""
    if not farm.rules.share_rafts:
        return crop.name
    return min(
        other.name
        for other in farm.crops.values()
        if (other.finish.unit, other.finish.plants_per_unit, other.lanes)
        == (crop.finish.unit, crop.finish.plants_per_unit, crop.lanes)
    )


def _unit_counts(model: CpModel, chosen: Decisions) -> None:
    """Count units still there up to each day on which plants of a group leave (rafts: emptied on it)."""
    for number, (group, outs) in enumerate(chosen.tray_groups.items()):
        rows = {out: chosen.most(chosen.tray_rows[out]) for out in outs}
        for day in sorted({out.day for out in outs}):
            most = ceil_div(sum(rows[out] for out in outs if out.day >= day), group.per_unit)
            most = max(most, units_standing(chosen, group))
            tag = Tag("", group.enters, True, until=day)
            chosen.trays[group, day] = chosen.new(model, most, f"trays{number}_{day}", tag)
    for number, (group, boards) in enumerate(chosen.board_groups.items()):
        plants = {out: chosen.most(chosen.board_plants[out]) for out in boards}
        for day in sorted({out.day for out in boards}):
            most = ceil_div(sum(plants[out] for out in boards if out.day >= day), group.per_unit)
            most = max(most, units_standing(chosen, group))
            tag = Tag("", group.enters, True, until=day)
            chosen.boards[group, day] = chosen.new(model, most, f"boards{number}_{day}", tag)
    for number, (group, sets) in enumerate(chosen.raft_groups.items()):
        most = ceil_div(sum(chosen.most(chosen.raft_plants[option]) for option in sets), group.per_unit)
        most = max(most, _units_grown(chosen.farm, sets[0]))
        for day in sorted({day for option in sets for day in chosen.leaving[option]}):
            tag = Tag(sets[0].crop if group.owner else "", group.enters)
            chosen.rafts[group, day] = chosen.new(model, most, f"rafts{number}_{day}", tag)


def _emptied_units(model: CpModel, chosen: Decisions) -> None:
    """Units of growing trays and boards that go empty on the first day: all that nothing keeps."""
    for index, row in enumerate(chosen.farm.growing if not chosen.frame.period else ()):
        if row.stage in (StageKind.TRAY, StageKind.BOARD) and is_carrier(chosen.farm, index):
            tag = Tag(row.crop, chosen.frame.start, True)
            chosen.emptied[index] = chosen.new(model, row.units, f"emptied{index}", tag)


def _lifted_first(model: CpModel, chosen: Decisions) -> None:
    """Growing rafts lifted out on the first day: none of what is thrown away whole."""
    for group, kind in chosen.class_of.items() if chosen.farm.rules.lift_out else ():
        rafts = chosen.rafts.get((group, chosen.frame.start))
        if kind.growing >= 0 and rafts is not None:
            tag = Tag(kind.crop, group.enters)
            chosen.kept[group] = chosen.new(model, 1, f"kept{kind.growing}", tag)
            chosen.lifted[group] = chosen.new(model, chosen.most(rafts), f"lifted{kind.growing}", tag)


def units_standing(chosen: Decisions, group: UnitGroup) -> int:
    """Return the units of a group of trays or boards that stand on day 0; 0 for new ones."""
    if group in chosen.tray_groups:
        grows, growing = chosen.tray_groups[group][0].growing >= 0, chosen.tray_groups[group][0].growing
    else:
        board = chosen.board_groups[group][0]
        grows, growing = board.source is None, board.growing
    return chosen.farm.growing[growing].units if grows else 0


def _units_grown(farm: Farm, option: RaftSet) -> int:
    return farm.growing[option.growing].units if option.source is None else 0


def _queues(model: CpModel, chosen: Decisions) -> None:
    """Rafts of each class, entry day and bundle by the day they leave their slot."""
    members: dict[tuple[RaftClass, int], list[UnitGroup]] = defaultdict(list)
    for group, kind in chosen.class_of.items():
        members[kind, entry_day(chosen, group)].append(group)
    ranks = _growing_ranks(chosen)
    ahead = _days_of_growing(chosen)
    room = {b.name: sum(place.slots.highest() for place in b.places) for b in chosen.bundles}
    for (kind, enters), groups in members.items():
        exits = {d for g in groups for d in emptied_days(chosen, g).values()}
        held_until = ahead[kind.bundles[0]] if kind.growing >= 0 else 0
        days = _leave_days(chosen, exits, held_until)
        most = sum(max(chosen.most(chosen.rafts[g, d]) for d in emptied_days(chosen, g)) for g in groups)
        for crop in {option.crop for group in groups for option in chosen.raft_groups[group]}:
            chosen.bundles_of[crop].update(kind.bundles)
        for bundle in kind.bundles:
            queue = Queue(
                raft_class=kind, bundle=bundle, entry=ranks.get(kind.growing, enters), enters=enters
            )
            chosen.queues[queue] = {
                day: chosen.new(
                    model,
                    min(most, room[bundle]),
                    f"queue_{bundle}_{queue.entry}_{day}",
                    Tag("", enters, bundle=bundle),
                )
                for day in days
            }


def entry_day(chosen: Decisions, group: UnitGroup) -> int:
    """Return the day a raft group enters its lane; in a cycle the day of the cycle."""
    grows = chosen.class_of[group].growing >= 0
    return group.enters if grows else chosen.frame.fold(group.enters)


def emptied_days(chosen: Decisions, group: UnitGroup) -> dict[int, int]:
    """Return the days on which rafts of a group may be emptied, each with its day counted from entry_day."""
    shift = group.enters - entry_day(chosen, group)
    days = sorted({day for option in chosen.raft_groups[group] for day in chosen.leaving[option]})
    return {day: day - shift for day in days}


def _days_of_growing(chosen: Decisions) -> dict[str, int]:
    """Return for each bundle the last day on which a raft that grows on day 0 may be emptied."""
    last: dict[str, int] = defaultdict(int)
    for group, kind in chosen.class_of.items():
        if kind.growing >= 0:
            last[kind.bundles[0]] = max(last[kind.bundles[0]], *emptied_days(chosen, group))
    return last


def _leave_days(chosen: Decisions, exits: set[int], held_until: int) -> list[int]:
    """Days on which rafts emptied on ``exits`` may leave: those, and harvest days soon after.

    Rafts that grow on day 0 may be held longer, through ``held_until``: what stands ahead is given.
    """
    days = set(exits)
    if not chosen.farm.rules.lift_out:
        calendar = chosen.farm.calendar
        held = {day for first in exits for day in range(first, first + HOLD_DAYS + 1)}
        held.update(range(min(exits), held_until + 1))
        for day in held:
            opens = calendar.weekday(day) in calendar.work_days[Work.HARVEST]
            closed = not chosen.frame.period and day in calendar.closed[Work.HARVEST]
            if opens and not closed:
                days.add(day)
    return sorted(days)


def _growing_ranks(chosen: Decisions) -> dict[int, int]:
    """Order the rafts that grow on day 0 before all others: as they stand in their row.

    Across the rows of a bundle, what can be cut first goes first.
    """
    growing = chosen.farm.growing
    ready: dict[int, int] = {}
    for option in chosen.options.raft_sets:
        if option.source is None:
            index = carrier(chosen.farm, option.growing)
            first = min((step.day for step in option.cuttings), default=chosen.frame.start)
            ready[index] = min(first, ready.get(index, first))
    rows: dict[str, list[int]] = defaultdict(list)
    for index in sorted(ready, key=lambda index: growing[index].order):
        rows[growing[index].place].append(index)
    ranks: dict[int, int] = {}
    while any(rows.values()):
        heads = [row for row in rows.values() if row]
        row = min(heads, key=lambda row: (ready[row[0]], row[0]))
        ranks[row.pop(0)] = len(ranks) - MANY_RAFTS
    return ranks


def _lots(model: CpModel, chosen: Decisions) -> None:
    for out in _new(chosen.options.tray_outs):
        key = (out.crop, out.sown)
        if key not in chosen.lots:
            tag = Tag(out.crop, out.sown, True)
            chosen.lots[key] = chosen.new(model, 1, f"lot_{out.crop}_{out.sown}", tag)


def _new(outs: Iterable[TrayOut]) -> list[TrayOut]:
    return [out for out in outs if out.growing < 0]
