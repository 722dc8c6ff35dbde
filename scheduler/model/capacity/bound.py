"""The linear bound of a steady week: no plan that repeats carries more of the mix.

A small program of its own: plants, not units; slot-days of the whole week, not of each day; rows without
order. It grows in proportion: twice of everything allows exactly twice as much.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ortools.linear_solver.python import model_builder

from scheduler.farm.farm import Product
from scheduler.farm.orders.mixes import needs_of
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import HOUR, MILLI
from scheduler.model.capacity.beds import positions_of
from scheduler.model.capacity.ways import Key, Ways, lane_groups
from scheduler.model.capacity.week import SteadyWeek
from scheduler.model.options.bed_pools import bed_pools
from scheduler.model.options.pools import pools_of
from scheduler.plan.capacity import RoomKind
from scheduler.plan.tally import dome_pool

NOTHING_LIMITS = 1e9
"""Times of a mix that no farm carries: what the bound would be where nothing limits it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What there is of something in all days of the steady week.

    Attributes:
        key: what it is.
        name: as it is told.
        there: slot-days, unit-days, or hundredths of a minute.
        one: the same for one more slot, unit or hour.
    """

    key: Key
    name: str
    there: int
    one: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A solved bound.

    Attributes:
        times: times the mix.
        used: key -> share in use.
        price: key -> times the mix that one more is worth by its dual price.
        heads: crop -> heads in all days of the week.
    """

    times: float
    used: Mapping[Key, float]
    price: Mapping[Key, float]
    heads: Mapping[str, float]


Weights = list[tuple[float, int]]
"""Weights of columns, by the number of the column."""


class Bound:
    """The bound of one steady week; may be asked again with more of something.

    Attributes:
        week: the week.
        ways: every way of raising its crops, the columns.
        supplies: what limits them, the rows.
    """

    def __init__(self, week: SteadyWeek) -> None:
        """List ways and supplies once."""
        self.week, self.ways, self.supplies = week, Ways(week).all(), supplies_of(week)
        self._takes: dict[Key, Weights] = defaultdict(list)
        self._heads: dict[str, Weights] = defaultdict(list)
        for number, way in enumerate(self.ways):
            self._heads[way.crop].append((float(way.heads), number))
            for key, amount in way.takes.items():
                if amount:
                    self._takes[key].append((float(amount), number))

    def solve(self, more: Mapping[Key, int] | None = None) -> Answer:
        """Return the most of the mix; ``more`` adds so many slots, units or hours of something.

        Raises:
            RuntimeError: the solver found no answer, which cannot be: growing nothing is one.
        """
        there = {each.key: each.there + (more or {}).get(each.key, 0) * each.one for each in self.supplies}
        model = model_builder.Model()  # type: ignore[no-untyped-call]
        times = model.new_num_var(0, NOTHING_LIMITS, "times")
        plants = [model.new_num_var(0, float("inf"), f"plants{number}") for number in range(len(self.ways))]
        rows = {
            each.key: model.add_linear_constraint(_sum(self._takes[each.key], plants), ub=there[each.key])
            for each in self.supplies
            if self._takes[each.key]
        }
        self._add_mix(model, times, plants)
        model.maximize(times)
        solver = model_builder.Solver("GLOP")
        if solver.solve(model) != model_builder.SolveStatus.OPTIMAL:
            raise RuntimeError("the linear bound of a steady week has no answer")
        values = [solver.value(variable) for variable in plants]
        used = {key: sum(weight * values[number] for weight, number in self._takes[key]) for key in there}
        return Answer(
            times=solver.objective_value,
            used={key: used[key] / there[key] if there[key] else 0.0 for key in there},
            price={
                each.key: solver.dual_value(rows[each.key]) * each.one if each.key in rows else 0.0
                for each in self.supplies
            },
            heads={crop: sum(w * values[number] for w, number in of) for crop, of in self._heads.items()},
        )

    def _add_mix(
        self, model: model_builder.Model, times: model_builder.Variable, plants: list[model_builder.Variable]
    ) -> None:
        """Share the heads of each crop among the products it fills, each asked for so many times."""
        sold: dict[str, list[model_builder.Variable]] = defaultdict(list)
        for product, amount in self.week.amounts.items():
            made_of = self.week.farm.products[product]
            taken = {
                crop: model.new_num_var(0, float("inf"), f"{product} of {crop}")
                for crop in made_of.sources
                if crop in self._heads
            }
            for crop, heads in taken.items():
                sold[crop].append(heads)
            for need in _needs(made_of):
                parts = [(need[crop], number) for number, crop in enumerate(taken) if crop in need]
                asked = (-amount, len(taken))
                model.add_linear_constraint(_sum([*parts, asked], [*taken.values(), times]), lb=0.0)
        for crop, parts in self._heads.items():
            columns = [*plants, *sold[crop]]
            gone = [(-1.0, number) for number in range(len(plants), len(columns))]
            model.add_linear_constraint(_sum([*parts, *gone], columns), lb=0.0)

    def least_takes(self, crop: str) -> dict[RoomKind, Fraction]:
        """Return the least days of one tray place and of one slot or position each that one head takes."""
        found: dict[RoomKind, Fraction] = {}
        for way in self.ways:
            if way.crop != crop:
                continue
            for (kind, _), amount in way.takes.items():
                each = amount / way.heads
                found[kind] = min(found.get(kind, each), each)
        return found


