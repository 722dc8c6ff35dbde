"""The plan's rows sorted for the audit: by unit, by lot and by place, and only those whose names exist."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.growth.stages import next_work
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.growth import Growth
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.bed_tally import growing_plantings
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import ContentRow, CutRow, LotRow, Plan, PositionRow, UnitRow
from scheduler.plan.tally import first_positions, growing_units, lane_order, names_of

OVERDUE_GRACE = 7
"""Days from today within which an overdue lot must be moved on or cut."""

YEAR = 366

Row = TypeVar("Row", ContentRow, PositionRow, CutRow)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """What the rules look things up in; rows with unknown names are left out (bookkeeping reports them).

    Attributes:
        farm, plan: the farm, and the plan with sound rows only.
        lots, units, places: by name.
        contents, positions, cuts: by unit name; positions and cuts in order of day.
        trays: what trays hold, by lot.
        of_lot: what all units hold, by lot.
        first: each unit's position on day 0 or on the day it enters.
        entry_of: growing units -> their entry.
        entries: growing lots -> their entries.
        plantings: plantings in beds by name.
        planted: those that stood there on day 0 -> their entry.
        queues: rafts of each lane, first in first.
        overdue: growing lots' entries that were past their last good day, by ``id``.
    """

    farm: Farm
    plan: Plan
    lots: dict[str, LotRow]
    units: dict[str, UnitRow]
    places: dict[str, Place]
    contents: dict[str, list[ContentRow]]
    trays: dict[str, list[ContentRow]]
    of_lot: dict[str, list[ContentRow]]
    positions: dict[str, list[PositionRow]]
    cuts: dict[str, list[CutRow]]
    first: dict[str, PositionRow]
    entry_of: dict[str, Growing]
    entries: dict[str, list[Growing]]
    plantings: dict[str, PlantingRow]
    planted: dict[str, Growing]
    queues: dict[str, list[UnitRow]]
    overdue: frozenset[int]
    growth: Growth

    def crop_of(self, lot: str) -> Crop:
        """Return the crop of a lot."""
        return self.farm.crops[self.lots[lot].crop]

    def item(self, row: ContentRow) -> str:
        """Return tray, board or raft: what these contents stand in."""
        return self.units[row.unit].item

    def is_growing(self, unit: str) -> bool:
        """Say whether a unit stood on the farm on day 0."""
        return unit in self.entry_of

    def entry_for(self, unit: str, lot: str) -> Growing | None:
        """Return the entry of a lot in a unit that stood there on day 0; None in units that did not."""
        first = self.entry_of.get(unit)
        if first is None or first.lot == lot:
            return first
        return next((entry for entry in beside(self.farm, first) if entry.lot == lot), first)

    def is_overdue(self, unit: str, lot: str) -> bool:
        """Say whether a lot in a unit was past its last good day on day 0."""
        entry = self.entry_for(unit, lot)
        return entry is not None and id(entry) in self.overdue

    def grown(self, unit: str, start: int, end: int) -> int | None:
        """Return thousandths of card days grown where the unit stood; None for a unit that stands nowhere."""
        rows = self.positions.get(unit)
        if not rows:
            entry = self.entry_of.get(unit)
            return None if entry is None else self.growth.at(home(self.farm, entry), start, end)
        if len(rows) == 1:
            return self.growth.at(self.places[rows[0].place].belongs_to, start, end)
        total, at = 0, start
        for row, following in zip(rows, rows[1:], strict=False):
            stop = max(at, min(following.enters, end))
            total += self.growth.at(self.places[row.place].belongs_to, at, stop)
            at = stop
        return total + self.growth.at(self.places[rows[-1].place].belongs_to, at, max(at, end))

    def fault(self, rule: str, where: str, day: int | None, message: str) -> AuditFault:
        """Return a fault on a day number."""
        when = None if day is None else self.farm.date_of(day)
        return AuditFault(rule=rule, where=where, when=when, message=message)

    def where(self, row: ContentRow) -> str:
        """Return where contents stand on their first day, for a fault's second part."""
        position = self.first.get(row.unit)
        return row.unit if position is None else position.place


def beside(farm: Farm, entry: Growing) -> list[Growing]:
    """Return all entries that stand in the units of one, itself included."""
    if not entry.together:
        return [entry]
    return [other for other in farm.growing if other.together == entry.together]


def home(farm: Farm, entry: Growing) -> str:
    """Return the shelf or trough whose pace a growing entry has."""
    return names_of(farm, entry.place)[1]


