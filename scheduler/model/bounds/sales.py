"""What is cut and sold in the relaxation: heads left after losses, and the demands they fill."""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Product
from scheduler.farm.orders.mixes import needs_of
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.model.bounds.rafts import Cuts
from scheduler.model.bounds.season import Season
from scheduler.model.goals import wasted_head
from scheduler.model.options.frame import OUTLET, Wish

Shortage = dict[int, int]
"""Column -> weight of one unit short."""


class Order(NamedTuple):
    """A wish for units of crops: thousandths of a head that a unit takes of each, days of cutting, column.

    The column counts the units short.
    """

    heads: Mapping[str, int]
    first: int
    last: int
    amount: int
    column: int


class Sales:
    """Writes the demands of a season.

    Attributes:
        short: level -> columns of units short, with their weights.
        lost: level -> weighted shortage of what nothing can fill.
        orders: what may be filled of single crops, mixes left out, once :meth:`fill` has written it.
    """

    def __init__(self, season: Season, wishes: Iterable[Wish]) -> None:
        """Take the wishes; those alike in all but weight share what fills them."""
        self._season = season
        self._alike: dict[tuple[tuple[str, ...], int, int], list[Wish]] = defaultdict(list)
        self._stalls: list[Wish] = []
        for wish in wishes:
            if wish.level == OUTLET:
                self._stalls.append(wish)
                continue
            self._alike[wish.products, wish.first - wish.age, wish.last].append(wish)
        self.short: dict[int, Shortage] = {1: {}, 2: {}}
        self.lost = {1: 0, 2: 0}
        self.orders: list[Order] = []
        self._fills: dict[str, dict[int, list[int]]] = defaultdict(lambda: defaultdict(list))

    def step(self, level: int) -> int:
        """Return a number of which every weighted shortage of a level is a multiple."""
        farm = self._season.farm
        whole = {d.name for d in farm.demands if farm.rules.all_or_nothing and not d.is_target}
        wishes = [wish for alike in self._alike.values() for wish in alike if wish.level == level]
        return math.gcd(*(w.weight * (w.amount if w.name in whole else 1) for w in wishes)) or 1

    def useful_days(self) -> dict[str, set[int]]:
        """Return crop -> days on which a cut could serve a wish."""
        found: dict[str, set[int]] = defaultdict(set)
        for products, opens, last in self._alike:
            for name in products:
                for crop in self._season.farm.products[name].sources:
                    found[crop].update(range(opens, last + 1))
        for wish in self._stalls:
            for crop in self._season.farm.products[wish.product].sources:
                found[crop].update(range(wish.first - wish.age, wish.last + 1))
        return found

    def fill(self, cut_days: Mapping[str, Iterable[int]]) -> None:
        """Write what fills each demand, given the days on which each crop is cut."""
        days = {crop: sorted(of_crop) for crop, of_crop in cut_days.items()}
        for (products, opens, last), wishes in self._alike.items():
            found = [self._season.farm.products[name] for name in products]
            amount = sum(wish.amount for wish in wishes)
            parts = math.lcm(*(each for some in found if not some.parts for each in some.sources.values()))
            terms = []
            for product in found:
                into = {
                    crop: [
                        self._heads(crop, day, ceil_div(amount * per_unit, MILLI))
                        for day in days.get(crop, ())
                        if opens <= day <= last
                    ]
                    for crop, per_unit in product.sources.items()
                }
                if product.parts:
                    terms += [(column, -parts) for column in self._mixed(product, into, amount)]
                    continue
                terms += [
                    (column, -MILLI * (parts // product.sources[crop]))
                    for crop, columns in into.items()
                    for column in columns
                ]
            if not terms:
                for wish in wishes:
                    self.lost[wish.level] += wish.weight * wish.amount
                continue
            mixed = any(product.parts for product in found)
            heads = {} if mixed else _least_heads(found)
            for wish in wishes:
                column = self._season.column(wish.amount)
                self.short[wish.level][column] = wish.weight
                terms.append((column, -parts))
                if not mixed:
                    self.orders.append(Order(heads, opens, last, wish.amount, column))
            self._season.program.keep(terms, -parts * amount)
        self._sell_at_outlets(days)

    def _sell_at_outlets(self, days: Mapping[str, Sequence[int]]) -> None:
        """Write what outlets take, week by week and step by step, and what that brings."""
        stalls = {wish.name: wish for wish in self._stalls}
        for week in self._season.farm.outlets if stalls else ():
            units = [column for stall in week.stalls for column in self._stall(stalls[stall.name], days)]
            for step in week.steps:
                sold = self._season.column(step.amount)
                self._season.program.keep([(sold, 1)], step.amount)
                self._season.pay(-step.price * MILLI, sold)
                units.append((sold, 1))
            self._season.program.keep(units, 0)

    def _stall(self, wish: Wish, days: Mapping[str, Sequence[int]]) -> list[tuple[int, int]]:
        """Write the units that an outlet sells on one day; a column of units counts as one less."""
        product = self._season.farm.products[wish.product]
        into = {
            crop: [
                self._heads(crop, day, ceil_div(wish.amount * per_unit, MILLI))
                for day in days.get(crop, ())
                if wish.first - wish.age <= day <= wish.last
            ]
            for crop, per_unit in product.sources.items()
        }
        if product.parts:
            return [(column, -1) for column in self._mixed(product, into, wish.amount)]
        found = []
        for crop, columns in into.items():
            units = self._season.column(wish.amount)
            there = [(column, -MILLI) for column in columns]
            self._season.program.keep([(units, product.sources[crop]), *there], 0)
            found.append((units, -1))
        return found

    def _heads(self, crop: str, day: int, most: int) -> int:
        """Return a new column: heads of a crop, cut on a day, that go into some wishes."""
        column = self._season.column(most)
        self._fills[crop][day].append(column)
        self._season.pay(-wasted_head(self._season.farm, crop), column)
        return column

    def _mixed(self, mix: Product, into: Mapping[str, Sequence[int]], amount: int) -> list[int]:
        """Write the units of a mix that the heads of its parts make; none where a part is never there."""
        needs = needs_of(mix)
        if not all(any(into[crop] for crop in need.heads) for need in needs):
            return []
        units = self._season.column(amount)
        for need in needs:
            there = [(column, -each) for crop, each in need.heads.items() for column in into[crop]]
            self._season.program.keep([(units, need.unit), *there], 0)
        return [units]

    def sell(self, crop: Crop, cuts: Cuts, spread: int) -> None:
        """Write that no more heads of a crop are sold than its cuts give.

        What rounding takes from one day may be made up for on another, at most ``spread`` days later: so a
        day gives no more heads than plants are cut, and losses are taken from stretches of days, the heads
        of one stretch or the next. What rounding left over before the first day comes on top, on any days.
        """
        left_over = sum(row.part_heads for row in self._season.farm.growing if row.crop == crop.name)
        if crop.heads_share == WHOLE_SHARE or not spread:
            over = self._sell_by_day(crop, cuts, left_over)
        else:
            over = self._sell_by_stretch(crop, cuts, spread, left_over)
        self._season.program.keep([(column, 1) for column in over], left_over)

    def _sell_by_day(self, crop: Crop, cuts: Cuts, left_over: int) -> list[int]:
        """Take the losses of each day by themselves; return the columns of what rounding left over before."""
        over: list[int] = []
        for day, filled in self._fills[crop.name].items():
            terms = [(column, WHOLE_SHARE) for column in filled]
            terms += [(column, -crop.heads_share) for column in cuts[day]]
            self._season.program.keep([*terms, *self._over(left_over, over)], 0)
        return over

    def _sell_by_stretch(self, crop: Crop, cuts: Cuts, spread: int, left_over: int) -> list[int]:
        """Take losses from stretches of days; return the columns of what rounding left over before."""
        fills = self._fills[crop.name]
        keep, share = self._season.program.keep, crop.heads_share
        over: list[int] = []
        stretches: dict[int, list[int]] = defaultdict(list)
        for day, filled in sorted(fills.items()):
            # of a plant that is sold by mass a day may give all its grams
            most = ceil_div(share, WHOLE_SHARE)
            keep([*((column, 1) for column in filled), *((column, -most) for column in cuts[day])], 0)
        for day in sorted(cuts):
            stretches[day // spread].append(day)
        carried: int | None = None
        for number in range(min(stretches, default=0), max(stretches, default=-1) + 1):
            days = stretches.get(number, [])
            filled = [column for day in days for column in fills.get(day, ())]
            if carried is not None:
                keep([(carried, 1), *((column, -1) for column in filled)], 0)
            most = sum(
                self._season.program.most[column]
                for day in stretches.get(number + 1, ())
                for column in fills.get(day, ())
            )
            later = self._season.column(most)
            terms = [(later, WHOLE_SHARE), *((column, WHOLE_SHARE) for column in filled)]
            terms += [(column, -share) for day in days for column in cuts[day]]
            terms += self._over(left_over, over)
            if carried is not None:
                terms.append((carried, -WHOLE_SHARE))
            keep(terms, 0)
            carried = later
        return over

    def _over(self, most: int, columns: list[int]) -> list[tuple[int, int]]:
        """Return a new column of what rounding left over, in ten thousandths, as a term; none of nothing."""
        if not most:
            return []
        columns.append(self._season.column(most))
        return [(columns[-1], -1)]


def _least_heads(products: Iterable[Product]) -> dict[str, int]:
    """Return the thousandths of a head of each crop that a unit takes at least."""
    heads: dict[str, int] = {}
    for product in products:
        for crop, each in product.sources.items():
            heads[crop] = min(each, heads.get(crop, each))
    return heads
