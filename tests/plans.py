"""Plans written down as batches and turned into rows by code of their own, for the tests of the audit.

``build(farm, Batch(...), ...)`` makes every table; change one keyword of a batch to break one rule.
Slots of a lane are found by pushing the rafts day by day, which is slow and plain, unlike the audit.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from plan_sums import chain_rows, demand_rows

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.units import ceil_div
from scheduler.plan.audit import audit
from scheduler.plan.rows import (
    ContentRow,
    CutRow,
    FillRow,
    LotRow,
    Plan,
    PositionRow,
    UnitRow,
)
from scheduler.plan.tally import with_totals

GivenFill = tuple[str, str, int, int] | tuple[str, str, int, int, str]
"""Demand, lot, cut day, heads, and the substitute as which they go in."""


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Plants of one lot that travel together.

    ``rows`` are tray rows sown, ``boards`` and ``rafts`` plants in each unit, ``cuts`` (day, plants,
    heads) of every raft, heads left out when all are sold. ``found`` starts the batch in the stage
    it was found in: days before that are not used. ``leaves`` None lets a raft leave as soon as
    those ahead of it have.
    """

    crop: str = "Lettuce"
    sown: int = 0
    rows: int = 3
    board_day: int | None = 10
    boards: Sequence[int] = (12,)
    raft_day: int = 20
    rafts: Sequence[int] = (6, 6)
    cuts: Sequence[tuple[int, ...]] = ((34, 6),)
    lane: str = "Trough 1"
    emptied: int | None = None
    leaves: int | None = None
    found: Growing | None = None
    discarded: int = 0
    overdue: bool = False

    @property
    def out_of_tray(self) -> int:
        return self.raft_day if self.board_day is None else self.board_day

    @property
    def last_cut(self) -> int:
        return self.emptied if self.emptied is not None else max(cut[0] for cut in self.cuts)


@dataclass
class _Sheet:
    """Rows as they are being made."""

    farm: Farm
    lots: dict[str, LotRow] = field(default_factory=dict)
    units: list[UnitRow] = field(default_factory=list)
    contents: list[ContentRow] = field(default_factory=list)
    cuts: list[CutRow] = field(default_factory=list)
    home: dict[str, str] = field(default_factory=dict)
    fixed: set[str] = field(default_factory=set)
    number: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    def unit(self, item: str, kind: str, days: tuple[int, int]) -> str:
        self.number[item] += 1
        name = f"{item[0].upper()}{self.number[item]}"
        enters, emptied = days
        self.units.append(
            UnitRow(unit=name, kind=kind, item=item, enters=enters, emptied=emptied, leaves=emptied)
        )
        return name

    def hold(self, unit: str, lot: str, plants: int, **days: int | None) -> None:
        self.contents.append(
            ContentRow(**({"unit": unit, "lot": lot, "plants": plants, "rows": 0} | days))  # type: ignore[arg-type]
        )


def build(
    farm: Farm,
    *batches: Batch,
    fills: Iterable[GivenFill] = (),
) -> Plan:
    """Return the plan of some batches; ``fills`` are (demand, lot, cut day, heads[, substitute])."""
    sheet = _Sheet(farm)
    for batch in batches:
        _add(sheet, batch)
    _leave_in_turn(sheet)
    rows = tuple(
        FillRow(
            demand=demand,
            crop=sheet.lots[lot].crop,
            lot=lot,
            cut_day=day,
            heads=heads,
            substitute="".join(instead),
        )
        for demand, lot, day, heads, *instead in fills
    )
    plan = Plan(
        lots=tuple(sheet.lots.values()),
        units=tuple(sheet.units),
        contents=tuple(sheet.contents),
        positions=tuple(_positions(sheet)),
        cuts=tuple(sheet.cuts),
        fills=rows,
        demands=(),
        use=(),
        equipment=(),
        hours=(),
        tasks=(),
        chains=(),
        seed=(),
        goals=(),
        own_figures=(),
        made={},
    )
    return settle(farm, plan)


def settle(farm: Farm, plan: Plan) -> Plan:
    """Return the plan with every derived table made again from its rows."""
    return with_totals(farm, replace(plan, demands=demand_rows(farm, plan), chains=chain_rows(plan)))


def told(farm: Farm, plan: Plan) -> list[str]:
    """Return the audit's faults as text, the plan's derived tables made again first."""
    return [str(fault) for fault in audit(farm, settle(farm, plan))]


