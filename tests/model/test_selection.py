"""What a part of a plan frees: everything that may change there, and nothing that is chosen elsewhere."""

import random
from dataclasses import replace

import pytest
from boxed import box_farm
from farms import delivery, growing, make_farm
from model.steady import any_steady_farm, built_of
from model.test_optimum import any_farm
from ortools.sat.python.cp_model import OPTIMAL, CpSolver
from seeds import sample
from solving import quick_crop

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model.first.start import nothing
from scheduler.model.options.frame import season
from scheduler.model.options.options import BoardOut
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.part import Parts
from scheduler.model.search.selection import Part, Selection

ALL = frozenset()


def model_of(farm):
    return built_of(season(farm), bundles_of(farm))


def in_part(option, part):
    return part.first <= option.day <= part.last and (not part.crops or option.crop in part.crops)


def chosen_in(chosen, part):
    """Variables of what is chosen for rafts of some crops that enter on some days, found without tags."""
    inside = [option for option in chosen.raft_plants if in_part(option, part)]
    found = [chosen.raft_plants[option] for option in inside]
    found += [chosen.cut_plants[option, step] for option in inside for step in option.cuttings]
    found += [gone for option in inside for some in chosen.leaving[option].values() for gone in some]
    for option in inside:
        board = option.source if isinstance(option.source, BoardOut) else None
        tray = board.source if board else option.source
        found += [chosen.board_plants[board]] if board else []
        found += [chosen.tray_rows[tray]] if tray else []
    groups = {group for group, sets in chosen.raft_groups.items() if any(in_part(o, part) for o in sets)}
    found += [count for (group, _), count in chosen.rafts.items() if group in groups]
    kinds = {chosen.class_of[group] for group in groups}
    found += [
        rafts
        for queue, days in chosen.queues.items()
        if queue.raft_class in kinds and part.first <= queue.enters <= part.last
        for rafts in days.values()
    ]
    found += [chosen.kept[group] for group in groups if group in chosen.kept]
    found += [chosen.lifted[group] for group in groups if group in chosen.lifted]
    return {variable.index for variable in found}


def follows(chosen, crops):
    """Variables of all that only follows, of any day, of some crops or of no single one."""
    tables = (chosen.heads, chosen.fills, chosen.units)
    names = [lambda key: key[0].crop, lambda key: key[0], lambda key: key[1]]
    found = [
        v for table, name in zip(tables, names, strict=True) for k, v in table.items() if name(k) in crops
    ]
    found += [v for (crop, _), v in chosen.lots.items() if crop in crops]
    found += [v for index, v in chosen.emptied.items() if chosen.farm.growing[index].crop in crops]
    for table in (chosen.short, chosen.whole, chosen.trays, chosen.boards, chosen.cleared):
        found += table.values()
    return {variable.index for variable in found}


def any_part(draw, farm, last):
    first = draw.randint(-3, last - 2)
    crops = frozenset(draw.sample(sorted(farm.crops), draw.randint(0, len(farm.crops) - 1)))
    return Part(crops=crops, first=first, last=first + draw.randint(0, 6))


def best_of(built, parts, values, free):
    """The best answer with only some variables free, and its objective."""
    cut = parts.cut(values, free)
    solver = CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(cut.model) == OPTIMAL
    found = cut.whole(values, list(solver.response_proto.solution))
    goal = built.model.proto.objective
    return found, sum(weight * found[index] for index, weight in zip(goal.vars, goal.coeffs, strict=True))


@pytest.mark.parametrize("seed", sample(range(400, 410), range(410, 424)))
def test_a_part_is_solved_as_well_as_with_all_that_follows_free_on_every_day(seed):
    farm, draw = any_farm(seed), random.Random(seed)
    built = model_of(farm)
    chosen, parts, selection = built.chosen, Parts(built.model), Selection(built.chosen)
    values = nothing(built)
    for _ in range(4):
        part = any_part(draw, farm, farm.calendar.span)
        crops = part.crops or frozenset(farm.crops)
        _, wanted = best_of(built, parts, values, chosen_in(chosen, part) | follows(chosen, crops))
        values, reached = best_of(built, parts, values, selection.variables(part))
        assert reached <= wanted


@pytest.mark.parametrize("seed", [1, 2, 3, 6, 8, 13])
def test_all_crops_on_all_days_are_the_whole_model(seed):
    built = model_of(any_steady_farm(seed))
    farm = built.chosen.farm
    whole = Part(crops=ALL, first=min([0, *(row.since for row in farm.growing)]), last=farm.calendar.span + 1)
    assert Selection(built.chosen).variables(whole) == set(range(len(built.model.proto.variables)))


