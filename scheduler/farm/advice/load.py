"""How full the orders would keep a farm on average: plants needed a day times the days each stays."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Equipment, Farm
from scheduler.farm.growth.stages import PLACE_OF, may_stand
from scheduler.farm.units import MILLI, WHOLE_SHARE, nearest

FULL = Fraction(9, 10)
"""Above this share whole trays, boards and rafts rarely fit evenly (estimate)."""

TABLES = {StageKind.TRAY: "shelves", StageKind.BOARD: "board_zones", StageKind.RAFT: "troughs"}


def load_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell where the orders need nearly all slots, or trays, boards and rafts, that there are, or more.

    All is averaged over the plan.

    Units in a place are arrivals a day times days of stay (Little's law); the shortest stay, full units
    and, for a product of several crops, the crop that needs least are assumed, so the need is a low figure.
    """
    for kind in TABLES:
        need = slots_needed(farm, kind)
        slots = average_slots(farm, kind)
        if not need or need <= FULL * slots:
            continue
        rows = book.rows(TABLES[kind]) or book.rows("troughs")
        text = f"the orders need about {nearest(need)} of {nearest(slots)} {kind} slots on average"
        yield Note(
            place=rows[0].cell("shelf" if kind is StageKind.TRAY else "trough"),
            text=f"{text}; {_outcome(need, slots)}",
            code="full",
        )
    yield from _equipment_notes(farm, book)


def _equipment_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell the same of what is owned, until it is washed; of what nobody owns another note tells."""
    for row in book.rows("equipment"):
        unit = farm.equipment[row.text("name")]
        need = units_needed(farm, unit)
        if unit.owned and need > FULL * unit.owned:
            washed = ", days of washing counted" if unit.wash_days else ""
            text = f"the orders need about {nearest(need)} of {unit.owned} '{unit.name}' on average{washed}"
            yield Note(
                place=row.cell("owned"), text=f"{text}; {_outcome(need, unit.owned)}", code="few-owned"
            )


def _outcome(need: Fraction, there: Fraction | int) -> str:
    return (
        "some deliveries will be short"
        if need > there
        else "little room is left for what does not fit evenly"
    )


def average_slots(farm: Farm, kind: StageKind) -> Fraction:
    """Return the slots for a kind of unit, averaged over the reported days."""
    days = farm.calendar.days
    places = farm.places_of(PLACE_OF[kind])
    return Fraction(sum(place.slots.on(day) for place in places for day in range(days)), days)


def slots_needed(farm: Farm, kind: StageKind) -> Fraction:
    """Return the slots of one kind that the reported demands need at least, on average."""
    return _needed(farm, lambda crop: _unit_days(farm, crop, kind))


def units_needed(farm: Farm, unit: Equipment) -> Fraction:
    """Return how many of a kind of equipment the reported demands keep in use or in the wash, on average."""

    def days(crop: Crop) -> Fraction:
        stages = (stage.kind for stage in crop.route if stage.unit == unit.name)
        return sum((_unit_days(farm, crop, kind, unit.wash_days) for kind in stages), Fraction(0))

    return _needed(farm, days)


def _needed(farm: Farm, days_of: Callable[[Crop], Fraction]) -> Fraction:
    """Return the units that the reported demands need on an average day; ``days_of`` one saleable plant."""
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
                * days_of(farm.crops[part.crop])
                for part in found.parts
            )
            continue
        total += min(
            Fraction(amount * plants, MILLI) * days_of(farm.crops[crop])
            for crop, plants in found.sources.items()
        )
    return total / farm.calendar.days


def _unit_days(farm: Farm, crop: Crop, kind: StageKind, more: int = 0) -> Fraction:
    """Return the days of one kind of unit that one saleable plant needs; ``more`` are those after each."""
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
    return plants / stage.plants_per_unit * (days / _average_pace(farm, crop, kind) + more)


def _average_pace(farm: Farm, crop: Crop, kind: StageKind) -> Fraction:
    owners = {place.belongs_to for place in farm.places_of(PLACE_OF[kind]) if may_stand(crop, place)}
    days = range(0, farm.calendar.days, 7)
    paces = [farm.pace.on(owner, day) for owner in owners for day in days]
    return Fraction(sum(paces), len(paces) * MILLI) if paces else Fraction(1)
