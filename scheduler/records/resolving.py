"""From what was told to a complete entry: names looked up, and what was left out worked out."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from scheduler.book.names import meant
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import MILLI, ceil_div
from scheduler.records import entries as kinds
from scheduler.records.applying import BEFORE, ITEMS
from scheduler.records.culling import as_planned
from scheduler.records.drafts import Draft
from scheduler.records.entries import Entry, Put, Spot, lot_in_records
from scheduler.records.ground import Ground
from scheduler.records.placing import Want, free_slots, puts_for, room_of
from scheduler.records.taking import chosen_for_cut
from scheduler.records.yard import CELLS, RAFT, TRAY, Lot, Refused, Unit, Yard

NEAR = 12
"""Deliveries nearest to a day among which a misspelt one is looked for."""


class Resolver:
    """Completes drafts by a farm, and by what stands there when they happen."""

    def __init__(self, ground: Ground) -> None:
        """Take the places of a farm."""
        self.ground = ground
        self.farm: Farm = ground.farm
        self.demands = {each.name: each for each in reversed(self.farm.demands)}

    def entry(self, draft: Draft, yard: Yard) -> Entry:
        """Return the complete entry.

        Raises:
            Refused: a name is not known, or there is no room for it.
        """
        entry = self._renamed(draft.entry, yard)
        draft = replace(draft, entry=entry)
        return STEPS.get(entry.what, _scoped)(self, draft, yard)

    def _renamed(self, entry: Entry, yard: Yard) -> Entry:
        """Take the lot a plan numbers for that of the records; a sowing has a lot of its own."""
        if entry.what == kinds.SOWN:
            return entry
        return replace(entry, lot=lot_in_records(entry.lot, yard.lots))

    def lot(self, entry: Entry, yard: Yard) -> Lot:
        """Return the lot of an entry.

        Raises:
            Refused: no such lot was sown or found by then.
        """
        found = yard.lots.get(entry.lot)
        if found is None:
            known = meant(entry.lot, yard.lots, most=6)
            raise Refused("lot", f"'{entry.lot}', which is not there on {entry.day}", known, "no-lot")
        return found

    def crop(self, name: str, field: str) -> Crop:
        """Return a crop of the farm.

        Raises:
            Refused: there is none of that name.
        """
        if name not in self.farm.crops:
            raise Refused(field, f"'{name}'", meant(name, self.farm.crops), "no-crop")
        return self.farm.crops[name]

    def stage(self, crop: Crop, item: str, field: str) -> Stage:
        """Return a stage of a crop.

        Raises:
            Refused: its route has none of that kind.
        """
        stage = crop.stage(StageKind(item))
        if stage is None:
            route = " > ".join(part.kind for part in crop.route)
            raise Refused(field, f"a {item} for {crop.name}", f"its route, {route}", "no-stage")
        return stage

    def sources(self, draft: Draft, yard: Yard, items: Sequence[str]) -> list[Unit]:
        """Return the units an entry is about; where the lot is not where a plan had it, those it is in."""
        entry = draft.entry
        spots = self.ground.expanded(entry.place)
        tries = [spots]
        if draft.hints is not None:
            # ranks in a row were the morning's; by now rafts may have closed up
            lanes = {place.name for place in self.farm.places_of(PlaceKind.LANE)}
            spots = tuple(Spot(spot.place) if spot.place in lanes else spot for spot in spots)
            tries = [spots, tuple(Spot(spot.place) for spot in spots), ()]
        for at, some in enumerate(tries):
            try:
                return yard.chosen(entry.lot, some, items)
            except Refused:
                if at == len(tries) - 1:
                    raise
        return []

    def lifted(self, entry: Entry) -> bool:
        """Say whether emptied rafts leave their row at once."""
        return entry.lifted or self.farm.rules.lift_out


def _sown(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    entry = draft.entry
    crop = resolver.crop(entry.crop or _crop_of(resolver.farm, entry.lot), "crop" if entry.crop else "lot")
    lot = entry.lot or f"{crop.code}-{entry.day:%y%m%d}"
    item, places = resolver.ground.of_item(draft.aims, "to")
    if item != TRAY:
        raise Refused("to", places[0][0].name, "a shelf or one of its tiers", "wrong-place")
    want = _want(resolver, draft, crop.tray, entry.plants or 0)
    puts = puts_for(resolver.farm, yard, places, want)
    return replace(entry, lot=lot, crop=crop.name, stage=item, to=puts)


def _crop_of(farm: Farm, lot: str) -> str:
    code = lot.partition("-")[0]
    return next((crop.name for crop in farm.crops.values() if code and crop.code == code), lot)


def _want(resolver: Resolver, draft: Draft, stage: Stage, plants: int) -> Want:
    return Want(
        stage=stage,
        plants=plants,
        units=draft.units,
        day=draft.entry.day,
        room=room_of(resolver.farm, stage),
        hints=draft.hints,
    )


def _moved(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    lot = resolver.lot(draft.entry, yard)
    entry = replace(draft.entry, crop=lot.crop)
    item, places = resolver.ground.of_item(draft.aims, "to")
    units = resolver.sources(draft, yard, ITEMS)
    earlier = [unit for unit in units if unit.item in BEFORE.get(item, ())]
    if not earlier:
        return _relocated(resolver, draft, yard, (item, places, units))
    # of trays and boards of one lot the boards are meant, unless the trays are named
    nearest = max(earlier, key=lambda unit: ITEMS.index(unit.item)).item
    # those that hold least are emptied first: so do people, to have the units free
    sources = sorted((unit for unit in earlier if unit.item == nearest), key=lambda unit: unit.of(entry.lot))
    if draft.hints is not None:
        # those that the plan has emptied come first; what it leaves may stand in others
        everywhere = yard.chosen(entry.lot, (), (nearest,))
        sources += [unit for unit in everywhere if unit not in sources]
    stood = sum(unit.of(entry.lot) for unit in sources)
    plants = entry.plants
    if plants is None:
        if any(held.form == CELLS for unit in sources for held in unit.held if held.lot == entry.lot):
            raise Refused("plants", "no count", "how many plants were set out of the trays", "blank")
        plants = stood
    if plants > stood:
        raise Refused("plants", f"{plants} plants moved", f"at most the {stood} that stood there", "too-many")
    stage = resolver.stage(resolver.crop(lot.crop, "lot"), item, "to")
    want = _want(resolver, draft, stage, plants)
    return replace(
        entry,
        stage=item,
        place=tuple(dict.fromkeys(Spot(unit.place, (unit.slot,) if unit.slot else ()) for unit in sources)),
        to=puts_for(resolver.farm, yard, places, want),
        plants=plants,
        left=_left(draft, yard, (stood, plants)),
        lifted=resolver.lifted(entry),
    )


def _left(draft: Draft, yard: Yard, plants: tuple[int, int]) -> int:
    """Return the plants that stay where they were: as told, as the plan has it, else all that did not go.

    Args:
        draft: the entry.
        yard: the farm before it.
        plants: plants that stood, and those that move.
    """
    if draft.entry.left is not None:
        return draft.entry.left
    stood, moved = plants
    rest = stood - moved
    staying = None
    if draft.hints is not None:
        apart = any(lot in yard.lots for lot in draft.hints.beside if lot != draft.entry.lot)
        staying = draft.hints.alone if apart else draft.hints.staying
    if staying is None:
        return max(rest, 0)
    later, leaving = staying
    return max(0, min(rest, stood * later // max(later + leaving, 1)))


def _relocated(
    resolver: Resolver,
    draft: Draft,
    yard: Yard,
    target: tuple[str, list[tuple[Place, tuple[int, ...]]], list[Unit]],
) -> Entry:
    entry, (item, places, units) = draft.entry, target
    alike = [unit for unit in units if unit.item == item]
    if not alike:
        there = ", ".join(dict.fromkeys(unit.item for unit in units))
        raise Refused("to", f"a {item} for what stands in a {there}", "a stage that follows", "wrong-way")
    number = len(alike) if draft.units is None else draft.units
    if not 1 <= number <= len(alike):
        raise Refused("units", f"{number} moved", f"1 to the {len(alike)} that stand there", "too-many")
    going = alike[:number]
    plants = sum(unit.of(entry.lot) for unit in going)
    if entry.plants not in (None, plants) or entry.left is not None:
        name = "left" if entry.left is not None else "plants"
        expected = f"whole {item}s, for they only change their place; say how many units"
        raise Refused(name, f"some of the {plants} plants", expected, "whole-units")
    puts = _new_places(resolver, draft, yard, (item, places, going))
    spots = _spots(draft, yard, going)
    return replace(
        entry, crop=yard.lots[entry.lot].crop, stage=item, place=spots, to=puts, plants=plants, left=None
    )


def _new_places(
    resolver: Resolver,
    draft: Draft,
    yard: Yard,
    target: tuple[str, list[tuple[Place, tuple[int, ...]]], list[Unit]],
) -> tuple[Put, ...]:
    item, places, going = target
    if item == RAFT:
        if len(places) > 1:
            raise Refused("to", f"{len(places)} rows", "one of them", "which-place")
        return (Put(places[0][0].name, 0, 0),) * len(going)
    named = [Put(place.name, slot, 0) for place, slots in places for slot in slots]
    if named and len(named) < len(going):
        found = f"{len(going)} {item}s and {len(named)} slots to put them into"
        raise Refused("to", found, "a slot for each, or slots left out", "slots-and-units")
    day = draft.entry.day
    free = [Put(p.name, slot, 0) for p, _ in places for slot in free_slots(resolver.farm, yard, p, day)]
    free += [Put(places[0][0].name, 0, 0)] * max(0, len(going) - len(free))
    return tuple((named or free)[: len(going)])


def _spots(draft: Draft, yard: Yard, units: Sequence[Unit]) -> tuple[Spot, ...]:
    """Return where units stand; slots only where a person named them, for ranks in a row change."""
    slots = draft.hints is None and any(spot.slots for spot in draft.entry.place)
    if slots and any(unit.guessed for unit in units):
        return draft.entry.place  # only who told it knows the slots
    places = dict.fromkeys(unit.place for unit in units)
    return tuple(
        Spot(place, tuple(yard.slot_of(unit) for unit in units if unit.place == place) if slots else ())
        for place in places
    )


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
    plants = needed if entry.plants is None else max(entry.plants, needed if draft.hints else 0)
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
    spots = _spots(draft, yard, units)
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
    spots = _spots(draft, yard, units)
    return replace(entry, place=spots, plants=plants, heads=entry.heads or 0, left=plants)


def _fewer(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    lot = resolver.lot(draft.entry, yard)
    units = resolver.sources(draft, yard, ITEMS)
    if draft.entry.plants == 0:
        raise Refused("plants", "0 plants", "at least one", "too-few")
    entry = draft.entry
    slots: tuple[Spot, ...] = ()
    if draft.hints is not None and "plants" in draft.hints.planned:
        units = [unit for unit in units if unit.item in draft.hints.emptied] or units
        entry, slots = as_planned(resolver.crop(lot.crop, "lot"), entry, (units, len(draft.hints.emptied)))
    return replace(
        entry,
        crop=lot.crop,
        place=slots or _spots(draft, yard, units),
        lifted=resolver.lifted(draft.entry),
    )


def _scoped(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    """Complete what is for a lot, a place, or a lot in a place."""
    entry = draft.entry
    if entry.what in (kinds.QUARANTINED, kinds.CLOSED, kinds.RELEASED) and any(s.slots for s in entry.place):
        found = f"slots of {entry.place[0].place}"
        raise Refused("place", found, "the whole row, tier or board zone", "no-slot")
    if entry.lot:
        entry = replace(entry, crop=resolver.lot(entry, yard).crop)
    if entry.lot and draft.hints is not None and entry.place:
        entry = replace(entry, place=_spots(draft, yard, resolver.sources(draft, yard, ITEMS)))
    return replace(
        entry,
        place=resolver.ground.expanded(entry.place),
        lifted=resolver.lifted(entry) if entry.what == kinds.DISCARDED else False,
    )


def _delivered(resolver: Resolver, draft: Draft, yard: Yard) -> Entry:
    farm, lot = resolver.farm, resolver.lot(draft.entry, yard)
    entry = replace(draft.entry, crop=lot.crop)
    if entry.delivery:
        # a plan may go on past the last day of the book, to which its deliveries are not known
        demand = resolver.demands.get(entry.delivery)
        if demand is None and draft.hints is None:
            day = farm.calendar.day_of(entry.day)
            near = sorted(farm.demands, key=lambda each: abs(each.first - day))[:NEAR]
            expected = meant(entry.delivery, (each.name for each in near), most=6)
            raise Refused("delivery", f"'{entry.delivery}'", f"{expected}, or only a customer", "no-delivery")
        if demand is not None:
            entry = replace(
                entry,
                product=entry.product or _goes_as(farm, demand, lot.crop),
                customer=entry.customer or demand.customer,
            )
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
    if units is None:
        units = heads * MILLI // each
    if heads < 1:
        raise Refused("heads", "0 heads", "at least one", "too-few")
    return replace(entry, heads=heads, plants=units, place=())


def _goes_as(farm: Farm, demand: Demand, crop: str) -> str:
    """Return the product as which a crop goes into a delivery: the one ordered, else a substitute."""
    fitting = [name for name in demand.products if crop in farm.products[name].sources]
    return fitting[0] if fitting else demand.product


Step = Callable[[Resolver, Draft, Yard], Entry]
STEPS: dict[str, Step] = {
    kinds.SOWN: _sown,
    kinds.MOVED: _moved,
    kinds.CUT: _cut,
    kinds.LOST: _fewer,
    kinds.CULLED: _fewer,
    kinds.DELIVERED: _delivered,
}
"""Kind of entry -> what completes it; the others only have their places looked up."""
