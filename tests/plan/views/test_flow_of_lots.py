"""How lots go through a place: day by day the same as what stands there each evening."""

from farms import EVER, make_farm
from plans import Batch, build
from reports import example

from scheduler.plan.views.flow import Opening, flows
from scheduler.plan.views.standing import standing_on


def test_on_every_ninth_day_the_stretches_are_what_stands_there_that_evening():
    farm, plan = example()
    found = {flow.place: flow for flow in flows(farm, plan, [place.name for place in farm.places])}
    for day in range(0, farm.calendar.days, 9):
        for place in standing_on(farm, plan, day):
            stands = {
                (each.slot, each.unit, load.lot)
                for each in place.standing
                for load in each.loads
                if load.plants
            }
            stands |= {(each.slot, each.unit, "") for each in place.standing if not each.plants}
            stretches = [s for s in found[place.place].stretches if s.start <= day < s.end]
            assert {(s.slot, s.unit, s.lot) for s in stretches} == stands


def test_lots_that_share_a_unit_have_each_a_part_of_its_slot():
    farm, plan = example()
    for flow in flows(farm, plan, [place.name for place in farm.places]):
        for one in flow.stretches:
            beside = [
                s for s in flow.stretches if (s.unit, s.slot, s.start) == (one.unit, one.slot, one.start)
            ]
            assert sorted(s.part for s in beside) == list(range(one.parts))


def test_stretches_end_with_the_days_that_are_reported():
    farm = make_farm(days=30, span=60)
    [flow] = flows(farm, build(farm, Batch()), ["Trough 1"])
    assert {(s.start, s.end) for s in flow.stretches} == {(20, 30)}
    farm = make_farm(days=15, span=60)
    [flow] = flows(farm, build(farm, Batch()), ["Trough 1"])
    assert flow.stretches == ()


def test_days_on_which_slots_are_closed_are_told_without_gaps():
    farm = make_farm(days=50, lane_slots=((EVER, 6), (10, 4), (20, 6), (70, 2)))
    [flow] = flows(farm, build(farm), ["Trough 1"])
    assert flow.openings == (
        Opening(start=0, end=10, slots=6),
        Opening(start=10, end=20, slots=4),
        Opening(start=20, end=50, slots=6),
    )
    assert flow.most == 6