def test_nothing_that_is_chosen_for_other_raft_days_or_crops_is_freed():
    made = make_farm(
        days=24,
        crops=[quick_crop(), quick_crop("Kale")],
        demands=[delivery(name, 20, 6) for name in ("Lettuce", "Kale")],
    )
    chosen = model_of(made).chosen
    free = Selection(chosen).variables(Part(crops=frozenset({"Kale"}), first=14, last=15))
    for option, plants in chosen.raft_plants.items():
        assert (plants.index in free) == (option.crop == "Kale" and option.day in (14, 15))
    assert all((short.index in free) for short in chosen.short.values())


def test_a_tray_lot_is_freed_for_each_raft_day_it_may_serve():
    # Sown on day 7 and boarded on day 10, it could go onto rafts on days 13 and 14.
    made = make_farm(
        days=24,
        crops=[quick_crop(tray=(3, 0, 10_000), board=(3, 1, 10_000))],
        work_days={Work.SOW: {0}},
        demands=[delivery("Lettuce", 19, 6, max_age=3)],
    )
    chosen = model_of(made).chosen
    (rows,) = (rows for out, rows in chosen.tray_rows.items() if out.sown == 7)
    for day, freed in ((12, False), (13, True), (14, True), (15, False)):
        free = Selection(chosen).variables(Part(crops=ALL, first=day, last=day))
        assert (rows.index in free) == freed


def test_rafts_that_crops_share_are_freed_for_any_of_them():
    made = make_farm(
        days=24,
        crops=[quick_crop(), quick_crop("Kale")],
        rules={"share_rafts": True},
        demands=[delivery(name, 20, 6) for name in ("Lettuce", "Kale")],
    )
    chosen = model_of(made).chosen
    shared = {count.index for (group, _), count in chosen.rafts.items() if group.enters == 14}
    assert shared
    for crop in ("Lettuce", "Kale"):
        free = Selection(chosen).variables(Part(crops=frozenset({crop}), first=14, last=14))
        assert shared <= free


def test_what_grows_on_rafts_is_freed_by_the_days_it_was_set_out_on():
    made = make_farm(
        days=24,
        crops=[quick_crop()],
        growing=[growing("Lettuce", StageKind.RAFT, -2, 6, 1)],
        demands=[delivery("Lettuce", 3, 6)],
    )
    chosen = model_of(made).chosen
    (thrown,) = chosen.thrown.values()
    for first, last, freed in ((-2, 5, True), (-5, -2, True), (-1, 5, False)):
        free = Selection(chosen).variables(Part(crops=ALL, first=first, last=last))
        assert (thrown.index in free) == freed


def test_rows_a_crop_may_stand_in_are_freed_and_no_others():
    made = make_farm(
        days=24,
        lanes=3,
        crops=[quick_crop(), quick_crop("Kale", lanes=["Trough 1", "Trough 3"])],
        demands=[delivery(name, 20, 6) for name in ("Lettuce", "Kale")],
    )
    chosen = model_of(made).chosen
    free = Selection(chosen).variables(Part(crops=frozenset({"Kale"}), first=14, last=14))
    rows = {queue.bundle for queue, days in chosen.queues.items() for v in days.values() if v.index in free}
    cleared = {bundle for (bundle, _, _), yes in chosen.cleared.items() if yes.index in free}
    assert rows == cleared == {"Trough 1", "Trough 3"}


def test_goods_that_are_swapped_are_shared_out_anew_on_their_days_and_nothing_of_them_grows_otherwise():
    farm = box_farm(on=(9, 16, 23), days=28, categories={"Greens": {"Lettuce": 200, "Kale": 300}})
    chosen = model_of(farm).chosen
    part = Part(crops=frozenset({"Lettuce"}), first=0, last=20)
    swapped = replace(part, swap=frozenset({"Kale"}), since=15, until=16)
    selection = Selection(chosen)
    more = selection.variables(swapped) - selection.variables(part)
    (index,) = [index for index, wish in enumerate(chosen.frame.wishes) if wish.first == 16]
    wanted = [v for key, v in chosen.fills.items() if key[0] == "Kale" and key[2] == index]
    wanted += [v for key, v in chosen.heads.items() if key[0].crop == "Kale" and key[2] in (15, 16)]
    wanted += [chosen.units[index, "Kale"]]
    wanted += [v for (spot, product), v in chosen.picks.items() if product == "Kale" and spot[1] == 1]
    assert {v.index for v in wanted} <= more
    assert more <= {
        v.index for table in (chosen.fills, chosen.heads, chosen.units, chosen.picks) for v in table.values()
    }
    other = [v for (spot, product), v in chosen.picks.items() if product == "Kale" and spot[1] != 1]
    assert not {v.index for v in other} & more
