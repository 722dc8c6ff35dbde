"""What rounding left over of a cut that has begun counts in the status as it does in a new book."""

import pytest
from farms import delivery, make_crop, make_farm
from followed import Followed, told
from plan.layout.amounts import Batch, laid

from scheduler.records.entries import in_force
from scheduler.records.risk import at_risk


@pytest.mark.parametrize(("lost", "short"), [(0, []), (1, [("Lettuce 36", 1)]), (2, [("Lettuce 36", 2)])])
def test_a_plant_lost_after_the_first_day_of_a_cut_is_a_head_short_and_rounding_alone_is_none(lost, short):
    # 40 plants give 38 heads: 18 of the 19 cut first, and 20 of the other 21, for they round down together
    farm = make_farm(
        lane_slots=8,
        crops=[make_crop("Lettuce", raft=(14, 6, 9_500))],
        demands=[delivery("Lettuce", 34, 18, max_age=0), delivery("Lettuce", 36, 20, max_age=0)],
    )
    batch = Batch(rows=10, plants=40, cuts=((34, 19), (36, 21)))
    fills = [("Lettuce", 34, "Lettuce 34", 18), ("Lettuce", 36, "Lettuce 36", 20)]
    plan = laid(farm, batch, fills=fills)
    followed = Followed(None, farm, plan)
    followed.until(35)
    if lost:
        followed.tell(told("lost", 35, lot="LET-260302", plants=lost))
    entries = [each.entry for each in in_force((each.number, each.entry) for each in followed.log)]
    found = at_risk(farm, plan, followed.state(36), entries, 36)
    assert [(each.demand.name, each.short) for each in found] == short


def test_a_first_cut_that_comes_late_takes_the_second_past_its_delivery():
    crop = make_crop("Lettuce", cuts=2, interval=7)
    wanted = [delivery("Lettuce", 34, 12, max_age=0), delivery("Lettuce", 41, 12, max_age=0)]
    farm = make_farm(crops=[crop], demands=wanted)
    batch = Batch(cuts=(), steps=((1, 34, None, 12), (2, 41, 34, 12)), gone=((41, 12),))
    fills = [("Lettuce", 34, "Lettuce 34", 12), ("Lettuce", 41, "Lettuce 41", 12)]
    plan = laid(farm, batch, fills=fills)
    followed = Followed(None, farm, plan)
    followed.until(37, but=[task.key for task in plan.tasks if task.work in ("cut", "deliver")])
    entries = [each.entry for each in in_force((each.number, each.entry) for each in followed.log)]
    found = at_risk(farm, plan, followed.state(36), entries, 37)
    assert [(each.demand.name, each.short, each.why) for each in found] == [
        ("Lettuce 41", 12, "what stands of it is not cut again before Wed 15 Apr 2026")
    ]
