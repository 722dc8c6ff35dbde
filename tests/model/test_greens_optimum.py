"""On tiny farms with crops cut in their trays, the proven shortage is what a second planner finds."""

import random

import pytest
from farms import growing, make_crop, make_farm, make_greens
from model.test_bound import no_better
from model.test_optimum import agrees, any_demands, any_work_days
from seeds import blocks, each_of, sample
from solving import outcome

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model.answers.read_back import values_of
from scheduler.model.answers.solution import decided
from scheduler.model.build import build
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.part import Parts
from scheduler.plan.layout import lay_out

SAMPLE = range(20)
LONG = [*range(20, 40), *range(100, 500)]
DAYS = 16
RULES = ("share_trays", "share_boards", "share_rafts", "lift_out", "all_or_nothing")


def any_greens(draw, name):
    cuts, weighed = draw.choice((1, 1, 2)), draw.random() < 0.6
    return make_greens(
        name,
        days=draw.randint(2, 5),
        window=draw.randint(0, 2) if cuts == 1 else draw.randint(0, 1),
        grams=draw.choice((100, 130)) if weighed else 0,
        survival=draw.choice((10_000, 10_000, 9_000)),
        cuts=cuts,
        interval=3 if cuts == 2 else 0,
        saleable=draw.choice((10_000, 10_000, 9_500)),
        sowing=draw.choice((((0, 30),), ((0, 30),), ((0, 2), (5, 9)))),
        minutes={"sow": 8_00, "cut": 5_00 if weighed else 50},
    )


def any_farm(seed):
    """A shelf of few slots for which greens and the seedlings of a lettuce compete."""
    draw = random.Random(seed)
    greens = [any_greens(draw, name) for name in ["Cress", "Pea"][: draw.randint(1, 2)]]
    lettuce = make_crop("Lettuce", tray=(3, 1, 9_000), board=None, raft=(3, 2, 10_000))
    crops = [*greens, lettuce]
    units = {crop.name: 1000 * draw.choice((40, 100)) if crop.grams else 1000 for crop in crops}
    rows = []
    if draw.random() < 0.4:
        plants = draw.randint(1, 2) if greens[0].grams else draw.randint(1, 20)
        again = {"cuts_done": 1, "last_cut": 0} if greens[0].cuts == 2 and draw.random() < 0.5 else {}
        since, held = -draw.randint(0, 3), min(plants, 2)
        rows = [growing(greens[0].name, StageKind.TRAY, since, plants, held, **again)]
    names = [crop.name for crop in crops]
    demands = any_demands(draw, names, (3, DAYS - 2), 6, draw.randint(2, 4))
    return make_farm(
        days=DAYS,
        crops=crops,
        products={name: {name: needed} for name, needed in units.items()},
        demands=demands,
        growing=rows,
        work_days=any_work_days(draw),
        closed={work: draw.sample(range(DAYS), draw.choice((0, 0, 2))) for work in Work},
        tier_slots=draw.randint(2, 3),
        lane_slots=2,
        trays=draw.randint(2, 4),
        open_trays=draw.randint(2, 4),
        rafts=3,
        wash_days=0 if rows else draw.choice((0, 0, 1)),
        crew=draw.choice((None, None, 30_00)),
        rules={name: draw.random() < 0.4 for name in RULES} | {"lift_minutes": 0},
    )


@pytest.mark.parametrize("seed", sample(range(60, 68), range(68, 75)))
def test_a_plan_is_read_back_whole_and_is_no_better_than_its_bounds(seed):
    farm = any_farm(seed)
    plan = outcome(farm, seconds=10).plan
    built = build(season(farm), bundles_of(farm))
    values = values_of(built, plan)
    assert Parts(built.model).holds(values)
    assert lay_out(farm, decided(built.chosen, values), plan.goals, plan.made).demands == plan.demands
    no_better(farm)


@pytest.mark.parametrize("seed", SAMPLE)
def test_the_proven_shortage_is_what_another_model_and_solver_find(seed):
    agrees(any_farm(seed))


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(LONG))
def test_the_proven_shortage_is_what_another_model_and_solver_find_long(seeds):
    each_of(seeds, lambda seed: agrees(any_farm(seed)))
