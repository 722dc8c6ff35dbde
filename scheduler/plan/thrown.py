"""What grows and is thrown away on the first day: from which trays, boards and rafts, and how much of it."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator

from scheduler.farm.farm import Farm
from scheduler.plan.bed_tally import thrown_plantings
from scheduler.plan.rows import LotRow, Plan
from scheduler.plan.tally import growing_units

Thrown = dict[str, dict[str, int]]
"""Lot -> unit -> plants of it that are thrown away; beds are no units."""

_Stage = tuple[str, int]
"""Tray, board or raft, and the day plants came into it."""


def thrown_away(farm: Farm, plan: Plan, grown: Collection[str] | None = None) -> Thrown:
    """Return which units the plants come from that a plan throws away on the first day.

    Lots say how many there are. Of what is cut where it stands they are those without a cut; of trays and
    boards those that leave that day and are not set out: where nothing is set out first, then the last ones.

    Args:
        farm: the farm.
        plan: a plan; lots of unknown crops, which a table edited by hand may have, are left out.
        grown: the units that were found growing; worked out when not given.
    """
    lots = {lot.lot: lot for lot in plan.lots if lot.discarded and lot.crop in farm.crops}
    return _Growing(farm, plan, grown).thrown(lots) if lots else {}


class _Growing:
    """What was found growing, and what becomes of it on the first day."""

    def __init__(self, farm: Farm, plan: Plan, grown: Collection[str] | None) -> None:
        self.farm = farm
        self.plan = plan
        found = growing_units(farm, plan) if grown is None else grown
        units = {unit.unit: unit for unit in plan.units}
        self.stage: dict[str, _Stage] = {
            name: (unit.item, unit.enters) for name, unit in units.items() if name in found
        }
        self.standing: Counter[tuple[str, str]] = Counter()
        self.leaving: dict[str, Counter[str]] = defaultdict(Counter)
        self.set_out: Counter[tuple[str, int | None]] = Counter()
        for row in plan.contents:
            if row.unit in found:
                self.standing[row.unit, row.lot] += row.plants
                self.leaving[row.lot][row.unit] += row.plants if row.leaves == farm.today else 0
            elif row.enters == farm.today:
                self.set_out[row.lot, row.from_day] += row.plants
        for planting in plan.plantings:
            if planting.enters == farm.today:
                self.set_out[planting.lot, planting.from_day] += planting.plants
        self.cut = _first_cuts(plan)

    def thrown(self, lots: dict[str, LotRow]) -> Thrown:
        """Return what of some lots is thrown away."""
        in_beds = self._in_beds()
        found: Thrown = {}
        for name, lot in lots.items():
            finish = self.farm.crops[lot.crop].finish.kind
            uncut = dict(self._uncut(name, str(finish)))
            left = lot.discarded - sum(uncut.values()) - in_beds[name]
            found[name] = {**self._left_behind(name, str(finish), left), **uncut}
        return found

    def _uncut(self, lot: str, finish: str) -> Iterator[tuple[str, int]]:
        for unit, plants in self.leaving[lot].items():
            if self.stage[unit][0] == finish:
                never = self.standing[unit, lot] - self.cut[unit, lot]
                if min(plants, never) > 0:
                    yield unit, min(plants, never)

    def _left_behind(self, lot: str, finish: str, left: int) -> dict[str, int]:
        """Share ``left`` plants out over trays and boards, those of one day of entering together."""
        stages: dict[_Stage, list[str]] = defaultdict(list)
        for unit, plants in self.leaving[lot].items():
            if plants and self.stage[unit][0] != finish:
                stages[self.stage[unit]].append(unit)
        taken: dict[str, int] = {}
        for (_, since), units in sorted(stages.items(), key=lambda each: self.set_out[lot, each[0][1]] > 0):
            spare = sum(self.leaving[lot][unit] for unit in units) - self.set_out[lot, since]
            for unit in reversed(units):
                now = min(left, spare, self.leaving[lot][unit])
                if now > 0:
                    taken[unit] = now
                    left, spare = left - now, spare - now
        return taken

    def _in_beds(self) -> Counter[str]:
        plants: Counter[str] = Counter()
        for row in thrown_plantings(self.farm, self.plan):
            plants[row.lot] += row.plants
        return plants


def _first_cuts(plan: Plan) -> Counter[tuple[str, str]]:
    """Return (unit, lot) -> plants that get the first of their cuts in the plan: all that are cut at all."""
    numbers: dict[tuple[str, str], int] = {}
    for row in plan.cuts:
        numbers[row.unit, row.lot] = min(row.number, numbers.get((row.unit, row.lot), row.number))
    plants: Counter[tuple[str, str]] = Counter()
    for row in plan.cuts:
        plants[row.unit, row.lot] += row.plants if row.number == numbers[row.unit, row.lot] else 0
    return plants
