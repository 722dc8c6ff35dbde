"""Farms side by side in numbers."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

import pytest
from compared import FARM, SECONDS, case, comparison, farm
from farms import delivery, make_crop, make_farm
from solving import solved

from scheduler.farm.crops import StageKind
from scheduler.farm.places import PlaceKind
from scheduler.outputs.compare.sentences import sentences
from scheduler.plan.views.compared import compared
from scheduler.plan.views.money import money
from scheduler.plan.views.opened import opened
from scheduler.plan.views.remarks import Empty, NothingShort, remarks
from scheduler.plan.worth import cost


@pytest.fixture(scope="module")
def found():
    return comparison()


def test_what_is_filled_and_short_is_what_the_plans_say(found):
    for each, totals in zip(found.cases, found.totals, strict=True):
        rows = each.plan.demands
        assert totals.filled == sum(row.filled for row in rows)
        assert totals.missing == sum(row.amount - row.filled for row in rows)
        assert totals.heads == sum(row.heads for row in each.plan.cuts)
        assert totals.asked["firm deliveries"].complete == sum(row.state == "filled" for row in rows)
    base, more = found.totals
    assert more.filled > base.filled


def test_money_of_the_weeks_is_units_at_their_price_less_seed_units_and_hours(found):
    totals, of = found.totals[0], found.cases[0]
    assert totals.brought == 100 * totals.filled
    rafts = sum(unit.item == "raft" for unit in of.plan.units)
    hours = Fraction(sum(row.minutes for row in of.plan.hours) * 1600, 6000)
    assert totals.paid == rafts * 20 + hours
    assert totals.brought == sum(week.brought for week in totals.weeks)


def test_nobody_pays_for_slots_waste_and_lots():
    of = farm(costs={"raft_slot_day": 10, "lot": 100})
    plan = solved(of, SECONDS)
    assert cost(of, plan) > 0
    assert sum(money(of, plan).paid.values()) == 0


def test_use_of_each_place_is_told_for_every_farm(found):
    lines = {line.name: line for line in found.places}
    assert [(use.peak.used, use.peak.there) for use in lines["Trough"].uses] == [(2, 2), (2, 2)]
    assert all(0 < use.mean <= 1 for use in lines["Trough"].uses)


def test_a_place_that_only_one_farm_has_has_no_use_in_the_other():
    base, more = farm(), farm()
    extra = replace(more.places[-1], name="East 1", belongs_to="East")
    crops = {name: replace(crop, lanes=crop.lanes | {"East 1"}) for name, crop in more.crops.items()}
    more = replace(more, places=(*more.places, extra), crops=crops)
    line = {line.name: line for line in compared([case("a", base), case("b", more)]).places}["East"]
    assert line.uses[0] is None
    assert line.uses[1] is not None
    assert line.uses[1].peak.there == 2


def test_water_is_that_of_rafts_and_boards_and_plants_stand_as_the_plan_has_them(found):
    of = replace(farm(), raft_areas={"Trough": Fraction(3, 4)})
    (totals,) = compared([case("a", of)]).totals
    assert totals.water.there == Fraction(3, 4) * (2 + 8)
    assert 0 < totals.water.used < Fraction(3, 4) * 2
    standing = found.totals[0].standing
    assert standing[StageKind.RAFT].most == 12
    assert 0 < standing[StageKind.RAFT].mean < 12


def test_new_slots_are_empty_when_they_open_and_fill_after_it(found):
    assert found.totals[0].opened == ()
    (place,) = found.totals[1].opened
    assert (place.slots, place.opens, place.unit) == (2, 14, "raft")
    assert place.first_in >= 14
    assert place.first_cut > place.first_in
    assert place.weeks[:2] == (None, None)


def test_slots_a_board_zone_gives_back_count_as_new_raft_slots():
    base = make_farm(days=28, lane_slots=4)
    plan = solved(base, SECONDS)
    wider = replace(
        base,
        places=tuple(
            replace(place, slots=replace(place.slots, steps=((0, 4), (14, 6))))
            if place.kind is PlaceKind.LANE
            else place
            for place in base.places
        ),
    )
    (place,) = opened(base, wider, plan)
    assert (place.name, place.slots, place.opens, place.first_in) == ("Trough", 2, 14, None)


def test_a_delivery_short_in_one_farm_is_told_for_all(found):
    lines = {line.demand: line for line in found.shorts}
    assert all(any(line.missing) for line in lines.values())
    assert all(line.reasons[0] for line in lines.values() if line.missing[0])


def test_the_change_pays_from_the_week_the_plan_says_it_does(found):
    base, more = found.totals
    paid = more.paid_back
    assert base.paid_back is None
    gains = [b.left - a.left for a, b in zip(base.weeks, more.weeks, strict=True)]
    running = [0, 0, 70, 70, 70, 70]
    assert paid.gained[-1] == sum(gains) - sum(running)
    sums = list(accumulate(gain - cost for gain, cost in zip(gains, running, strict=True)))
    assert paid.gained == tuple(sums)
    assert sums[paid.earns_from] > 0 >= sums[paid.earns_from - 1]
    assert paid.earns_from > 2, "the row opens in the third week and is empty then"


def test_farms_of_different_days_are_not_compared():
    with pytest.raises(ValueError, match="different days"):
        compared([case("a", farm()), case("b", farm(days=35))])


def with_boards(**needs):
    """A farm whose plants stand on boards, of which it has place for one."""
    crop = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000), per_board=6)
    return make_farm(**{**FARM, "crops": [crop], "zone_slots": 1, "lane_slots": 1, "days": 35, **needs})


def test_a_row_more_without_boards_to_feed_it_brings_nothing_and_it_says_what_holds_it_back():
    orders = [delivery("Lettuce", day, 18, name=f"D{day}") for day in (17, 24, 31)]
    found = compared(
        [
            case("as it is", with_boards(demands=orders)),
            case("rows", with_boards(demands=orders, lanes=3)),
            case("boards", with_boards(demands=orders, lanes=3, zone_slots=3)),
        ]
    )
    filled = [totals.filled for totals in found.totals]
    assert filled[0] == filled[1] < filled[2]
    told = [remark for remark in remarks(found) if remark.case == 1]
    (empty,) = told
    assert isinstance(empty, Empty)
    assert empty.place == "Trough"
    assert [line.name for line in empty.tight] == ["Trough boards"]
    cases = [held_to(case, "proven") for case in found.cases]
    told = sentences(compared(cases))[0][-1]
    assert re.search(
        r"units are short: what holds it back is Trough boards \(full in \d of \d weeks\)\.$", told
    )
    cases[1] = held_to(cases[1], "best found")
    unsure = sentences(compared(cases))[0][-1]
    assert unsure == told.removesuffix(".") + ", or the search, which was not at its end."


def held_to(case, status):
    """Return a case whose shortages have a status."""
    return replace(
        case, plan=replace(case.plan, goals=tuple(replace(g, status=status) for g in case.plan.goals))
    )


def test_where_nothing_is_short_more_room_brings_nothing():
    few = [delivery("Lettuce", day, 2, name=f"D{day}") for day in (10, 17)]
    found = compared([case("as it is", farm(demands=few)), case("more", farm(demands=few, lanes=2))])
    assert remarks(found) == (NothingShort(case=1),)
