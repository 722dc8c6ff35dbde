"""Names: every one is used once where it is made, and exists where it is used."""

from collections import Counter
from collections.abc import Iterable, Iterator

from scheduler.farm.places import PlaceKind
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import LotRow, Plan, UnitRow

LOT_DATE = "%y%m%d"


def names(ledger: Ledger, given: Plan) -> Iterator[AuditFault]:
    """Report names used twice or of nothing that exists; ``given`` is the plan as it came."""
    for table, keys in _keys(given):
        for key, number in Counter(keys).items():
            if number > 1:
                yield _fault(ledger, table, None, f"{key} is listed {number} times")
    for lot in given.lots:
        yield from _lot(ledger, lot)
    for unit in given.units:
        yield from _unit(ledger, unit)
    for planting in given.plantings:
        yield from _planting(ledger, planting)
    yield from _uses(ledger, given)


def _fault(ledger: Ledger, where: str, day: int | None, message: str) -> AuditFault:
    return ledger.fault("bookkeeping", where, day, message)


def _keys(plan: Plan) -> Iterator[tuple[str, Iterable[str]]]:
    yield "lots", (row.lot for row in plan.lots)
    yield "units", (row.unit for row in plan.units)
    yield "tasks", (row.key for row in plan.tasks)
    yield "plantings", (row.planting for row in plan.plantings)
    yield "pickings", (f"picking {row.number} of {row.planting}" for row in plan.pickings)
    yield "contents", (f"{row.lot} in {row.unit}, {row.from_day} to {row.leaves}" for row in plan.contents)


def _lot(ledger: Ledger, lot: LotRow) -> Iterator[AuditFault]:
    if lot.crop not in ledger.farm.crops:
        yield _fault(ledger, lot.lot, lot.sown, f"{lot.crop} is no crop of the book")
        return
    found = lot.lot in ledger.entries
    if lot.origin != ("growing" if found else "sown"):
        said = "was found growing" if found else "was not found growing"
        yield _fault(ledger, lot.lot, lot.sown, f"origin is {lot.origin}, but it {said}")
    if found:
        return
    if lot.sown is None:
        yield _fault(ledger, lot.lot, None, "has no sowing day")
        return
    if lot.discarded or lot.overdue:
        yield _fault(ledger, lot.lot, lot.sown, "only what was found growing can be discarded or overdue")
    code = f"{ledger.farm.crops[lot.crop].code}-{ledger.farm.date_of(lot.sown).strftime(LOT_DATE)}"
    if lot.lot != code:
        yield _fault(ledger, lot.lot, lot.sown, f"{lot.crop} sown that day is lot {code}")


def _unit(ledger: Ledger, unit: UnitRow) -> Iterator[AuditFault]:
    kind = ledger.farm.equipment.get(unit.kind)
    if kind is None or unit.item not in ("tray", "board", "raft"):
        yield _fault(ledger, unit.unit, unit.enters, f"{unit.kind} is no tray, board or raft of the book")
    elif kind.item != unit.item:
        yield _fault(ledger, unit.unit, unit.enters, f"is a {unit.item}, but {unit.kind} is a {kind.item}")


def _planting(ledger: Ledger, row: PlantingRow) -> Iterator[AuditFault]:
    if not positions_in(row.positions):
        message = f"positions '{row.positions}' are not such as 1-12, 15"
        yield _fault(ledger, row.planting, row.enters, message)
    lot = ledger.lots.get(row.lot)
    if lot is not None and ledger.crop_of(row.lot).picking is None:
        yield _fault(ledger, row.planting, row.enters, f"{lot.crop} does not end in a bed")


def _uses(ledger: Ledger, plan: Plan) -> Iterator[AuditFault]:
    """Each name in a row is that of a row (or a place, or a demand) that exists."""
    units, lots = {row.unit for row in plan.units}, {row.lot for row in plan.lots}
    places, orders = set(ledger.places), {demand.name for demand in ledger.farm.demands}
    beds = {name for name, place in ledger.places.items() if place.kind is PlaceKind.BED}
    uses: list[tuple[str, str, str, set[str], int]] = []
    uses += [("contents", "unit", row.unit, units, row.enters) for row in plan.contents]
    uses += [("contents", "lot", row.lot, lots, row.enters) for row in plan.contents]
    uses += [("positions", "unit", row.unit, units, row.enters) for row in plan.positions]
    uses += [("positions", "place", row.place, places, row.enters) for row in plan.positions]
    uses += [("cuts", "unit", row.unit, units, row.day) for row in plan.cuts]
    uses += [("cuts", "lot", row.lot, lots, row.day) for row in plan.cuts]
    plantings = {row.planting for row in plan.plantings}
    uses += [("plantings", "lot", row.lot, lots, row.enters) for row in plan.plantings]
    uses += [("plantings", "bed", row.bed, beds, row.enters) for row in plan.plantings]
    uses += [("pickings", "planting", row.planting, plantings, row.day) for row in plan.pickings]
    uses += [("fills", "demand", row.demand, orders, row.cut_day) for row in plan.fills]
    uses += [("fills", "lot", row.lot, lots, row.cut_day) for row in plan.fills]
    uses += [("chains", "lot", row.lot, lots, row.cut_day) for row in plan.chains]
    uses += [("tasks", "lot", row.lot, lots, row.day) for row in plan.tasks if row.lot]
    for table, what, name, known, day in uses:
        if name not in known:
            yield _fault(ledger, table, day, f"there is no {what} {name}")
