"""Agreement: days of units and their contents, and the derived tables, are what the rows say."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.boxes import box_item_rows, box_rows
from scheduler.plan.columns import columns, write_text
from scheduler.plan.cooling import cooler_rows
from scheduler.plan.rows import (
    ContentRow,
    CoolerRow,
    EquipmentRow,
    HoursRow,
    SeedRow,
    UnitRow,
    UseRow,
)
from scheduler.plan.rows_boxes import BoxItemRow, BoxRow
from scheduler.plan.rows_water import WaterRow
from scheduler.plan.tally import equipment_use, hours, place_use, seed
from scheduler.plan.water import water_rows

Total = TypeVar("Total", UseRow, EquipmentRow, HoursRow, CoolerRow, SeedRow, BoxRow, BoxItemRow, WaterRow)


def unit_days(ledger: Ledger) -> Iterator[AuditFault]:
    """Report units whose days do not agree with what they hold."""
    for unit in ledger.units.values():
        rows = ledger.contents.get(unit.unit, [])
        if not rows:
            yield _fault(ledger, unit.unit, unit.enters, f"a {unit.item} that holds nothing")
            continue
        for row in rows:
            yield from _content_days(ledger, unit, row)
        last = max(row.leaves for row in rows)
        if unit.emptied != last:
            message = (
                f"emptied on {_date(ledger, unit.emptied)}, its last plants leave on {_date(ledger, last)}"
            )
            yield _fault(ledger, unit.unit, unit.emptied, message)
        may_wait = unit.item == "raft" and not ledger.farm.rules.lift_out
        if unit.leaves < unit.emptied or (unit.leaves > unit.emptied and not may_wait):
            message = f"emptied on {_date(ledger, unit.emptied)}, but leaves on {_date(ledger, unit.leaves)}"
            yield _fault(ledger, unit.unit, unit.leaves, message)


def planting_days(ledger: Ledger) -> Iterator[AuditFault]:
    """Report plantings whose plants came from another day than their lot was sown."""
    for row in ledger.plan.plantings:
        sown = ledger.lots[row.lot].sown
        if row.planting not in ledger.planted and row.from_day != sown:
            message = f"from_day of {row.lot} is {_date(ledger, row.from_day)}, but it was sown on "
            yield _fault(ledger, row.planting, row.enters, message + _date(ledger, sown))


def _content_days(ledger: Ledger, unit: UnitRow, row: ContentRow) -> Iterator[AuditFault]:
    if row.enters != unit.enters:
        message = (
            f"{row.lot} enters on {_date(ledger, row.enters)}, {unit.unit} on {_date(ledger, unit.enters)}"
        )
        yield _fault(ledger, unit.unit, row.enters, message)
    if row.leaves < row.enters:
        yield _fault(ledger, unit.unit, row.leaves, f"{row.lot} leaves before it enters")
    lot, crop = ledger.lots[row.lot], ledger.crop_of(row.lot)
    if unit.item == "tray":
        if row.from_day != row.enters:
            yield _fault(ledger, unit.unit, row.enters, f"from_day of {row.lot} in a tray is its sowing day")
        if lot.sown != row.enters:
            message = f"{row.lot} is sown here, but the lot on {_date(ledger, lot.sown)}"
            yield _fault(ledger, unit.unit, row.enters, message)
        return
    if ledger.is_growing(unit.unit) and row.from_day is not None:
        message = f"from_day of {row.lot} is {_date(ledger, row.from_day)}, but it was found there"
        yield _fault(ledger, unit.unit, row.enters, message)
    straight_from_trays = unit.item == "board" or crop.board is None
    if straight_from_trays and not ledger.is_growing(unit.unit) and row.from_day != lot.sown:
        message = f"from_day of {row.lot} is {_date(ledger, row.from_day)}, but it was sown on "
        yield _fault(ledger, unit.unit, row.enters, message + _date(ledger, lot.sown))


def _date(ledger: Ledger, day: int | None) -> str:
    return "a day not known" if day is None else ledger.farm.date_of(day).isoformat()


def _fault(ledger: Ledger, where: str, day: int | None, message: str) -> AuditFault:
    return ledger.fault("bookkeeping", where, day, message)


def totals(ledger: Ledger) -> Iterator[AuditFault]:
    """Report rows of tables worked out from others that are not what those others give."""
    plan, farm = ledger.plan, ledger.farm
    yield from _table(ledger, "use", plan.use, place_use(farm, plan), lambda row: (row.place, row.day))
    made = equipment_use(farm, plan)
    yield from _table(ledger, "equipment", plan.equipment, made, lambda row: (row.kind, row.day))
    yield from _table(ledger, "hours", plan.hours, hours(farm, plan), lambda row: (row.work, row.day))
    stored = cooler_rows(farm, plan)
    yield from _table(
        ledger, "coolers", plan.coolers, stored, lambda row: (f"{row.crop} in {row.cooler}", row.day)
    )
    yield from _table(ledger, "seed", plan.seed, seed(farm, plan), lambda row: (row.crop, row.day))
    known = {demand.name for demand in farm.demands}
    if farm.boxes and known == {row.demand for row in plan.demands}:
        yield from _table(ledger, "boxes", plan.boxes, box_rows(farm, plan), lambda row: (row.share, row.day))
        items = box_item_rows(farm, plan)
        yield from _table(
            ledger,
            "box_items",
            plan.box_items,
            items,
            lambda row: (f"{row.share}, {row.slot}, {row.product or 'nothing'}", row.day),
        )
    elif not farm.boxes:
        yield from _table(ledger, "boxes", plan.boxes, [], lambda row: (row.share, row.day))
        yield from _table(ledger, "box_items", plan.box_items, [], lambda row: (row.share, row.day))
    yield from _table(ledger, "water", plan.water, water_rows(farm, plan), lambda row: (row.loop, row.day))


def own_figures(ledger: Ledger) -> Iterator[AuditFault]:
    """Report figures said to be the grower's own that are not, and those that are not told."""
    wanted = Counter(
        (crop.name, name, value) for crop in ledger.farm.crops.values() for name, value in crop.own_figures
    )
    found = Counter((row.crop, row.figure, row.value) for row in ledger.plan.own_figures)
    for crop, name, value in sorted((wanted - found).keys()):
        yield _fault(ledger, crop, None, f"own {name} of {value} is not told")
    for crop, name, value in sorted((found - wanted).keys()):
        yield _fault(ledger, crop, None, f"{name} of {value} is said to be the grower's own")


