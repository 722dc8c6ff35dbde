"""Planning on paper: what is left stands for the next, boxes take what needs least room, orders are tried."""

import random
from dataclasses import replace
from types import SimpleNamespace

import pytest
from boxed import box_farm, share, slot, wish
from farms import EVER, delivery, make_cooler, make_farm, make_greens, make_mix
from model.any_season import any_season
from model.rules.test_coolers import COLD
from model.test_beds_by_hand import TOMATO
from model.test_greens_optimum import any_farm as any_greens_farm
from model.test_many_rows import contents, first_plan, short_in
from model.test_substitutes import instead
from seeds import sample
from solving import outcome, quick_crop

import scheduler.model.solve as solve
from scheduler.farm.calendar import Work
from scheduler.farm.orders.boxes import DISLIKE, FAVOURITE
from scheduler.farm.places import Steps
from scheduler.model.build import build
from scheduler.model.first.beds_by_hand import plant_by_hand
from scheduler.model.first.on_paper import OnPaper
from scheduler.model.first.papers import Papers
from scheduler.model.first.sharing import in_order
from scheduler.model.first.start import idle
from scheduler.model.first.which_start import is_far_better, suits_paper
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.filling import written
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.solver.engine import Engine, Stopped

STANDS = quick_crop(raft=(4, 6, 10_000))


def on_paper(farm, seconds=1.0):
    """Return the built model, the answer that stands on the paper and keeps every rule, and the papers."""
    built = written(season(farm), bundles_of(farm), None)
    engine, parts = Engine(SolveSettings(seconds=9, deterministic=True)), Parts(built.model)
    best = Incumbent(built, parts, idle(engine, built, parts, 1))
    plant_by_hand(engine, best)
    papers = Papers(engine, best)
    papers.begin()
    papers.go_on(seconds)
    values = papers.values()
    assert values is not None
    assert parts.holds(values)
    return built, values


def test_what_is_left_on_a_raft_stands_for_a_later_delivery():
    orders = [delivery("Lettuce", day, 3, max_age=0) for day in (10, 14)]
    farm = make_farm(days=16, crops=[STANDS], lane_slots=1, demands=orders)
    built, values = on_paper(farm)
    assert set(short_in(built, values).values()) == {0}
    assert sum(values[v.index] for v in built.chosen.raft_plants.values()) == 6


def test_a_raft_stands_no_longer_than_it_may():
    orders = [delivery("Lettuce", day, 3, max_age=0) for day in (10, 11 + STANDS.finish.wait)]
    farm = make_farm(days=18, crops=[STANDS], lane_slots=1, demands=orders)
    built, values = on_paper(farm)
    assert sum(values[v.index] for v in built.chosen.raft_plants.values()) == 12


def test_a_raft_does_not_stand_where_others_behind_it_have_to_leave():
    orders = [delivery("Lettuce", day, 3, max_age=0) for day in (10, 14)]
    orders.append(delivery("Cress", 12, 6, max_age=0, priority=1))
    crops = [STANDS, quick_crop("Cress", raft=(4, 0, 10_000))]
    farm = make_farm(days=16, crops=crops, lane_slots=2, rafts=2, demands=orders)
    found = short_in(*on_paper(farm))
    assert found["Cress 12"] == 0


def test_what_is_left_of_a_second_cut_serves_another_delivery():
    crop = quick_crop(cuts=2, interval=5, raft=(4, 0, 10_000))
    orders = [delivery("Lettuce", day, 3, max_age=0) for day in (10, 15)]
    orders.append(delivery("Lettuce", 15, 3, max_age=0, name="Lettuce too"))
    farm = make_farm(days=18, crops=[crop], lane_slots=1, demands=orders)
    built, values = on_paper(farm)
    assert set(short_in(built, values).values()) == {0}
    assert sum(values[v.index] for v in built.chosen.raft_plants.values()) == 6


def test_a_substitute_is_given_where_what_was_ordered_has_no_room():
    order = delivery("Lettuce", 10, 9, max_age=0, substitutes=instead("Kale"))
    crops = [quick_crop("Lettuce", lanes=["Trough 1"]), quick_crop("Kale", lanes=["Trough 2"])]
    farm = make_farm(days=14, crops=crops, lanes=2, lane_slots=1, demands=[order])
    built, values = on_paper(farm)
    assert short_in(built, values) == {"Lettuce 10": 0}
    given = {crop: values[v.index] for (_, crop), v in built.chosen.units.items()}
    assert given == {"Lettuce": 6, "Kale": 3}


