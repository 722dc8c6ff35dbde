"""A new standing order on a farm whose limit is known by arithmetic: two rafts of six heads, one in use."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm
from solving import got, quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.model.explain import season
from scheduler.model.offer import Wanted, offer
from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.tally import demand_filled

SETTINGS = SolveSettings(seconds=60, deterministic=True)
WEDNESDAYS = (9, 16, 23)
ORDER = "New"


def base(*more, **needs):
    """Six heads every Wednesday from day 9 on, on two rafts of six; what is cut that day must be sold."""
    demands = [delivery("Lettuce", day, 6, max_age=0) for day in WEDNESDAYS]
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 0, 10_000))
    return make_farm(
        **{
            "days": 28,
            "tier_slots": 9,
            "lane_slots": 2,
            "crops": [crop],
            "demands": [*demands, *more],
            **needs,
        }
    )


def with_order(farm):
    """What makes the farm with an order every Wednesday, of an amount, from a day on."""

    def made(amount, first):
        new = [
            delivery("Lettuce", day, amount, name=f"New {day}", order=ORDER, max_age=0, price=50)
            for day in range(first, farm.calendar.days)
            if farm.calendar.weekday(day) == 2
        ]
        return replace(farm, demands=tuple(sorted([*farm.demands, *new], key=lambda d: (d.first, d.name))))

    return made


def asked(farm, amount, first=0, settings=SETTINGS):
    return offer(solved(farm), with_order(farm), Wanted(order=ORDER, amount=amount, first=first), settings)


@pytest.mark.parametrize("small", [True, False], ids=["whole season", "near by"])
def test_an_order_at_the_limit_is_taken_and_one_head_beyond_is_not(small, monkeypatch):
    if not small:
        monkeypatch.setattr(season, "SMALL_QUESTION", -1)
    farm = base()
    at_limit, beyond = asked(farm, 6), asked(farm, 7)
    assert at_limit.fits
    assert (at_limit.asked, at_limit.days, at_limit.early) == (9, WEDNESDAYS, 1)
    assert (at_limit.taken.deliveries, at_limit.taken.earns) == (3, 3 * 6 * 50)
    assert at_limit.taken.less == ()
    for found in (at_limit, beyond):
        assert (found.greatest.amount, found.greatest.beyond) == (6, 7)
        assert found.greatest.proven is small
    assert not beyond.fits
    assert beyond.taken is None


def test_what_an_order_is_proven_by_is_a_sound_plan_with_it():
    farm = base()
    plan = asked(farm, 6).taken.plan
    with_it = with_order(farm)(6, 9)
    assert fault_lines(audit(with_it, plan)) == []
    assert set(demand_filled(with_it, plan).values()) == {6}


def test_those_that_would_get_less_are_named_flexible_ones_before_firm():
    firm = asked(base(), 8)
    assert [(less.row.demand, less.units) for less in firm.displacing.less] == [
        ("Lettuce 9", 2),
        ("Lettuce 16", 2),
        ("Lettuce 23", 2),
    ]
    soft = base(
        delivery("Lettuce", 16, 4, name="Soft", firm=False, max_age=0, price=900_00),
        delivery("Lettuce", 27, 1, name="Cheap", firm=False, max_age=0, price=1),
    )
    found = asked(soft, 6)
    assert not found.fits
    assert [(less.row.demand, less.units) for less in found.displacing.less] == [("Soft", 4)]


def test_it_starts_after_the_last_day_on_which_there_is_no_room():
    farm = base(delivery("Lettuce", 16, 6, name="Feast", max_age=0))
    found = asked(farm, 3)
    assert not found.fits
    assert (found.taken.first, found.taken.deliveries) == (23, 1)
    assert fault_lines(audit(with_order(farm)(3, 23), found.taken.plan)) == []
    # from the day asked for on nothing at all fits
    assert (found.greatest.amount, found.greatest.beyond) == (0, 1)


def test_the_limit_is_the_planner_s_own():
    farm = base()
    wanted = {demand.name: demand.amount for demand in with_order(farm)(6, 9).demands}
    assert got(solved(with_order(farm)(6, 9))) == wanted
    assert got(solved(with_order(farm)(7, 9))) != {**wanted, **{f"New {day}": 7 for day in WEDNESDAYS}}


def test_an_order_from_a_day_on_is_asked_about_from_that_day():
    found = asked(base(), 6, first=10)
    assert (found.asked, found.days, found.early) == (16, (16, 23), 0)
    assert found.taken.deliveries == 2


def test_an_order_no_sowing_can_reach_has_no_days():
    farm = base(closed={Work.SOW: range(28)}, demands=[])
    found = asked(farm, 6)
    assert (found.days, found.taken, found.greatest) == ((), None, None)
    assert found.early == 4


def test_without_time_nothing_is_claimed():
    found = asked(base(), 6, settings=SolveSettings(seconds=0.0, deterministic=True))
    assert not found.fits
    assert (found.taken, found.displacing, found.greatest) == (None, None, None)


def test_without_time_it_says_that_nothing_was_tried():
    found = asked(base(), 8, settings=replace(SETTINGS, seconds=0.0))
    assert (found.tried, found.ended, found.taken) == (False, False, None)
    found = asked(base(), 8)
    assert (found.tried, found.ended) == (True, True)
