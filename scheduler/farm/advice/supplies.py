"""Notes on seed: crops for which none is ordered, and stock that ends before an order could come."""

from collections.abc import Iterator
from dataclasses import replace

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.orders.goods import crops_for
from scheduler.farm.orders.reach import earliest_cut
from scheduler.farm.orders.to_come import heads_to_come
from scheduler.farm.supplies import Supply
from scheduler.farm.units import MILLI, ceil_div, needed_for


def supply_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of crops without seed to order, if any has, and of seed that an order today is too late for."""
    seeds = {supply.crop for supply in farm.supplies if supply.crop}
    sold = {crop for product in farm.products.values() for crop in product.sources}
    for row in book.rows("crops"):
        name = row.text("crop")
        if seeds and name in sold - seeds:
            what = "plugs are" if farm.crops[name].bought else "seed is"
            text = f"'{name}' has no row in supplies, so no {what} ordered for it"
            yield Note(place=row.cell("crop"), text=text, code="no-seed-order")
    for row, supply in zip(book.rows("supplies"), farm.supplies, strict=True):
        if not supply.crop:
            continue
        ordered, comes = supply.next_arrival(farm.calendar, farm.today)
        need = supply.with_spare(seeds_before(farm, farm.crops[supply.crop], comes))
        if need > supply.in_stock:
            yield Note(place=row.cell("in_stock"), text=_late(farm, supply, need, ordered), code="late-seed")


def _late(farm: Farm, supply: Supply, need: int, ordered: int) -> str:
    return (
        f"the deliveries need about {need} {supply.noun}s of '{supply.crop}' sown before an order placed on "
        f"{farm.date_of(ordered)} comes on {farm.date_of(ordered + supply.lead_days)}; "
        f"{supply.in_stock} are in stock"
    )


def seeds_before(farm: Farm, crop: Crop, day: int) -> int:
    """Return the seeds that must be sown before a day for the deliveries of this crop alone.

    A low figure: every cut and picking of a crop counts, everything that grows already is taken off, and
    products that another crop can fill ask for none.
    """
    first, later = earliest_cut(farm, crop), earliest_cut(replace(farm, today=day), crop)
    if first is None:
        return 0
    heads = sum(
        ceil_div((demand.amount - demand.in_hand) * _least_plants(farm, demand, crop), MILLI)
        for demand in farm.demands
        if crops_for(farm, demand) == [crop.name]
        and demand.reported
        and demand.last >= first
        and (later is None or demand.last < later)
    )
    heads -= sum(heads_to_come(farm, row) for row in farm.growing if row.crop == crop.name)
    if heads <= 0 or crop.heads_share <= 0:
        return 0
    if crop.picking is not None:
        plants = ceil_div(needed_for(heads, crop.heads_share) * MILLI, max(1, sum(crop.picking.curve)))
    else:
        plants = ceil_div(needed_for(heads, crop.heads_share), crop.cuts)
    if crop.board is not None:
        plants = needed_for(plants, crop.board.survival)
    return crop.cells_for(plants) * crop.handling.seeds_per_cell


def _least_plants(farm: Farm, demand: Demand, crop: Crop) -> int:
    """Return the fewest thousandths of a plant of a crop that a unit of a demand takes."""
    return min(farm.products[name].sources[crop.name] for name in demand.products)