def read(farm: Farm, plan: Plan) -> Ledger:
    """Sort a plan's rows by their names, leaving out those that name what does not exist."""
    places = {place.name: place for place in farm.places}
    sound = _sound(farm, plan, places)
    units = {row.unit: row for row in sound.units}
    entries: dict[str, list[Growing]] = defaultdict(list)
    for entry in farm.growing:
        entries[entry.lot].append(entry)
    return Ledger(
        farm=farm,
        plan=sound,
        lots={row.lot: row for row in sound.lots},
        units=units,
        places=places,
        contents=_by_unit(sound.contents),
        trays=_trays_by_lot(units, sound.contents),
        of_lot=_by_lot(sound.contents),
        positions=_by_unit(sorted(sound.positions, key=lambda row: (row.enters, row.until))),
        cuts=_by_unit(sorted(sound.cuts, key=lambda row: (row.day, row.number))),
        first=first_positions(sound.positions),
        entry_of=growing_units(farm, sound),
        entries=entries,
        plantings={row.planting: row for row in sound.plantings},
        planted=growing_plantings(farm, sound),
        queues=lane_order(farm, sound),
        overdue=frozenset(id(entry) for entry in farm.growing if entry_overdue(farm, entry)),
        growth=Growth(farm.pace),
    )


def _sound(farm: Farm, plan: Plan, places: dict[str, Place]) -> Plan:
    """Return a plan without rows that name what does not exist; of rows with one name the last stays."""
    lots = {row.lot: row for row in plan.lots if row.crop in farm.crops}
    kinds = farm.equipment
    units = {row.unit: row for row in plan.units if row.kind in kinds and kinds[row.kind].item == row.item}
    plantings = {row.planting: row for row in plan.plantings if _is_sound(farm, row, lots, places)}
    return replace(
        plan,
        lots=tuple(lots.values()),
        units=tuple(units.values()),
        contents=tuple(row for row in plan.contents if row.unit in units and row.lot in lots),
        positions=tuple(row for row in plan.positions if row.unit in units and row.place in places),
        cuts=tuple(row for row in plan.cuts if row.unit in units and row.lot in lots),
        plantings=tuple(plantings.values()),
        pickings=tuple(row for row in plan.pickings if row.planting in plantings),
    )


def _is_sound(farm: Farm, row: PlantingRow, lots: dict[str, LotRow], places: dict[str, Place]) -> bool:
    """Say whether a planting is of a crop that ends in a bed, in a bed, and in positions that can be read."""
    return (
        row.lot in lots
        and farm.crops[lots[row.lot].crop].picking is not None
        and row.bed in places
        and places[row.bed].kind is PlaceKind.BED
        and bool(positions_in(row.positions))
    )


def _by_unit(rows: Iterable[Row]) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.unit].append(row)
    return found


def _by_lot(contents: Iterable[ContentRow]) -> dict[str, list[ContentRow]]:
    found: dict[str, list[ContentRow]] = defaultdict(list)
    for row in contents:
        found[row.lot].append(row)
    return found


def _trays_by_lot(units: dict[str, UnitRow], contents: Iterable[ContentRow]) -> dict[str, list[ContentRow]]:
    found: dict[str, list[ContentRow]] = defaultdict(list)
    for row in contents:
        if units[row.unit].item == "tray":
            found[row.lot].append(row)
    return found


def entry_overdue(farm: Farm, entry: Growing) -> bool:
    """Say whether a growing entry's last good day lies before the first day it can be worked on.

    Rafts that have had all their cuts are never overdue: nothing more is done to them. Nor is anything
    overdue on a farm that has no day of that work within a year.
    """
    crop = farm.crops.get(entry.crop)
    stage = crop.stage(entry.stage) if crop else None
    if crop is None or stage is None:
        return False
    start, days = entry.since, stage.days + stage.wait
    if entry.stage is crop.finish.kind and crop.picking is None and entry.cuts_done:
        if entry.cuts_done >= crop.cuts:
            return False
        start, days = (
            entry.since if entry.last_cut is None else entry.last_cut,
            crop.cut_interval + stage.wait,
        )
    last_good = farm.pace.last_day_within(home(farm, entry), start, days)
    work = next_work(crop, entry.stage)
    if last_good >= farm.today and farm.calendar.open_days(work, farm.today, last_good):
        return False
    return bool(farm.calendar.open_days(work, farm.today, max(farm.today, last_good) + YEAR))
