"""A small farm of two crops whose money, hours and space can be worked out by hand, and its plan."""

from dataclasses import replace
from fractions import Fraction

from farms import delivery, make_farm
from plans import Batch, build
from solving import quick_crop

LETTUCE, KALE = "LET-260304", "KAL-260304"
CUT_TWICE = ((9, 6, 5), (12, 6, 4))
FILLS = (("Lettuce 9", LETTUCE, 9, 10), ("Kale 9", KALE, 9, 5), ("Kale 12", KALE, 12, 4))


def two_crops(**needs):
    """A farm of two crops; rafts of half a square metre, an hour at 12.00, a tray at 0.50, a raft at 0.20.

    Seed of Lettuce is 0.02 each; it takes 0.1 minutes a cell, 0.1 a plant on rafts and 0.5 a plant cut.
    A plant of Kale cut takes 1 minute.
    """
    usual = {
        "days": 28,
        "lanes": 2,
        "costs": {"hour": 12_00, "tray": 50, "raft": 20},
        "crops": [
            quick_crop(
                "Lettuce", handling={"seed_cost": 20_00}, minutes={"sow": 2_00, "raft": 60, "cut": 50}
            ),
            quick_crop("Kale", cuts=2, interval=3, minutes={"cut": 1_00}),
        ],
        "demands": [delivery("Lettuce", 9, 10), delivery("Kale", 9, 5), delivery("Kale", 12, 4)],
    }
    return replace(make_farm(**(usual | needs)), raft_areas={"Trough": Fraction(1, 2)})


def lettuce(**changes):
    usual = {"sown": 2, "board_day": None, "raft_day": 5, "cuts": ((9, 6),)}
    return Batch(**(usual | changes))


def kale(**changes):
    return lettuce(
        **({"crop": "Kale", "rows": 2, "rafts": (6,), "cuts": CUT_TWICE, "lane": "Trough 2"} | changes)
    )


def both(farm, fills=FILLS):
    return build(farm, lettuce(), kale(), fills=fills)
