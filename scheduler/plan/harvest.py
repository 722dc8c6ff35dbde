"""Everything a plan harvests, whatever it stands in: heads of a lot on a day, and what they come from."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.rows import CutRow, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Harvest:
    """Heads (pieces, grams) of one lot taken on one day.

    Attributes:
        source: the unit they are cut from, or the planting they are picked from.
        lot, day: whose, and when.
        number: which cut or picking of these plants.
        plants: plants that are cut or picked.
        heads: what can be sold of it.
        picked: whether it is a picking in a bed.
    """

    source: str
    lot: str
    day: int
    number: int
    plants: int
    heads: int
    picked: bool = False


def harvests(
    cuts: Iterable[CutRow], plantings: Iterable[PlantingRow], pickings: Iterable[PickingRow]
) -> list[Harvest]:
    """Return cuts and then pickings; pickings of plantings that are not known are left out."""
    found = [
        Harvest(
            source=row.unit, lot=row.lot, day=row.day, number=row.number, plants=row.plants, heads=row.heads
        )
        for row in cuts
    ]
    known = {row.planting: row for row in plantings}
    for row in pickings:
        planting = known.get(row.planting)
        if planting is not None:
            found.append(
                Harvest(
                    source=row.planting,
                    lot=planting.lot,
                    day=row.day,
                    number=row.number,
                    plants=planting.plants,
                    heads=row.heads,
                    picked=True,
                )
            )
    return found


def harvests_of(plan: Plan) -> list[Harvest]:
    """Return everything a plan harvests."""
    return harvests(plan.cuts, plan.plantings, plan.pickings)


def heads_left(plan: Plan) -> Counter[tuple[str, int]]:
    """Return (lot, day) -> heads cut or picked on it that go into no delivery and are sold at no outlet."""
    left: Counter[tuple[str, int]] = Counter()
    for harvest in harvests_of(plan):
        left[harvest.lot, harvest.day] += harvest.heads
    for row in plan.fills:
        left[row.lot, row.cut_day] -= row.heads
    for sale in plan.sales:
        left[sale.lot, sale.cut_day] -= sale.heads
    return left
