"""Makes the variables of plantings in beds: plants, and what is taken of each picking."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel

from scheduler.model.options.options import BoardOut, TrayOut
from scheduler.model.variables.decisions import Decisions, Tag


def plantings(model: CpModel, chosen: Decisions) -> dict[TrayOut, int]:
    """Make the plants of every planting; return the most that each tray option may have to give."""
    into: dict[TrayOut, int] = defaultdict(int)
    pools = {pool.name: pool for pool in chosen.bed_pools}
    for index, option in enumerate(chosen.options.bed_sets):
        tag = Tag(option.crop, option.day)
        if option.source is None:
            most = int(bool(option.picks))
            chosen.bed_kept[option] = chosen.new(model, most, f"kept_in_bed{option.growing}", tag)
            continue
        most = pools[option.pool].positions
        chosen.bed_plants[option] = chosen.new(model, most, f"planted{index}", tag)
        into[option.source] += most
    return into


def pickings(model: CpModel, chosen: Decisions) -> dict[str, set[int]]:
    """Make what is taken of each picking that can serve a wish; return the days by crop."""
    farm, frame = chosen.farm, chosen.frame
    useful = frame.useful_days()
    days: dict[str, set[int]] = defaultdict(set)
    for index, option in enumerate(chosen.options.bed_sets):
        crop = farm.crops[option.crop]
        plants = farm.growing[option.growing].plants if option.source is None else None
        plants = plants or chosen.most(chosen.bed_plants[option])
        for pick in option.picks:
            if crop.picking is None or pick.day not in useful.get(crop.name, ()) or pick.day > frame.end:
                continue
            most = pick.most_of_day(plants, crop.picking.curve, crop.heads_share)
            if not most:
                continue
            name = f"picked{index}_{pick.number}"
            tag = Tag(crop.name, pick.day, True)
            chosen.heads[option, pick.number, pick.day] = chosen.new(model, most, name, tag)
            days[crop.name].add(frame.fold(pick.day))
    return days


def days_of_going_on(chosen: Decisions) -> dict[TrayOut | BoardOut | None, list[int]]:
    """Return the days on which plants of each option go on: onto boards or rafts, or into a bed."""
    days: dict[TrayOut | BoardOut | None, list[int]] = defaultdict(list)
    for option in chosen.options.raft_sets:
        days[option.source].append(option.day)
    for board in chosen.options.board_outs:
        days[board.source].append(board.day)
    for planted in chosen.options.bed_sets:
        days[planted.source].append(planted.day)
    return days