def judged(
    farm: Farm,
    *batches: Batch,
    fills: Iterable[GivenFill] = (),
) -> list[str]:
    """Build a plan and return the audit's faults as text."""
    return told(farm, build(farm, *batches, fills=fills))


def edit(plan: Plan, table: str, where: dict[str, Any], **new: Any) -> Plan:
    """Return the plan with the rows of a table that match ``where`` changed; at least one must."""
    rows = getattr(plan, table)
    hit = [all(getattr(row, name) == value for name, value in where.items()) for row in rows]
    assert any(hit), f"no row of {table} has {where}"
    changed = (replace(row, **new) if found else row for row, found in zip(rows, hit, strict=True))
    tables: dict[str, Any] = {table: tuple(changed)}
    return replace(plan, **tables)


def drop(plan: Plan, table: str, **where: Any) -> Plan:
    """Return the plan without the rows of a table that match; at least one must."""
    rows = getattr(plan, table)
    kept = tuple(row for row in rows if any(getattr(row, name) != value for name, value in where.items()))
    assert len(kept) < len(rows), f"no row of {table} has {where}"
    tables: dict[str, Any] = {table: kept}
    return replace(plan, **tables)


def join(plan: Plan, unit: str, into: str) -> Plan:
    """Return the plan with all that one unit holds put into another, and the empty unit gone."""
    plan = edit(plan, "contents", {"unit": unit}, unit=into)
    if any(cut.unit == unit for cut in plan.cuts):
        plan = edit(plan, "cuts", {"unit": unit}, unit=into)
    return drop(drop(plan, "units", unit=unit), "positions", unit=unit)


def _add(sheet: _Sheet, batch: Batch) -> None:
    crop = sheet.farm.crops[batch.crop]
    found = batch.found
    lot = found.lot if found else f"{crop.code}-{sheet.farm.date_of(batch.sown):%y%m%d}"
    stage = found.stage if found else None
    cells = 0
    if stage in (None, StageKind.TRAY):
        cells = _trays(sheet, batch, lot)
    if batch.board_day is not None and stage is not StageKind.RAFT:
        _boards(sheet, batch, lot)
    _rafts(sheet, batch, lot)
    plants = found.plants if found else cells * crop.tray.survival // 10_000
    before = sheet.lots.get(lot)
    sheet.lots[lot] = LotRow(
        lot=lot,
        crop=crop.name,
        origin="growing" if found else "sown",
        sown=batch.sown if found is None else (found.since if stage is StageKind.TRAY else None),
        cells=(0 if found else cells) + (before.cells if before else 0),
        seeds=(0 if found else cells * crop.handling.seeds_per_cell) + (before.seeds if before else 0),
        plants=plants + (before.plants if before else 0),
        discarded=batch.discarded + (before.discarded if before else 0),
        overdue=batch.overdue or bool(before and before.overdue),
    )


def _spread(found: Growing) -> list[int]:
    """Plants of growing units: full ones first."""
    each = ceil_div(found.plants, found.units)
    plants = [min(each, found.plants - each * n) for n in range(found.units)]
    return [number for number in plants if number > 0]


def _trays(sheet: _Sheet, batch: Batch, lot: str) -> int:
    kind = sheet.farm.equipment[sheet.farm.crops[batch.crop].tray.unit]
    found = batch.found
    enters = found.since if found else batch.sown
    loads = [(plants, 0) for plants in _spread(found)] if found else []
    left = 0 if found else batch.rows
    while left > 0:
        rows = min(left, kind.rows)
        loads.append((rows * kind.cells_per_row, rows))
        left -= rows
    for plants, rows in loads:
        name = sheet.unit("tray", kind.name, (enters, batch.out_of_tray))
        sheet.hold(name, lot, plants, rows=rows, enters=enters, leaves=batch.out_of_tray, from_day=enters)
        if found:
            sheet.home[name] = found.place
    return sum(plants for plants, _ in loads)


def _boards(sheet: _Sheet, batch: Batch, lot: str) -> None:
    board = sheet.farm.crops[batch.crop].board
    assert board is not None
    assert batch.board_day is not None
    found = batch.found if batch.found and batch.found.stage is StageKind.BOARD else None
    enters = found.since if found else batch.board_day
    from_day = None if found else (batch.found.since if batch.found else batch.sown)
    for plants in _spread(found) if found else batch.boards:
        name = sheet.unit("board", board.unit, (enters, batch.raft_day))
        sheet.hold(name, lot, plants, enters=enters, leaves=batch.raft_day, from_day=from_day)


