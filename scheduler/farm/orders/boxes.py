"""Box shares: boxes on the same days every week, whose contents the planner chooses.

A box has places, and each place is filled from a category: any of its products will do. To the farm a place
of a box on a day is a delivery of its category; what goes in is told by the heads that fill it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from scheduler.farm.orders.missing import weight_of_missing
from scheduler.farm.units import MILLI, ceil_div

FAVOURITE, DISLIKE, NEVER, AT_MOST = "favourite", "dislike", "never", "at most"
"""Kinds of wishes for boxes, as the book writes them."""

EVER = 10**6
"""More days than any plan has, before and after its first."""

KIND_WORTH = 50
"""Hundredths of money that a product too few among so many boxes weighs, for each box (estimate)."""

DISLIKE_WORTH = 50
"""The same for a disliked product in a box (estimate)."""

FAVOURITE_WORTH = 10
"""The same for a favourite that is not in a box although it could be (estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Category:
    """What belongs together in a box.

    Attributes:
        name: its name in the book; the farm has a product of the same name, made of all its crops.
        prices: product -> hundredths of money that one unit counts for, in the book's order.
        product_of: crop -> the product of this category it fills.
    """

    name: str
    prices: Mapping[str, int]
    product_of: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxSlot:
    """A place in a box; ``amount`` and ``half_amount`` are thousandths of units in a full and a half box.

    ``most_products`` is how many products one week's boxes may have there, ``counts_from`` the percent of
    what the place needs from which one of several counts as in the box; 0 means from one unit on.
    """

    name: str
    category: str
    amount: int
    half_amount: int
    most_products: int
    counts_from: int = 0

    def least_counted(self, needed: int) -> int:
        """Return from how many units on one of several products counts, of those the place needs."""
        return max(1, ceil_div(needed * self.counts_from, 100)) if self.most_products > 1 else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxWish:
    """A wish about a product for the weeks that have a day from ``first`` through ``last``.

    ``times`` and ``among`` belong to ``at most``: so many times among so many boxes.
    """

    product: str
    kind: str
    first: int
    last: int
    times: int = 0
    among: int = 0

    def is_about(self, box: "Box") -> bool:
        """Say whether a delivery day of a box lies in its days."""
        return any(self.holds_on(each.day) for each in box.days)

    def holds_on(self, day: int) -> bool:
        """Say whether a day lies in its days."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True, kw_only=True)
class PastBox:
    """A box that went out before the plan's first: the last of its days, and the products that were in it."""

    day: int
    products: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxShare:
    """What all boxes of one share keep.

    Attributes:
        name: its name; also the customer of its deliveries.
        slots: the places of a box, in the book's order.
        firm, priority, max_age: as of a delivery.
        least_value, most_value: hundredths of money a full box is worth; None for no limit.
        most_running: most boxes one after another with one product; None for no limit.
        least_kinds, kinds_boxes: so many products in any so many boxes; None for no limit.
        wishes: favourites, dislikes and limits.
        past: the boxes before the first one of the plan, oldest first.
    """

    name: str
    slots: tuple[BoxSlot, ...]
    firm: bool
    priority: int
    max_age: int
    least_value: int | None = None
    most_value: int | None = None
    most_running: int | None = None
    least_kinds: int | None = None
    kinds_boxes: int = 4
    wishes: tuple[BoxWish, ...] = ()
    past: tuple[PastBox, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxDay:
    """Full and half boxes that are delivered on one day."""

    day: int
    boxes: int
    halves: int

    def needs(self, slot: BoxSlot) -> int:
        """Return the units of a place that all boxes of the day need together, rounded up."""
        return ceil_div(self.boxes * slot.amount + self.halves * slot.half_amount, MILLI)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The box of a share in one week: the same on each of its days.

    Attributes:
        share: name of the share.
        number: 0 for the first box of the share in the plan, then counted on.
        days: its delivery days.
        begun: products that boxes of this week held before the plan's first day.
        reported: whether its first day lies within the weeks the plan reports.
    """

    share: str
    number: int
    days: tuple[BoxDay, ...]
    begun: frozenset[str] = frozenset()
    reported: bool = True

    @property
    def count(self) -> int:
        """Full and half boxes of the week together."""
        return sum(each.boxes + each.halves for each in self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxPlace:
    """Which place of which box a demand fills: share, number of the box, name of the slot, and day."""

    share: str
    number: int
    slot: str
    day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Boxes of a share one after another: first what lies before the plan, then the plan's own."""

    past: tuple[PastBox, ...]
    boxes: tuple[Box, ...]

    def held(self) -> frozenset[str]:
        """Return the products these boxes hold whatever the plan chooses."""
        sets = [*(each.products for each in self.past), *(box.begun for box in self.boxes)]
        return frozenset(name for each in sets for name in each)

    def held_before(self, wish: BoxWish) -> int:
        """Return how many of these boxes that a wish is about hold its product whatever the plan chooses."""
        past = sum(wish.product in each.products and wish.holds_on(each.day) for each in self.past)
        return past + sum(wish.product in box.begun and wish.is_about(box) for box in self.boxes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxes:
    """All box shares of a farm; empty on a farm without any.

    Attributes:
        categories, shares: by name.
        boxes: every box of the plan's span, by share and number.
        places: name of a demand -> the place in a box it fills.
    """

    categories: Mapping[str, Category] = field(default_factory=dict)
    shares: Mapping[str, BoxShare] = field(default_factory=dict)
    boxes: tuple[Box, ...] = ()
    places: Mapping[str, BoxPlace] = field(default_factory=dict)

    def __bool__(self) -> bool:
        """Say whether there is any box."""
        return bool(self.boxes)

    def of_share(self, share: str) -> tuple[Box, ...]:
        """Return the boxes of a share, in order."""
        return tuple(box for box in self.boxes if box.share == share)

    def candidates(self, box: Box, slot: BoxSlot) -> tuple[str, ...]:
        """Return the products that may fill a place of a box.

        Those are the products of its category without what is never to come that week. Where boxes of the
        same week went out before the plan's first day with some of these products, it is those alone.
        """
        never = {
            wish.product
            for wish in self.shares[box.share].wishes
            if wish.kind == NEVER and wish.is_about(box)
        }
        allowed = [name for name in self.categories[slot.category].prices if name not in never]
        begun = [name for name in self.categories[slot.category].prices if name in box.begun]
        return tuple(name for name in allowed if name in begun or not begun)

    def stretches(self, share: str, length: int, *, whole: bool = False) -> list[Stretch]:
        """Return every so many boxes of a share one after another of which one at least is the plan's.

        A share with fewer boxes has one stretch of all of them; none when only ``whole`` ones are asked for.
        """
        past, boxes = self.shares[share].past, self.of_share(share)
        total = len(past) + len(boxes)
        if not boxes or (whole and total < length):
            return []
        found = []
        for start in range(max(1, total - length + 1)):
            end = start + length
            own = boxes[max(0, start - len(past)) : max(0, end - len(past))]
            if own:
                found.append(Stretch(past=past[start : min(end, len(past))], boxes=own))
        return found

    def wishes(self, share: str, kind: str) -> list[BoxWish]:
        """Return the wishes of one kind for a share."""
        return [wish for wish in self.shares[share].wishes if wish.kind == kind]

    def limits(self, share: str) -> list[BoxWish]:
        """Return how often each product may come: the share's own limits, and boxes one after another."""
        found = self.wishes(share, AT_MOST)
        most, slots = self.shares[share].most_running, self.shares[share].slots
        if most is not None:
            names = dict.fromkeys(name for slot in slots for name in self.categories[slot.category].prices)
            found += [
                BoxWish(product=name, kind=AT_MOST, first=-EVER, last=EVER, times=most, among=most + 1)
                for name in names
            ]
        return found

    def weight(self, box: Box, worth: int) -> int:
        """Return what hundredths of money a box lacks weigh for all boxes of its week, as missing units."""
        priority = self.shares[box.share].priority
        return weight_of_missing(worth * box.count, priority, reported=box.reported)


def half_of(amount: Fraction, half: Fraction | None) -> tuple[int, int]:
    """Return thousandths of units in a full and a half box, rounded up; a blank half is half of a full."""
    parts = (amount, amount / 2 if half is None else half)
    full, part = (ceil(each * MILLI) for each in parts)
    return full, part
