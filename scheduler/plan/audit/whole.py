"""Whole units: what one tray, board or raft holds, which lots may share it, and seed in whole numbers."""

from collections.abc import Iterator

from scheduler.farm.crops import Stage, StageKind
from scheduler.farm.farm import Equipment
from scheduler.farm.shared import found_per_unit
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.rows import ContentRow, UnitRow


def whole_units(ledger: Ledger) -> Iterator[AuditFault]:
    """Report units of the wrong kind or too full, broken rows, lots that may not share, and wrong seed."""
    for name, rows in ledger.contents.items():
        unit = ledger.units[name]
        yield from _numbers(ledger, rows)
        stages = [ledger.crop_of(row.lot).stage(StageKind(unit.item)) for row in rows]
        yield from _kinds(ledger, unit, rows, stages)
        yield from _filling(ledger, unit, rows, [stage for stage in stages if stage is not None])
        if not ledger.is_growing(name):
            yield from _sharing(ledger, unit, rows, [stage for stage in stages if stage is not None])
    yield from _sowing(ledger)


def _numbers(ledger: Ledger, rows: list[ContentRow]) -> Iterator[AuditFault]:
    for row in rows:
        if row.plants < 1:
            yield ledger.fault("whole units", row.unit, row.enters, f"holds {row.plants} plants of {row.lot}")
        if row.rows and (ledger.item(row) != "tray" or ledger.is_growing(row.unit)):
            message = f"{row.rows} rows of {row.lot} sown, but nothing is sown in it"
            yield ledger.fault("whole units", row.unit, row.enters, message)


def _kinds(
    ledger: Ledger, unit: UnitRow, rows: list[ContentRow], stages: list[Stage | None]
) -> Iterator[AuditFault]:
    for row, stage in zip(rows, stages, strict=True):
        crop = ledger.lots[row.lot].crop
        if stage is None:
            message = f"{row.lot} stands on a {unit.item}, but {crop} has no such stage"
            yield ledger.fault("whole units", unit.unit, row.enters, message)
        elif stage.unit != unit.kind:
            message = f"{row.lot} stands in a {unit.kind}, but {crop} uses a {stage.unit}"
            yield ledger.fault("whole units", unit.unit, row.enters, message)


def _filling(
    ledger: Ledger, unit: UnitRow, rows: list[ContentRow], stages: list[Stage]
) -> Iterator[AuditFault]:
    kind = ledger.farm.equipment[unit.kind]
    entry = ledger.entry_of.get(unit.unit)
    held = sum(row.plants for row in rows)
    if entry is not None:
        limit = found_per_unit(ledger.farm, entry)
        if unit.item != "tray":
            limit = max([limit, *(stage.plants_per_unit for stage in stages)])
    elif unit.item == "tray":
        yield from _tray_rows(ledger, kind, rows)
        return
    else:
        limit = min((stage.plants_per_unit for stage in stages), default=kind.holes)
    if held > limit:
        message = f"holds {held} plants, {limit} fit"
        yield ledger.fault("whole units", unit.unit, unit.enters, message)


def _tray_rows(ledger: Ledger, kind: Equipment, rows: list[ContentRow]) -> Iterator[AuditFault]:
    for row in rows:
        cells = row.rows * kind.cells_per_row
        if row.plants != cells:
            message = f"{row.plants} cells of {row.lot} in {row.rows} rows, which have {cells}"
            yield ledger.fault("whole units", row.unit, row.enters, message)
    total = sum(row.rows for row in rows)
    if total > kind.rows:
        message = f"{total} rows sown, {kind.rows} there"
        yield ledger.fault("whole units", rows[0].unit, rows[0].enters, message)


def _sharing(
    ledger: Ledger, unit: UnitRow, rows: list[ContentRow], stages: list[Stage]
) -> Iterator[AuditFault]:
    lots = sorted({row.lot for row in rows})
    rules = ledger.farm.rules
    allowed = {"tray": rules.share_trays, "board": rules.share_boards, "raft": rules.share_rafts}[unit.item]
    batches = {(_batch(ledger, row.lot), row.from_day if unit.item == "raft" else None) for row in rows}
    if len(batches) > 1 and not allowed:
        named = " and ".join(lots) if len(lots) > 1 else f"{lots[0]} of several days"
        message = f"{named} share a {unit.item}, which the farm does not allow"
        yield ledger.fault("whole units", unit.unit, unit.enters, message)
    elif unit.item != "tray" and len({stage.plants_per_unit for stage in stages}) > 1:
        message = f"{' and '.join(lots)} share a {unit.item}, but stand at different spacings"
        yield ledger.fault("whole units", unit.unit, unit.enters, message)


def _batch(ledger: Ledger, lot: str) -> tuple[str, ...]:
    """Return what tells batches apart: the lot, or what rows of one growing lot have in common."""
    for entry in ledger.entries.get(lot, ()):
        if entry.batch:
            return entry.batch, entry.crop, entry.stage, str(entry.since)
    return (lot,)


def _sowing(ledger: Ledger) -> Iterator[AuditFault]:
    """Cells of a lot are those of its trays, and its seed is cells times seeds per cell."""
    sown: dict[str, int] = dict.fromkeys(ledger.lots, 0)
    for row in ledger.plan.contents:
        if ledger.item(row) == "tray":
            sown[row.lot] += row.plants
    for lot in ledger.lots.values():
        if lot.lot in ledger.entries:
            continue
        if lot.cells < 1:
            yield ledger.fault("whole units", lot.lot, lot.sown, f"{lot.cells} cells are sown of it")
        if lot.cells != sown[lot.lot]:
            message = f"{lot.cells} cells, but its trays hold {sown[lot.lot]}"
            yield ledger.fault("whole units", lot.lot, lot.sown, message)
        seeds = lot.cells * ledger.crop_of(lot.lot).handling.seeds_per_cell
        if lot.seeds != seeds:
            message = f"{lot.seeds} seeds for {lot.cells} cells, which take {seeds}"
            yield ledger.fault("whole units", lot.lot, lot.sown, message)
