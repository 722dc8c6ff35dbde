"""What tasks are looked up in: lots, units and what they hold, by name."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.layout.units import Unit
from scheduler.plan.layout.words import standing_in_words
from scheduler.plan.left_behind import left_behind
from scheduler.plan.rows import LotRow, Plan, TaskRow
from scheduler.plan.thrown import thrown_away

WORKS = (
    "order",
    "soak",
    "sow",
    "uncover",
    "thin",
    "transplant",
    "raft",
    "plant",
    "cut",
    "pick",
    "lift",
    "clear",
    "clean",
    "discard",
    "deliver",
    "chore",
)
"""Kinds of work in the order in which the tasks of a day are numbered; pages have an order of their own."""


@dataclass(frozen=True, slots=True)
class Job:
    """A task, and the units it is done with; they are counted when all tasks of the day are known.

    Tasks of one kind and day are done by ``rank``, those of the same rank in any order.
    """

    task: TaskRow
    units: tuple[Unit, ...] = ()
    rank: int = 0


def job(work: str, lot: LotRow, day: int, units: Sequence[Unit] = (), **said: int | str) -> Job:
    """Return a task of a lot; ``said`` are columns other than those of what, when and with which units."""
    task = TaskRow(
        key=f"{work} {lot.lot}",
        day=day,
        work=work,
        lot=lot.lot,
        crop=lot.crop,
        units=0,
        unit_kind=units[0].kind if units else "",
        plants=0,
        where="",
        to="",
        note="",
    )
    columns: dict[str, Any] = said
    return Job(replace(task, **columns), tuple(units))


class TaskBook:
    """A plan and its units, sorted for looking up."""

    def __init__(self, farm: Farm, plan: Plan, units: Iterable[Unit]) -> None:
        """Take a plan whose tables other than tasks are done."""
        self.farm = farm
        self.plan = plan
        self.units = {unit.name: unit for unit in units}
        self.lots = {lot.lot: lot for lot in plan.lots}
        self._customers = {demand.name: demand.customer for demand in farm.demands}
        self.thrown = thrown_away(farm, plan)
        self.left_behind = left_behind(farm, plan, self.thrown)
        self._by_lot: dict[str, list[Unit]] = defaultdict(list)
        for unit in self.units.values():
            for lot in dict.fromkeys(part.lot for part in unit.parts):
                self._by_lot[lot].append(unit)

    def crop(self, lot: str) -> Crop:
        """Return the crop of a lot."""
        return self.farm.crops[self.lots[lot].crop]

    def customer(self, demand: str) -> str:
        """Return who gets a delivery, in brackets; nothing for a target."""
        name = self._customers.get(demand, "")
        return f" ({name})" if name else ""

    def of_item(self, item: str) -> list[Unit]:
        """Return all trays, boards or rafts."""
        return [unit for unit in self.units.values() if unit.item == item]

    def holding(self, lot: str) -> list[Unit]:
        """Return all units that hold something of a lot."""
        return self._by_lot[lot]

    def emptied(self, item: str, lot: str, day: int) -> str:
        """Say where the trays or boards stand whose plants of a lot go on that day."""
        thrown = self.thrown.get(lot, {}) if day == self.farm.today else {}
        left = self.left_behind.get((lot, day), {})
        return standing_in_words(
            unit.stand_before(day)
            for unit in self.holding(lot)
            if unit.item == item
            and unit.name not in left
            and sum(part.amount for part in unit.parts if part.lot == lot and part.leaves == day)
            > thrown.get(unit.name, 0)
        )

    def in_trays(self, lot: str, day: int) -> tuple[list[Unit], int]:
        """Return the trays that still hold something of a lot after a day's moves, and its cells in them."""
        trays = [
            unit
            for unit in self.holding(lot)
            if unit.item == "tray" and any(part.lot == lot and part.leaves > day for part in unit.parts)
        ]
        cells = 0
        for tray in trays:
            each = 1 if tray.growing >= 0 else self.farm.equipment[tray.kind].cells_per_row
            cells += each * sum(part.amount for part in tray.parts if part.lot == lot and part.leaves > day)
        return trays, cells
