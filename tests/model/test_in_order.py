"""What the rows leave open: what is taken out of a part could not have changed anyway."""

import random
from dataclasses import replace

import numpy as np
import pytest
from farms import delivery, make_farm
from fuzz.hidden_farms import hidden_farm
from model.test_optimum import any_farm
from model.test_part import built_of, objective, solution
from solving import quick_crop

from scheduler.model.build import build
from scheduler.model.first.start import nothing
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.in_order import InOrder
from scheduler.model.search.part import Parts
from scheduler.model.search.selection import Part, Selection


def parts_of(draw, farm, count):
    for _ in range(count):
        first = draw.randint(0, farm.calendar.span - 8)
        crops = draw.sample(sorted(farm.crops), draw.randint(1, len(farm.crops)))
        yield Part(crops=frozenset(crops), first=first, last=first + draw.randint(2, 12))


@pytest.mark.parametrize("seed", [*range(600, 606), "hidden 6", "hidden 11", "hidden 14"])
def test_a_part_has_the_same_best_answer_with_what_is_sure_left_out(seed):
    farm = hidden_farm(int(seed.split()[1])) if isinstance(seed, str) else any_farm(seed)
    built, draw = built_of(farm), random.Random(f"{seed}")
    parts, selection, in_order = Parts(built.model), Selection(built.chosen), InOrder(built.chosen)
    values = nothing(built)
    sooner = draw.choice([True, False])
    for part in parts_of(draw, farm, 4):
        free = selection.numbers(part)
        open_ones = in_order.left_open(np.array(values), free)
        assert set(open_ones.tolist()) <= set(free.tolist())
        found = [
            cut.whole(values, solution(cut.model))
            for cut in (parts.cut(values, free), parts.cut(values, open_ones))
        ]
        assert objective(built.model, found[0]) == objective(built.model, found[1])
        values = found[sooner]


def in_one_row(slots, **rules):
    """Two crops in one row, and a lettuce that stands in it from day 6 until day 12."""
    lettuce, kale = quick_crop("Lettuce"), quick_crop("Kale")
    farm = make_farm(
        days=24,
        lane_slots=slots,
        crops=[lettuce, kale],
        demands=[delivery(name, day, 6) for name in ("Lettuce", "Kale") for day in (10, 12, 14, 16)],
        rules=rules,
    )
    built = built_of(farm)
    values = np.array(nothing(built))
    queue, days = next(
        (queue, days)
        for queue, days in built.chosen.queues.items()
        if queue.raft_class.crop == "Lettuce" and queue.enters == 6 and 12 in days
    )
    values[days[12].index] = 1
    kale_rafts = {
        rafts.index: (each.enters, day)
        for each, days in built.chosen.queues.items()
        if each.raft_class.crop == "Kale"
        for day, rafts in days.items()
    }
    free = np.array(sorted(kale_rafts))
    left = InOrder(built.chosen).left_open(values, free)
    assert queue.raft_class.crop == "Lettuce"
    return set(kale_rafts.values()), {kale_rafts[index] for index in left.tolist()}


def test_no_raft_passes_one_that_stays_or_is_passed_by_it():
    listed, left = in_one_row(slots=4)
    wrong = {
        (enters, day) for enters, day in listed if (enters > 6 and day < 12) or (enters < 6 and day > 12)
    }
    assert wrong
    assert left == listed - wrong


def test_a_row_that_is_full_takes_nothing_in_while_it_is():
    listed, left = in_one_row(slots=1)
    assert left == {(enters, day) for enters, day in listed if day <= 6 or enters >= 12}
    assert left


def test_where_rafts_may_be_lifted_out_nothing_is_sure():
    listed, left = in_one_row(slots=1, lift_out=True)
    assert left == listed


def test_in_a_cycle_nothing_is_sure():
    farm = any_farm(600)
    frame = replace(season(farm), period=7)
    chosen = build(frame, bundles_of(farm)).chosen
    free = np.array(sorted(chosen.tags))
    assert len(InOrder(chosen).left_open(np.zeros(len(free), dtype=np.int64), free)) == len(free)