def _table(
    ledger: Ledger,
    table: str,
    found: Sequence[Total],
    wanted: Sequence[Total],
    key: Callable[[Total], tuple[str, int]],
) -> Iterator[AuditFault]:
    """Compare two tables by key; each row that differs, is missing or is too much is one fault."""
    given: dict[tuple[str, int], list[Total]] = defaultdict(list)
    for row in found:
        given[key(row)].append(row)
    for row in wanted:
        rows = given.pop(key(row), [])
        if rows == [row]:
            continue
        name, day = key(row)
        if not rows:
            yield _fault(ledger, table, day, f"the row of {name} is missing")
        elif len(rows) > 1:
            yield _fault(ledger, table, day, f"{name} has {len(rows)} rows")
        else:
            yield _fault(ledger, table, day, f"{name}: {_differences(ledger, table, rows[0], row)}")
    for name, day in given:
        yield _fault(ledger, table, day, f"there is nothing of {name} that day")


def _differences(ledger: Ledger, table: str, found: Total, wanted: Total) -> str:
    """Say which columns differ, their values written as the table has them."""
    told = []
    for column in columns()[table]:
        values = [getattr(row, column.column) for row in (found, wanted)]
        if values[0] != values[1]:
            said = [write_text(ledger.farm.calendar, column.type, value) or "nothing" for value in values]
            told.append(f"{column.column} is {said[0]}, the rows give {said[1]}")
    return ", ".join(told)
