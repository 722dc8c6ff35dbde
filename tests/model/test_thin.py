"""Of batches that differ only by days of waiting, the quickest are looked at."""

from collections import Counter
from dataclasses import replace

import pytest
from farms import EVER, delivery, growing, make_farm
from model.steady import any_steady_farm
from solving import quick_crop

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.growth.pace import Pace
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.model.build import list_options
from scheduler.model.options.frame import season
from scheduler.model.options.options import BoardOut

BOARDED = quick_crop(tray=(3, 2, 10_000), board=(3, 2, 10_000))


def farm_of(crop, **needs):
    return make_farm(**({"days": 24, "crops": [crop], "demands": [delivery("Lettuce", 20, 6)]} | needs))


def thin_options(farm, sources=1):
    return list_options(replace(season(farm), sources=sources))


def tray_of(option):
    return option.source.source if isinstance(option.source, BoardOut) else option.source


def is_new(option):
    return option.source is not None and tray_of(option) is not None and tray_of(option).growing < 0


def sowings(options, day):
    """Sowing days of the new batches set on rafts on a day."""
    return sorted(
        tray_of(option).sown for option in options.raft_sets if is_new(option) and option.day == day
    )


def test_of_all_sowings_for_a_raft_day_the_latest_is_kept():
    made = farm_of(quick_crop(tray=(3, 4, 10_000)))
    assert sowings(list_options(season(made)), 15) == [8, 9, 10, 11, 12]
    assert sowings(thin_options(made), 15) == [12]
    assert sowings(thin_options(made, 2), 15) == [11, 12]
    assert sowings(thin_options(made, 9), 15) == [8, 9, 10, 11, 12]


def test_of_two_ways_of_as_many_days_the_one_with_fewer_days_on_boards_is_kept():
    # Sown on Mondays only: from day 7 to rafts on day 15 there are two days to spare.
    made = farm_of(BOARDED, work_days={Work.SOW: {0}})
    both = {o.source.board_day for o in list_options(season(made)).raft_sets if o.day == 15}
    assert both == {10, 11, 12}
    assert {o.source.board_day for o in thin_options(made).raft_sets if o.day == 15} == {12}


def test_without_a_number_of_sources_nothing_is_left_out():
    made = farm_of(BOARDED)
    frame = season(made)
    assert frame.sources == 0
    assert len(list_options(frame).raft_sets) > len(thin_options(made).raft_sets)


@pytest.mark.parametrize(
    ("stage", "since", "crop"),
    [(StageKind.RAFT, -2, BOARDED), (StageKind.BOARD, -2, BOARDED), (StageKind.TRAY, -2, BOARDED)],
)
def test_everything_that_grows_is_kept(stage, since, crop):
    made = farm_of(
        crop, growing=[growing("Lettuce", stage, since, 6, 1)], demands=[delivery("Lettuce", 8, 6, max_age=4)]
    )

    def grown(options):
        return [
            (option.day, option.cuttings)
            for option in options.raft_sets
            if not is_new(option)
        ]  # fmt: skip

    assert grown(list_options(season(made)))
    assert grown(thin_options(made)) == grown(list_options(season(made)))


def with_second_shelf(farm, pace):
    shelf = Place(name="Slow 1", belongs_to="Slow", kind=PlaceKind.TIER, slots=Steps(((EVER, 4),)))
    months = {"Slow": dict.fromkeys(range(1, 13), pace)}
    return replace(
        farm,
        places=(*farm.places, shelf),
        pace=Pace(first_day=farm.calendar.first_day, months=months),
    )


def test_a_slower_shelf_is_kept_beside_a_quicker_one():
    made = with_second_shelf(farm_of(quick_crop(tray=(3, 2, 10_000))), 600)
    found = {(tray_of(o).pool, tray_of(o).sown) for o in thin_options(made).raft_sets if o.day == 15}
    assert found == {("Shelf 1", 12), ("Slow 1", 10)}


@pytest.mark.parametrize(("closes", "kept"), [(13, (10, 13)), (12, (9, 12))])
def test_a_batch_that_has_no_slot_at_all_gives_way_to_one_that_waits_elsewhere(closes, kept):
    # Rafts on day 16: three days in trays and three on boards, or longer on boards if the shelf closes.
    made = farm_of(BOARDED, tier_slots=((EVER, 8), (closes, 0)))
    (source,) = (option.source for option in thin_options(made).raft_sets if option.day == 16)
    assert (source.source.sown, source.board_day) == kept


def test_a_sowing_day_without_a_crew_gives_way_to_one_with():
    made = farm_of(quick_crop(tray=(3, 2, 10_000)), crew=60_00)
    assert sowings(thin_options(made), 15) == [12]
    away = replace(made, crew=Steps(((EVER, 60_00), (12, 0), (13, 60_00))))
    assert sowings(thin_options(away), 15) == [11]


@pytest.mark.parametrize("seed", range(8))
def test_every_raft_day_keeps_one_batch_and_what_it_comes_from(seed):
    farm = any_steady_farm(seed)
    every, kept = list_options(season(farm)), thin_options(farm)
    trays, boards = set(kept.tray_outs), set(kept.board_outs)
    assert {o.source for o in kept.raft_sets if isinstance(o.source, BoardOut)} == boards
    assert {tray_of(o) for o in kept.raft_sets if tray_of(o) is not None} == trays
    ways = {(option.crop, option.pool, option.day) for option in filter(is_new, every.raft_sets)}
    assert Counter((o.crop, o.pool, o.day) for o in filter(is_new, kept.raft_sets)) == Counter(ways)