def _rafts(sheet: _Sheet, batch: Batch, lot: str) -> None:
    crop = sheet.farm.crops[batch.crop]
    found = batch.found if batch.found and batch.found.stage is StageKind.RAFT else None
    enters = found.since if found else batch.raft_day
    from_day: int | None = batch.board_day if batch.board_day is not None else batch.sown
    if batch.found:
        since = batch.found.since
        straight = {StageKind.TRAY: crop.board is None, StageKind.BOARD: True, StageKind.RAFT: False}
        from_day = since if straight[batch.found.stage] else (None if found else batch.board_day)
    for plants in _spread(found) if found else batch.rafts:
        name = sheet.unit("raft", crop.finish.unit, (enters, batch.last_cut))
        sheet.home[name] = batch.lane
        sheet.hold(name, lot, plants, enters=enters, leaves=batch.last_cut, from_day=from_day)
        if batch.leaves is not None:
            sheet.units[-1] = replace(sheet.units[-1], leaves=batch.leaves)
            sheet.fixed.add(name)
        done = found.cuts_done if found else 0
        for number, cut in enumerate(batch.cuts, start=done + 1):
            day, cut_plants = cut[0], cut[1]
            heads = cut[2] if len(cut) > 2 else cut_plants
            sheet.cuts.append(
                CutRow(unit=name, lot=lot, day=day, number=number, plants=cut_plants, heads=heads)
            )


def _in_lane(sheet: _Sheet, lane: str) -> list[UnitRow]:
    """Rafts of a lane as they enter; what was found enters first, in the order of the batches."""
    rafts = [unit for unit in sheet.units if unit.item == "raft" and sheet.home[unit.unit] == lane]
    return sorted(rafts, key=lambda unit: max(unit.enters, -1) if unit.enters > 0 else -1)


def _leave_in_turn(sheet: _Sheet) -> None:
    if sheet.farm.rules.lift_out:
        return
    for lane in {sheet.home[unit.unit]: None for unit in sheet.units if unit.item == "raft"}:
        latest = -1
        for raft in _in_lane(sheet, lane):
            leaves = raft.leaves if raft.unit in sheet.fixed else max(raft.emptied, latest)
            sheet.units[sheet.units.index(raft)] = replace(raft, leaves=leaves)
            latest = max(latest, leaves)


def _positions(sheet: _Sheet) -> list[PositionRow]:
    rows = []
    for item, kind in (("tray", "tier"), ("board", "zone")):
        places = [place for place in sheet.farm.places if place.kind == kind]
        rows += _free_choice(
            [unit for unit in sheet.units if unit.item == item], [p.name for p in places], sheet
        )
    for lane in {sheet.home[unit.unit]: None for unit in sheet.units if unit.item == "raft"}:
        rows += _pushed(lane, _in_lane(sheet, lane))
    return rows


def _free_choice(units: list[UnitRow], places: list[str], sheet: _Sheet) -> list[PositionRow]:
    """Put each unit into the lowest slot free all its days, in the first place with room."""
    rows: list[PositionRow] = []
    for unit in units:
        enters = max(unit.enters, 0)
        if enters >= unit.leaves:
            continue
        place, slot = "", 0
        for place in places:
            most = max(n for _, n in next(p for p in sheet.farm.places if p.name == place).slots.steps)
            taken = {
                row.slot
                for row in rows
                if row.place == place and row.enters < unit.leaves and enters < row.until
            }
            slot = next(n for n in range(1, len(taken) + 2) if n not in taken)
            if slot <= most or place == places[-1]:
                break
        rows.append(PositionRow(unit=unit.unit, place=place, slot=slot, enters=enters, until=unit.leaves))
    return rows


def _pushed(lane: str, rafts: list[UnitRow]) -> list[PositionRow]:
    """Push rafts along day by day: those that leave go, the others close up, new ones come in behind."""
    rows: list[PositionRow] = []
    standing: dict[str, tuple[int, int]] = {}
    queue: list[UnitRow] = []
    for day in range(max((raft.leaves for raft in rafts), default=0) + 1):
        came = [raft for raft in rafts if max(raft.enters, 0) == day]
        queue = [raft for raft in queue + came if raft.leaves > day]
        now = {raft.unit: rank for rank, raft in enumerate(queue, start=1)}
        for unit, (slot, since) in list(standing.items()):
            if now.get(unit) != slot:
                rows.append(PositionRow(unit=unit, place=lane, slot=slot, enters=since, until=day))
                del standing[unit]
        for unit, slot in now.items():
            standing.setdefault(unit, (slot, day))
    return rows
