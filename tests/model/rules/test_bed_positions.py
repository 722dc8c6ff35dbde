"""Plants in a bed never exceed its open positions, on any day from setting in to the end of clean-up."""

import pytest
from farms import EVER, delivery, growing, make_crop, make_farm
from solving import allows, pick

from scheduler.farm.crops import StageKind
from scheduler.model.rules.beds import bed_positions

# In trays 3 or 4 days, 4 days in the bed to the first picking, then two picking weeks: set in on day 4, a
# plant is picked from day 8 through day 21.
TOMATO = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(1000, 1000))


def farm(**needs):
    demands = [delivery("Tomato", day, 400) for day in range(8, 60, 2)]
    base = {"days": 60, "crops": [TOMATO], "demands": demands, "beds": {"Bed": 8}, "lanes": 0, "zones": 0}
    return make_farm(**(base | needs))


def planted(chosen, sown, day, **wanted):
    found = [each for each in chosen.bed_plants if each.source.sown == sown]
    return chosen.bed_plants[pick(found, day=day, **wanted)]


def allowed_in(made, *moves, more=lambda chosen: []):
    """Say whether plants are allowed in the bed: moves are (sown, day set in, plants)."""
    return allows(
        made,
        bed_positions,
        lambda c: [*((planted(c, sown, day), n) for sown, day, n in moves), *more(c)],
    )


@pytest.mark.parametrize(("first", "allowed"), [(4, True), (5, False)])
def test_8_positions_take_8_plants(first, allowed):
    assert allowed is allowed_in(farm(), (1, 4, first), (2, 5, 4))


@pytest.mark.parametrize(("day", "allowed"), [(20, False), (21, True)])
def test_a_position_is_free_again_on_the_day_its_plant_is_pulled_out(day, allowed):
    assert allowed is allowed_in(farm(), (1, 4, 8), (day - 3, day, 8))


@pytest.mark.parametrize(("day", "allowed"), [(23, False), (24, True)])
def test_a_position_is_taken_while_it_is_cleaned_up(day, allowed):
    assert allowed is allowed_in(farm(clean_days=3), (1, 4, 8), (day - 3, day, 8))


def test_two_beds_that_are_alike_are_one_space():
    made = farm(beds={"Bed": 3, "Other bed": 5})
    assert allowed_in(made, (1, 4, 4), (2, 5, 4))
    assert not allowed_in(made, (1, 4, 5), (2, 5, 4))


def test_positions_that_close_are_a_space_of_their_own():
    made = farm(beds={"Bed": ((EVER, 8), (40, 2))})

    def amounts(chosen, low, high):
        return [
            (planted(chosen, 1, 4, pool="Bed 1"), low),
            (planted(chosen, 1, 4, pool="Bed 3"), high),
            (planted(chosen, 2, 5, pool="Bed 1"), 1),
            (planted(chosen, 2, 5, pool="Bed 3"), 1),
        ]

    assert allows(made, bed_positions, lambda chosen: amounts(chosen, 1, 5)) is True
    assert allows(made, bed_positions, lambda chosen: amounts(chosen, 2, 5)) is False
    assert allows(made, bed_positions, lambda chosen: amounts(chosen, 1, 6)) is False


@pytest.mark.parametrize(("plants", "allowed"), [(5, True), (6, False)])
def test_what_grows_in_the_bed_keeps_its_positions_even_empty_ones(plants, allowed):
    made = farm(growing=[growing("Tomato", StageKind.BED, -2, 2, 3)])
    kept = [(1, 4, plants)]
    assert allowed is allowed_in(made, *kept, more=lambda c: [(next(iter(c.bed_kept.values())), 1)])


@pytest.mark.parametrize(("day", "allowed"), [(3, False), (4, True)])
def test_what_is_pulled_out_on_the_first_day_is_cleaned_up_after(day, allowed):
    made = farm(growing=[growing("Tomato", StageKind.BED, -20, 8, 8)], clean_days=4)
    thrown = lambda c: [(next(iter(c.bed_kept.values())), 0)]  # noqa: E731
    assert allowed is allowed_in(made, (0, day, 1), more=thrown)
