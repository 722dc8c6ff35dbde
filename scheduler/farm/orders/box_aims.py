"""What boxes are meant to have but may miss: a value, so many kinds, favourites, and no dislikes.

An aim that is missed is told, and weighs like what is missing of flexible deliveries.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.farm.orders.boxes import (
    DISLIKE,
    DISLIKE_WORTH,
    FAVOURITE,
    FAVOURITE_WORTH,
    KIND_WORTH,
    Box,
    BoxShare,
    Stretch,
)
from scheduler.farm.orders.reach import cut_days_of_growing, earliest_reach

VALUE, KINDS = "value", "kinds"


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One aim of one box.

    Attributes:
        kind: ``value``, ``kinds``, ``favourite`` or ``dislike``.
        box: the box; of several boxes looked at together the last.
        wanted: hundredths of money, or how many kinds; 1 for a favourite, 0 for a dislike.
        weight: what one hundredth, one kind, or the favourite or dislike itself weighs.
        product: the favourite or disliked product, else empty.
        stretch: the boxes looked at together for kinds, else None.
    """

    kind: str
    box: Box
    wanted: int
    weight: int
    product: str = ""
    stretch: Stretch | None = None


class Coming:
    """Says what can be there on a day: from a new sowing, or of what grows already."""

    def __init__(self, farm: Farm) -> None:
        """Look once at what a farm can reach and at what grows on it."""
        self._farm, self._reach = farm, earliest_reach(farm)
        self._cuts: dict[str, set[int]] = {}
        for row in farm.growing:
            days = {day for cut in cut_days_of_growing(farm, row) for day in cut}
            self._cuts.setdefault(row.crop, set()).update(days)

    def by(self, product: str, day: int, age: int) -> bool:
        """Say whether any of a product can be delivered on a day, cut at most ``age`` days before."""
        first = self._reach.get(product)
        if first is not None and first <= day:
            return bool(self._farm.calendar.open_days(Work.HARVEST, max(self._farm.today, day - age), day))
        days = range(max(self._farm.today, day - age), day + 1)
        return any(
            each in self._cuts.get(crop, ()) for crop in self._farm.products[product].sources for each in days
        )


def reached_boxes(farm: Farm, coming: Coming) -> frozenset[tuple[str, int]]:
    """Return (share, number) of the boxes for all of whose places something can be there in time.

    For the others it is too early, or no harvest day lies near enough: what they lack besides is not counted.
    """
    missed = set()
    for demand in farm.demands:
        place = farm.boxes.places.get(demand.name)
        if place is not None and not coming.by(demand.product, demand.first, demand.max_age):
            missed.add((place.share, place.number))
    return frozenset((box.share, box.number) for box in farm.boxes.boxes) - missed


def aims(farm: Farm) -> list[Aim]:
    """Return every aim of every box that something can reach, by share and box."""
    coming = Coming(farm)
    reached = reached_boxes(farm, coming)
    found: list[Aim] = []
    for share in farm.boxes.shares.values():
        for box in farm.boxes.of_share(share.name):
            if (box.share, box.number) in reached:
                found += _of_box(farm, share, box, coming)
        for stretch in _kind_stretches(farm, share):
            if all((box.share, box.number) in reached for box in stretch.boxes):
                last = stretch.boxes[-1]
                weight = farm.boxes.weight(last, KIND_WORTH)
                found.append(
                    Aim(kind=KINDS, box=last, wanted=share.least_kinds or 0, weight=weight, stretch=stretch)
                )
    return found


def _kind_stretches(farm: Farm, share: BoxShare) -> list[Stretch]:
    return farm.boxes.stretches(share.name, share.kinds_boxes, whole=True) if share.least_kinds else []


def _of_box(farm: Farm, share: BoxShare, box: Box, coming: Coming) -> Iterator[Aim]:
    boxes = farm.boxes
    if share.least_value:
        yield Aim(kind=VALUE, box=box, wanted=share.least_value, weight=boxes.weight(box, 1))
    products = {name for slot in share.slots for name in boxes.candidates(box, slot)}
    for kind, wanted, worth in ((FAVOURITE, 1, FAVOURITE_WORTH), (DISLIKE, 0, DISLIKE_WORTH)):
        wishes = [wish.product for wish in boxes.wishes(share.name, kind) if wish.is_about(box)]
        for product in dict.fromkeys(wishes):
            if product in products and coming.by(product, box.days[-1].day, share.max_age):
                weight = boxes.weight(box, worth)
                yield Aim(kind=kind, box=box, wanted=wanted, weight=weight, product=product)
