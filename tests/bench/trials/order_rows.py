"""What customers want: standing orders and targets, and how they change over the season."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import cos, pi
from random import Random

from .crop_rows import Row, days_to_reach
from .families import Case

FIRST_DAY = date(2026, 3, 2)
"""A Monday."""

WEEK = timedelta(days=7)
CUSTOMERS = (
    "Heron Table", "The Copper Ladle", "Sedge Street Kitchen", "Weir House", "Plover Canteen", "Osier Market",
    "The Blue Trivet", "Marsh Lane School", "Teal and Daughters", "Alder Box", "The Long Spoon", "Reed Hall",
)  # fmt: skip
WEEKDAYS = ("Tue", "Wed", "Fri", "Sat")
TARGET_EVERY = 5
"""One crop in so many is also wanted by a market, on any day of the week."""

TARGET_SHARE = 0.15
SWING = 0.3
"""How far a seasonal order goes above and below its mean."""

SELDOM = 0.7
"""Share of small orders that come every second week."""

PEAKS = (5, 6, 7, 9, 12)
"""Months in which seasonal orders may be at their highest."""

PAUSE, SKIP, TIMES, STEP = 0.02, 0.05, 0.06, 0.06
"""Chances, week by week, of what happens to a jumpy order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One standing order (or target) before it is scaled.

    ``weight`` is what one delivery wants beside the others; ``weekdays`` is empty for a target.
    """

    name: str
    customer: str
    product: str
    weight: float
    weekdays: tuple[str, ...]
    every: int
    begins: date
    kind: str
    price: float
    priority: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A change to an order; ``share`` is the other amount over the usual one, or how many times."""

    begins: date
    ends: date | None
    change: str
    share: float = 0.0


def orders_of(case: Case, crops: list[Row], random: Random) -> list[Order]:
    """Return the standing orders of a case; each begins when the crop can be there at the earliest."""
    count = round(case.family.orders_per_crop * len(crops))
    weights = [random.uniform(0.7, 1.4) for _ in crops]
    parts = [1 + number for number in range(len(crops))]
    per_crop = [count * (part) // len(crops) - count * (part - 1) // len(crops) for part in parts]
    found: list[Order] = []
    for row, weight, pieces in zip(crops, weights, per_crop, strict=True):
        shares = [random.uniform(0.6, 1.4) for _ in range(max(1, pieces))]
        for share in shares:
            found.append(_order(case, row, weight * share / sum(shares), len(found), random))
    for row, weight in list(zip(crops, weights, strict=True))[::TARGET_EVERY]:
        target = _order(case, row, weight, len(found), random)
        found.append(_as_target(target, weight * TARGET_SHARE))
    return found


def _as_target(order: Order, weight: float) -> Order:
    return replace(
        order,
        name=f"Market {order.product}",
        customer="",
        weight=weight,
        weekdays=(),
        every=1,
        kind="target",
    )


def _order(case: Case, row: Row, weight: float, number: int, random: Random) -> Order:
    """Return an order of ``weight`` a week; small orders come on one day and are alike in size."""
    small = case.family.small_orders
    weekdays = random.sample(WEEKDAYS, 2 if not small and random.random() < 0.3 else 1)
    every = 2 if small and random.random() < SELDOM else 1
    first = days_to_reach(row)
    return Order(
        name=f"S-{number + 1:03}",
        customer=random.choice(CUSTOMERS),
        product=str(row["crop"]),
        weight=weight if small else weight / len(weekdays),
        weekdays=tuple(day for day in WEEKDAYS if day in weekdays),
        every=every,
        begins=FIRST_DAY + timedelta(days=-(-first // 7) * 7),
        kind="flexible" if random.random() < 0.08 else "firm",
        price=random.randrange(140, 320, 10) / 100,
        priority=random.choice((1, 2, 2, 2, 3)),
    )


def turns_of(case: Case, order: Order, random: Random) -> list[Turn]:
    """Return the changes of one order over the season, past its end included."""
    if case.orders == "steady" or not order.weekdays:
        return []
    if case.orders == "seasonal":
        return list(_seasonal(case, order, random.choice(PEAKS)))
    return list(_jumpy(case, order, random))


def _ends(case: Case) -> date:
    return FIRST_DAY + case.family.weeks * WEEK


def _seasonal(case: Case, order: Order, peak: int) -> Iterator[Turn]:
    """Yield another amount for each month, highest in ``peak``; the last one goes on."""
    day = order.begins
    while day < _ends(case):
        following = date(day.year + day.month // 12, day.month % 12 + 1, 1)
        last = following - timedelta(days=1) if following < _ends(case) else None
        share = 1 + SWING * cos(2 * pi * (day.month - peak) / 12)
        yield Turn(begins=day, ends=last, change="amount", share=share)
        day = following


def _jumpy(case: Case, order: Order, random: Random) -> Iterator[Turn]:
    """Yield, delivery week by week, a pause, a skipped week, a multiple, or a new amount from then on."""
    length = order.every * WEEK
    week = order.begins + 2 * WEEK
    while week < _ends(case):
        chance = random.random()
        last = week + length - timedelta(days=1)
        if chance < PAUSE:
            last += random.choice((1, 2)) * length
            yield Turn(begins=week, ends=last, change="pause")
        elif chance < PAUSE + SKIP:
            yield Turn(begins=week, ends=last, change="pause")
        elif chance < PAUSE + SKIP + TIMES:
            yield Turn(begins=week, ends=last, change="times", share=random.choice((1.5, 2.0)))
        elif chance < PAUSE + SKIP + TIMES + STEP:
            yield Turn(begins=week, ends=None, change="amount", share=random.uniform(0.7, 1.3))
        week = last + timedelta(days=1)
