"""The steady week laid over a season: copied wherever the season has room, and every limit kept."""

import threading
from dataclasses import replace

import pytest
from farms import EVER, delivery, growing, make_farm, target
from model.steady import any_steady_farm, faults_of, laid_over, started, units_short
from seeds import sample
from solving import quick_crop

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.places import Steps
from scheduler.model.first.convoys import convoys, stand_ins
from scheduler.model.first.laying import laid
from scheduler.model.solver.engine import Engine, Stopped

DAYS = 63
BOARDED = quick_crop(board=(3, 1, 10_000))


def weekly(product="Lettuce", amount=12, first=14, last=DAYS):
    return [delivery(product, day, amount, max_age=1) for day in range(first, last, 7)]


def farm_of(**needs):
    """A farm of nine weeks; ``crew`` may be steps."""
    crew = needs.pop("crew", None)
    made = make_farm(**({"days": DAYS, "crops": [quick_crop()], "demands": weekly(), "lanes": 2} | needs))
    return replace(made, crew=crew)


def short_wishes(start):
    chosen = start.best.built.chosen
    return [chosen.frame.wishes[i] for i, short in chosen.short.items() if start.best.values[short.index]]


def short_days(start):
    """Days of the deliveries that are not filled."""
    return {wish.first for wish in short_wishes(start)}


def test_a_week_that_serves_everything_serves_every_week_of_the_season():
    start = laid_over(farm_of())
    assert units_short(start.best) == 0
    assert start.best.parts.holds(start.best.values)


AWAY = Steps(((EVER, 60_00), (18, 0), (29, 60_00)))


@pytest.mark.parametrize(
    ("needs", "must", "may"),
    [
        # Cut on the day or the day before, 4 to 6 days after they are set out, 7 to 10 after they are sown.
        ({"tier_slots": ((EVER, 8), (26, 0), (33, 8))}, {35}, {35, 42}),
        ({"zone_slots": ((EVER, 8), (26, 0), (33, 8)), "crops": [BOARDED]}, {35}, {35, 42}),
        ({"lane_slots": ((EVER, 6), (25, 0), (28, 6))}, {28}, {28}),
        ({"closed": {Work.SOW: range(18, 29)}}, {35}, {28, 35}),
        ({"closed": {Work.HARVEST: range(27, 29)}}, {28}, {28}),
        ({"crew": AWAY}, {35}, {28, 35}),
    ],
    ids=["shelf", "zone", "rows", "sowing", "harvest", "crew"],
)
def test_what_is_closed_for_a_time_costs_the_weeks_it_meets_and_no_other(needs, must, may):
    start = laid_over(farm_of(**({"crops": [quick_crop(minutes={"sow": 10})]} | needs)))
    assert start.best.parts.holds(start.best.values)
    assert must <= short_days(start) <= may


@pytest.mark.parametrize(
    "needs",
    [
        {"tier_slots": ((EVER, 8), (20, 0), (41, 8))},
        {"lane_slots": ((EVER, 6), (20, 0), (41, 6))},
        {"lane_slots": ((EVER, 0), (40, 6))},
        {"crew": Steps(((EVER, 60_00), (20, 0), (41, 60_00)))},
    ],
    ids=["shelf", "rows", "rows that open late", "crew"],
)
def test_a_middle_of_the_season_in_which_nothing_grows_is_no_pattern_for_the_rest(needs):
    start = laid_over(farm_of(crops=[quick_crop(minutes={"sow": 10})], **needs))
    assert 56 not in short_days(start)


def test_a_place_that_is_hardly_ever_open_is_not_part_of_the_week():
    # 15 days of 63 are less than a quarter, 16 are more.
    for days, used in ((15, False), (16, True)):
        made = farm_of(lanes=1, lane_slots=((EVER, 6), (days, 0)))
        assert any(units_standing(started(made).cycle)) == used


def test_a_crop_out_of_its_window_is_replaced_by_one_that_fills_all_it_fills():
    summer = quick_crop("Summer", sowing=((0, 30),))
    winter = quick_crop("Winter", sowing=((31, 99),))
    heads = dict.fromkeys(("Head", "Summer", "Winter"), {"Summer": 1000, "Winter": 1000})
    made = farm_of(crops=[summer, winter], products=heads, demands=weekly("Head"))
    start = laid_over(made)
    assert units_short(start.best) == 0
    grown = {
        batch.crop for convoy in convoys(start.cycle, start.best.built.chosen) for batch in convoy.plants
    }
    assert grown == {"Summer", "Winter"}


SLOW = range(35, 130)
"""Days at half the pace."""


def slower(farm):
    """The farm with half the pace in its trough on ``SLOW``; the week in its middle is before that."""
    return replace(farm, pace=replace(farm.pace, read={"Trough": dict.fromkeys(SLOW, 500)}))


def laid_rafts(start):
    """Crop -> days rafts enter and leave, of all that was laid."""
    chosen, found = start.best.built.chosen, {}
    for queue, days in chosen.queues.items():
        for day, rafts in days.items():
            if start.best.values[rafts.index]:
                found.setdefault(queue.raft_class.crop, []).append((queue.entry, day))
    return {crop: sorted(rafts) for crop, rafts in found.items()}


def test_where_growth_is_slower_the_same_days_are_cut_and_rafts_enter_sooner():
    start = laid_over(slower(farm_of()))
    assert units_short(start.best) == 0
    stood = {leaves - enters for enters, leaves in laid_rafts(start)["Lettuce"] if enters in SLOW}
    assert stood
    assert min(stood) >= 8
    assert start.best.parts.holds(start.best.values)


