"""Work per day."""

from collections import defaultdict
from collections.abc import Iterator

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm import work
from scheduler.farm.shared import standing
from scheduler.model.options.bed_options import BedSet
from scheduler.model.rules.lane_order import lifted_past
from scheduler.model.variables.decisions import Decisions


def hours(model: CpModel, chosen: Decisions) -> None:
    """Work per day stays within what chores leave of the crew's hours, where the book gives them."""
    _lifted_first(model, chosen)
    lifted_past(model, chosen)
    crew = chosen.farm.hands
    if crew is None:
        return
    for day, parts in minutes_by_day(chosen).items():
        limit = chosen.frame.usual(crew, day)
        if sum(minutes * chosen.most(amount) for minutes, amount in parts) > limit:
            model.add(sum(minutes * amount for minutes, amount in parts) <= limit)


Part = tuple[int, int, IntVar]
"""Day, hundredths of a minute for one, how many."""


def minutes_by_day(chosen: Decisions) -> dict[int, list[tuple[int, IntVar]]]:
    """Return for each day what is done on it: (hundredths of a minute for one, how many)."""
    by_day: dict[int, list[tuple[int, IntVar]]] = defaultdict(list)
    works = (_tray_work(chosen), _board_work(chosen), _raft_work(chosen), _lifting(chosen), _bed_work(chosen))
    for parts in works:
        for day, minutes, amount in parts:
            if minutes:
                by_day[chosen.frame.fold(day)].append((minutes, amount))
    return by_day


def _tray_work(chosen: Decisions) -> Iterator[Part]:
    for out, rows in chosen.tray_rows.items():
        crop = chosen.farm.crops[out.crop]
        tray = chosen.farm.equipment[crop.tray.unit]
        cells = tray.cells_per_row if out.growing < 0 else 1
        if out.growing < 0:
            yield out.sown, cells * work.sow_per_cell(crop, tray), rows
        yield out.day, cells * work.wash_tray_per_cell(crop, tray), rows
        for day in out.cuts:
            yield day, cells * work.cut_per_plant(crop), rows


def _board_work(chosen: Decisions) -> Iterator[Part]:
    for board, plants in chosen.board_plants.items():
        crop = chosen.farm.crops[board.crop]
        if board.source is not None:
            yield board.board_day, work.set_on_board_per_plant(crop), plants
        if crop.board is not None:
            kind = chosen.farm.equipment[crop.board.unit]
            yield board.day, work.wash_board_per_plant(crop, kind), plants


def _raft_work(chosen: Decisions) -> Iterator[Part]:
    for option, plants in chosen.raft_plants.items():
        crop = chosen.farm.crops[option.crop]
        if option.source is not None:
            yield option.day, work.set_on_raft_per_plant(crop), plants
        wash = work.wash_raft_per_plant(crop, chosen.farm.equipment[crop.finish.unit])
        for day, gone in chosen.leaving[option].items():
            for some in gone:
                if some is not chosen.thrown.get(option):
                    yield day, wash, some
    for (option, step), plants in chosen.cut_plants.items():
        yield step.day, work.cut_per_plant(chosen.farm.crops[option.crop]), plants


def _bed_work(chosen: Decisions) -> Iterator[Part]:
    """Setting in, picking and clearing; what is pulled out on the first day can wait."""
    for option, plants in chosen.bed_plants.items():
        crop = chosen.farm.crops[option.crop]
        yield option.day, work.set_in_bed_per_plant(crop), plants
        yield from _picking(chosen, option, 1, plants)
    for option, kept in chosen.bed_kept.items():
        yield from _picking(chosen, option, chosen.farm.growing[option.growing].plants, kept)


def _picking(chosen: Decisions, option: BedSet, each: int, amount: IntVar) -> Iterator[Part]:
    """All its plants are picked on every picking day, whether or not anyone wants what they give."""
    crop = chosen.farm.crops[option.crop]
    for pick in option.picks:
        if pick.day <= chosen.frame.end:
            yield pick.day, each * work.pick_per_plant(crop), amount
    if option.leaves <= chosen.frame.end:
        yield option.leaves, each * work.clear_per_plant(crop), amount


def _lifting(chosen: Decisions) -> Iterator[Part]:
    for (_, day), rafts in chosen.lifts.items():
        yield day, chosen.farm.rules.lift_minutes, rafts


def _lifted_first(model: CpModel, chosen: Decisions) -> None:
    """Lifting what is thrown away whole on the first day can wait: a crew without hours never forbids it."""
    for group, lifted in chosen.lifted.items():
        units, plants = standing(chosen.farm, chosen.class_of[group].growing)
        kept = chosen.kept[group]
        thrown = sum(chosen.thrown[option] for option in chosen.raft_groups[group])
        model.add(plants * kept >= plants - thrown)
        model.add(lifted >= chosen.rafts[group, chosen.frame.start] - units + units * kept)
