"""The steady cycle: the usual week of the orders, all of its rules kept for ever."""

import pytest
from farms import delivery, make_farm, target
from solving import is_feasible, quick_crop

from scheduler.model.build import build
from scheduler.model.first import longer
from scheduler.model.first.cycle import cycle_frame, unsteadiness
from scheduler.model.first.longer import CycleSearch, short_of
from scheduler.model.first.start import SteadyWeek, nothing
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine


def weekly(amounts, weekday=1, **changes):
    """One delivery a week with these amounts."""
    days = [7 * week + weekday for week in range(len(amounts))]
    return [
        delivery("Lettuce", day, number, name=f"R1 {day:03}", **changes)
        for day, number in zip(days, amounts, strict=True)
    ]


def wishes(demands, period=7, days=70):
    farm = make_farm(days=days, crops=[quick_crop()], demands=demands)
    return cycle_frame(farm, season(farm), period).wishes


def test_a_weekly_order_is_one_wish_on_its_day_of_the_cycle():
    found = wishes(weekly([12] * 10))
    assert [(wish.amount, wish.first % 7, wish.first == wish.last) for wish in found] == [(12, 1, True)]


def test_a_doubled_week_and_a_week_off_do_not_count():
    assert [wish.amount for wish in wishes(weekly([12, 12, 0, 12, 12, 24, 12, 12, 12, 12]))] == [12]


def off_the_usual(demands, period=7, days=70):
    return unsteadiness(season(make_farm(days=days, crops=[quick_crop()], demands=demands)), period)


def test_what_is_off_the_usual_is_a_part_of_what_is_wanted():
    assert off_the_usual(weekly([12] * 10)) == 0
    # The last week, which the season may cut short, is left out: 12 too many and 12 too few of 108.
    assert off_the_usual(weekly([12, 12, 0, 12, 12, 24, 12, 12, 12, 5])) == 24 / 108
    assert off_the_usual([]) == 0


def test_an_order_is_steady_from_its_first_delivery_on_and_every_second_week():
    assert off_the_usual(weekly([12] * 10)[4:]) == 0
    assert off_the_usual(weekly([12] * 10)[::2], period=14) == 0
    assert off_the_usual(weekly([12] * 10)[::2], period=7) > 0


def test_orders_of_two_weekdays_and_two_customers_stay_apart_and_targets_keep_their_week():
    other = [delivery("Lettuce", 7 * week + 1, 5, name=f"R2 {week}") for week in range(10)]
    goals = [target("Lettuce", 7 * week, 30, name=f"T {week}") for week in range(10)]
    found = wishes([*weekly([12] * 10), *weekly([8] * 10, weekday=4), *other, *goals])
    assert sorted((wish.amount, wish.last - wish.first, wish.level) for wish in found) == [
        (5, 0, 1),
        (8, 0, 1),
        (12, 0, 1),
        (30, 6, 2),
    ]


def test_the_cycle_begins_whole_periods_after_the_season_and_is_long_enough_for_every_crop():
    slow = quick_crop("Basil", raft=(20, 3, 10_000), cuts=3, interval=10)
    farm = make_farm(days=70, today=3, crops=[slow], pace={"Trough": 500}, demands=[delivery("Basil", 60, 5)])
    frame = cycle_frame(farm, season(farm), 14)
    assert (frame.start - 3) % 14 == 0
    longest = 3 + 1 + 20 + 3 + 2 * (10 + 3)
    assert frame.end >= frame.start + 14 + 2 * longest


def cycle_of(farm, period=7):
    return build(cycle_frame(farm, season(farm), period), bundles_of(farm))


def needs_rafts(owned, lane_slots=10):
    """A week that wants 12 heads, on rafts of 6 that stay 4 to 6 days, so 2 rafts once a week do."""
    farm = make_farm(
        days=70, crops=[quick_crop()], rafts=owned, lane_slots=lane_slots, demands=weekly([12] * 10)
    )
    built = cycle_of(farm)
    for short in built.chosen.short.values():
        built.model.add(short == 0)
    return is_feasible(built.model)


