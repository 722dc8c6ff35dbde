"""What grows already can still give, and which deliveries that could fill."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Demand, Farm, Growing, Product
from scheduler.farm.growth.picking import Picking, amounts_of
from scheduler.farm.orders.mixes import heads_for, units_made
from scheduler.farm.orders.reach import cut_days_of_growing, pickings_to_come
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div


@dataclass(slots=True)
class GrowingCut:
    """One cut or picking of something that grows: its possible days, and the heads not yet spoken for."""

    crop: str
    days: tuple[int, ...]
    heads: int


def cuts_to_come(farm: Farm, rows: Iterable[Growing] | None = None) -> list[GrowingCut]:
    """Return every cut that what grows, or some rows of it, can still give; what is over soonest first."""
    cuts: list[GrowingCut] = []
    for row in farm.growing if rows is None else rows:
        crop = farm.crops[row.crop]
        if crop.picking is not None:
            cuts += _pickings(farm, row, crop.picking)
            continue
        for number, days in enumerate(cut_days_of_growing(farm, row)):
            over = row.part_heads if number == 0 else 0
            cuts.append(GrowingCut(row.crop, tuple(days), _heads(crop, row, over)))
    return sorted(cuts, key=lambda cut: cut.days[-1])


def _pickings(farm: Farm, row: Growing, picking: Picking) -> list[GrowingCut]:
    """Return every picking of a row that ends in a bed, or stands in one, as a cut of one day."""
    picks = pickings_to_come(farm, row)
    amounts = amounts_of(picks, row.plants, picking.curve, farm.crops[row.crop].heads_share)
    return [GrowingCut(row.crop, (pick.day,), amount) for pick, amount in zip(picks, amounts, strict=True)]


def heads_to_come(farm: Farm, row: Growing) -> int:
    """Return the heads, pieces or grams a growing row can still give, its later cuts or pickings included."""
    crop = farm.crops[row.crop]
    if crop.picking is not None:
        return sum(cut.heads for cut in _pickings(farm, row, crop.picking))
    cuts, each = crop.cuts - row.cuts_done, _heads(crop, row)
    return each * cuts + _heads(crop, row, row.part_heads) - each


def _heads(crop: Crop, row: Growing, over: int = 0) -> int:
    """Return the heads a growing row gives at one cut; ``over`` is what rounding left over for it."""
    kinds = [stage.kind for stage in crop.route]
    plants = row.plants
    for stage in crop.route[kinds.index(row.stage) : -1]:
        if stage.kind != kinds[0]:
            plants = plants * stage.survival // WHOLE_SHARE
    return (plants * crop.heads_share + over) // WHOLE_SHARE


def taken_from(cuts: list[GrowingCut], demand: Demand, farm: Farm) -> bool:
    """Take a demand from the cuts that are fresh for it; say whether they have all of it, else take none."""
    fresh = _fresh(cuts, demand)
    units, needed = _units_of(farm, demand, _heads_there(fresh))
    if units < demand.amount - demand.in_hand:
        return False
    for cut in fresh:
        heads = min(cut.heads, needed[cut.crop])
        cut.heads -= heads
        needed[cut.crop] -= heads
    return True


def _units_of(farm: Farm, demand: Demand, there: dict[str, int]) -> tuple[int, dict[str, int]]:
    """Return how many units of a demand can be made of some heads, and crop -> the heads that they take."""
    most = missing = demand.amount - demand.in_hand
    needed: dict[str, int] = defaultdict(int)
    for name in demand.products:
        product = farm.products[name]
        units = min(missing, units_made(product, there))
        for crop, heads in _heads_taken(product, there, units).items():
            there[crop] -= heads
            needed[crop] += heads
        missing -= units
    return most - missing, needed


def _heads_taken(product: Product, there: Mapping[str, int], units: int) -> dict[str, int]:
    """Return crop -> heads that some units of a product take of what is there."""
    if product.parts:
        return {crop: min(heads, there[crop]) for crop, heads in heads_for(product, units).items()}
    taken: dict[str, int] = {}
    for crop, plants in product.sources.items():
        here = min(units, there[crop] * MILLI // plants)
        taken[crop] = ceil_div(here * plants, MILLI)
        units -= here
    return taken


def _fresh(cuts: Iterable[GrowingCut], demand: Demand) -> list[GrowingCut]:
    """Return the cuts that may be made on a day near enough to a demand."""
    first = demand.first - demand.max_age
    return [cut for cut in cuts if any(first <= day <= demand.last for day in cut.days)]


def _heads_there(cuts: Iterable[GrowingCut]) -> dict[str, int]:
    there: dict[str, int] = defaultdict(int)
    for cut in cuts:
        there[cut.crop] += cut.heads
    return there


class Unused:
    """Says which deliveries could have some of what grows already and a plan gives to nobody."""

    def __init__(self, farm: Farm, thrown: Mapping[str, int], left: Mapping[tuple[str, int], int]) -> None:
        """Take lot -> plants thrown away on the first day, and (lot, day) -> heads cut then and left over.

        Only lots that grow on the first day count.
        """
        self._farm = farm
        self._cuts: dict[str, list[GrowingCut]] = defaultdict(list)
        for row in farm.growing:
            plants = min(row.plants, thrown.get(row.lot, 0))
            if plants > 0:
                self._cuts[row.lot] += cuts_to_come(farm, [replace(row, plants=plants, part_heads=0)])
        crop_of = {row.lot: row.crop for row in farm.growing}
        for (lot, day), heads in left.items():
            if lot in crop_of and heads > 0:
                self._cuts[lot].append(GrowingCut(crop_of[lot], (day,), heads))

    def lots_for(self, demand: Demand) -> list[str]:
        """Return the lots that a demand could have had something of; none where that would not count.

        What is thrown away counts where it could be cut or picked fresh for it, what is left over where it
        was. Together they have to make one unit; where deliveries are complete or nothing, all that is not
        in hand. Each demand is looked at by itself, as if the others took nothing of them and there were
        room for all.
        """
        fresh = {lot: there for lot, cuts in self._cuts.items() if (there := _fresh(cuts, demand))}
        units, needed = _units_of(
            self._farm, demand, _heads_there(cut for cuts in fresh.values() for cut in cuts)
        )
        whole = self._farm.rules.all_or_nothing and not demand.is_target
        if units < (demand.amount - demand.in_hand if whole else 1):
            return []
        return [lot for lot, cuts in fresh.items() if any(cut.heads and needed.get(cut.crop) for cut in cuts)]
