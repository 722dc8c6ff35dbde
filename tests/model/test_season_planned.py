"""Plans through the seasons: slow half months and refused heat, with varieties that take over."""

from dataclasses import replace

from farms import delivery, make_farm
from solving import got, outcome, quick_crop, solved

from scheduler.farm.growth.climate import Climate, Temperatures
from scheduler.farm.growth.heat import without_hot_sowings
from scheduler.farm.growth.pace import Pace
from scheduler.model.build import list_options
from scheduler.model.options.frame import season

APRIL = Temperatures(months={"Trough": {4: 2600}})


def heat_farm(*demands, heat="refuse", **needs):
    """Spring bears 24 C, Summer 30; either fills Head. April, days 30 to 59, has 26 C."""
    crops = [
        replace(quick_crop("Spring", code="SPR"), heat_limit=2400),
        replace(quick_crop("Summer", code="SUM"), heat_limit=3000),
    ]
    farm = make_farm(
        **(
            {
                "days": 70,
                "crops": crops,
                "rules": {"heat": heat},
                "products": {"Head": {"Spring": 1000, "Summer": 1000}},
            }
            | needs
        ),
        demands=demands,
    )
    return without_hot_sowings(replace(farm, climate=Climate(air=APRIL)))


def sown(plan, farm):
    return {(lot.crop, "hot" if lot.sown in hot_days(farm) else "mild") for lot in plan.lots}


def hot_days(farm):
    ((first, last),) = farm.crops["Spring"].too_hot
    return range(first, last + 1)


def test_a_crop_is_sown_up_to_the_heat_and_not_into_it():
    farm = heat_farm(delivery("Spring", 31, 6), delivery("Spring", 33, 6))
    assert hot_days(farm)[0] == 24
    found = outcome(farm)
    assert found.plan is not None
    # a sowing of day 23 has its first cut on day 30 and its last good day on day 32
    assert got(found.plan) == {"Spring 31": 6, "Spring 33": 6}
    assert max(lot.sown for lot in found.plan.lots) == 23
    late = heat_farm(delivery("Spring", 36, 6))
    plan = solved(late)
    assert got(plan) == {"Spring 36": 0}
    assert plan.demands[0].reason == "every sowing for it would stand in heat, which the book refuses"
    warned = heat_farm(delivery("Spring", 36, 6), heat="warn")
    assert got(solved(warned)) == {"Spring 36": 6}


def test_a_variety_that_bears_more_heat_takes_over_in_the_same_product():
    farm = heat_farm(*(delivery("Head", day, 6) for day in (10, 40, 50)))
    plan = solved(farm, seconds=0.2)
    assert set(got(plan).values()) == {6}
    assert ("Spring", "hot") not in sown(plan, farm)
    assert ("Summer", "hot") in sown(plan, farm)


def test_a_shortage_out_of_the_sowing_windows_says_so_and_one_with_a_way_does_not():
    closed = quick_crop("Lettuce", sowing=((0, 5), (30, 40)))
    orders = [delivery("Lettuce", 20, 6), delivery("Lettuce", 14, 600)]
    plan = solved(make_farm(days=40, crops=[closed], demands=orders))
    reasons = {row.day: row.reason for row in plan.demands}
    assert reasons[20] == "no crop for it may be sown on the days from which it would come"
    assert reasons[14].startswith("rows of Trough full")


def test_the_weeks_looked_at_for_a_reason_follow_the_pace():
    # at half pace the raft days of a delivery of day 40 begin on day 32, 3 April
    halves = {"Trough": (500,) * 24}
    orders = [delivery("Lettuce", 40, 600, max_age=0)]
    farm = make_farm(days=41, crops=[quick_crop()], demands=orders, lanes=1)
    farm = replace(farm, pace=Pace(first_day=farm.calendar.first_day, months={}, halves=halves))
    plan = solved(farm)
    assert plan.demands[0].reason == "rows of Trough full 3 to 10 Apr 2026"


def test_no_option_is_listed_for_a_refused_sowing_and_every_other_one_is():
    demands = [delivery("Spring", day, 6) for day in range(8, 68)]
    free, refused = (
        {out.sown for out in list_options(season(heat_farm(*demands, heat=heat))).tray_outs}
        for heat in ("warn", "refuse")
    )
    assert refused == free - set(hot_days(heat_farm()))
    assert refused < free


def test_half_months_of_slow_growth_are_planned_as_the_audit_counts_them():
    # 0.5 up to the 15th of March (day 13), 1 from then on
    halves = {"Trough": (1000,) * 4 + (500,) + (1000,) * 19}
    farm = make_farm(days=30, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6, max_age=0)])
    farm = replace(farm, pace=Pace(first_day=farm.calendar.first_day, months={}, halves=halves))
    assert got(solved(farm)) == {"Lettuce 10": 0}
    again = replace(farm, demands=(delivery("Lettuce", 11, 6, max_age=0),))
    plan = solved(again)
    assert got(plan) == {"Lettuce 11": 6}
    assert [(row.enters, row.leaves) for row in plan.contents] == [(0, 3), (3, 11)]