def test_a_cycle_counts_every_standing_copy_of_a_batch():
    assert needs_rafts(2)
    assert not needs_rafts(1)
    assert needs_rafts(9, lane_slots=2)
    assert not needs_rafts(9, lane_slots=1)


def test_a_stay_longer_than_the_cycle_takes_its_slots_more_than_once():
    # Ten days on rafts at 6 heads a week: always one raft, and a second on 3 days of each week.
    slow = quick_crop(raft=(10, 0, 10_000))

    def fits(slots):
        farm = make_farm(days=70, crops=[slow], lane_slots=slots, demands=weekly([6] * 10))
        built = cycle_of(farm)
        for short in built.chosen.short.values():
            built.model.add(short == 0)
        return is_feasible(built.model)

    assert fits(2)
    assert not fits(1)


def test_growing_nothing_is_always_an_answer_of_a_cycle():
    farm = make_farm(days=70, lanes=3, crops=[quick_crop(), quick_crop("Kale")], demands=weekly([12] * 10))
    built = cycle_of(farm)
    for variable, value in zip(range(len(built.model.proto.variables)), nothing(built), strict=True):
        built.model.add(built.model.get_int_var_from_proto_index(variable) == value)
    assert is_feasible(built.model)


def test_the_steady_week_is_found_and_says_which_rows_each_crop_uses():
    cycle = searched(workers=1, deterministic=True)
    assert cycle is not None
    assert all(cycle.values[short.index] == 0 for short in cycle.built.chosen.short.values())
    assert cycle.homes["Lettuce"] <= {"Trough 1", "Trough 2"}
    assert cycle.homes["Lettuce"]


def searched(**settings):
    farm = make_farm(days=70, lanes=2, crops=[quick_crop()], demands=weekly([12] * 10))
    engine = Engine(SolveSettings(seconds=20, **settings))
    return CycleSearch(engine, season(farm), bundles_of(farm)).find(10)


def found_by(solvers, monkeypatch):
    """Let the week be solved for some seeds only, and nothing be sown for the others; return all seeds."""
    solve, seeds = SteadyWeek.solve, []

    def noted(week, engine, seconds):
        seeds.append(engine.settings.seed)
        return solve(week, engine, seconds) if seeds[-1] in solvers else nothing(week.strict)

    monkeypatch.setattr(SteadyWeek, "solve", noted)
    monkeypatch.setattr(CycleSearch, "_repair", lambda *_: None)
    return seeds


@pytest.mark.parametrize("workers", [1, 3])
def test_the_best_of_the_weeks_found_side_by_side_is_taken(workers, monkeypatch):
    seeds = found_by({workers}, monkeypatch)
    cycle = searched(workers=workers)
    assert sorted(seeds) == list(range(1, workers + 1))
    assert short_of(cycle) == 0
    assert cycle.built.chosen.frame.period == 7


def test_two_weeks_are_looked_for_where_no_week_is_good(monkeypatch):
    found_by(set(), monkeypatch)
    cycle = searched(workers=2)
    assert short_of(cycle) == 0
    assert cycle.built.chosen.frame.period == 14


def test_a_week_that_is_improved_is_not_taken_where_it_weighs_more(monkeypatch):
    def spoilt(search, engine, best, until):
        best.values = nothing(best.built)

    monkeypatch.setattr(longer, "short_of", lambda cycle: short_of(cycle) or 0.001)
    monkeypatch.setattr(CycleSearch, "_repair", spoilt)
    cycle = searched(workers=1, deterministic=True)
    assert short_of(cycle) == 0
    assert cycle.built.chosen.frame.period == 7


def test_there_is_no_cycle_where_there_was_no_time_for_any(monkeypatch):
    monkeypatch.setattr(SteadyWeek, "solve", lambda *_: None)
    assert searched(workers=2) is None