def test_a_delivery_that_wants_all_or_nothing_is_not_given_a_part():
    order = delivery("Lettuce", 10, 20, max_age=0)
    farm = make_farm(days=14, crops=[quick_crop()], lane_slots=2, demands=[order, delivery("Lettuce", 12, 6)],
                     rules={"all_or_nothing": True})  # fmt: skip
    assert short_in(*on_paper(farm)) == {"Lettuce 10": 20, "Lettuce 12": 0}


# --- mixes, and what is cut in its trays ---

SALAD = make_mix("Salad", 150, ("Lettuce", 60, 60, 60, 90), ("Kale", 40, 40, 40, 30))
CRESS = {"days": 20, "tier_slots": 20, "products": {"Cress": {"Cress": 100_000}}}


def salad_farm(lettuce=(), kale=(), **needs):
    crops = [quick_crop("Lettuce", **dict(lettuce)), quick_crop("Kale", **dict(kale))]
    order = delivery("Salad", 10, 6, max_age=0)
    return make_farm(
        **({"days": 14, "crops": crops, "mixes": [SALAD], "lanes": 2, "demands": [order]} | needs)
    )


def planted(built, values):
    """Return crop -> plants set on rafts."""
    found = dict.fromkeys(built.chosen.farm.crops, 0)
    for option, plants in built.chosen.raft_plants.items():
        found[option.crop] += values[plants.index]
    return found


def test_a_mix_gets_all_its_parts():
    built, values = on_paper(salad_farm())
    assert short_in(built, values) == {"Salad 10": 0}
    assert planted(built, values) == {"Lettuce": 6, "Kale": 12}


def test_a_mix_of_which_a_part_has_too_little_room_takes_no_more_of_the_others():
    farm = salad_farm({"lanes": ["Trough 1"], "per_raft": 1}, {"lanes": ["Trough 2"]}, lane_slots=6)
    rooms = {"Trough 1": 6, "Trough 2": 1}
    farm = replace(farm, places=tuple(with_slots(place, rooms) for place in farm.places))
    built, values = on_paper(farm)
    assert short_in(built, values) == {"Salad 10": 3}
    assert planted(built, values) == {"Lettuce": 3, "Kale": 6}


def with_slots(place, rooms):
    return replace(place, slots=Steps(((EVER, rooms.get(place.name, place.slots.on(0))),)))


def test_a_mix_that_lacks_a_part_has_nothing_grown_for_it():
    built, values = on_paper(salad_farm(kale={"sowing": ()}))
    assert short_in(built, values) == {"Salad 10": 6}
    assert planted(built, values) == {"Lettuce": 0, "Kale": 0}


def test_a_mix_goes_into_its_place_of_a_box():
    prices = {"Salad bag": {"Salad": 400}, "Greens": {"Cress": 100}}
    own = share(slot("Bag", category="Salad bag"), slot("Green"))
    crops = [quick_crop(name) for name in ("Lettuce", "Kale", "Cress")]
    farm = box_farm(own, on=(9,), boxes=(4, 2), crops=crops, mixes=[SALAD], lanes=3, categories=prices)
    assert set(short_in(*on_paper(farm)).values()) == {0}


@pytest.mark.parametrize(("trays", "short"), [(10, 0), (9, 1)])
def test_greens_are_sown_as_far_as_there_are_trays(trays, short):
    cress = make_greens("Cress", days=6, window=1, grams=200, saleable=9_000)
    orders = [delivery("Cress", day, 8, max_age=0) for day in (8, 9)]
    orders.append(delivery("Cress", 18, 8, max_age=0))
    farm = make_farm(crops=[cress], demands=orders, open_trays=trays, **CRESS)
    assert sum(short_in(*on_paper(farm)).values()) == short


def test_trays_that_grow_again_serve_a_later_delivery():
    cress = make_greens("Cress", days=6, window=1, grams=200, cuts=2, interval=5)
    orders = [delivery("Cress", day, 4, max_age=0) for day in (8, 13)]
    built, values = on_paper(make_farm(crops=[cress], demands=orders, open_trays=2, **CRESS))
    assert set(short_in(built, values).values()) == {0}
    assert sum(values[rows.index] for rows in built.chosen.tray_rows.values()) == 2


# --- beside beds, and with coolers ---


