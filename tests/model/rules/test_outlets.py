"""Outlets: no more in a week than they take, and no head that makes no unit."""

import pytest
from farms import growing, make_farm, make_mix, market
from solving import allows, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.outlets import outlets
from scheduler.model.variables.decisions import MIXED

GROWN = [growing("Lettuce", StageKind.RAFT, 0, 24, 4)]


def farm(*weeks, **needs):
    crops = [quick_crop(), quick_crop("Kale")]
    return make_farm(**({"days": 20, "crops": crops, "growing": GROWN, "outlets": weeks} | needs))


@pytest.mark.parametrize(
    ("monday", "tuesday", "best", "second", "allowed"),
    [
        (7, 8, 10, 5, True),
        (7, 8, 10, 4, False),
        (7, 7, 10, 4, True),
        (7, 8, 5, 5, False),
        (0, 0, 0, 0, True),
        (15, 0, 10, 5, True),
    ],
)
def test_all_days_of_a_week_share_its_steps(monday, tuesday, best, second, allowed):
    made = farm(market("Lettuce", [5, 6], (10, 300), (5, 200)))

    def amounts(chosen):
        return [
            (chosen.units[0, "Lettuce"], monday),
            (chosen.units[1, "Lettuce"], tuesday),
            (chosen.sold[0, 0], best),
            (chosen.sold[0, 1], second),
        ]

    assert allowed is allows(made, outlets, amounts)


@pytest.mark.parametrize(("heads", "allowed"), [(4, True), (5, True), (6, False)])
def test_no_more_heads_are_sold_than_make_units(heads, allowed):
    """Two bunches of two heads take four; a fifth head makes no bunch, a sixth would make another."""
    made = farm(market("Bunch", [5], (10, 300)), products={"Bunch": {"Lettuce": 2000}})

    def amounts(chosen):
        others = [(fill, 0) for (_, day, _), fill in chosen.fills.items() if day != 5]
        return [(chosen.units[0, "Lettuce"], 2), (chosen.fills["Lettuce", 5, 0], heads), *others]

    assert allowed is allows(made, outlets, amounts)


@pytest.mark.parametrize(("heads", "allowed"), [(2, True), (3, True), (4, False)])
def test_no_more_of_a_part_of_a_mix_is_sold_than_its_greatest_share(heads, allowed):
    """Two bags of 100 g hold at most 120 g of Lettuce, of which a head gives 50 g."""
    mix = make_mix("Salad", 100, ("Lettuce", 40, 50, 60, 50), ("Kale", 40, 50, 60, 50))
    made = farm(market("Salad", [5], (10, 300)), mixes=[mix])

    def amounts(chosen):
        others = [(fill, 0) for (_, day, _), fill in chosen.fills.items() if day != 5]
        return [(chosen.units[0, MIXED], 2), (chosen.fills["Lettuce", 5, 0], heads), *others]

    assert allowed is allows(made, outlets, amounts)
