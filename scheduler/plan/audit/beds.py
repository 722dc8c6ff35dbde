"""Beds: plants keep their positions, each its own, and leave them no later than their picking weeks end."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.calendar import WEEK
from scheduler.farm.units import MILLI
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import OVERDUE_GRACE, Ledger
from scheduler.plan.audit.stages import days
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.positions import positions_in


def bed_rules(ledger: Ledger) -> Iterator[AuditFault]:
    """Report plantings in wrong, closed or taken positions, of wrong sizes, or standing too long."""
    for row in ledger.plan.plantings:
        yield from _one(ledger, row)
        yield from _open(ledger, row)
        yield from _stay(ledger, row)
    yield from _taken_twice(ledger)


def _one(ledger: Ledger, row: PlantingRow) -> Iterator[AuditFault]:
    crop, positions = ledger.crop_of(row.lot), positions_in(row.positions) or []
    found = ledger.planted.get(row.planting)
    if found is None and crop.picking is not None and row.bed not in crop.picking.beds:
        message = f"{row.planting} stands here, but {crop.name} may not be set in"
        yield ledger.fault("beds", row.bed, row.enters, message)
    if len(set(positions)) < len(positions):
        message = f"{row.planting} names a position twice: {row.positions}"
        yield ledger.fault("bookkeeping", row.bed, row.enters, message)
    if row.plants < 1:
        yield ledger.fault("whole units", row.planting, row.enters, f"holds {row.plants} plants of {row.lot}")
    taken = len(positions)
    if row.plants > taken or (found is None and row.plants < taken):
        message = f"{row.plants} plants of {row.lot} in {taken} positions"
        yield ledger.fault("beds", row.bed, row.enters, message)
    free = row.leaves + ledger.places[row.bed].clean_days
    if row.free != free:
        day = ledger.farm.date_of(free)
        message = (
            f"{row.planting} frees its positions on {ledger.farm.date_of(row.free)}, cleaned up on {day}"
        )
        yield ledger.fault("beds", row.bed, row.free, message)


def _open(ledger: Ledger, row: PlantingRow) -> Iterator[AuditFault]:
    """Every position is open on every day; those with the highest numbers close first."""
    slots, highest = ledger.places[row.bed].slots, max(positions_in(row.positions) or [0])
    for day in range(max(row.enters, 0), row.free):
        if highest > slots.on(day):
            message = f"{row.planting} stands in position {highest} of {slots.on(day)} open ones"
            yield ledger.fault("beds", row.bed, day, message)
            return


def _stay(ledger: Ledger, row: PlantingRow) -> Iterator[AuditFault]:
    """Plants leave on or after the day they are set in, and not after the end of their picking weeks."""
    crop = ledger.crop_of(row.lot)
    if row.leaves < row.enters:
        message = f"{row.planting} is pulled out before it is set in"
        yield ledger.fault("bookkeeping", row.planting, row.leaves, message)
        return
    entry = ledger.planted.get(row.planting)
    if entry is not None and row.leaves <= ledger.farm.today + OVERDUE_GRACE and id(entry) in ledger.overdue:
        return
    weeks = len(crop.picking.curve) if crop.picking else 0
    most = (crop.finish.days + WEEK * weeks) * MILLI
    grown = ledger.growth.at(row.bed, row.enters, row.leaves)
    if grown > most and not (entry is not None and row.leaves == ledger.farm.today):
        message = f"{row.plants} plants of {row.lot} are pulled out after {days(grown)}, {days(most)} at most"
        yield ledger.fault("stage days", row.bed, row.leaves, message)


def _taken_twice(ledger: Ledger) -> Iterator[AuditFault]:
    held: dict[tuple[str, int], list[PlantingRow]] = defaultdict(list)
    for row in ledger.plan.plantings:
        for position in positions_in(row.positions) or ():
            held[row.bed, position].append(row)
    told: set[tuple[str, str]] = set()
    for (bed, position), rows in held.items():
        rows.sort(key=lambda row: (row.enters, row.free))
        holder = rows[0]
        for row in rows[1:]:
            pair = (holder.planting, row.planting)
            if max(row.enters, 0) < holder.free and row is not holder and pair not in told:
                told.add(pair)
                message = f"{holder.planting} and {row.planting} are both in position {position}"
                yield ledger.fault("beds", bed, max(row.enters, 0), message)
            if row.free > holder.free:
                holder = row