def given_by_crop(built, values):
    found = {}
    for (_, crop), units in built.chosen.units.items():
        found[crop] = found.get(crop, 0) + values[units.index]
    return found


def test_what_beds_give_is_not_given_again():
    order = delivery("Fruit or leaf", 12, 9, max_age=0)
    either = {"Fruit or leaf": {"Tomato": 1000, "Lettuce": 1000}}
    farm = make_farm(days=40, crops=[TOMATO, quick_crop()], beds={"Bed": 6}, products=either, demands=[order])
    built, values = on_paper(farm)
    assert short_in(built, values) == {"Fruit or leaf 12": 0}
    assert given_by_crop(built, values) == {"Tomato": 6, "Lettuce": 3}


def test_a_box_that_beds_fill_gets_nothing_more():
    needs = {
        "days": 40,
        "crops": [TOMATO, quick_crop()],
        "beds": {"Bed": 6},
        "demands": [delivery("Tomato", 12, 1)],
    }
    either = {"Greens": {"Tomato": 100, "Lettuce": 300}}
    built, values = on_paper(box_farm(share(slot()), on=(12,), boxes=(5, 0), categories=either, **needs))
    assert set(short_in(built, values).values()) == {0}
    assert given_by_crop(built, values) == {"Tomato": 6, "Lettuce": 0}


@pytest.mark.parametrize(("crates", "short"), [(4, 0), (3, 10)])
def test_what_waits_for_its_delivery_fits_into_the_cooler(crates, short):
    farm = make_farm(
        days=20,
        crops=[quick_crop(crating=COLD)],
        demands=[delivery("Lettuce", 12, 40, max_age=1)],
        closed={Work.HARVEST: {12}},
        coolers=[make_cooler(crates)],
        lanes=4,
    )
    for plan in (on_paper, first_plan):
        assert short_in(*plan(farm)) == {"Lettuce 12": short}


# --- boxes ---


def test_a_place_takes_what_needs_least_room_and_favourites_before_it():
    crops = [quick_crop("Lettuce", per_raft=2), quick_crop("Kale", per_raft=3), quick_crop("Cress")]
    for liked, product in (((), "Cress"), ((("Kale", FAVOURITE),), "Kale"), ((("Cress", DISLIKE),), "Kale")):
        own = share(slot(), wishes=tuple(wish(name, kind) for name, kind in liked))
        farm = box_farm(own, on=(9,), boxes=(5, 0), crops=crops, lanes=3)
        assert contents(*on_paper(farm)) == {0: [product]}


def test_a_place_takes_what_fills_most_of_it_where_nothing_fills_it():
    crops = [
        quick_crop("Lettuce", per_raft=4),
        quick_crop("Kale", per_raft=3),
        quick_crop("Cress", sowing=()),
    ]
    farm = box_farm(share(slot()), on=(9,), boxes=(5, 0), crops=crops, lanes=1, lane_slots=1)
    built, values = on_paper(farm)
    assert contents(built, values) == {0: ["Lettuce"]}
    assert sum(short_in(built, values).values()) == 1


def test_boxes_on_paper_keep_the_rules_of_boxes_one_after_another():
    own = share(slot("First"), slot("Second"), most_running=1, max_age=0)
    farm = box_farm(own, on=range(9, 44, 7), days=49, boxes=(5, 0), lanes=4)
    built, values = on_paper(farm)
    held = contents(built, values)
    assert all(set(held[number]).isdisjoint(held[number + 1]) for number in range(4))


# --- again and again ---


def test_what_is_heavy_and_late_is_let_ahead():
    orders = [delivery("Lettuce", 10, 6, max_age=0, priority=3)]
    orders.append(delivery("Cress", 12, 6, max_age=0, priority=1))
    crops = [quick_crop("Lettuce"), quick_crop("Cress", raft=(6, 0, 10_000))]
    farm = make_farm(days=14, crops=crops, lane_slots=1, demands=orders)
    assert short_in(*on_paper(farm)) == {"Lettuce 10": 6, "Cress 12": 0}


@pytest.mark.parametrize("seed", sample(range(8), range(8, 12)))
def test_what_is_rubbed_out_leaves_the_paper_as_it_was(seed):
    farm = any_season(seed)
    built = build(season(farm), bundles_of(farm))
    chosen, nothing = built.chosen, [0] * len(built.model.proto.variables)
    paper, draw = OnPaper(chosen, lambda: None, nothing), random.Random(seed)
    for _ in range(6):
        order = in_order(chosen)
        draw.shuffle(order)
        fresh = OnPaper(chosen, lambda: None, nothing)
        assert dict(paper.plan(order)) == dict(fresh.plan(order))


