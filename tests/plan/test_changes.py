"""What planning again tells as changed: other days, and amounts that a crew would notice."""

from dataclasses import replace

import pytest
from farms import make_crop, make_farm, make_greens
from samples import demand, task

from scheduler.plan.changes import changes, much_the_same
from scheduler.plan.rows import Plan

NOTHING = Plan(**{name: () for name in Plan.__dataclass_fields__ if name != "made"}, made={})


def planned(*tasks, demands=()):
    """Return a plan of some tasks, all of the two lots that are grown."""
    return replace(NOTHING, tasks=tasks, demands=tuple(demands))


@pytest.fixture(scope="module")
def farm():
    crops = [make_crop("Butterhead"), make_greens("Cress", grams=150, days=6, window=2)]
    return make_farm(crops=crops, rules={"freeze_days": 3})


def told(farm, before, now):
    return [(row.change, row.work, row.before, row.now, row.promised) for row in changes(farm, before, now)]


def cut(grams, day=2):
    return task("c", day, "cut", lot="CRE-260224", crop="Cress", unit_kind="open tray", plants=grams)


def heads(number, day=2):
    return task("h", day, "cut", plants=number)


@pytest.mark.parametrize(
    ("before", "now", "same"),
    [
        (904, 901, True),
        (904, 895, True),
        (904, 894, False),
        (150, 145, True),
        (150, 144, False),
        (20_000, 20_050, True),
        (20_000, 20_051, False),
        (6, 1, True),
    ],
)
def test_grams_are_the_same_within_one_in_a_hundred_but_50_g_at_most_and_5_g_in_any_case(before, now, same):
    assert much_the_same(before, now, grams=True) is same
    assert much_the_same(now, before, grams=True) is same


@pytest.mark.parametrize(
    ("before", "now", "same"),
    [
        (12, 12, True),
        (12, 11, False),
        (20, 19, True),
        (19, 18, False),
        (22, 20, False),
        (304, 301, True),
        (304, 300, False),
    ],
)
def test_counts_are_the_same_within_one_in_a_hundred_and_one_where_there_are_twenty(before, now, same):
    assert much_the_same(before, now, grams=False) is same
    assert much_the_same(now, before, grams=False) is same


def test_promised_work_that_stays_as_it_was_but_for_a_gram_or_a_head_is_not_told(farm):
    assert told(farm, planned(cut(904), heads(38)), planned(cut(901), heads(37))) == []


def test_work_that_a_crew_would_notice_is_told_and_marked_in_the_promised_days(farm):
    assert told(farm, planned(cut(904), heads(38)), planned(cut(890), heads(36))) == [
        ("less", "cut", 38, 36, True),
        ("less", "cut", 904, 890, True),
    ]
    assert told(farm, planned(cut(904, day=3)), planned(cut(890, day=3)))[0][-1] is False


def test_what_is_counted_is_not_taken_for_grams(farm):
    assert told(farm, planned(heads(45)), planned(heads(40))) == [("less", "cut", 45, 40, True)]


def test_work_that_goes_to_another_day_is_told_however_little_it_is(farm):
    assert told(farm, planned(cut(3)), planned(cut(3, day=4))) == [("moved", "cut", 3, 3, True)]
    assert told(farm, planned(cut(3)), planned()) == [("dropped", "cut", 3, 0, True)]
    assert told(farm, planned(), planned(cut(3))) == [("added", "cut", 0, 3, False)]


def test_a_delivery_is_told_to_the_unit(farm):
    was = demand("R1 2026-03-06", 4, amount=200, filled=200)
    now = replace(was, filled=199, reason="")
    assert told(farm, planned(demands=[was]), planned(demands=[now])) == [
        ("newly short", "deliver", 200, 199, False)
    ]
