"""How full the orders would keep a farm on average: plants needed a day times the days each stays."""

from collections.abc import Iterator
from fractions import Fraction

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.growth.stages import PLACE_OF, may_stand
from scheduler.farm.units import MILLI, WHOLE_SHARE, nearest

FULL = Fraction(9, 10)
"""Above this share whole trays, boards and rafts rarely fit evenly (estimate)."""

TABLES = {StageKind.TRAY: "shelves", StageKind.BOARD: "board_zones", StageKind.RAFT: "troughs"}


def load_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell where the orders need nearly all the slots there are, or more, averaged over the plan.

    Units in a place are arrivals a day times days of stay (Little's law); the shortest stay, full units
    and, for a product of several crops, the crop that needs least are assumed, so the need is a low figure.
    """
    for kind in TABLES:
        need = slots_needed(farm, kind)
        slots = average_slots(farm, kind)
        if not need or need <= FULL * slots:
            continue
        rows = book.rows(TABLES[kind]) or book.rows("troughs")
        more = (
            "some deliveries will be short"
            if need > slots
            else "little room is left for what does not fit evenly"
        )
        text = f"the orders need about {nearest(need)} of {nearest(slots)} {kind} slots on average; {more}"
        yield Note(
            place=rows[0].cell("shelf" if kind is StageKind.TRAY else "trough"), text=text, code="full"
        )


def average_slots(farm: Farm, kind: StageKind) -> Fraction:
    """Return the slots for a kind of unit, averaged over the reported days."""
    days = farm.calendar.days
    places = farm.places_of(PLACE_OF[kind])
    return Fraction(sum(place.slots.on(day) for place in places for day in range(days)), days)


def slots_needed(farm: Farm, kind: StageKind) -> Fraction:
    """Return the slots of one kind that the reported demands need at least, on average."""
    units: dict[str, int] = {}
    for demand in farm.demands:
        if demand.reported:
            units[demand.product] = units.get(demand.product, 0) + demand.amount - demand.in_hand
    total = Fraction(0)
    for product, amount in units.items():
        found = farm.products[product]
        if found.parts:
            total += sum(
                Fraction(amount * part.usual * found.weight, WHOLE_SHARE * part.grams)
                * _slot_days(farm, farm.crops[part.crop], kind)
                for part in found.parts
            )
            continue
        total += min(
            Fraction(amount * plants, MILLI) * _slot_days(farm, farm.crops[crop], kind)
            for crop, plants in found.sources.items()
        )
    return total / farm.calendar.days


def _slot_days(farm: Farm, crop: Crop, kind: StageKind) -> Fraction:
    """Return the slot days of one kind that one saleable plant needs."""
    stage = crop.stage(kind)
    if stage is None:
        return Fraction(0)
    plants = Fraction(WHOLE_SHARE, max(1, crop.heads_share)) / crop.cuts
    if crop.picking is not None:  # what one plant gives over all its picking weeks
        plants = plants * MILLI / max(1, sum(crop.picking.curve))
    days = stage.days
    if kind is crop.finish.kind:
        days += (crop.cuts - 1) * crop.cut_interval
    if kind is not StageKind.RAFT and crop.board:
        plants = plants * WHOLE_SHARE / crop.board.survival
    if kind is StageKind.TRAY and not crop.is_cut_in_trays:
        plants = plants * WHOLE_SHARE / crop.tray.survival
    return plants / stage.plants_per_unit * days / _average_pace(farm, crop, kind)


def _average_pace(farm: Farm, crop: Crop, kind: StageKind) -> Fraction:
    owners = {place.belongs_to for place in farm.places_of(PLACE_OF[kind]) if may_stand(crop, place)}
    days = range(0, farm.calendar.days, 7)
    paces = [farm.pace.on(owner, day) for owner in owners for day in days]
    return Fraction(sum(paces), len(paces) * MILLI) if paces else Fraction(1)
