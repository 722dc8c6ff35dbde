"""Repair: parts of a plan solved again, one after another or side by side, and only what is better kept."""

import threading
from functools import cache

import pytest
from boxed import box_farm, share, slot
from farms import EVER, delivery, growing, make_farm
from model.steady import any_steady_farm, built_of, engine_of, faults_of, idle_plan, laid_over, units_short
from seeds import sample
from solving import quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.first.start import nothing
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.manners import DRAWING, ROUNDS
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.search.selection import Selection


def orders(*days, **changes):
    return [delivery("Lettuce", day, 6, **changes) for day in days]


@cache
def laid_week(seed):
    """A farm, and the answer in which its steady week is laid over the season."""
    farm = any_steady_farm(seed)
    return farm, laid_over(farm, seconds=0.1).best


@pytest.mark.parametrize("seed", sample((13, 35), (2,)))
@pytest.mark.parametrize(
    "settings",
    [{"deterministic": False, "workers": 3, "seconds": 0.4}, {"deterministic": True, "seconds": 0.02}],
    ids=["side by side", "one by one"],
)
def test_no_step_makes_a_plan_worse_and_the_plan_is_sound_after_the_last(seed, settings):
    farm, laid = laid_week(seed)
    best = Incumbent(laid.built, laid.parts, list(laid.values))
    scores = [best.score]
    engine = engine_of(**settings)
    repair = Repair(engine, best, lambda _: scores.append(best.score))
    repair.shortages(settings["seconds"] * 0.7)
    repair.sweep(settings["seconds"])
    assert scores == sorted(scores, reverse=True)
    assert best.parts.holds(best.values)
    assert best.score == best.score_of(best.values)
    assert faults_of(farm, best) == []


def test_what_the_week_left_short_is_filled_by_sowing_it_another_day():
    # The shelf is shut while the steady week would sow for day 35, and trays may wait two days.
    made = make_farm(
        days=49,
        crops=[quick_crop(tray=(3, 2, 10_000))],
        tier_slots=((EVER, 8), (28, 0), (32, 8)),
        demands=orders(*range(14, 49, 7), max_age=1),
    )
    start = laid_over(made)
    assert units_short(start.best) == 6
    Repair(engine_of(), start.best, lambda _: None).shortages(5.0)
    assert units_short(start.best) == 0
    assert faults_of(made, start.best) == []


def test_wishes_beyond_reach_are_not_searched():
    made = make_farm(days=14, crops=[quick_crop()], demands=orders(8, 10))
    phases = []
    best = idle_plan(made)
    repair = Repair(engine_of(), best, phases.append, beyond={0, 1})
    repair.shortages(5.0)
    assert (phases, repair.short(1)) == ([], [])
    Repair(engine_of(), best, phases.append, beyond={0}).shortages(5.0)
    assert phases
    assert best.values[best.built.chosen.short[1].index] == 0


def test_once_parts_drawn_by_chance_bring_nothing_the_rounds_go_on_while_something_is_short():
    # Nothing can fill a delivery of more than the row holds.
    made = make_farm(days=14, lane_slots=1, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 60)])
    phases = []
    Repair(engine_of(), idle_plan(made), phases.append).shortages(0.5)
    told = list(dict.fromkeys(phases))
    assert told[0] == DRAWING.phase
    assert [int(phase.rsplit(" ", 1)[1]) for phase in told[1:]] == [1, 2, 3, 4, 5, 6]


def test_the_search_goes_on_and_on_unless_every_part_around_what_is_short_is_solved_in_vain(monkeypatch):
    best = laid_over(make_farm(days=49, crops=[quick_crop()], demands=orders(*range(14, 49, 7)))).best
    engine = engine_of(seconds=5.0, deterministic=False)
    repair = Repair(engine, best, lambda _: None)
    passes = []
    monkeypatch.setattr(repair, "shortages", passes.append)
    assert repair.on_and_on(4.0, 4.0) is True
    assert passes == []  # nothing is short
    monkeypatch.setattr(repair, "short", lambda level: [0])
    assert repair.on_and_on(4.0, 4.0) is True
    assert passes == [4.0]
    monkeypatch.setattr(repair, "left_open", lambda: True)
    until = engine.spent + 0.05
    assert repair.on_and_on(until, 0.05) is False
    assert passes.count(until) > 1
    passes.clear()
    assert repair.on_and_on(1000.0, 1000.0, patience=0.0) is False  # nothing was filled for so long
    assert passes == [1000.0]


