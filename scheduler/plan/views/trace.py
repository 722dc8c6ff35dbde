"""Following lots through a plan: which units held them, where those stood, and what came of them next."""

from collections import defaultdict

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.rows import ContentRow, CutRow, DemandRow, FillRow, LotRow, Plan, PositionRow, UnitRow

ITEMS = ("tray", "board", "raft")
"""Kinds of unit in the order plants go through them."""


class Trace:
    """A plan sorted for following its lots; rows that name what does not exist are left out.

    Attributes:
        farm, plan: what it was made from.
        lots, units, demands: rows by their names.
    """

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Sort the rows of a plan, also one whose tables were edited by hand."""
        self.farm = farm
        self.plan = plan
        self.lots: dict[str, LotRow] = {row.lot: row for row in plan.lots if row.crop in farm.crops}
        self.units: dict[str, UnitRow] = {row.unit: row for row in plan.units if row.item in ITEMS}
        self.demands: dict[str, DemandRow] = {row.demand: row for row in plan.demands}
        self._of_lot: dict[tuple[str, str], list[ContentRow]] = defaultdict(list)
        self._filled: dict[tuple[str, str, int], list[ContentRow]] = defaultdict(list)
        self._in_unit: dict[str, list[ContentRow]] = defaultdict(list)
        self._stands: dict[str, list[PositionRow]] = defaultdict(list)
        self._cuts: dict[tuple[str, str], list[CutRow]] = defaultdict(list)
        self._fills: dict[str, list[FillRow]] = defaultdict(list)
        for row in sorted(plan.contents, key=lambda row: (row.enters, row.unit, row.leaves)):
            if row.unit in self.units and row.lot in self.lots:
                item = self.units[row.unit].item
                self._of_lot[row.lot, item].append(row)
                self._filled[row.lot, item, row.enters].append(row)
                self._in_unit[row.unit].append(row)
        for position in sorted(plan.positions, key=lambda row: row.enters):
            self._stands[position.unit].append(position)
        for cut in sorted(plan.cuts, key=lambda row: (row.day, row.unit, row.number)):
            if cut.unit in self.units and cut.lot in self.lots:
                self._cuts[cut.unit, cut.lot].append(cut)
        for fill in plan.fills:
            self._fills[fill.lot].append(fill)
        self._planted: dict[str, list[PlantingRow]] = defaultdict(list)
        for planting in sorted(plan.plantings, key=lambda row: (row.enters, row.planting)):
            if planting.lot in self.lots:
                self._planted[planting.lot].append(planting)
        self._picked: dict[str, list[PickingRow]] = defaultdict(list)
        for picking in sorted(plan.pickings, key=lambda row: row.day):
            self._picked[picking.planting].append(picking)

    def crop(self, lot: str) -> Crop:
        """Return the crop of a lot."""
        return self.farm.crops[self.lots[lot].crop]

    def held(self, lot: str, item: str) -> list[ContentRow]:
        """Return what trays, boards or rafts held of a lot, by the day they were filled, then by unit."""
        return self._of_lot.get((lot, item), [])

    def inside(self, unit: str) -> list[ContentRow]:
        """Return all that a unit held."""
        return self._in_unit[unit]

    def shares_with(self, unit: str, lot: str) -> tuple[str, ...]:
        """Return the other lots in a unit."""
        return tuple(dict.fromkeys(row.lot for row in self._in_unit[unit] if row.lot != lot))

    def cuts(self, unit: str, lot: str) -> list[CutRow]:
        """Return the cuts of a lot from one raft or tray, in order of time."""
        return self._cuts[unit, lot]

    def plantings(self, lot: str) -> list[PlantingRow]:
        """Return the plants of a lot in beds, by the day they were set in."""
        return self._planted[lot]

    def pickings(self, planting: str) -> list[PickingRow]:
        """Return the pickings of one planting, in order of time."""
        return self._picked[planting]

    def into_beds(self, row: ContentRow) -> list[PlantingRow]:
        """Return what was set into beds from a tray on the day its plants left it."""
        return [
            each
            for each in self._planted[row.lot]
            if (each.enters, each.from_day) == (row.leaves, row.enters)
        ]

    def fills(self, lot: str) -> list[FillRow]:
        """Return what went from a lot into deliveries and targets."""
        return self._fills[lot]

    def first_stand(self, unit: str) -> PositionRow | None:
        """Return where a unit was put first; None when it has no place."""
        return next(iter(self._stands[unit]), None)

    def stand_on(self, unit: str, day: int) -> PositionRow | None:
        """Return where a unit stands once the work of a day is done."""
        return next((row for row in self._stands[unit] if row.enters <= day < row.until), None)

    def moves(self, unit: str) -> list[tuple[int, str, str]]:
        """Return (day, place left, place come to) of each change from one place to another."""
        stands = self._stands[unit]
        pairs = zip(stands, stands[1:], strict=False)
        return [(now.enters, was.place, now.place) for was, now in pairs if was.place != now.place]

    def is_cut(self, row: ContentRow) -> bool:
        """Say whether a lot is cut from what holds it here: its last stage."""
        return self.units[row.unit].item == self.crop(row.lot).finish.kind

    def cut_from(self, lot: str) -> list[str]:
        """Return the units a lot is cut from, by the day they were filled."""
        return list(dict.fromkeys(row.unit for row in self.held(lot, self.crop(lot).finish.kind)))

    def goes_to(self, row: ContentRow) -> str:
        """Return what plants go on to: ``board``, ``raft``, ``bed``, ``cut``, or ``out`` where to nothing."""
        if self.is_cut(row):
            return "cut" if self.cuts(row.unit, row.lot) else "out"
        if self.into_beds(row):
            return "bed"
        onward = self.onward(row)
        return self.units[onward[0].unit].item if onward else "out"

    def onward(self, row: ContentRow) -> list[ContentRow]:
        """Return what was filled with the plants of a tray or board, on the day they left it."""
        item = self.units[row.unit].item
        if self.is_cut(row):
            return []
        stages = [stage.kind.value for stage in self.crop(row.lot).route]
        following = stages[stages.index(item) + 1] if item in stages else ""
        return [
            later
            for later in self._filled.get((row.lot, following, row.leaves), ())
            if later.from_day is not None and (item == "tray" or later.from_day == row.enters)
        ]
