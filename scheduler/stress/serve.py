"""What a crew does about it: rules that decide who gets the heads there are.

Deliveries are served by their day, firm ones first on a day, then by rank, price and name.
A delivery first takes what the plan has for it.
What is missing then comes from heads that nobody is promised, of any crop its product is made of: the margin,
and rafts that are ripe sooner than needed; what must be cut first goes first.
A firm delivery then takes heads that flexible deliveries and targets were promised.
Nothing promised to another firm delivery is taken, and nothing is sown.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Demand
from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.stress.draws import Counts
from scheduler.stress.growth import LONGEST_STAY, OpenDays
from scheduler.stress.journey import Journey


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One demand as the crew sees it: its own pickings, and all that could serve it, each in order."""

    demand: Demand
    own: tuple[tuple[int, int], ...]
    others: tuple[int, ...]


def serving_order(journey: Journey, early: int) -> tuple[Order, ...]:
    """Return all demands in the order they are served, with the pickings that may serve them.

    ``early`` is the part of its days, in parts of ten thousand, that a head may lack.
    """
    own: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for (name, number), heads in journey.promised.items():
        own[name].append((number, heads))
    by_crop: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    for at, picking in enumerate(journey.pickings):
        first, last = _nominal(journey, at, early)
        by_crop[journey.patches[picking.patch].batch.crop].append((last, first, at))
    orders = []
    for demand in sorted(journey.farm.demands, key=_rank):
        low, high = _days(demand)
        others = [
            each
            for crop in journey.farm.products[demand.product].sources
            for each in by_crop[crop]
            if each[1] <= high and each[0] >= low
        ]
        orders.append(
            Order(
                demand=demand,
                own=tuple(
                    sorted(own[demand.name], key=lambda each: (journey.pickings[each[0]].day, each[0]))
                ),
                others=tuple(at for _, _, at in sorted(others)),
            )
        )
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
    """Units each demand gets, in some runs."""

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
            for picking, number in order.own:
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
        sources = self.journey.farm.products[demand.product].sources
        got = _Got(demand, sources, self.left.shape[1])
        reach = first, final
        for picking, promised in order.own:
            kept = self.left[picking] if demand.firm else self.left[picking] - self.firm[picking]
            self._take(got, picking, np.minimum(kept, promised), self._ripe(picking, reach, ready, last))
            self.any[picking] -= promised
            if demand.firm:
                self.firm[picking] -= promised
        for promised_to in (self.any, self.firm) if demand.firm else (self.any,):
            for picking in order.others:
                if not got.missing.any():
                    break
                most = self.left[picking] - promised_to[picking]
                if most.max() > 0:
                    self._take(got, picking, most, self._ripe(picking, reach, ready, last))
        units = demand.amount - got.missing
        if self.journey.farm.rules.all_or_nothing and not demand.is_target:
            units = np.where(got.missing > 0, 0, units)
        whole: Counts = units.astype(np.int32)
        return whole

    def _ripe(
        self, picking: int, reach: tuple[int, int], ready: NDArray[np.int32], last: NDArray[np.int32]
    ) -> NDArray[np.bool_]:
        """Say in which runs a picking can be cut on a harvest day from one through another."""
        found: NDArray[np.bool_] = np.maximum(ready[picking], reach[0]) <= np.minimum(last[picking], reach[1])
        return found

    def _take(self, got: "_Got", picking: int, most: Counts, ripe: NDArray[np.bool_]) -> None:
        crop = self.crops[picking]
        taken = np.where(ripe, np.clip(most, 0, got.wanted(crop)), 0).astype(np.int32)
        if taken.any():
            self.left[picking] -= taken
            got.add(crop, taken)


class _Got:
    """Heads one demand has got so far, by crop, and the whole units that are missing."""

    def __init__(self, demand: Demand, sources: Mapping[str, int], runs: int) -> None:
        self.amount, self._sources = demand.amount, sources
        self._heads: dict[str, NDArray[np.int64]] = {}
        self.missing = np.full(runs, demand.amount, np.int64)

    def wanted(self, crop: str) -> NDArray[np.int64]:
        """Return the heads of a crop that would make up what is missing."""
        each = self._sources[crop]
        if each == MILLI:
            return self.missing
        have = self._heads.get(crop)
        if have is None:
            return -(-self.missing * each // MILLI)
        found: NDArray[np.int64] = -(-(have * MILLI // each + self.missing) * each // MILLI) - have
        return np.where(self.missing > 0, found, 0)

    def add(self, crop: str, heads: Counts) -> None:
        """Add heads; each crop's heads make whole units of their own."""
        self._heads[crop] = self._heads.get(crop, 0) + heads.astype(np.int64)
        units = sum(number * MILLI // self._sources[name] for name, number in self._heads.items())
        self.missing = np.maximum(self.amount - units, 0)