def _needs(product: Product) -> list[dict[str, float]]:
    """Return, for each thing that a unit of a product asks for, crop -> how much of it one head gives."""
    if product.parts:
        return [{crop: each / need.unit for crop, each in need.heads.items()} for need in needs_of(product)]
    return [{crop: MILLI / per_unit for crop, per_unit in product.sources.items()}]


def _sum(weights: Weights, columns: list[model_builder.Variable]) -> model_builder.LinearExprT:
    return sum(weight * columns[number] for weight, number in weights)


def _told(place: Place) -> str:
    """Return what slots are called: a shelf, with what its tiers are kept for, or a board zone."""
    if place.kind is not PlaceKind.TIER:
        return place.name
    return f"{place.belongs_to} ({place.keeps})" if place.keeps else place.belongs_to


def supplies_of(week: SteadyWeek) -> tuple[Supply, ...]:
    """Return what there is only so much of, places first, in the order of the book."""
    farm, frame = week.farm, week.frame
    days = range(frame.start, frame.start + frame.period)
    found = []
    for kind, place_kind in ((RoomKind.TIER, PlaceKind.TIER), (RoomKind.ZONE, PlaceKind.ZONE)):
        for pool in pools_of(farm, place_kind):
            there = sum(frame.usual(place.slots, day) for place in pool.places for day in days)
            name = ", ".join(dict.fromkeys(map(_told, pool.places)))
            found.append(Supply(key=(kind, pool.name), name=name, there=there, one=len(days)))
    for lanes in lane_groups(farm):
        there = sum(frame.usual(place.slots, day) for place in lanes.places for day in days)
        found.append(Supply(key=(RoomKind.LANE, lanes.name), name=lanes.name, there=there, one=len(days)))
    for beds in bed_pools(farm, frame.start):
        if beds.crops and beds.positions:
            key, there = (RoomKind.BED, beds.name), beds.positions * len(days)
            found.append(Supply(key=key, name=positions_of(beds), there=there, one=len(days)))
    for each in farm.equipment.values():
        if each.item != "dome":
            key = (RoomKind[each.item.upper()], each.name)
            found.append(Supply(key=key, name=each.name, there=each.owned * len(days), one=len(days)))
    domes = dome_pool(farm)
    if domes is not None:
        key = (RoomKind.DOME, domes.name)
        found.append(Supply(key=key, name=domes.name, there=domes.owned * len(days), one=len(days)))
    hands = farm.hands
    if hands is not None:
        there = sum(frame.usual(hands, day) for day in days)
        found.append(Supply(key=(RoomKind.HOURS, ""), name="the crew", there=there, one=HOUR * week.weeks))
    return tuple(found)