def test_saving_cost_may_keep_what_grows_instead_of_throwing_it_away():
    made = make_farm(
        days=14,
        crops=[quick_crop()],
        growing=[growing("Lettuce", StageKind.RAFT, -2, 6, 1)],
        demands=orders(3, 10),
        costs={"discarded_plant": 100},
    )
    best = idle_plan(made)
    Repair(engine_of(), best, lambda _: None).sweep(5.0)
    assert units_short(best) == 0
    assert all(best.values[thrown.index] == 0 for thrown in best.built.chosen.thrown.values())


@pytest.mark.parametrize("shared", [True, False])
def test_a_crop_makes_room_for_one_that_is_worth_more_in_the_same_row(shared):
    made = make_farm(
        days=14,
        crops=[quick_crop("Kale"), quick_crop("Lettuce")],
        lane_slots=1,
        rules={"share_rafts": shared},
        demands=[
            delivery("Kale", 10, 6, max_age=0, price=1),
            delivery("Lettuce", 10, 6, max_age=0, price=9),
        ],
    )
    best = idle_plan(made)
    short = best.built.chosen.short
    Repair(engine_of(), best, lambda _: None, beyond={1}).one_by_one(0.5)
    assert [best.values[short[index].index] for index in (0, 1)] == [0, 6]
    Repair(engine_of(), best, lambda _: None).shortages(0.5)
    assert [best.values[short[index].index] for index in (0, 1)] == [6, 0]


@pytest.mark.parametrize("workers", [1, 2])
def test_once_stopped_no_part_is_searched(workers):
    made = make_farm(days=14, crops=[quick_crop()], demands=orders(8, 10))
    stop, phases = threading.Event(), []
    engine = engine_of(stop, deterministic=False, workers=workers)
    best = idle_plan(made, engine)
    stop.set()
    repair = Repair(engine, best, phases.append)
    repair.shortages(5.0)
    repair.sweep(5.0)
    assert (phases, best.version) == ([], 0)


def test_a_stop_while_a_part_is_cut_ends_the_repair_with_what_it_has():
    made = make_farm(days=30, crops=[quick_crop()], demands=orders(*range(8, 30, 2)))
    stop = threading.Event()
    engine = engine_of(stop)
    improved = threading.Event()

    def pulse():
        if improved.is_set():
            stop.set()
        engine.check()

    built = built_of(season(made), bundles_of(made))
    best = Incumbent(built, Parts(built.model, pulse), nothing(built))
    Repair(engine, best, lambda _: improved.set() if best.improved else None).shortages(5.0)
    assert best.version == 1
    assert units_short(best) > 0
    assert best.parts.holds(best.values)


def test_narrow_rounds_fill_a_place_of_a_box_product_by_product(monkeypatch):
    own = share(slot(), most_running=1, max_age=0)
    farm = box_farm(own, on=(9, 16, 23), days=28, boxes=(6, 0), lanes=2)
    best = idle_plan(farm)
    freed, numbers = [], Selection.numbers
    monkeypatch.setattr(Selection, "numbers", lambda self, part: freed.append(part) or numbers(self, part))
    Repair(engine_of(), best, lambda _: None).one_by_one(5.0)
    assert units_short(best) == 0
    assert faults_of(farm, best) == []
    assert {len(part.crops) for part in freed} == {1}
    assert {part.crops | part.swap for part in freed} == {frozenset({"Lettuce", "Kale", "Cress"})}


def test_what_is_in_a_place_of_a_box_makes_way_for_a_product_of_which_there_is_more():
    # Two heads of kale are all there will be; a place takes one product, and there is room for lettuce.
    rows = [growing("Kale", StageKind.RAFT, 5, 2, 1, lot="K 1")]
    crops = [quick_crop(), quick_crop("Kale", sowing=())]
    only = {"Greens": {"Lettuce": 200, "Kale": 300}}
    farm = box_farm(on=(9,), boxes=(6, 0), categories=only, crops=crops, growing=rows, lanes=2)
    best = idle_plan(farm)
    chosen = best.built.chosen
    kale = next(pick for (_, product), pick in chosen.picks.items() if product == "Kale")
    best.take(_solved_with(best, kale))
    assert units_short(best) == 4
    Repair(engine_of(), best, lambda _: None, rounds=ROUNDS[:1]).shortages(5.0)
    assert units_short(best) == 0
    assert best.values[kale.index] == 0


def _solved_with(best, pick):
    """The best answer in which something is picked."""
    model = best.built.model.clone()
    model.proto.variables[pick.index].domain[0] = 1
    return engine_of().run(model, 5.0).values
