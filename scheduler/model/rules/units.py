"""Trays, boards and rafts are whole; each holds its plants until the last of them leaves."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar, LinearExprT

from scheduler.farm.shared import standing as standing_of
from scheduler.model.variables.decide import emptied_days, entry_day, units_standing
from scheduler.model.variables.decisions import Decisions, RaftClass, UnitGroup


def whole_units(model: CpModel, chosen: Decisions) -> None:
    """A tray is split by rows, boards and rafts where the book allows; a unit leaves with its last plant."""
    for (group, day), count in chosen.trays.items():
        rows = sum(chosen.tray_rows[out] for out in chosen.tray_groups[group] if out.day >= day)
        model.add(group.per_unit * count >= rows)
        _stand_until_gone(model, chosen, group, (count, rows))
    for (group, day), count in chosen.boards.items():
        boarded = sum(chosen.board_plants[out] for out in chosen.board_groups[group] if out.day >= day)
        model.add(group.per_unit * count >= boarded)
        _stand_until_gone(model, chosen, group, (count, boarded))
    for group, sets in chosen.raft_groups.items():
        days = list(emptied_days(chosen, group))
        for start, day in enumerate(days):
            staying = sum(v for s in sets for d, gone in chosen.leaving[s].items() if d >= day for v in gone)
            standing = sum(chosen.rafts[group, d] for d in days[start:])
            model.add(group.per_unit * standing >= staying)
            if sets[0].source is None:
                units, plants = standing_of(chosen.farm, sets[0].growing)
                model.add(standing >= units - plants + staying)


def _stand_until_gone(
    model: CpModel, chosen: Decisions, group: UnitGroup, standing: tuple[IntVar, LinearExprT]
) -> None:
    """Thinly filled units that stand on day 0 are emptied one plant at a time at worst, not repacked."""
    units = units_standing(chosen, group)
    if units:
        count, plants = standing
        outs = chosen.tray_groups.get(group) or chosen.board_groups[group]
        _, grown = standing_of(chosen.farm, outs[0].growing)
        model.add(count >= units - grown + plants)


def queues(model: CpModel, chosen: Decisions) -> None:
    """A raft takes a slot in one row and gives it up on the day it is emptied or later, never before."""
    emptied: dict[tuple[RaftClass, int], list[tuple[int, IntVar]]] = defaultdict(list)
    for group, kind in chosen.class_of.items():
        for day, shifted in emptied_days(chosen, group).items():
            emptied[kind, entry_day(chosen, group)].append((shifted, chosen.rafts[group, day]))
    leaving: dict[tuple[RaftClass, int], dict[int, list[IntVar]]] = defaultdict(lambda: defaultdict(list))
    for queue, by_day in chosen.queues.items():
        for day, rafts in by_day.items():
            leaving[queue.raft_class, queue.enters][day].append(rafts)
    for key, ready in emptied.items():
        chosen.pulse()
        days = sorted(leaving[key])
        if not days:  # its crops keep to rows of other pools
            model.add(sum(rafts for _, rafts in ready) == 0)
        for position, day in enumerate(days):
            left = sum(v for d in days[: position + 1] for v in leaving[key][d])
            free = sum(v for d, v in ready if d <= day)
            last = position == len(days) - 1
            if last or chosen.farm.rules.lift_out:
                model.add(left == free)
            else:
                model.add(left <= free)
