"""Every relief that is named works: its plan is sound with no more than that, and fills the delivery."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_cooler, make_crop, make_farm, target
from model.explain.planted import (
    DAYS,
    WIDE,
    cucumber,
    cut_the_day_before,
    greens,
    lettuce,
    picked,
    planted,
)
from model.explain.test_planted import explained
from model.test_optimum import any_farm
from plan.layout.amounts import NOTHING, laid
from seeds import blocks, each_of, sample
from solving import outcome, quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.places import Steps
from scheduler.model.explain import explain, fill, season
from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.exact import EDITION
from scheduler.plan.layout.demands import demand_rows
from scheduler.plan.relief import CAPACITY, Limit
from scheduler.plan.tally import demand_filled, hours

SETTINGS = SolveSettings(seconds=60, deterministic=True)
PLACES = (Limit.SHELF, Limit.ZONE, Limit.ROW, Limit.BED)


def with_grant(farm, grant):
    """The farm with what a relief gives and no more, by code of its own."""
    if grant.limit in PLACES:
        days = range(-60, farm.calendar.span + 60)
        last = max(days) if grant.last is None else grant.last
        more = {
            place.name: Steps(
                tuple(
                    (day, place.slots.on(day) + grant.amount * (grant.first <= day <= last)) for day in days
                )
            )
            for place in farm.places
            if place.name == grant.what
        }
        return replace(farm, places=tuple(replace(p, slots=more.get(p.name, p.slots)) for p in farm.places))
    if grant.limit is Limit.ORDER:
        return replace(farm, rules=replace(farm.rules, lift_out=True))
    if grant.limit is Limit.REST:
        (lane,) = (place for place in farm.places if place.name == grant.what)
        # what comes in on the day after it was empty, and later while the whole rest would last
        days = range(grant.last + 1, grant.first + lane.rest)
        cut = Steps(((days[0], grant.amount), (days[-1] + 1, 0)))
        shorter = replace(lane, rest_cut=cut)
        return replace(farm, places=tuple(shorter if place is lane else place for place in farm.places))
    if grant.limit is Limit.HOURS:
        days = range(-1, farm.calendar.span + 60)
        steps = ((day, farm.crew.on(day) + grant.most * (grant.first <= day <= grant.last)) for day in days)
        return replace(farm, crew=Steps(tuple(steps)))
    if grant.limit is Limit.COOLER:
        more = {grant.what: grant.amount}
        coolers = (replace(each, crates=each.crates + more.get(each.name, 0)) for each in farm.coolers)
        return replace(farm, coolers=tuple(coolers))
    kind = farm.equipment[grant.what]
    return replace(
        farm, equipment={**farm.equipment, kind.name: replace(kind, owned=kind.owned + grant.amount)}
    )


def checked(farm, plan, each):
    """Hold every relief of an explained delivery against the farm and the plan; return their limits."""
    for relief in each.reliefs:
        now = demand_filled(farm, relief.plan)
        assert {row.demand: row.filled for row in relief.plan.demands}[each.row.demand] == each.row.amount
        less = {one.row.demand for one in relief.less}
        moved = {each.row.demand, *less}
        assert all(now[row.demand] >= row.filled for row in plan.demands if row.demand not in moved)
        if all(grant.limit in (*CAPACITY, Limit.REST) for grant in relief.grants):
            more = farm
            for grant in relief.grants:
                more = with_grant(more, grant)
            assert fault_lines(audit(more, relief.plan)) == []
            if relief.grants:
                assert audit(farm, relief.plan)
    return [relief.limit for relief in each.reliefs]


def hold_on(seed):
    farm = any_farm(seed)
    plan = outcome(farm).plan
    assert plan is not None
    for each in explain(farm, plan, SETTINGS, 3).explained:
        checked(farm, plan, each)
        # a season this small is searched whole: there always is a cause
        assert each.cause.limits[0] is not Limit.UNKNOWN


@pytest.mark.parametrize("seed", range(2000, 2006))
def test_on_any_farm_every_relief_works(seed):
    hold_on(seed)


@pytest.mark.parametrize("seed", sample(range(2012, 2014), range(2014, 2016)))
def test_it_does_where_only_what_is_near_is_searched(seed, monkeypatch):
    monkeypatch.setattr(season, "SMALL_QUESTION", -1)
    farm = any_farm(seed)
    plan = outcome(farm).plan
    for each in explain(farm, plan, SETTINGS, 3).explained:
        checked(farm, plan, each)


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks([*range(2006, 2012), *range(2020, 2300)]))
def test_on_any_farm_every_relief_works_long(seeds):
    each_of(seeds, hold_on)


def test_an_answer_that_the_audit_refuses_is_never_named(monkeypatch):
    farm = planted(Limit.ZONE)
    plan = solved(farm)
    monkeypatch.setattr(fill, "audit", lambda *_: ["a fault"])
    (found,) = explain(farm, plan, SETTINGS).explained
    assert found.reliefs == ()
    assert found.cause.limits == (Limit.UNKNOWN,)


def test_an_answer_that_takes_from_another_delivery_is_never_named(monkeypatch):
    farm = make_farm(**{**WIDE, **lettuce(24), "lane_slots": 2})
    plan = solved(farm)
    (row,) = plan.demands
    # a plan that says it delivered more than can be: whatever is found makes it less
    other = replace(row, demand="Other", filled=10**6, state="filled")
    (found,) = explain(farm, replace(plan, demands=(row, other)), SETTINGS).explained
    assert found.reliefs == ()


def without(farm, plan, *names):
    """The plan without what some deliveries get."""
    plan = replace(plan, fills=tuple(fill for fill in plan.fills if fill.demand not in names))
    return replace(plan, demands=tuple(demand_rows(farm, plan)))


def test_where_nothing_is_lacking_a_longer_search_is_named_alone():
    farm = make_farm(**{**WIDE, **lettuce(12)})
    plan = without(farm, solved(farm), "Lettuce 7")
    (found,) = explain(farm, plan, SETTINGS).explained
    assert checked(farm, plan, found) == [Limit.SEARCH]
    assert found.cause.limits == (Limit.SEARCH,)
    assert found.reliefs[0].less == ()


def test_a_firm_delivery_that_could_have_had_what_a_flexible_one_got_is_told_so():
    demands = [
        delivery("Lettuce", 7, 12, max_age=0),
        delivery("Lettuce", 7, 12, max_age=0, name="Soft", firm=False),
    ]
    farm = make_farm(**{**WIDE, **lettuce(), "lane_slots": 2, "demands": demands})
    plan = solved(farm)
    swapped = tuple(
        replace(fill, demand="Soft" if fill.demand == "Lettuce 7" else "Lettuce 7") for fill in plan.fills
    )
    plan = replace(plan, fills=swapped)
    plan = replace(plan, demands=tuple(demand_rows(farm, plan)))
    found = explain(farm, plan, SETTINGS).explained[0]
    assert found.row.demand == "Lettuce 7"
    assert [(less.row.demand, less.units) for less in found.reliefs[0].less] == [("Soft", 12)]
    assert found.cause.limits == (Limit.SEARCH,)


def test_the_nearest_other_day_is_named():
    # one tray a day: twenty on day 7, the others on day 10 at the earliest
    demands = [
        delivery("Lettuce", 7, 20, max_age=0),
        delivery("Lettuce", 7, 20, max_age=0, name="Second", price=50),
    ]
    farm = make_farm(**{**WIDE, **lettuce(), "tier_slots": 1, "trays": 1, "demands": demands})
    (found,) = explained(farm)
    day = next(relief for relief in found.reliefs if relief.limit is Limit.DAY)
    assert (day.grants[0].amount, day.grants[0].first) == (3, 10)


def test_the_week_of_a_target_is_never_moved():
    farm = make_farm(**{**WIDE, **lettuce(), "lane_slots": 1, "demands": [target("Lettuce", 7, 40)]})
    (found,) = explained(farm)
    assert Limit.DAY not in [relief.limit for relief in found.reliefs]


def crops_of_two_kinds(kale_card=""):
    crops = [quick_crop(**DAYS, sowing=((0, 2),)), quick_crop("Kale", **DAYS)]
    return [replace(crops[0], card="lettuce_romaine"), replace(crops[1], card=kale_card)]


@pytest.mark.parametrize(
    "needs",
    [
        {"crops": crops_of_two_kinds(kale_card="lettuce_butterhead")},
        {"crops": crops_of_two_kinds(), "products": {"Mix": {"Lettuce": 1000, "Kale": 1000}}},
    ],
    ids=["of the same plant", "sold together"],
)
def test_another_crop_is_named_with_the_heads_it_would_give(needs):
    farm = make_farm(**WIDE, **needs, demands=[delivery("Lettuce", 17, 6, max_age=0)])
    plan = solved(farm)
    (found,) = explain(farm, plan, SETTINGS).explained
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.SUBSTITUTE)
    assert [(grant.what, grant.amount) for grant in relief.grants] == [("Kale", 6)]
    wider = replace(farm.products["Lettuce"], sources={"Lettuce": 1000, "Kale": 1000})
    allowed = replace(farm, products={**farm.products, "Lettuce": wider})
    assert fault_lines(audit(allowed, relief.plan)) == []


def test_a_crop_of_another_kind_is_never_named():
    crops = crops_of_two_kinds(kale_card="kale_curly")
    farm = make_farm(**WIDE, crops=crops, demands=[delivery("Lettuce", 17, 6, max_age=0)])
    (found,) = explained(farm)
    assert Limit.SUBSTITUTE not in [relief.limit for relief in found.reliefs]


@pytest.mark.parametrize(
    ("day", "stage", "sown"),
    [(5, StageKind.TRAY, -2), (8, StageKind.TRAY, -2), (5, StageKind.BOARD, -5), (2, StageKind.RAFT, -8)],
)
def test_an_earlier_sowing_is_the_latest_that_does_whatever_stage_it_is_in_on_the_first_day(day, stage, sown):
    crop = quick_crop(**DAYS)
    if (day, stage) != (5, StageKind.TRAY):
        crop = make_crop("Lettuce", **DAYS, board=(3, 0, 10_000))
    farm = make_farm(**WIDE, crops=[crop], demands=[delivery("Lettuce", day, 6, max_age=0)])
    (found,) = explained(farm)
    assert found.cause.limits == (Limit.EARLIER,)
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.EARLIER)
    (grant,) = relief.grants
    assert (grant.what, grant.first, grant.amount) == ("Lettuce", sown, 8)
    assert stage.value in {unit.item for unit in relief.plan.units if unit.enters < 0}


def test_of_several_earlier_sowings_the_latest_is_named():
    crop = quick_crop(tray=(3, 4, 10_000), raft=(4, 0, 10_000))
    farm = make_farm(**WIDE, crops=[crop], demands=[delivery("Lettuce", 5, 6, max_age=0)])
    (found,) = explained(farm)
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.EARLIER)
    assert relief.grants[0].first == -2


@pytest.mark.parametrize(("day", "sown"), [(5, -2), (2, -5)], ids=["in trays", "in the bed"])
def test_an_earlier_sowing_of_what_is_picked_in_beds_is_named_wherever_it_stands_on_the_first_day(day, sown):
    farm = make_farm(**WIDE, beds={"Bed": 9}, **picked(4, day))
    plan = solved(farm)
    (found,) = explain(farm, plan, SETTINGS).explained
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.EARLIER)
    (grant,) = relief.grants
    assert (grant.what, grant.first, grant.amount) == ("Cucumber", sown, 4)


def test_of_open_trays_as_many_are_sown_earlier_as_the_grams_take():
    needs = greens() | {"demands": [delivery("Cress", 3, 400, max_age=0)]}
    (found,) = explained(make_farm(**WIDE, **needs))
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.EARLIER)
    assert [(grant.first, grant.amount) for grant in relief.grants] == [(-2, 4)]


def test_positions_are_needed_as_long_as_plants_stand_in_them_beside_what_grows_there():
    # four of six positions are taken through day 13; five plants more stand in 5 to 9 through day 20
    farm = make_farm(
        **WIDE,
        crops=[cucumber()],
        beds={"Bed": 6},
        growing=[growing("Cucumber", StageKind.BED, -3, 4, 4)],
        demands=[delivery("Cucumber", 8, 9, max_age=0)],
    )
    plan = solved(farm)
    (found,) = explain(farm, plan, SETTINGS).explained
    assert Limit.BED in checked(farm, plan, found)
    (grant,) = next(relief for relief in found.reliefs if relief.limit is Limit.BED).grants
    assert (grant.what, grant.amount, grant.last) == ("Bed", 3, 20)


def test_what_one_row_can_take_is_not_asked_of_two():
    # six rafts for two rows of one: either row takes all four that are too many
    farm = make_farm(**{**WIDE, **lettuce(36), "lanes": 2, "lane_slots": 1})
    (found,) = explained(farm)
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.ROW)
    assert [grant.amount for grant in relief.grants] == [4]


def test_what_one_cooler_can_take_is_not_asked_of_two():
    rooms = [make_cooler(1), make_cooler(1, name="Back room")]
    farm = make_farm(**{**WIDE, **cut_the_day_before(40), "coolers": rooms})
    plan = solved(farm)
    (found,) = explain(farm, plan, SETTINGS).explained
    assert checked(farm, plan, found)[0] is Limit.COOLER
    assert [(grant.what, grant.amount) for grant in found.reliefs[0].grants] == [("Cold room", 2)]


def test_a_cooler_too_warm_for_a_crop_is_not_asked_for_more_room():
    rooms = [make_cooler(9, temperature=9_00)]
    (found,) = explained(make_farm(**{**WIDE, **cut_the_day_before(), "coolers": rooms}))
    assert Limit.COOLER not in [relief.limit for relief in found.reliefs]


def test_another_day_of_picking_is_named_too():
    farm = make_farm(**WIDE, beds={"Bed": 9}, closed={Work.HARVEST: [9]}, **picked(4, 9))
    (found,) = explained(farm)
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.HARVEST)
    assert {fill.cut_day for fill in relief.plan.fills} == {9}


def test_no_more_hours_are_named_than_spreading_the_work_takes():
    # four hours of cutting on two days with eighty minutes each: forty more a day, in quarters of an hour
    needs = {"days": 20, "tier_slots": 9, "lane_slots": 9, "crew": 80_00}
    crop = quick_crop(tray=(3, 1, 10_000), raft=(4, 1, 10_000), minutes={"cut": 10_00})
    farm = make_farm(**needs, crops=[crop], demands=[delivery("Lettuce", 8, 24, max_age=1)])
    (found,) = explained(farm)
    (grant,) = next(relief for relief in found.reliefs if relief.limit is Limit.HOURS).grants
    assert (grant.first, grant.last, grant.amount) == (7, 8, 80_00)
    assert 40_00 <= grant.most <= 45_00


def test_a_full_row_is_named_where_only_what_is_near_is_searched_and_plants_go_nowhere(monkeypatch):
    monkeypatch.setattr(season, "SMALL_QUESTION", -1)
    kale = quick_crop("Kale", **{**DAYS, "raft": (9, 0, 10_000)})
    farm = make_farm(
        **{**WIDE, "days": 50, "lane_slots": 1},
        crops=[quick_crop(**DAYS), kale],
        growing=[
            growing("Lettuce", StageKind.TRAY, -2, 20, 1),
            growing("Kale", StageKind.RAFT, -1, 6, 1, lot="K"),
        ],
        demands=[
            delivery("Lettuce", 5, 6, max_age=0),
            delivery("Kale", 8, 6, max_age=0, price=500),
            delivery("Lettuce", 40, 24, max_age=0, price=500),
        ],
        costs={"discarded_plant": 100},
    )
    plan = solved(farm)
    # The seedlings have no raft to go to: they are paid for on whichever day they are thrown away.
    assert {lot.lot: lot.discarded for lot in plan.lots}["G"] == 20
    (found,) = explain(farm, plan, SETTINGS, 1).explained
    assert found.row.day == 40
    assert checked(farm, plan, found)[0] is Limit.ROW


def test_another_day_of_cutting_is_named_where_none_lies_near_enough():
    crop = quick_crop(tray=(3, 3, 10_000), raft=(4, 4, 10_000))
    farm = make_farm(
        **WIDE,
        work_days={Work.HARVEST: {0}},
        crops=[crop],
        demands=[delivery("Lettuce", 10, 6, max_age=1)],
    )
    (found,) = explained(farm)
    assert found.cause.limits == (Limit.HARVEST,)
    relief = next(relief for relief in found.reliefs if relief.limit is Limit.HARVEST)
    assert relief.grants[0].first == 10
    assert {cut.day for cut in relief.plan.cuts} == {10}


def test_a_day_that_no_batch_can_be_cut_on_is_told_as_such():
    # sown on Mondays only, and cut exactly a week later
    farm = make_farm(
        **WIDE,
        crops=[quick_crop(**DAYS)],
        work_days={Work.SOW: {0}},
        demands=[delivery("Lettuce", 9, 6, max_age=0)],
    )
    (found,) = explained(farm)
    assert found.cause.limits == (Limit.TIMING,)
    assert [relief.grants[0].amount for relief in found.reliefs if relief.limit is Limit.DAY] == [-2]


def test_the_cost_is_that_of_the_whole_plan_and_unknown_without_prices():
    needs = {**WIDE, **lettuce(minutes={"cut": 1_00}), "crew": 10_00}
    (free,) = explained(make_farm(**needs))
    assert [relief.cost for relief in free.reliefs] == [None]
    (priced,) = explained(make_farm(**needs, costs={"hour": 60_00, "raft": 10}))
    (relief,) = priced.reliefs
    # fourteen minutes more at 60 an hour, two rafts more at 0.10
    assert relief.cost == 14_00 + 2 * 10
    worked = sum(row.minutes for row in hours(make_farm(**needs), relief.plan))
    assert worked == 24_00


def test_the_most_valuable_come_first_and_the_rest_are_counted():
    demands = [
        delivery("Lettuce", 7, 24, max_age=0, name="Cheap", price=10),
        delivery("Lettuce", 14, 24, max_age=0, name="Dear", price=500),
        delivery("Lettuce", 3, 24, max_age=0, name="Early", price=900),
    ]
    farm = make_farm(**{**WIDE, **lettuce(), "lane_slots": 2, "demands": demands})
    found = explain(farm, solved(farm), SETTINGS, 1)
    assert [(each.row.demand, each.value) for each in found.explained] == [("Dear", 12 * 500)]
    assert found.left == 2
    rest = explain(farm, solved(farm), SETTINGS, 3)
    assert [each.row.demand for each in rest.explained] == ["Dear", "Cheap", "Early"]


def test_without_time_every_delivery_is_listed_as_not_looked_at():
    farm = planted(Limit.ROW)
    (found,) = explain(farm, solved(farm), SolveSettings(seconds=0.0, deterministic=True)).explained
    assert (found.reliefs, found.ended) == ((), False)


def test_what_grows_on_the_farm_stays_part_of_the_plan():
    farm = make_farm(
        **{**WIDE, "lane_slots": 2},
        crops=[quick_crop(**DAYS)],
        growing=[growing("Lettuce", StageKind.RAFT, -2, 6, 1)],
        demands=[delivery("Lettuce", 2, 6, max_age=0), delivery("Lettuce", 7, 18, max_age=0)],
    )
    plan = solved(farm)
    (found,) = explain(farm, plan, SETTINGS).explained
    assert Limit.ROW in checked(farm, plan, found)


@pytest.mark.parametrize(("amount", "limit"), [(6, Limit.SEARCH), (7, Limit.EARLIER)])
def test_plants_that_are_thrown_away_fill_what_they_are_enough_for_and_nothing_is_to_be_added(amount, limit):
    farm = make_farm(
        growing=[growing("Lettuce", StageKind.RAFT, -14, 6, 1)], demands=[delivery("Lettuce", 1, amount)]
    )
    plan = laid(farm, more=NOTHING, edition=EDITION)
    assert [row.state for row in plan.demands] == ["short"]
    (found,) = explain(farm, plan, SETTINGS).explained
    assert [relief.limit for relief in found.reliefs] == [limit]
