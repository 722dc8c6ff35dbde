"""Families of invented farms, and what picks one farm out of a family."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

LOADS = (70, 85, 95, 110)
"""Percent of the most a steady week can serve."""

SHAPES = ("steady", "seasonal", "jumpy")
"""How orders run over the season."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """What the farms of a family share.

    Attributes:
        name: as on the command line.
        rows: rafts in each row; one number a row of rafts.
        board_slots: slots for transplant boards.
        trays: places for plug trays on the shelves.
        crops: crops grown.
        weeks: weeks planned and reported.
        orders_per_crop: standing orders for each crop, about.
        harvest_days: weekdays; sowing and moving are done on Monday and Thursday in every family.
        small_orders: one delivery a week or every second week for each order, of few heads, as restaurants
            order from a small farm.
        boxes: two box shares take half of what is wanted, and for heads that are ordered others may stand in.
    """

    name: str
    rows: tuple[int, ...]
    board_slots: int
    trays: int
    crops: int
    weeks: int
    orders_per_crop: float
    harvest_days: str = "Mon Thu"
    small_orders: bool = False
    boxes: bool = False


FAMILIES = {
    family.name: family
    for family in (
        Family(
            name="micro",
            rows=(7, 7, 7, 7),
            board_slots=9,
            trays=16,
            crops=12,
            weeks=26,
            orders_per_crop=1,
            small_orders=True,
        ),
        Family(
            name="small", rows=(9, 9, 9, 9), board_slots=12, trays=18, crops=6, weeks=26, orders_per_crop=2
        ),
        Family(
            name="boxes",
            rows=(9, 9, 9, 9, 9, 9),
            board_slots=16,
            trays=28,
            crops=12,
            weeks=26,
            orders_per_crop=0.75,
            boxes=True,
        ),
        Family(
            name="medium6",
            rows=(10, 10, 10, 10, 9, 9, 9),
            board_slots=24,
            trays=32,
            crops=6,
            weeks=52,
            orders_per_crop=2.5,
        ),
        Family(
            name="medium12",
            rows=(10, 10, 10, 10, 9, 9, 9),
            board_slots=24,
            trays=32,
            crops=12,
            weeks=52,
            orders_per_crop=1.5,
        ),
        Family(
            name="large",
            rows=(20,) * 60,
            board_slots=240,
            trays=300,
            crops=30,
            weeks=52,
            orders_per_crop=5,
            harvest_days="Mon Wed Fri",
        ),
        Family(
            name="huge",
            rows=(20,) * 400,
            board_slots=1600,
            trays=2000,
            crops=40,
            weeks=52,
            orders_per_crop=12,
            harvest_days="Mon Wed Fri",
        ),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One farm: a family, perhaps with another size, and what its orders are like.

    Attributes:
        family: what it is like; weeks, rows and crops may differ from the named family's.
        load: percent of the most a steady week can serve in full, as a mean of the season.
        orders: one of ``SHAPES``.
        seed: picks crops, orders and their changes.
    """

    family: Family
    load: int
    orders: str
    seed: int

    @property
    def name(self) -> str:
        """Return a name for folders and tables, such as ``medium12-85-steady-1``."""
        base = FAMILIES[self.family.name]
        other = [
            f"{count}{what}"
            for what, count, usual in (
                ("weeks", self.family.weeks, base.weeks),
                ("rows", len(self.family.rows), len(base.rows)),
                ("crops", self.family.crops, base.crops),
            )
            if count != usual
        ]
        return "-".join([self.family.name, str(self.load), self.orders, str(self.seed), *other])

    @property
    def is_usual(self) -> bool:
        """Say whether the farm has the size its family is named for."""
        return self.family == FAMILIES[self.family.name]


def resized(family: Family, weeks: int | None, rows: int | None, crops: int | None) -> Family:
    """Return a family of another size; nursery places go with the rows."""
    changed = replace(family, weeks=weeks or family.weeks, crops=crops or family.crops)
    if not rows or rows == len(family.rows):
        return changed
    slots = tuple(family.rows[number % len(family.rows)] for number in range(rows))
    return replace(
        changed,
        rows=slots,
        board_slots=_share(family.board_slots, slots, family.rows),
        trays=_share(family.trays, slots, family.rows),
    )


def _share(number: int, slots: Sequence[int], usual: Sequence[int]) -> int:
    return -(-number * sum(slots) // sum(usual))
