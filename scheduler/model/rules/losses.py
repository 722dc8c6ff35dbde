"""Plants go on only as far as losses leave them."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.units import WHOLE_SHARE
from scheduler.model.options.options import BoardOut, TrayOut
from scheduler.model.variables.decisions import Decisions


def losses(model: CpModel, chosen: Decisions) -> None:
    """Losses are taken where they happen: cells sown round up, plants and heads round down."""
    onward: dict[TrayOut | BoardOut, list[IntVar]] = defaultdict(list)
    for board, plants in chosen.board_plants.items():
        if board.source is not None:
            onward[board.source].append(plants)
    for option, plants in chosen.raft_plants.items():
        if option.source is not None:
            onward[option.source].append(plants)
    for planted, plants in chosen.bed_plants.items():
        if planted.source is not None:
            onward[planted.source].append(plants)
    _from_trays(model, chosen, onward)
    for board, plants in chosen.board_plants.items():
        stage = chosen.farm.crops[board.crop].board
        if stage is not None:
            model.add(WHOLE_SHARE * sum(onward[board]) <= stage.survival * plants)
    _from_growing(model, chosen)


def _from_trays(model: CpModel, chosen: Decisions, onward: dict[TrayOut | BoardOut, list[IntVar]]) -> None:
    for out, rows in chosen.tray_rows.items():
        if out.growing >= 0:
            if not out.cuts:
                model.add(sum(onward[out]) <= rows)
            continue
        model.add(rows <= chosen.most(rows) * chosen.lots[out.crop, out.sown])
        if out.cuts:
            continue
        tray = chosen.farm.crops[out.crop].tray
        per_row = chosen.farm.equipment[tray.unit].cells_per_row * tray.survival
        model.add(WHOLE_SHARE * sum(onward[out]) <= per_row * rows)


def _from_growing(model: CpModel, chosen: Decisions) -> None:
    """What grows already can be moved on once; the rest of it is thrown away."""
    moved: dict[int, list[IntVar]] = defaultdict(list)
    for out, plants in chosen.tray_rows.items():
        if out.growing >= 0:
            moved[out.growing].append(plants)
    for board, plants in chosen.board_plants.items():
        if board.source is None:
            moved[board.growing].append(plants)
    for index, parts in moved.items():
        model.add(sum(parts) <= chosen.farm.growing[index].plants)
    for option, plants in chosen.raft_plants.items():
        if option.source is None:
            model.add(plants == chosen.farm.growing[option.growing].plants)
