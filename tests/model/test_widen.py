"""More rows for crops that stay short: the plan itself does not change by it."""

import pytest
from farms import delivery, make_farm
from model.steady import any_steady_farm, built_of, faults_of, laid_over, units_short
from solving import quick_crop

from scheduler.model.first.start import nothing
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.search.widen import carried_over, wider_homes
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine

ONE, ALL = frozenset({"Trough 1"}), frozenset({"Trough 1", "Trough 2", "Trough 3"})
BOTH = ("Lettuce", "Kale")


def farm_of(**needs):
    crops = [quick_crop(name) for name in BOTH]
    demands = [delivery("Lettuce", 10, 6), delivery("Kale", 10, 6), delivery("Kale", 12, 6)]
    return make_farm(**({"days": 16, "lanes": 3, "crops": crops, "demands": demands} | needs))


def chosen_of(farm, homes):
    return built_of(season(farm), bundles_of(farm), homes).chosen


def wishes_of(chosen, *products):
    return {index for index, wish in enumerate(chosen.frame.wishes) if wish.product in products}


def test_only_the_crops_of_short_wishes_get_more_rows():
    homes = {"Lettuce": ONE, "Kale": ONE}
    chosen = chosen_of(farm_of(), homes)
    assert wider_homes(chosen, homes, wishes_of(chosen, "Kale")) == {"Lettuce": ONE, "Kale": ALL}
    assert wider_homes(chosen, homes, wishes_of(chosen, *BOTH)) == {"Lettuce": ALL, "Kale": ALL}


def test_nothing_is_wider_where_all_short_crops_may_stand_everywhere():
    homes = {"Lettuce": ONE, "Kale": ALL}
    chosen = chosen_of(farm_of(), homes)
    assert wider_homes(chosen, homes, wishes_of(chosen, "Kale")) is None
    assert wider_homes(chosen, homes, set()) is None
    assert wider_homes(chosen, {"Lettuce": ONE}, wishes_of(chosen, "Kale")) is None


@pytest.mark.parametrize(
    ("now", "wider"),
    [(ONE, frozenset({"Trough 1", "Trough 2"})), (frozenset({"Trough 1", "Trough 2"}), None)],
)
def test_a_crop_gets_no_row_the_book_refuses_it(now, wider):
    crops = [quick_crop("Lettuce"), quick_crop("Kale", lanes=["Trough 1", "Trough 2"])]
    homes = {"Lettuce": ONE, "Kale": now}
    chosen = chosen_of(farm_of(crops=crops), homes)
    found = wider_homes(chosen, homes, wishes_of(chosen, "Kale"))
    assert found == (None if wider is None else {"Lettuce": ONE, "Kale": wider})


def test_where_rafts_are_shared_the_crop_in_whose_name_they_stand_gets_them():
    homes = {"Lettuce": ONE, "Kale": ONE}
    chosen = chosen_of(farm_of(rules={"share_rafts": True}), homes)
    wider = wider_homes(chosen, homes, wishes_of(chosen, "Lettuce"))
    assert wider is not None
    again = chosen_of(farm_of(rules={"share_rafts": True}), wider)
    assert again.bundles_of["Lettuce"] == ALL
    assert wider_homes(again, wider, wishes_of(again, "Lettuce")) is None


@pytest.mark.parametrize("seed", [1, 2, 3, 21, 26, 32, 35, 52, 53, 57])
def test_a_plan_carried_over_scores_the_same_and_keeps_every_limit_of_the_wider_model(seed):
    farm = any_steady_farm(seed)
    best = laid_over(farm, seconds=0.1).best
    built = built_of(best.built.chosen.frame, best.built.chosen.bundles)
    assert len(built.chosen.queues) >= len(best.built.chosen.queues)
    wider = Incumbent(built, Parts(built.model), carried_over(best, built))
    assert wider.parts.holds(wider.values)
    assert wider.score == best.score
    assert units_short(wider) == units_short(best)
    assert faults_of(farm, wider) == []


def test_more_rows_let_a_crop_fill_what_its_own_could_not():
    made = farm_of(lane_slots=1, demands=[delivery("Lettuce", 10, 18, max_age=0)], crops=[quick_crop()])
    engine = Engine(SolveSettings(seconds=10, deterministic=True))
    homes = {"Lettuce": ONE}
    built = built_of(season(made), bundles_of(made), homes)
    best = Incumbent(built, Parts(built.model), engine.run(built.model, 5, nothing(built)).values)
    assert units_short(best) == 12
    wider = built_of(season(made), bundles_of(made), wider_homes(built.chosen, homes, {0}))
    found = Incumbent(wider, Parts(wider.model), carried_over(best, wider))
    assert units_short(found) == 12
    assert found.take(engine.run(wider.model, 5, found.values).values)
    assert units_short(found) == 0
