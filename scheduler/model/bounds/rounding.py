"""What follows from rafts being whole: deliveries that want a raft and a bit want two rafts, or lack the bit.

Rafts of which something can be cut on the days that serve some deliveries are a whole number. One fewer than
would be enough leaves at least that short which did not fit on them, two fewer more than twice as much: so
the shortage is at least what the last raft would hold, for each raft that is missing. This is the rounding of
a mixed-integer row (Wolsey, Integer Programming, 1998, section 8.7; from memory).
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.model.bounds.rafts import Rafts
from scheduler.model.bounds.sales import Order
from scheduler.model.bounds.season import Season

MOST_RAFTS = 4
"""Rafts up to which deliveries are rounded up together; with more of them rounding matters little."""


@dataclass(frozen=True, slots=True)
class _Window:
    """Days of cutting and the orders that can be served on no other days."""

    first: int
    last: int
    orders: tuple[Order, ...]


def round_up(season: Season, orders: Iterable[Order], written: Mapping[str, Rafts]) -> None:
    """Write for deliveries of the same crops what whole rafts leave short of them.

    Args:
        season: the season.
        orders: what is wanted, mixes left out.
        written: crop -> its rafts, for the crops that stand on whole rafts.
    """
    alike: dict[frozenset[str], list[Order]] = defaultdict(list)
    for order in orders:
        if all(crop in written for crop in order.heads):
            alike[frozenset(order.heads)].append(order)
    for crops, wanted in alike.items():
        rafts = [written[crop] for crop in sorted(crops)]
        units = max(_units(written[crop], order.heads[crop]) for order in wanted for crop in crops)
        for window in _windows(wanted, units * MOST_RAFTS):
            if all(of_crop.cuts_once(window.first, window.last) for of_crop in rafts):
                whole = (of_crop.whole for of_crop in rafts if of_crop.whole)
                columns = [column for some in whole for column in some.within(window.first, window.last)]
                _write(season, window, columns, units)


def _units(rafts: Rafts, heads: int) -> int:
    """Return the most units that one raft gives in one cut; ``heads`` are thousandths a unit takes."""
    return ceil_div(rafts.crop.finish.plants_per_unit * rafts.most_of_plant * MILLI, WHOLE_SHARE * heads)


def _windows(orders: Iterable[Order], most: int) -> Iterator[_Window]:
    """Yield runs of days with the orders within, of up to ``most`` units together."""
    by_last = sorted(orders, key=lambda order: (order.last, order.first))
    for first in sorted({order.first for order in by_last}):
        inside: list[Order] = []
        later = [order for order in by_last if order.first >= first]
        for number, order in enumerate(later):
            inside.append(order)
            if sum(each.amount for each in inside) > most:
                break
            if number + 1 == len(later) or later[number + 1].last > order.last:
                yield _Window(first, order.last, tuple(inside))


def _write(season: Season, window: _Window, rafts: Iterable[int], units: int) -> None:
    wanted = sum(order.amount for order in window.orders)
    needed = ceil_div(wanted, units)
    on_last = wanted - (needed - 1) * units
    short = [(order.column, -1) for order in window.orders]
    season.program.keep([*((column, -on_last) for column in rafts), *short], -on_last * needed)
