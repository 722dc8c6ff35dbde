"""Makes the variables of heads: of what is cut on rafts, and of what is cut in its trays."""

from collections import Counter

from ortools.sat.python.cp_model import CpModel

from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.model.variables.decisions import Decisions, RaftLot, Tag, TrayLot, cells_of, lot_of


def raft_heads(model: CpModel, chosen: Decisions, cut_days: dict[str, set[int]]) -> None:
    """Heads of what is cut on rafts: one variable for each lot on rafts, cut and day."""
    most: Counter[tuple[RaftLot, int, int]] = Counter()
    for option, plants in chosen.raft_plants.items():
        for number, day in dict.fromkeys((step.number, step.day) for step in option.cuttings):
            most[chosen.raft_lots[option], number, day] += chosen.most(plants)
    for (lot, number, day), limit in most.items():
        today = chosen.frame.fold(day)
        cut_days[lot.crop].add(today)
        name = f"heads_{lot.crop}_{lot.day}_{number}_{day}"
        chosen.heads[lot, number, day] = chosen.new(model, limit, name, Tag(lot.crop, today, True))


def tray_heads(model: CpModel, chosen: Decisions, cut_days: dict[str, set[int]]) -> None:
    """Heads of what is cut in its trays: one variable for each lot, cut and day."""
    farm, frame = chosen.farm, chosen.frame
    for out in chosen.options.tray_outs:
        for key in out.numbered_cuts:
            chosen.tray_cuts[TrayLot(*lot_of(out))].setdefault(key, []).append(out)
            cut_days[out.crop].add(frame.fold(key[1]))
    for lot, cuts in chosen.tray_cuts.items():
        share = farm.crops[lot.crop].heads_share
        for (number, day), outs in cuts.items():
            cells = sum(cells_of(farm, out) * chosen.most(chosen.tray_rows[out]) for out in outs)
            name = f"heads_{lot.crop}_{lot.sown}_{number}_{day}"
            tag = Tag(lot.crop, frame.fold(day), True)
            chosen.heads[lot, number, day] = chosen.new(
                model, ceil_div(cells * share, WHOLE_SHARE), name, tag
            )
