"""Trays, boards, rafts and domes owned."""

import sys
from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Equipment
from scheduler.farm.places import PlaceKind
from scheduler.farm.shared import carrier, mates
from scheduler.model.rules.space import Stay, limit_stays, stays_of
from scheduler.model.variables.decide import units_standing
from scheduler.model.variables.decisions import Decisions


def equipment(model: CpModel, chosen: Decisions) -> None:
    """Trays, boards, rafts and domes in use or being washed never exceed those owned, on any day."""
    stays: dict[str, list[Stay]] = defaultdict(list)
    for counts in (chosen.trays, chosen.boards):
        for group, parts in stays_of(counts, chosen.frame.start).items():
            stays[group.kind] += _with_washing(parts, chosen.farm.equipment[group.kind].wash_days)
    for queue, by_day in chosen.queues.items():
        kind = queue.raft_class.kind
        wash = chosen.farm.equipment[kind].wash_days
        stays[kind] += [(queue.enters, day + wash, rafts) for day, rafts in by_day.items()]
    _thrown_empty(model, chosen, stays)
    domes = [item for item in chosen.farm.equipment.values() if item.item == "dome"]
    if domes:
        owned = sum(item.owned for item in domes)
        wash = max(item.wash_days for item in domes)
        limit_stays(model, chosen, _domed(chosen, wash), (set(), lambda _: owned))
    for kind, parts in stays.items():
        owned = chosen.farm.equipment[kind].owned
        if owned >= _most_slots(chosen, chosen.farm.equipment[kind]):
            continue
        limit_stays(model, chosen, parts, (set(), lambda _, owned=owned: owned))  # type: ignore[misc]


def _with_washing(parts: list[Stay], wash: int) -> list[Stay]:
    """Let a unit count as in use until it is washed: each stay but the first is later by that."""
    late = [(start + wash, until + wash, count) for start, until, count in parts]
    return [(start, late[0][1], count) for start, _, count in parts[:1]] + late[1:]


def _thrown_empty(model: CpModel, chosen: Decisions, stays: dict[str, list[Stay]]) -> None:
    """Units of what is thrown away on the first day are washed before they are used again."""
    first = chosen.frame.start
    standing: dict[int, IntVar] = {}
    for counts, groups in ((chosen.trays, chosen.tray_groups), (chosen.boards, chosen.board_groups)):
        for (group, _), count in counts.items():
            index = groups[group][0].growing
            index = carrier(chosen.farm, index) if index >= 0 else index
            if index in chosen.emptied and units_standing(chosen, group):
                standing.setdefault(index, count)
    for index, emptied in chosen.emptied.items():
        row = chosen.farm.growing[index]
        model.add(emptied + standing.get(index, 0) == row.units)
        stage = chosen.farm.crops[row.crop].stage(row.stage)
        if stage is not None:
            stays[stage.unit].append((first, first + chosen.farm.equipment[stage.unit].wash_days, emptied))


def _domed(chosen: Decisions, wash: int) -> list[Stay]:
    """Trays under domes: all trays sown together stay under as long as the crop that needs it longest.

    No dome stays on longer than the last of those trays stands. The dome of a growing tray that is thrown
    away is washed from the first day on, if not before.
    """
    stays: list[Stay] = []
    for group, outs in chosen.tray_groups.items():
        days = max(chosen.farm.crops[out.crop].handling.dome_days for out in outs)
        first, last = min(out.day for out in outs), max(out.day for out in outs)
        until = min(group.enters + days, last) + wash
        if days and until > chosen.frame.start:
            stays.append((group.enters, until, chosen.trays[group, first]))
    for index, emptied in chosen.emptied.items():
        row = chosen.farm.growing[index]
        crops = {chosen.farm.growing[at].crop for at in mates(chosen.farm, index)}
        days = max(chosen.farm.crops[crop].handling.dome_days for crop in crops)
        until = min(row.since + days, chosen.frame.start) + wash
        if row.stage is StageKind.TRAY and days and until > chosen.frame.start:
            stays.append((row.since, until, emptied))
    return stays


def _most_slots(chosen: Decisions, kind: Equipment) -> int:
    """Return the most of a kind the places could hold at once; what must be washed may need more."""
    if kind.wash_days:
        return sys.maxsize
    place_kind = {"tray": PlaceKind.TIER, "board": PlaceKind.ZONE, "raft": PlaceKind.LANE}[kind.item]
    return sum(place.slots.highest() for place in chosen.farm.places_of(place_kind))