def test_of_two_crops_in_one_row_the_quicker_waits_where_growth_is_slower():
    # Quick enters after Slow by a day and is cut a day later; at half the pace Slow needs 12 days, Quick 8.
    crops = [quick_crop("Slow", raft=(6, 4, 10_000)), quick_crop("Quick", raft=(4, 4, 10_000))]
    demands = [*weekly("Slow", 6), *weekly("Quick", 6, first=15)]
    start = laid_over(slower(farm_of(crops=crops, demands=demands, lanes=1)))
    rafts = sorted(pair for rafts in laid_rafts(start).values() for pair in rafts)
    assert [leaves for _, leaves in rafts] == sorted(leaves for _, leaves in rafts)
    assert {crop for crop, pairs in laid_rafts(start).items() if pairs[-1][0] in SLOW} == {"Slow", "Quick"}
    assert start.best.parts.holds(start.best.values)


def test_a_crop_cut_again_has_its_next_cuts_when_they_are_ready():
    basil = quick_crop("Basil", cuts=3, interval=7, raft=(4, 6, 10_000))
    # One shelf slot raises too few plants to cut each but once.
    made = farm_of(crops=[basil], demands=weekly("Basil", 24, last=210), tier_slots=1, lanes=4, days=210)
    slow = range(133, 300)
    start = laid_over(replace(made, pace=replace(made.pace, read={"Trough": dict.fromkeys(slow, 500)})))
    cuts = {
        (step.number, step.day - (batch.day if step.after is None else step.after))
        for (batch, step), plants in start.best.built.chosen.cut_plants.items()
        if start.best.values[plants.index] and batch.day in slow
    }
    assert {number for number, _ in cuts} >= {1, 2}
    assert min(days for number, days in cuts if number == 1) >= 8
    assert min(days for number, days in cuts if number == 2) >= 14
    assert start.best.parts.holds(start.best.values)


def test_a_middle_of_the_season_in_which_a_crop_may_not_be_sown_is_no_pattern_for_the_rest():
    # The only crop may not be sown from day 21 to 40; nothing else fills the product.
    for closed in ({"sowing": ((0, 20), (41, 99))}, {"too_hot": ((21, 40),)}):
        start = laid_over(farm_of(crops=[replace(quick_crop(), **closed)]))
        assert start.best.parts.holds(start.best.values)
        assert 21 not in short_days(start)
        assert 56 not in short_days(start)
        assert 42 in short_days(start)


def test_only_a_crop_for_every_product_on_the_same_units_and_rows_stands_in():
    crops = [
        quick_crop("Summer", raft=(6, 2, 10_000)),
        quick_crop("Near", raft=(7, 2, 10_000)),
        quick_crop("Far", raft=(9, 2, 10_000)),
        quick_crop("Boarded", board=(3, 1, 10_000)),
        quick_crop("Elsewhere", lanes=["Trough 2"]),
        quick_crop("Other"),
    ]
    every = {crop.name: 1000 for crop in crops if crop.name != "Other"}
    products = {"Head": every, "Summer": every, "Other": {"Other": 1000, "Summer": 1000} | every}
    made = farm_of(crops=crops, products=products, demands=weekly("Head"))
    assert stand_ins(made, "Summer") == ["Near", "Far"]
    alone = farm_of(crops=crops, products=products | {"Own": {"Summer": 1000}}, demands=weekly("Head"))
    assert stand_ins(alone, "Summer") == []


def test_what_grows_is_thrown_away_to_begin_with_and_the_laid_week_still_fits():
    rows = [growing("Lettuce", StageKind.RAFT, -2, 6, 1)]
    start = laid_over(farm_of(growing=rows, lane_slots=2, lanes=1))
    assert start.best.parts.holds(start.best.values)
    assert units_short(start.best) == 0


def test_a_season_shorter_than_the_week_is_laid_as_well():
    rows = [growing("Lettuce", StageKind.RAFT, -2, 6, 1)]
    start = laid_over(farm_of(days=6, demands=weekly(first=5, last=6), growing=rows))
    assert start.best.parts.holds(start.best.values)


def test_targets_alone_are_grown_as_well():
    made = farm_of(demands=[target("Lettuce", day, 12) for day in range(7, 56, 7)])
    start = laid_over(made)
    assert units_short(start.best) <= 12


def test_a_crop_wanted_only_once_is_in_no_week_and_leaves_the_others_as_they_are():
    start = laid_over(
        farm_of(crops=[quick_crop(), quick_crop("Kale")], demands=[*weekly(), *weekly("Kale", 6, 14, 20)])
    )
    assert [wish.product for wish in short_wishes(start)] == ["Kale"]


@pytest.mark.parametrize("seed", sample((1, 2, 3, 13, 21, 26, 35, 52, 53, 55), (16, 18, 20, 32, 40, 57)))
def test_a_laid_week_keeps_every_limit_of_any_farm_and_the_audit_agrees(seed):
    farm = any_steady_farm(seed)
    start = started(farm, seconds=0.1)
    values = laid(start.engine, start.best, start.cycle)
    assert start.best.parts.holds(values)
    before = units_short(start.best)
    start.best.take(values)
    assert units_short(start.best) <= before
    assert faults_of(farm, start.best) == []


def test_laying_gives_up_as_soon_as_the_search_is_to_end():
    start = started(farm_of())
    stop = threading.Event()
    stop.set()
    with pytest.raises(Stopped):
        laid(Engine(start.engine.settings, stop), start.best, start.cycle)


def units_standing(cycle):
    """Amounts of rafts of a cycle."""
    return [cycle.values[v.index] for days in cycle.built.chosen.queues.values() for v in days.values()]
