"""What a crew does about it: rules that decide who gets the heads there are.

Deliveries are served by their day, firm ones first on a day, then by rank, price and name.
A delivery first takes what the plan has for it.
What is missing then comes from heads that nobody is promised, of any crop its product is made of: the margin,
and rafts that are ripe sooner than needed; what must be cut first goes first.
Of a mix every part is brought up to what the plan has, then parts may go to their greatest share; a product
that may stand in comes last.
A firm delivery then takes heads that flexible deliveries and targets were promised.
Nothing promised to another firm delivery is taken, and nothing is sown.
"""

import itertools
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Demand
from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.stress.draws import Counts
from scheduler.stress.growth import LONGEST_STAY, OpenDays
from scheduler.stress.journey import Journey
from scheduler.stress.parcels import Got


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One demand as the crew sees it.

    Attributes:
        demand: the demand.
        own: (product, picking, heads) of what the plan has for it, what is cut first before the rest.
        others: for each product that may serve it, in order of choice: all pickings that could give heads
            for it, those that must be cut first before others.
    """

    demand: Demand
    own: tuple[tuple[str, int, int], ...]
    others: tuple[tuple[str, tuple[int, ...]], ...]


def serving_order(journey: Journey, early: int) -> tuple[Order, ...]:
    """Return all demands in the order they are served, with the pickings that may serve them.

    ``early`` is the part of its days, in parts of ten thousand, that a head may lack.
    """
    own: dict[str, list[tuple[str, int, int]]] = defaultdict(list)
    for (name, product, number), heads in journey.promised.items():
        own[name].append((product, number, heads))
    by_crop: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for at, picking in enumerate(journey.pickings):
        first, last = _nominal(journey, at, early)
        by_crop[journey.patches[picking.patch].batch.crop].append((last, first, at))
    orders = []
    for demand in sorted(journey.farm.demands, key=_rank):
        low, high = _days(demand)
        others = []
        for name in demand.products:
            crops = journey.farm.products[name].sources
            near = (each for crop in crops for each in by_crop[crop] if each[1] <= high and each[0] >= low)
            others.append((name, tuple(at for _, _, at in sorted(near))))
        mine = sorted(own[demand.name], key=lambda each: (journey.pickings[each[1]].day, each[1], each[0]))
        orders.append(Order(demand=demand, own=tuple(mine), others=tuple(others)))
    return tuple(orders)


def _rank(demand: Demand) -> tuple[int, bool, int, int, str]:
    return demand.last, not demand.firm, demand.priority, -demand.price, demand.name


def _days(demand: Demand) -> tuple[int, int]:
    """Return the first and last day on which heads for a demand may be cut."""
    return (demand.first, demand.last) if demand.is_target else (demand.first - demand.max_age, demand.first)


def _nominal(journey: Journey, at: int, early: int) -> tuple[int, int]:
    """Return days between which a picking can be cut in some run: wide, to leave out what never could."""
    picking = journey.pickings[at]
    patch = journey.patches[picking.patch]
    crop = journey.crop_of(at)
    total = sum(stage.days for stage in crop.route)
    sooner = total * early // WHOLE_SHARE + crop.route[-1].wait
    # slow growth makes fewer days of it, so these are too many and never too few
    slowest = max(1, journey.farm.pace.slowest())
    latest = max(patch.last_cut, patch.batch.leaves) + LONGEST_STAY
    return patch.first_cut - sooner * MILLI // slowest - 1, latest


class Served:
    """Units each demand gets, in some runs.

    Attributes:
        journey, orders, open: the plan, its demands in the order they are served, and harvest days.
        left: pickings x runs, heads that are left.
        crops: the crop of each picking.
        firm, any: by picking, heads still promised to firm demands, and to any.
    """

    def __init__(
        self, journey: Journey, orders: tuple[Order, ...], heads: NDArray[np.int32], days: OpenDays
    ) -> None:
        """Begin with all heads there; ``heads`` are runs x pickings."""
        self.journey, self.orders, self.open = journey, orders, days
        self.left = np.ascontiguousarray(heads.T)
        self.crops = [journey.crop_of(at).name for at in range(len(journey.pickings))]
        self.firm = np.zeros(len(journey.pickings), np.int64)
        self.any = np.zeros(len(journey.pickings), np.int64)
        for order in orders:
            for _, picking, number in order.own:
                self.any[picking] += number
                if order.demand.firm:
                    self.firm[picking] += number

    def units(self, ready: NDArray[np.int32], last: NDArray[np.int32]) -> NDArray[np.int32]:
        """Return runs x demands, in the order of the farm: whole units each gets.

        Args:
            ready: runs x pickings, the first harvest day each can be cut.
            last: runs x pickings, the last.
        """
        ready, last = np.ascontiguousarray(ready.T), np.ascontiguousarray(last.T)
        place = {demand.name: at for at, demand in enumerate(self.journey.farm.demands)}
        found = np.zeros((len(place), self.left.shape[1]), np.int32)
        for order in self.orders:
            found[place[order.demand.name]] = self._serve(order, ready, last)
        return found.T

    def _serve(self, order: Order, ready: NDArray[np.int32], last: NDArray[np.int32]) -> Counts:
        demand = order.demand
        low, high = _days(demand)
        first = int(self.open.on_or_after(np.array([max(low, 0)], np.int32))[0])
        final = int(self.open.on_or_before(np.array([high], np.int32))[0])

        def ripe(picking: int) -> NDArray[np.bool_]:
            found: NDArray[np.bool_] = np.maximum(ready[picking], first) <= np.minimum(last[picking], final)
            return found

        planned: dict[tuple[str, str], int] = defaultdict(int)
        for product, picking, promised in order.own:
            planned[product, self.crops[picking]] += promised
        got = Got(demand, self.journey.farm.products, planned, self.left.shape[1])
        for product, picking, promised in order.own:
            kept = self.left[picking] if demand.firm else self.left[picking] - self.firm[picking]
            self._take(got, (product, picking), np.minimum(kept, promised), ripe)
            self.any[picking] -= promised
            if demand.firm:
                self.firm[picking] -= promised
        self._make_up(got, order, ripe)
        units = demand.amount - got.missing
        if self.journey.farm.rules.all_or_nothing and not demand.is_target:
            units = np.where(got.missing > 0, 0, units)
        served: Counts = units.astype(np.int32)
        return served

    def _make_up(self, got: Got, order: Order, ripe: Callable[[int], NDArray[np.bool_]]) -> None:
        """Take from other pickings what is missing: of the product that was ordered before any substitute."""
        spared = (self.any, self.firm) if order.demand.firm else (self.any,)
        for product, pickings in order.others:
            is_mix = bool(self.journey.farm.products[product].parts)
            ways = itertools.product((False, True) if is_mix else (False,), spared, pickings)
            for stretched, promised, picking in ways:
                if not got.missing.any():
                    return
                most = self.left[picking] - promised[picking]
                if most.max() > 0:
                    self._take(got, (product, picking), most, ripe, stretched=stretched)

    def _take(
        self,
        got: Got,
        where: tuple[str, int],
        most: Counts,
        ripe: Callable[[int], NDArray[np.bool_]],
        *,
        stretched: bool = False,
    ) -> None:
        product, picking = where
        crop = self.crops[picking]
        wanted = got.parcels[product].wanted(crop, got.missing, stretched=stretched)
        taken = np.where(ripe(picking), np.clip(most, 0, wanted), 0).astype(np.int32)
        if taken.any():
            self.left[picking] -= taken
            got.add(product, crop, taken)
