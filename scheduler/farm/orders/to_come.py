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
    fresh, missing = _fresh(cuts, demand), demand.amount - demand.in_hand
    there = _heads_there(fresh)
    needed: dict[str, int] = defaultdict(int)
    for name in demand.products:
        product = farm.products[name]
        units = min(missing, units_made(product, there))
        for crop, heads in _heads_taken(product, there, units).items():
            there[crop] -= heads
            needed[crop] += heads
        missing -= units
    if missing:
        return False
    for cut in fresh:
        heads = min(cut.heads, needed[cut.crop])
        cut.heads -= heads
        needed[cut.crop] -= heads
    return True


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


class ThrownAway:
    """Says which deliveries could have some of what grows and is thrown away on the first day."""

    def __init__(self, farm: Farm, plants: Mapping[str, int]) -> None:
        """Take growing lot -> plants of it that are thrown away; unknown lots are left out."""
        self._farm = farm
        rows = [
            replace(row, plants=min(row.plants, plants.get(row.lot, 0)), part_heads=0) for row in farm.growing
        ]
        self._cuts = {row.lot: cuts_to_come(farm, [row]) for row in rows if row.plants > 0}

    def lots_for(self, demand: Demand) -> list[str]:
        """Return the lots that could be cut or picked fresh for a demand; none where they make no unit.

        Each demand is looked at by itself, as if the others took nothing of them, and as if there were room.
        """
        fresh = {
            lot: there for lot, cuts in self._cuts.items() if (there := _heads_there(_fresh(cuts, demand)))
        }
        together = _heads_there(cut for lot in fresh for cut in _fresh(self._cuts[lot], demand))
        made = [self._farm.products[name] for name in demand.products]
        crops = {crop for product in made if units_made(product, together) for crop in product.sources}
        return [lot for lot, there in fresh.items() if crops & {crop for crop in there if there[crop]}]
