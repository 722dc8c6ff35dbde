"""Seed and packaging as a farm buys them, in whole packs and whole hundredths of money."""

from dataclasses import dataclass

from scheduler.farm.calendar import Calendar
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div

SEED, PLUGS, PACKAGING = "seed", "plugs", "packaging"


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """One seed or packaging that is ordered.

    Attributes:
        item: its name in the book.
        kind: ``seed``, ``plugs`` or ``packaging``.
        crop: the crop a seed is sown for, or of the plugs; empty for packaging.
        products: the products packed in it; none for seed and plugs.
        per_unit: thousandths of a piece for one unit sold.
        in_stock: seeds or pieces there on day 0.
        pack_size: seeds or pieces in one pack.
        least_packs: fewest packs in one order.
        lead_days: days from ordering to arrival; what comes on a day can be used that day.
        spare: extra on top of what is used, parts of ten thousand.
        price: hundredths of money for one pack.
        order_days: weekdays (0 is Monday) on which the farm orders.
    """

    item: str
    kind: str
    crop: str = ""
    products: tuple[str, ...] = ()
    per_unit: int = MILLI
    in_stock: int = 0
    pack_size: int = 1
    least_packs: int = 1
    lead_days: int = 0
    spare: int = 0
    price: int = 0
    order_days: frozenset[int] = frozenset(range(7))

    @property
    def noun(self) -> str:
        """What one of it is called: seed, plug or piece."""
        return {SEED: "seed", PLUGS: "plug"}.get(self.kind, "piece")

    @property
    def used_for(self) -> str:
        """The crop, or the products with ``; `` between."""
        return self.crop or "; ".join(self.products)

    def pieces_for(self, units: int) -> int:
        """Return the whole pieces that pack one delivery of so many units."""
        return ceil_div(units * self.per_unit, MILLI)

    def with_spare(self, number: int) -> int:
        """Return seeds or pieces with the spare on top, rounded up."""
        return ceil_div(number * (WHOLE_SHARE + self.spare), WHOLE_SHARE)

    def order_by(self, calendar: Calendar, needed: int) -> int:
        """Return the last order day from which it still comes by the day it is needed."""
        day = needed - self.lead_days
        while calendar.weekday(day) not in self.order_days:
            day -= 1
        return day

    def next_arrival(self, calendar: Calendar, today: int) -> tuple[int, int]:
        """Return the first order day from ``today`` on, and the day on which that order comes."""
        day = today
        while calendar.weekday(day) not in self.order_days:
            day += 1
        return day, day + self.lead_days
