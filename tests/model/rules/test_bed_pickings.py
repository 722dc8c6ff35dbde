"""What is picked in a bed up to any picking of a week is at most that part of what ripens in the week."""

import pytest
from farms import delivery, growing, make_crop, make_farm
from solving import allows, pick, posed

from scheduler.farm.crops import StageKind
from scheduler.model.rules.beds import bed_pickings


def farm(**needs):
    crop = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 9_000), curve=(1500, 0, 700), a_week=2)
    demands = [delivery("Tomato", day, 40, max_age=0) for day in range(40)]
    base = {"days": 60, "crops": [crop], "demands": demands, "beds": {"Bed": 80}, "lanes": 0, "zones": 0}
    return make_farm(**(base | needs))


def planting(chosen):
    """The plants set in on day 4: picked for weeks from day 8, Mondays and Thursdays: 10, 14, 17, 21."""
    found = [each for each in chosen.bed_plants if each.source.sown == 1]
    return pick(found, day=4)


def taken(plants, *heads):
    def amounts(chosen):
        option = planting(chosen)
        numbers = {(each.number, each.day) for each in option.picks}
        picked = [
            (chosen.heads[option, number, day], dict(heads).get(day, 0))
            for number, day in sorted(numbers)
            if (option, number, day) in chosen.heads
        ]
        return [(chosen.bed_plants[option], plants), *picked]

    return amounts


@pytest.mark.parametrize(
    ("heads", "allowed"),
    [
        # 10 plants, 1.5 each, nine in ten sold: 13.5 a week, up to the first picking 6.75
        ([(10, 6)], True),
        ([(10, 7)], False),
        ([(10, 6), (14, 7)], True),
        ([(10, 6), (14, 8)], False),
        ([(14, 7)], True),
        ([(14, 8)], False),
        # nothing ripens in the second week, and nothing is left over for it
        ([(17, 1)], None),
        # 7 * 0.9 = 6.3 in the third: 3 up to the first picking, an even part is 4 at most
        ([(24, 3), (28, 3)], True),
        ([(24, 4)], False),
        ([(28, 4)], True),
        ([(24, 3), (28, 4)], False),
    ],
)
def test_no_more_is_picked_than_ripens_in_a_week_and_falls_to_a_day(heads, allowed):
    made = farm()
    if allowed is None:
        days = {day for _, _, day in _heads_of(made)}
        assert not days & {17, 21}
    else:
        assert allowed is allows(made, bed_pickings, taken(10, *heads))


def _heads_of(made):
    _, chosen = posed(made)
    option = planting(chosen)
    return [key for key in chosen.heads if key[0] is option]


@pytest.mark.parametrize(("heads", "allowed"), [(6, True), (7, False)])
def test_parts_of_a_week_that_were_picked_before_the_plan_are_gone(heads, allowed):
    # Set in on day -8, its first picking week began on Thursday, day -4; Monday, day 0, is left of it.
    made = farm(growing=[growing("Tomato", StageKind.BED, -8, 10, 10)])

    def amounts(chosen):
        option = next(iter(chosen.bed_kept))
        first = option.picks[0]
        return [
            (chosen.bed_kept[option], 1),
            *((v, 0) for key, v in chosen.heads.items() if key[0] is option and key[2] != first.day),
            (chosen.heads[option, first.number, first.day], heads),
        ]

    assert allowed is allows(made, bed_pickings, amounts)
