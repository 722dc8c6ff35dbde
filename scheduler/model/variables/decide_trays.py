"""Makes the variables of what is cut in its trays."""

from ortools.sat.python.cp_model import CpModel

from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.model.variables.decisions import Decisions, Tag, TrayLot, cells_of, lot_of


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
