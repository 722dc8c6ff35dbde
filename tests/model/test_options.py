"""Options: every batch that could be is listed, and none that breaks days, work or windows."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from solving import got, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.model.build import list_options
from scheduler.model.options.frame import season
from scheduler.model.options.options import MOST_CUT_DAYS, BoardOut

some = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
DAYS = 26


@st.composite
def farms(draw, cuts=1):
    """A farm of one or two crops with any days, work days, closures, pace and sowing window."""
    days = lambda: draw(st.integers(2, 5))  # noqa: E731
    wait = lambda: draw(st.integers(0, 3))  # noqa: E731
    crops = [
        make_crop(
            name,
            tray=(days(), wait(), 10_000),
            board=draw(st.sampled_from((None, (days(), wait(), 10_000)))),
            raft=(days(), wait(), 10_000),
            cuts=cuts,
            interval=0 if cuts == 1 else draw(st.integers(2, 4)),
            sowing=draw(st.sampled_from((((0, 99),), ((0, 3), (6, 8)), ((4, 4),)))),
        )
        for name in ("Lettuce", "Kale")[: draw(st.integers(1, 2))]
    ]
    weekdays = st.sets(st.integers(0, 6), min_size=1)
    return make_farm(
        days=DAYS,
        today=draw(st.integers(0, 3)),
        crops=crops,
        work_days={work: draw(weekdays) for work in Work},
        closed={work: draw(st.sets(st.integers(0, DAYS), max_size=4)) for work in Work},
        pace={place: draw(st.sampled_from((500, 800, 1000, 1300))) for place in ("Shelf", "Trough")},
        demands=[
            delivery(crop.name, day, 5, max_age=draw(st.integers(0, 2)))
            for crop in crops
            for day in draw(st.sets(st.integers(6, DAYS - 1), min_size=1, max_size=4))
        ],
    )


def may_end(farm, place, start, stage, day, work):
    """Say whether a stage that began on ``start`` may end on ``day``, counted day by day."""
    grown = sum(farm.pace.on(place, each) for each in range(start, day))
    good = stage.days * 1000 <= grown <= (stage.days + stage.wait) * 1000
    return good and day >= farm.today and farm.calendar.is_open(work, day)


def days_after(farm, place, start, stage, work):
    return [day for day in range(start, DAYS + 2) if may_end(farm, place, start, stage, day, work)]


def is_wanted(farm, crop, day):
    return any(
        wish.product == crop and wish.first - wish.max_age <= day <= wish.last for wish in farm.demands
    )


def every_path(farm):
    """Every (crop, sown, board day, raft day, cut days) there could be, by looking at all days."""
    found = set()
    for name, crop in farm.crops.items():
        work = Work.TRANSPLANT if crop.board else Work.RAFT
        for sown in range(farm.today, DAYS + 2):
            if not (farm.calendar.is_open(Work.SOW, sown) and crop.may_sow(sown)):
                continue
            for out in days_after(farm, "Shelf", sown, crop.tray, work):
                onward = [out]
                if crop.board:
                    onward = days_after(farm, "Trough", out, crop.board, Work.RAFT)
                for day in onward:
                    cuts = days_after(farm, "Trough", day, crop.finish, Work.HARVEST)
                    cuts = tuple(each for each in cuts if is_wanted(farm, name, each))
                    if cuts:
                        found.add((name, sown, out if crop.board else None, day, cuts))
    return found


def listed(options):
    found = []
    for option in options.raft_sets:
        board_day, tray = None, option.source
        if isinstance(option.source, BoardOut):
            board_day, tray = option.source.board_day, option.source.source
        cuts = tuple(sorted(step.day for step in option.cuttings))
        found.append((option.crop, tray.sown, board_day, option.day, cuts))
    return found


@some
@given(farms())
def test_the_batches_listed_are_exactly_those_the_days_allow(farm):
    options = listed(list_options(season(farm)))
    assert len(options) == len(set(options))
    assert set(options) == every_path(farm)


@some
@given(farms())
def test_every_way_out_of_trays_and_boards_leads_to_a_raft(farm):
    options = list_options(season(farm))
    sources = {option.source for option in options.raft_sets}
    assert set(options.board_outs) == {source for source in sources if isinstance(source, BoardOut)}
    boarded = {out.source for out in options.board_outs}
    assert set(options.tray_outs) == boarded | (sources - set(options.board_outs))


@some
@given(farms(cuts=3))
def test_each_cut_follows_the_one_before_within_its_window_on_a_harvest_day(farm):
    for option in list_options(season(farm)).raft_sets:
        crop = farm.crops[option.crop]
        days = {0: {option.day}}
        assert any(is_wanted(farm, option.crop, step.day) for step in option.cuttings)
        for step in sorted(option.cuttings, key=lambda step: step.number):
            assert farm.calendar.is_open(Work.HARVEST, step.day)
            assert (step.after is None) == (step.number == 1)
            since = option.day if step.after is None else step.after
            assert since in days[step.number - 1]
            need = crop.finish.days if step.number == 1 else crop.cut_interval
            grown = farm.pace.grown("Trough", since, step.day)
            assert need * 1000 <= grown <= (need + crop.finish.wait) * 1000
            days.setdefault(step.number, set()).add(step.day)
        assert max(days) <= crop.cuts


@some
@given(farms(cuts=2))
def test_the_earliest_days_of_a_repeated_crop_s_first_cut_are_listed(farm):
    for option in list_options(season(farm)).raft_sets:
        crop = farm.crops[option.crop]
        window = days_after(farm, "Trough", option.day, crop.finish, Work.HARVEST)
        firsts = sorted({step.day for step in option.cuttings if step.number == 1})
        assert firsts == window[:MOST_CUT_DAYS]


def growing_days(farm, index=0):
    options = list_options(season(farm))
    outs = [*options.tray_outs, *options.board_outs]
    moves = sorted(out.day for out in outs if out.growing == index)
    cuts = [
        sorted({step.day for step in option.cuttings})
        for option in options.raft_sets
        if option.growing == index and option.source is None
    ]
    return moves, cuts


def test_what_grows_already_goes_on_from_the_day_it_came_into_its_stage():
    crop = make_crop("Lettuce", tray=(6, 2, 10_000), board=None, raft=(5, 2, 10_000))
    demands = [delivery("Lettuce", day, 9, max_age=1) for day in range(2, 20, 2)]
    tray = make_farm(
        days=20, crops=[crop], demands=demands, growing=[growing("Lettuce", StageKind.TRAY, -4, 9, 1)]
    )
    assert growing_days(tray) == ([2, 3, 4], [])
    raft = make_farm(
        days=20, crops=[crop], demands=demands, growing=[growing("Lettuce", StageKind.RAFT, -3, 9, 2)]
    )
    assert growing_days(raft) == ([], [[2, 3, 4]])


def test_a_raft_cut_before_is_cut_again_an_interval_after_its_last_cut():
    crop = make_crop("Basil", board=None, raft=(5, 1, 10_000), cuts=4, interval=6)
    row = growing("Basil", StageKind.RAFT, -20, 9, 2, cuts_done=2, last_cut=-3)
    farm = make_farm(days=20, crops=[crop], demands=[delivery("Basil", 3, 9)], growing=[row])
    option = next(o for o in list_options(season(farm)).raft_sets if o.source is None)
    steps = {(step.number, step.day, step.after) for step in option.cuttings}
    assert steps == {(3, 3, None), (3, 4, None), (4, 9, 3), (4, 10, 3), (4, 10, 4), (4, 11, 4)}


def test_a_growing_raft_that_is_cut_again_and_again_is_cut_on_any_day_a_delivery_can_use():
    crop = make_crop("Chard", board=None, raft=(10, 14, 10_000), cuts=2, interval=7, sowing=((99, 99),))
    row = growing("Chard", StageKind.RAFT, -10, 6, 1)
    farm = make_farm(
        days=30,
        crops=[crop],
        demands=[delivery("Chard", day, 6, max_age=0) for day in (2, 4, 7, 9, 20)],
        growing=[row],
    )
    option = next(o for o in list_options(season(farm)).raft_sets if o.source is None)
    firsts = {step.day for step in option.cuttings if step.number == 1}
    assert {2, 4, 7, 9} <= firsts
    assert (2, 20, 9) in {(step.number, step.day, step.after) for step in option.cuttings}
    # Cut on an earlier day than the ninth it would be too old for the twentieth.
    assert got(solved(replace(farm, demands=farm.demands[3:]))) == {"Chard 9": 6, "Chard 20": 6}


def test_what_is_overdue_may_be_moved_or_cut_within_a_week():
    crop = make_crop("Lettuce", tray=(6, 2, 10_000), board=None, raft=(5, 2, 10_000))
    demands = [delivery("Lettuce", day, 9, max_age=1) for day in range(1, 22, 2)]
    trays = make_farm(
        days=22,
        crops=[crop],
        demands=demands,
        work_days={Work.RAFT: {0, 3}},
        growing=[growing("Lettuce", StageKind.TRAY, -9, 9, 1)],
    )
    assert growing_days(trays) == ([0, 3, 7], [])
    rafts = make_farm(
        days=22,
        crops=[crop],
        demands=demands,
        today=2,
        growing=[growing("Lettuce", StageKind.RAFT, -6, 9, 2)],
    )
    assert growing_days(rafts) == ([], [list(range(2, 10))])


def test_a_pause_of_work_leaves_out_its_days_while_growth_goes_on():
    crop = make_crop("Lettuce", tray=(4, 2, 10_000), board=None, raft=(4, 3, 10_000))
    closed = {Work.HARVEST: range(9, 12), Work.RAFT: [5]}
    farm = make_farm(days=20, crops=[crop], closed=closed, demands=[delivery("Lettuce", 12, 5, max_age=4)])
    assert {
        (sown, day, cuts) for _, sown, _, day, cuts in listed(list_options(season(farm))) if sown == 0
    } == {
        (0, 4, (8,)),
        (0, 6, (12,)),
    }


def test_rows_of_one_trough_grow_alike_and_are_listed_once():
    crops = [make_crop("Lettuce", board=None, lanes=["Trough 2"]), make_crop("Kale", board=None)]
    farm = make_farm(
        days=40, lanes=2, crops=crops, demands=[delivery("Lettuce", 30, 5), delivery("Kale", 30, 5)]
    )
    assert {option.pool for option in list_options(season(farm)).raft_sets} == {"Trough 1"}


@pytest.mark.parametrize(
    ("cuts", "wait", "whole"), [(1, 9, True), (2, 1, True), (2, 2, False), (3, 1, False)]
)
def test_options_tell_whether_days_of_repeat_cuts_were_left_out(cuts, wait, whole):
    crop = make_crop("Basil", board=None, cuts=cuts, interval=7 if cuts > 1 else 0, raft=(14, wait, 10_000))
    farm = make_farm(crops=[crop], demands=[delivery("Basil", day, 6) for day in range(30, 50)])
    assert list_options(season(farm)).whole is whole
