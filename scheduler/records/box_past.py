"""What boxes held before the first day of a new book: as delivered, else as planned."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.records.entries import DELIVERED, Entry

COLUMNS = ("share", "date", "product")

Goods = dict[tuple[str, date], set[str]]
"""(share, day of the box) -> products in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxesBefore:
    """Rows of the book's table ``box_past``, (share, date, product) in order, and what to tell of them."""

    rows: tuple[tuple[str, date, str], ...] = ()
    notes: tuple[str, ...] = ()


def boxes_before(
    farm: Farm, entries: Iterable[Entry], first_day: date, planned: tuple[Farm, Plan] | None = None
) -> BoxesBefore:
    """Return what boxes held on the days from the first day of a farm's book until another day.

    What was delivered for a place of a box counts. Of a day with boxes for which nothing is recorded it is
    what a plan put into them, or what was known of it when that plan was made; a note says so.

    Args:
        farm: the farm of the book so far.
        entries: the entries that hold, in any order.
        first_day: the first day of the new book.
        planned: a plan, and the farm it is of.
    """
    given = _delivered(farm, entries)
    as_planned, known = (_planned(*planned), _known(planned[0])) if planned else ({}, {})
    found: Goods = {}
    silent: dict[tuple[str, bool], list[date]] = defaultdict(list)
    for share, day in _days(farm, first_day):
        found[share, day] = (
            given.get((share, day))
            or as_planned.get((share, day))
            or known.get((share, _week(farm, day)), set())
        )
        if (share, day) not in given:
            silent[share, bool(found[share, day])].append(day)
    rows = [(*key, product) for key, products in found.items() for product in sorted(products)]
    return BoxesBefore(
        rows=tuple(sorted(rows, key=lambda row: (row[1], row[0], row[2]))),
        notes=tuple(_note(share, days, known=known) for (share, known), days in sorted(silent.items())),
    )


def _note(share: str, days: list[date], *, known: bool) -> str:
    when = f"on {days[0]}" if len(days) == 1 else f"on {len(days)} days from {days[0]} to {days[-1]}"
    then = "taken as planned" if known else "what they held is not known"
    return f"box_past: no delivery is recorded of the boxes of {share} {when}; {then}"


def _week(farm: Farm, day: date) -> date:
    return farm.date_of(farm.calendar.week_start(farm.calendar.day_of(day)))


def _known(farm: Farm) -> Goods:
    """Return what the first boxes of a plan followed upon: (share, first day of the week) -> products."""
    found: Goods = defaultdict(set)
    for share in farm.boxes.shares.values():
        for past in share.past:
            found[share.name, _week(farm, farm.date_of(past.day))] |= past.products
    for box in farm.boxes.boxes:
        found[box.share, _week(farm, farm.date_of(box.days[0].day))] |= box.begun
    return found


def _days(farm: Farm, first_day: date) -> list[tuple[str, date]]:
    """Return the shares and days with boxes before a day, by day."""
    found = {(place.share, farm.date_of(place.day)) for place in farm.boxes.places.values()}
    return sorted((each for each in found if each[1] < first_day), key=lambda each: (each[1], each[0]))


def _delivered(farm: Farm, entries: Iterable[Entry]) -> Goods:
    found: Goods = defaultdict(set)
    for entry in entries:
        if entry.what == DELIVERED and entry.heads and entry.delivery in farm.boxes.places:
            _put(farm, entry.delivery, entry.crop, found)
    return found


def _planned(farm: Farm, plan: Plan) -> Goods:
    found: Goods = defaultdict(set)
    for row in plan.fills:
        if row.heads and row.demand in farm.boxes.places:
            _put(farm, row.demand, row.crop, found)
    for demand in farm.demands:
        for ready in demand.ready if demand.name in farm.boxes.places else ():
            _put(farm, demand.name, ready.crop, found)
    return found


def _put(farm: Farm, delivery: str, crop: str, found: Goods) -> None:
    """Put the product that a crop is in a place of a box into the box of its day."""
    place = farm.boxes.places[delivery]
    slots: Mapping[str, str] = {slot.name: slot.category for slot in farm.boxes.shares[place.share].slots}
    product = farm.boxes.categories[slots[place.slot]].product_of.get(crop)
    if product is not None:
        found[place.share, farm.date_of(place.day)].add(product)
