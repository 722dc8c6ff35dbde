"""From what was told to a complete entry: names looked up, and what was left out worked out."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from scheduler.book.names import meant
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.units import MILLI, ceil_div
from scheduler.records import entries as kinds
from scheduler.records.applying import ITEMS
from scheduler.records.culling import culled
from scheduler.records.drafts import Draft
from scheduler.records.entries import Entry, lot_in_records
from scheduler.records.moving import moved
from scheduler.records.placing import puts_for
from scheduler.records.resolver import Resolver, spots_told
from scheduler.records.taking import chosen_for_cut
from scheduler.records.yard import TRAY, Refused, Unit, Yard

NEAR = 12
"""Deliveries nearest to a day among which a misspelt one is looked for."""


def completed(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    """Return the complete entry of a draft.

    Raises:
        Refused: a name is not known, or there is no room for it.
    """
    entry = _renamed(draft.entry, yard)
    return STEPS.get(entry.what, _scoped)(resolver, replace(draft, entry=entry), yard)


def _renamed(entry: Entry, yard: Yard) -> Entry:
    """Take the lot a plan numbers for that of the records; a sowing has a lot of its own."""
    if entry.what == kinds.SOWN:
        return entry
    return replace(entry, lot=lot_in_records(entry.lot, yard.lots))


def _sown(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    entry = draft.entry
    crop = resolver.crop(entry.crop or _crop_of(resolver.farm, entry.lot), "crop" if entry.crop else "lot")
    lot = entry.lot or crop.lot_on(entry.day)
    item, places = resolver.ground.of_item(draft.aims, "to")
    if item != TRAY:
        raise Refused("to", places[0][0].name, "a shelf or one of its tiers", "wrong-place")
    want = resolver.want(draft, crop.tray, entry.plants or 0)
    puts = puts_for(resolver.farm, yard, places, want)
    return replace(entry, lot=lot, crop=crop.name, stage=item, to=puts)


def _crop_of(farm: Farm, lot: str) -> str:
    code = lot.partition("-")[0]
    return next((crop.name for crop in farm.crops.values() if code and crop.code == code), lot)


def _cut(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    lot = resolver.lot(draft.entry, yard)
    entry = replace(draft.entry, crop=lot.crop)
    crop = resolver.crop(lot.crop, "lot")
    units = resolver.sources(draft, yard, (crop.finish.kind.value,))
    if crop.picking is not None:
        return _picked(draft, yard, entry, units)
    rows = list(dict.fromkeys(unit.place for unit in units))
    if len(rows) > 1 and not entry.place and not crop.is_cut_in_trays:
        raise Refused("place", f"no row for '{entry.lot}'", f"one of {', '.join(rows)}", "which-place")
    stood = sum(unit.of(entry.lot) for unit in units)
    heads = entry.heads or 0
    # of what is sold by mass grams are counted, and how many a tray gives is not known beforehand
    needed = min(stood, ceil_div(heads, crop.grams)) if crop.grams else heads
    follows = draft.hints is not None and "plants" not in draft.hints.mended
    plants = needed if entry.plants is None else max(entry.plants, needed if follows else 0)
    if draft.hints and "plants" in draft.hints.planned:
        plants = max(min(plants, stood), needed)
    if needed > plants and not crop.grams:
        raise Refused("heads", f"{heads} heads of {plants} plants", f"at most {plants}", "too-many")
    if plants > stood:
        name = "heads" if entry.plants is None or draft.hints else "plants"
        expected = f"at most the {stood} plants that stood there"
        if draft.hints and "heads" in draft.hints.planned:
            expected += "; fill in what was counted"
        raise Refused(name, f"{plants} plants of '{entry.lot}' cut", expected, "too-many")
    cuts = crop.cuts
    taken = chosen_for_cut(units, entry.lot, plants)
    again = sum(now for _, held, now in taken if held.cuts + 1 < cuts)
    left = again if entry.left is None else min(entry.left, plants) if draft.hints else entry.left
    if left > plants:
        raise Refused("left", f"{left} left to grow again", f"at most the {plants} that were cut", "too-many")
    spots = spots_told(draft, yard, units)
    return replace(entry, place=spots, plants=plants, heads=heads, left=left, lifted=resolver.lifted(entry))


def _picked(draft: Draft, yard: Yard, entry: Entry, units: Sequence[Unit]) -> Entry:
    """Complete a picking: all plants that stand there are picked, unless fewer are told, and all stay."""
    stood = sum(unit.of(entry.lot) for unit in units)
    plants = stood if entry.plants is None or draft.hints else entry.plants
    if not 1 <= plants <= stood:
        found = f"{plants} plants of '{entry.lot}' picked"
        raise Refused("plants", found, f"1 to the {stood} that stood there", "too-many")
    if entry.left not in (None, plants):
        expected = (
            "it left out: plants that are picked stay; record what was pulled out as discarded or culled"
        )
        raise Refused("left", f"{entry.left} left", expected, "whole-units")
    spots = spots_told(draft, yard, units)
    return replace(entry, place=spots, plants=plants, heads=entry.heads or 0, left=plants)


def _scoped(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    """Complete what is for a lot, a place, or a lot in a place."""
    entry = draft.entry
    if entry.what in (kinds.QUARANTINED, kinds.CLOSED, kinds.RELEASED) and any(s.slots for s in entry.place):
        found = f"slots of {entry.place[0].place}"
        raise Refused("place", found, "the whole row, tier or board zone", "no-slot")
    if entry.lot:
        entry = replace(entry, crop=resolver.lot(entry, yard).crop)
    if entry.lot and draft.hints is not None and entry.place:
        entry = replace(entry, place=spots_told(draft, yard, resolver.sources(draft, yard, ITEMS)))
    return replace(
        entry,
        place=resolver.ground.expanded(entry.place),
        lifted=resolver.lifted(entry) if entry.what == kinds.DISCARDED else False,
    )


def _delivered(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    farm, lot = resolver.farm, resolver.lot(draft.entry, yard)
    entry = replace(draft.entry, crop=lot.crop)
    if entry.delivery:
        entry = _of_delivery(resolver, draft, entry)
    if not entry.delivery and not entry.customer:
        raise Refused("customer", "no customer and no delivery", "one of them", "blank")
    sources = [product for product in farm.products.values() if lot.crop in product.sources]
    if not entry.product and len(sources) == 1:
        entry = replace(entry, product=sources[0].name)
    product = farm.products.get(entry.product)
    if entry.product and (product is None or lot.crop not in product.sources):
        names = [each.name for each in sources]
        found = f"'{entry.product}' from {lot.crop}"
        raise Refused("product", found, meant(entry.product, names), "no-product")
    each = product.sources[lot.crop] if product else MILLI
    heads, units = entry.heads, entry.plants
    if heads is None:
        heads = ceil_div((units or 0) * each, MILLI)
    if units is None and draft.hints is not None:
        units = draft.hints.units
    if units is None:
        units = heads * MILLI // each
    if heads < 1:
        raise Refused("heads", "0 heads", "at least one", "too-few")
    return replace(entry, heads=heads, plants=units, place=())


def _of_delivery(resolver: Resolver, draft: Draft, entry: Entry) -> Entry:
    """Return an entry with the product and the customer of the delivery that it names."""
    # a plan may go on past the last day of the book, to which its deliveries are not known
    farm, demand = resolver.farm, resolver.demands.get(entry.delivery)
    if demand is None and draft.hints is None:
        day = farm.calendar.day_of(entry.day)
        near = sorted(farm.demands, key=lambda each: abs(each.first - day))[:NEAR]
        expected = meant(entry.delivery, (each.name for each in near), most=6)
        expected = f"{expected.rstrip('?')}, or only a customer"
        raise Refused("delivery", f"'{entry.delivery}'", expected, "no-delivery")
    if demand is None:
        return entry
    if draft.hints is None and entry.customer not in ("", demand.customer):
        expected = f"'{demand.customer}', whose delivery it is, or no delivery named"
        raise Refused("customer", f"'{entry.customer}'", expected, "no-customer")
    return replace(
        entry,
        product=entry.product or _goes_as(farm, demand, entry.crop),
        customer=entry.customer or demand.customer,
    )


def _goes_as(farm: Farm, demand: Demand, crop: str) -> str:
    """Return the product as which a crop goes into a delivery: the one ordered, else a substitute."""
    fitting = [name for name in demand.products if crop in farm.products[name].sources]
    return fitting[0] if fitting else demand.product


Step = Callable[[Resolver, Draft, Yard], Entry]
STEPS: dict[str, Step] = {
    kinds.SOWN: _sown,
    kinds.MOVED: moved,
    kinds.CUT: _cut,
    kinds.LOST: culled,
    kinds.CULLED: culled,
    kinds.DELIVERED: _delivered,
}
"""Kind of entry -> what completes it; the others only have their places looked up."""