@pytest.mark.parametrize("seed", sample(range(12), range(12, 30)))
def test_greens_on_paper_keep_every_rule(seed):
    built, values = on_paper(any_greens_farm(seed), seconds=0.2)
    assert len(values) == len(built.model.proto.variables)


@pytest.mark.parametrize("seed", sample(range(600, 612), range(612, 630)))
def test_plans_on_paper_keep_every_rule(seed):
    built, values = on_paper(any_season(seed), seconds=0.5)
    assert len(values) == len(built.model.proto.variables)


def test_once_asked_to_stop_nothing_is_planned_on_paper():
    farm = make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6)])
    built = build(season(farm), bundles_of(farm))
    best = Incumbent(
        built, Parts(built.model), idle(Engine(SolveSettings(seconds=9)), built, Parts(built.model), 1)
    )
    with pytest.raises(Stopped):
        Papers(Engine(SolveSettings(seconds=0.0)), best).begin()


# --- whole plans ---


@pytest.fixture
def large(monkeypatch):
    """Every book is too large to be solved whole."""
    monkeypatch.setattr(solve, "SMALL_BOOK", 0)


def phases(farm, seconds=0.03):
    told = []
    settings = SolveSettings(seconds=seconds, deterministic=True)
    plan_farm(farm, settings, lambda progress: told.append(progress.phase))
    return told


def test_a_farm_with_boxes_goes_on_from_the_paper(large):
    farm = box_farm(
        share(slot("First"), slot("Second")), on=(9, 16), days=21, boxes=(9, 0), lanes=2, lane_slots=3
    )
    assert "finding a steady week" not in phases(farm)
    outcome(farm, seconds=0.05)


def weekly(product, units=6):
    return [delivery(product, day, units, max_age=0) for day in (10, 17, 24)]


def test_a_farm_whose_firm_orders_are_of_mixes_goes_on_from_the_paper_if_there_is_time(large, monkeypatch):
    told = phases(salad_farm(days=28, demands=weekly("Salad")), seconds=1)
    assert "planning on paper" in told
    assert "finding a steady week" not in told
    monkeypatch.setattr(solve, "SOON", 0)
    told = phases(salad_farm(days=28, demands=weekly("Salad")), seconds=1)
    assert "planning on paper" not in told
    assert "finding a steady week" in told


@pytest.mark.parametrize(("mixed", "on_paper"), [(1, False), (3, True)])
def test_a_few_bags_of_a_mix_are_no_reason_to_plan_on_paper(large, mixed, on_paper):
    demands = [*weekly("Lettuce", 28), *weekly("Salad", mixed)]
    assert ("planning on paper" in phases(salad_farm(days=28, demands=demands), seconds=1)) is on_paper


@pytest.mark.parametrize(
    ("amounts", "part_short", "tried"),
    [
        ((12, 12, 12, 12, 12), 0.5, False),
        ((1, 24, 3, 18, 12), 0.12, False),
        ((1, 24, 3, 18, 12), 0.13, True),
        ((1, 24, 3, 18, 12), None, True),
    ],
)
def test_weeks_that_are_unlike_are_planned_on_paper_unless_most_is_filled(amounts, part_short, tried):
    demands = [delivery("Lettuce", 10 + 7 * n, amount, max_age=0) for n, amount in enumerate(amounts)]
    first = None if part_short is None else SimpleNamespace(part_short=lambda _: part_short)
    assert suits_paper(season(make_farm(days=42, crops=[quick_crop()], demands=demands)), first) is tried


@pytest.mark.parametrize(
    ("units", "score", "product", "goes_on"),
    [(10, 8, "Lettuce", True), (11, 8, "Lettuce", False), (10, 9, "Lettuce", False), (11, 8, "Salad", True)],
)
def test_a_paper_is_gone_on_from_where_a_plan_by_date_is_far_worse_or_leaves_much_out(
    units, score, product, goes_on
):
    built = SimpleNamespace(
        chosen=SimpleNamespace(frame=season(salad_farm(demands=[delivery(product, 10, 6)])))
    )
    paper = SimpleNamespace(score=(score, 0, 0), units_short=lambda _: units, built=built)
    first = SimpleNamespace(score=(9, 0, 0), units_short=lambda _: 20, built=built)
    assert is_far_better(paper, first) is goes_on
