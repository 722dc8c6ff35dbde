"""The best answer so far: what is better is kept, whole or as changes, and what no longer fits is not."""

import random

import pytest
from farms import delivery, make_farm
from model.steady import built_of
from model.test_optimum import any_farm
from ortools.sat.python.cp_model import OPTIMAL, CpSolver
from seeds import sample
from solving import quick_crop

from scheduler.model.first.start import nothing
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.search.selection import Part, Selection


def incumbent_of(farm):
    built = built_of(season(farm), bundles_of(farm))
    return Incumbent(built, Parts(built.model), nothing(built))


def answer_for(best, crop):
    """What a part of one crop on all days changes, solved from the best so far; and its version."""
    last = best.built.chosen.farm.calendar.span
    free = Selection(best.built.chosen).variables(Part(crops=frozenset({crop}), first=0, last=last))
    cut = best.parts.cut(best.values, free)
    solver = CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(cut.model) == OPTIMAL
    found = list(solver.response_proto.solution)
    return {
        i: new for i, old, new in zip(cut.index, cut.hint, found, strict=True) if new != old
    }, best.version


@pytest.mark.parametrize("seed", sample(range(700, 708), range(708, 712)))
def test_changes_are_taken_just_as_the_whole_answer_with_them_would_be(seed):
    farm, draw = any_farm(seed), random.Random(seed)
    whole, changed = incumbent_of(farm), incumbent_of(farm)
    kept = 0
    for _ in range(60):
        # Mostly fewer units short, so that some are better.
        indexes = draw.sample(range(len(whole.values)), 2)
        short = draw.choice(list(whole.built.chosen.short.values())).index
        changes = {index: draw.randint(0, 2) for index in indexes} | {short: draw.randint(0, 9)}
        values = list(whole.values)
        for index, value in changes.items():
            values[index] = value
        assert changed.score_of(values) == whole.score_of(values)
        taken = whole.take(values)
        assert changed.take_changes(changes, changed.version) == taken
        kept += taken
        assert (changed.values, changed.score, changed.version) == (whole.values, whole.score, whole.version)
        assert whole.score == whole.score_of(whole.values)
    assert kept
    assert whole.version == kept


def test_an_answer_as_good_as_the_best_is_not_taken():
    best = incumbent_of(any_farm(700))
    before = best.values
    assert not best.take(list(before))
    assert not best.take(None)
    assert not best.take_changes({}, best.version)
    assert (best.improved, best.version) == (False, 0)


def test_one_that_is_no_shorter_is_taken_where_that_is_enough_whatever_it_costs():
    made = make_farm(days=12, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6, max_age=0)])
    best = incumbent_of(made)
    assert best.take_changes(*answer_for(best, "Lettuce"))
    filled, rows = best.score, best.built.chosen.tray_rows
    more = {next(rows[out].index for out in rows if not best.values[rows[out].index]): 1}
    assert not best.take_changes(more, best.version)
    assert not best.take_changes({}, best.version, as_short=True)
    (short,) = best.built.chosen.short.values()
    assert not best.take_changes({**more, short.index: 1}, best.version, as_short=True)
    cheapest = best.values
    assert best.take_changes(more, best.version, as_short=True)
    assert best.score[:2] == filled[:2]
    assert best.score > filled
    assert best.take(cheapest)
    assert best.score == filled


@pytest.mark.parametrize(("slots", "both"), [(2, True), (1, False)])
def test_changes_found_before_others_came_are_taken_only_where_they_still_fit(slots, both):
    made = make_farm(
        days=12,
        lane_slots=slots,
        crops=[quick_crop(), quick_crop("Kale")],
        demands=[delivery(name, 10, 6, max_age=0) for name in ("Lettuce", "Kale")],
    )
    best = incumbent_of(made)
    lettuce, kale = answer_for(best, "Lettuce"), answer_for(best, "Kale")
    assert best.take_changes(*lettuce)
    assert best.take_changes(*kale) == both
    assert best.parts.holds(best.values)
    short = {best.built.chosen.frame.wishes[i].product: best.values[v.index]
             for i, v in best.built.chosen.short.items()}  # fmt: skip
    assert short == {"Lettuce": 0, "Kale": 0 if both else 6}


@pytest.mark.parametrize("order", [("Lettuce", "Kale"), ("Kale", "Lettuce")])
def test_two_crops_that_fill_one_delivery_do_not_fill_it_twice(order):
    made = make_farm(
        days=12,
        crops=[quick_crop(), quick_crop("Kale")],
        products={"Head": {"Lettuce": 1000, "Kale": 1000}},
        demands=[delivery("Head", 10, 6, max_age=0)],
    )
    best = incumbent_of(made)
    answers = {crop: answer_for(best, crop) for crop in order}
    assert [best.take_changes(*answers[crop]) for crop in order] == [True, False]
    assert best.parts.holds(best.values)


def test_wishes_that_are_short_are_told_by_what_they_weigh():
    made = make_farm(
        days=12,
        crops=[quick_crop()],
        demands=[
            delivery("Lettuce", 8, 9, price=1),
            delivery("Lettuce", 9, 5, price=2),
            delivery("Lettuce", 10, 1, price=50),
            delivery("Lettuce", 11, 99, price=9, firm=False),
        ],
    )
    best = incumbent_of(made)
    wishes = best.built.chosen.frame.wishes
    assert [wishes[index].first for index in best.short_wishes(1)] == [10, 9, 8]
    assert [wishes[index].first for index in best.short_wishes(2)] == [11]
    best.values[best.built.chosen.short[2].index] = 0
    assert [wishes[index].first for index in best.short_wishes(1)] == [9, 8]
