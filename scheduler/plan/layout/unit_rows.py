"""Rows of units, their contents and their positions."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.farm import Farm
from scheduler.plan.layout.units import Unit
from scheduler.plan.rows import ContentRow, PositionRow, UnitRow


def unit_row(unit: Unit) -> UnitRow:
    """Return the row of a unit."""
    return UnitRow(
        unit=unit.name,
        kind=unit.kind,
        item=unit.item,
        enters=unit.enters,
        emptied=unit.emptied,
        leaves=unit.leaves,
    )


def content_rows(farm: Farm, unit: Unit) -> Iterator[ContentRow]:
    """Yield one row for each lot and day of leaving; trays that are sown count cells and rows of cells."""
    amounts: dict[tuple[str, int | None, int], int] = defaultdict(int)
    for part in unit.parts:
        amounts[part.lot, part.from_day, part.leaves] += part.amount
    sown = unit.is_sown_tray
    for (lot, from_day, leaves), amount in amounts.items():
        yield ContentRow(
            unit=unit.name,
            lot=lot,
            plants=amount * farm.equipment[unit.kind].cells_per_row if sown else amount,
            rows=amount if sown else 0,
            enters=unit.enters,
            leaves=leaves,
            from_day=from_day,
        )


def position_rows(unit: Unit) -> Iterator[PositionRow]:
    """Yield where a unit stands, in order of time."""
    for stand in unit.stands:
        yield PositionRow(
            unit=unit.name, place=stand.place, slot=stand.slot, enters=stand.enters, until=stand.until
        )
