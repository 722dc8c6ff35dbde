"""Harvests: what is cut or picked of each lot on each day, from which rows or beds, and what is asked for."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan import harvest as taken
from scheduler.plan.rows import Plan
from scheduler.plan.tally import first_positions


@dataclass(frozen=True, slots=True, kw_only=True)
class Harvest:
    """Heads of one lot cut or picked on one day.

    Attributes:
        day: day number.
        lot, crop: names.
        numbers: which cuts or pickings these are, 1 for the first.
        lanes: rows the rafts stand in, or beds, in the book's order.
        rafts: rafts cut.
        plants, heads: plants cut, and the heads of them that can be sold.
        delivered: heads of them that go into deliveries and targets.
        sold: heads of them that are sold at outlets.
    """

    day: int
    lot: str
    crop: str
    numbers: tuple[int, ...]
    lanes: tuple[str, ...]
    rafts: int
    plants: int
    heads: int
    delivered: int
    sold: int = 0

    @property
    def left(self) -> int:
        """Heads that nobody asked for, and no outlet sells."""
        return self.heads - self.delivered - self.sold


def harvests(farm: Farm, plan: Plan, *, whole: bool = False) -> tuple[Harvest, ...]:
    """Return the harvests by day, then lot; those past the last reported day only with ``whole``."""
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    delivered, sold = delivered_heads(plan), sold_heads(plan)
    lanes = lanes_of_rafts(farm, plan) | {row.planting: row.bed for row in plan.plantings}
    rank = {place.name: number for number, place in enumerate(farm.places)}
    together: dict[tuple[int, str], list[taken.Harvest]] = defaultdict(list)
    for cut in taken.harvests_of(plan):
        if whole or cut.day < farm.calendar.days:
            together[cut.day, cut.lot].append(cut)
    return tuple(
        Harvest(
            day=day,
            lot=lot,
            crop=crop_of.get(lot, ""),
            numbers=tuple(sorted({cut.number for cut in cuts})),
            lanes=tuple(
                sorted(
                    {lanes[cut.source] for cut in cuts if cut.source in lanes}, key=lambda name: rank[name]
                )
            ),
            rafts=len({cut.source for cut in cuts if not cut.picked}),
            plants=sum(cut.plants for cut in cuts),
            heads=sum(cut.heads for cut in cuts),
            delivered=delivered.get((lot, day), 0),
            sold=sold.get((lot, day), 0),
        )
        for (day, lot), cuts in sorted(together.items())
    )


def delivered_heads(plan: Plan) -> dict[tuple[str, int], int]:
    """Return (lot, cut day) -> heads that go into deliveries and targets."""
    heads: dict[tuple[str, int], int] = defaultdict(int)
    for row in plan.fills:
        heads[row.lot, row.cut_day] += row.heads
    return dict(heads)


def sold_heads(plan: Plan) -> dict[tuple[str, int], int]:
    """Return (lot, cut day) -> heads that are sold at outlets."""
    heads: dict[tuple[str, int], int] = defaultdict(int)
    for row in plan.sales:
        heads[row.lot, row.cut_day] += row.heads
    return dict(heads)


def lanes_of_rafts(farm: Farm, plan: Plan) -> dict[str, str]:
    """Return unit -> the place it stands in first; a raft never changes its row."""
    known = {place.name for place in farm.places}
    first = first_positions(plan.positions)
    return {unit: row.place for unit, row in first.items() if row.place in known}
