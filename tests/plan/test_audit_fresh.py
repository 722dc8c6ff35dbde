"""Fresh: the first and the last day of every window pass, one beyond is told."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm, target
from plans import Batch, build, edit, judged, told


@pytest.mark.parametrize(
    ("day", "fault"),
    [
        (33, "only 13 days grown of 14 days"),
        (34, None),
        (40, None),
        (41, "21 days grown, 20 days at most"),
    ],
)
def test_heads_are_cut_within_the_harvest_window(day, fault):
    farm = make_farm()
    when = farm.date_of(day)
    message = f"fresh | Trough 1 | {when}: 6 plants of LET-260302 on R1, cut 1: {fault}"
    assert judged(farm, Batch(rafts=(6,), cuts=((day, 6),))) == ([message] if fault else [])


def test_the_window_counts_at_the_pace_of_the_trough():
    farm = make_farm(pace={"Trough": 500})
    assert judged(farm, Batch(raft_day=30, cuts=((70, 6),))) == []
    assert len(judged(farm, Batch(raft_day=30, rafts=(6,), cuts=((71, 6),)))) == 1


def test_a_raft_may_be_cut_over_several_days_of_its_window():
    farm = make_farm()
    plan = build(farm, Batch(rafts=(6,), cuts=((40, 2),)))
    days = (34, 37, 40)
    plan = replace(plan, cuts=tuple(replace(plan.cuts[0], day=day) for day in days))
    assert told(farm, plan) == []


AGAIN = make_farm(crops=[make_crop("Basil", board=None, raft=(14, 3, 10_000), cuts=3, interval=7)])


def basil(*cuts):
    return Batch(crop="Basil", board_day=None, raft_day=10, rafts=(6,), rows=2, cuts=cuts)


def test_a_cut_again_comes_an_interval_to_an_interval_and_window_after_the_cut_before():
    for second in (31, 34):
        assert judged(AGAIN, basil((24, 6), (second, 6))) == []
    assert judged(AGAIN, basil((24, 6), (30, 6))) == [
        "fresh | Trough 1 | 2026-04-01: 6 plants of BAS-260302 on R1, cut 2: only 6 days grown of 7 days"
    ]
    assert judged(AGAIN, basil((24, 6), (35, 6))) == [
        "fresh | Trough 1 | 2026-04-06: 6 plants of BAS-260302 on R1, cut 2: 11 days grown, 10 days at most"
    ]


def test_a_raft_is_cut_no_more_often_than_the_crop_allows_but_may_be_cut_less():
    assert judged(AGAIN, basil((24, 6))) == []
    assert judged(AGAIN, basil((24, 6), (31, 6), (38, 6))) == []
    assert judged(AGAIN, basil((24, 6), (31, 6), (38, 6), (45, 6))) == [
        "fresh | R1 | 2026-04-16: cut 4 of R1, which has cuts 1 to 3"
    ]


def test_what_is_cut_first_is_cut_again_first():
    plan = build(AGAIN, basil((24, 3), (33, 3)))
    first, second = plan.cuts

    def cut_again_on(*days):
        firsts = (replace(first, day=24), replace(first, day=26))
        return replace(plan, cuts=(*firsts, *(replace(second, day=day) for day in days)))

    assert told(AGAIN, cut_again_on(31, 33)) == []
    # The portion cut on day 24 may be cut again on day 32, the one of day 26 only from day 33 on.
    assert told(AGAIN, cut_again_on(32, 32)) == [
        "fresh | Trough 1 | 2026-04-03: 3 plants of BAS-260302 on R1, cut 2: only 6 days grown of 7 days"
    ]


def leaving(plan, *days):
    """Three plants of the only raft leave on each of the days."""
    (row,) = (row for row in plan.contents if row.unit == "R1")
    others = tuple(other for other in plan.contents if other.unit != "R1")
    raft = tuple(replace(row, plants=3, leaves=day) for day in days)
    plan = edit(plan, "units", {"unit": "R1"}, emptied=max(days), leaves=max(days))
    plan = edit(plan, "positions", {"unit": "R1"}, until=max(days))
    return replace(plan, contents=(*others, *raft))


def test_plants_that_left_after_a_cut_are_not_those_cut_again():
    plan = build(AGAIN, basil((24, 3), (35, 3)))
    first, second = plan.cuts
    plan = replace(plan, cuts=(first, replace(first, day=26), second))
    # Day 35 is 11 days after day 24, one too many, and 9 days after day 26.
    assert told(AGAIN, leaving(plan, 24, 35)) == []


def test_plants_that_all_left_are_not_cut_again():
    plan = build(AGAIN, basil((24, 3), (32, 3)))
    first, second = plan.cuts
    plan = replace(plan, cuts=(first, replace(first, day=27), second))
    # Those of day 27 could be cut again from day 34 on only; those of day 24 must have left by then.
    assert told(AGAIN, leaving(plan, 24, 32)) == [
        "fresh | Trough 1 | 2026-04-03: 3 plants of BAS-260302 on R1, cut 2: only 5 days grown of 7 days"
    ]
    plan = edit(plan, "cuts", {"number": 2}, plants=4)
    assert (
        "whole units | R1 | 2026-04-03: cut 2 of BAS-260302 takes 4 plants, 1 more than are there to cut"
        in told(AGAIN, leaving(plan, 24, 32))
    )


def test_plants_thrown_away_on_the_day_of_a_cut_need_not_be_those_that_were_cut():
    plan = build(AGAIN, basil((24, 3), (31, 3)))
    assert told(AGAIN, leaving(plan, 24, 31)) == []


def test_a_cut_again_takes_no_more_plants_than_the_cut_before():
    assert judged(AGAIN, basil((24, 4), (31, 4))) == []
    assert judged(AGAIN, basil((24, 4), (31, 5))) == [
        "whole units | R1 | 2026-04-02: cut 2 of BAS-260302 takes 5 plants, 1 more than are there to cut"
    ]


def test_no_cut_is_passed_over():
    plan = build(AGAIN, basil((24, 6), (31, 6), (38, 6)))
    left_out = replace(plan, cuts=(plan.cuts[0], plan.cuts[2]))
    assert "fresh | R1 | 2026-04-09: cut 3 of R1 comes without cut 2" in told(AGAIN, left_out)


def test_no_raft_is_emptied_before_its_last_cut():
    assert judged(AGAIN, basil((24, 6))) == []
    early = replace(basil((24, 6)), emptied=23)
    assert judged(AGAIN, early) == ["bookkeeping | R1 | 2026-03-26: R1 is cut after its last plants left it"]


@pytest.mark.parametrize(
    ("day", "fault"),
    [
        (33, "12 heads of LET-260302 are cut only on 2026-04-05"),
        (34, None),
        (36, None),
        (37, "12 heads of LET-260302, cut 2026-04-05, are 3 days old; 2 may be"),
    ],
)
def test_a_delivery_gets_nothing_cut_later_or_older_than_its_greatest_age(day, fault):
    farm = make_farm(demands=[delivery("Lettuce", day, 12, max_age=2)])
    message = f"fresh | Lettuce {day} | {farm.date_of(day)}: {fault}"
    faults = judged(farm, Batch(), fills=[(f"Lettuce {day}", "LET-260302", 34, 12)])
    assert faults == ([message] if fault else [])


@pytest.mark.parametrize(("first", "number"), [(27, 1), (28, 0), (34, 0), (35, 1)])
def test_a_target_gets_what_is_cut_in_its_own_week(first, number):
    farm = make_farm(demands=[target("Lettuce", first, 12)])
    faults = judged(farm, Batch(), fills=[(f"Lettuce {first}", "LET-260302", 34, 12)])
    assert len(faults) == number
    assert all(fault.startswith("fresh | ") for fault in faults)
