"""Outlets: no more in a week than they take."""

import pytest
from farms import growing, make_farm, market
from solving import allows, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.rules.outlets import outlets

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
