"""A plan with extra seed of one lot: rows in its trays, holes on its boards and rafts, and new units.

What is made is a whole plan, so that the audit can judge it: cells, slots, rows, equipment and hours are
those the plan leaves free, or there is no such plan.
"""

from collections import defaultdict
from dataclasses import dataclass, replace

from scheduler.farm.dates import dated
from scheduler.farm.farm import Farm
from scheduler.farm.units import ceil_div, share_down
from scheduler.plan.audit import audit
from scheduler.plan.rows import ContentRow, CutRow, Plan
from scheduler.plan.supplies import supply_rows
from scheduler.plan.tally import daily, hours, seed, with_totals
from scheduler.stress.paths import Path
from scheduler.stress.standing import NoRoom, Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """A plan with extra seed.

    Attributes:
        plan: its rows, hours and seed; other totals, tasks and goals are not worked out.
        cells: cells that were added.
        units: trays, boards and rafts that were added, by name of their kind.
    """

    plan: Plan
    cells: int
    units: dict[str, int]


def with_extra(farm: Farm, plan: Plan, path: Path, rows: int, *, more_units: bool) -> Extra:
    """Return a plan with so many rows of cells more of a lot, and room for what is counted on of them.

    With ``more_units`` plants that find no hole on the lot's boards and rafts get new ones; without, they
    only make up for what is lost before.

    Raises:
        NoRoom: some slot, tray, board, raft or hour is missing.
    """
    made = _Maker(farm, plan, path, more_units=more_units)
    cells = made.sow(rows)
    return Extra(plan=made.plan(), cells=cells, units=dict(made.added))


def settled(farm: Farm, plan: Plan) -> Plan:
    """Return a plan with extra seed as a whole one, judged by the audit.

    Raises:
        NoRoom: it breaks a rule.
    """
    made = with_totals(farm, plan)
    made = replace(made, supplies=tuple(supply_rows(farm, made)))
    faults = audit(farm, made)
    if faults:
        raise NoRoom(str(faults[0]))
    return made


class _Maker:
    """Rows of a plan while extra seed goes into them."""

    def __init__(self, farm: Farm, plan: Plan, path: Path, *, more_units: bool) -> None:
        self.farm, self._plan, self.path = farm, plan, path
        self._more_units = more_units
        self.crop = farm.crops[path.crop]
        self.units = {unit.unit: unit for unit in plan.units}
        self.contents = list(plan.contents)
        self.cuts = list(plan.cuts)
        self.standing = Standing(farm, plan)
        self.added: dict[str, int] = defaultdict(int)
        self.cells = 0

    def sow(self, rows: int) -> int:
        """Sow rows of cells and carry what is counted on through all stages; return the cells."""
        stages = [*self.path.batches, self.path.patch.batch]
        tray = self.farm.equipment[self.crop.route[0].unit]
        self.cells = rows * tray.cells_per_row
        self._fill_trays(rows)
        for at, batch in enumerate(stages[1:], start=1):
            before = stages[at - 1]
            stage = self.crop.route[at - 1]
            came = sum(row.plants for row in self._rows(at - 1) if row.leaves == before.leaves)
            there = sum(row.plants for row in self._rows(at) if row.enters == batch.enters)
            more = share_down(came, stage.survival) - there
            if more > 0:
                self._set_out(at, batch.enters, more)
        self._cut()
        return self.cells

    def _rows(self, stage: int) -> list[ContentRow]:
        """Return contents of the lot in a stage."""
        item = str(self.crop.route[stage].kind)
        mine = (row for row in self.contents if row.lot == self.path.lot)
        return [row for row in mine if self.units[row.unit].item == item]

    def _held(self, unit: str) -> list[ContentRow]:
        return [row for row in self.contents if row.unit == unit]

    def _fill_trays(self, rows: int) -> None:
        """Take rows that are left in trays of the lot, or of others if trays are shared; then new trays."""
        first = (*self.path.batches, self.path.patch.batch)[0]
        kind = self.farm.equipment[self.crop.route[0].unit]
        like = self._like(0, first.enters, first.leaves)
        mine = [row.unit for row in self._rows(0) if (row.enters, row.leaves) == (first.enters, first.leaves)]
        shared = [
            unit.unit
            for unit in self.units.values()
            if self.farm.rules.share_trays
            and (unit.kind, unit.enters) == (kind.name, first.enters)
            and unit.emptied >= first.leaves
        ]
        for unit in dict.fromkeys([*mine, *shared]):
            free = kind.rows - sum(row.rows for row in self._held(unit))
            taken = min(rows, free)
            if taken > 0:
                self._hold(unit, like, taken * kind.cells_per_row, taken)
                rows -= taken
        while rows > 0:
            taken = min(rows, kind.rows)
            unit = self._new_unit(like)
            self._hold(unit, like, taken * kind.cells_per_row, taken)
            rows -= taken

    def _like(self, stage: int, enters: int, leaves: int | None = None) -> ContentRow:
        """Return contents of the lot that stand as the extra plants would."""
        return next(row for row in self._rows(stage) if row.enters == enters and leaves in (None, row.leaves))

    def _set_out(self, stage: int, day: int, plants: int) -> None:
        """Set plants into holes that are left, then into new units."""
        step = self.path.patch.batch if stage == len(self.crop.route) - 1 else self.path.batches[stage]
        holes = self.crop.route[stage].plants_per_unit
        same = [row for row in self._rows(stage) if row.enters == day]
        if stage < len(self.crop.route) - 1:
            same = [row for row in same if row.leaves == step.leaves]
        for unit in dict.fromkeys(row.unit for row in same):
            held = self._held(unit)
            free = holes - sum(row.plants for row in held)
            if free > 0 and all(row.lot == self.path.lot for row in held):
                taken = min(free, plants)
                self._hold(unit, next(row for row in same if row.unit == unit), taken, 0)
                plants -= taken
        if not self._more_units:
            return
        like = next((row for row in same if row.unit == self.path.patch.unit), same[0])
        for _ in range(ceil_div(plants, holes)):
            unit = self._new_unit(like)
            taken = min(holes, plants)
            self._hold(unit, like, taken, 0)
            plants -= taken

    def _hold(self, unit: str, like: ContentRow, plants: int, rows: int) -> None:
        """Add plants to a unit, on the days of other contents."""
        for at, row in enumerate(self.contents):
            if row.unit == unit and row.lot == like.lot and row.leaves == like.leaves:
                self.contents[at] = replace(row, plants=row.plants + plants, rows=row.rows + rows)
                return
        self.contents.append(replace(like, unit=unit, plants=plants, rows=rows))

    def _new_unit(self, like: ContentRow) -> str:
        """Add a unit that stands from when to when another does, in a place like its place."""
        model = self.units[like.unit]
        number = 1
        while f"{like.unit}+{number}" in self.units:
            number += 1
        name = f"{like.unit}+{number}"
        # others in the same unit may stay longer than this lot does
        unit = replace(model, unit=name, emptied=like.leaves, leaves=like.leaves)
        self.units[name] = self.standing.stand(unit, like.unit, self.crop)
        self.added[model.kind] += 1
        return name

    def _cut(self) -> None:
        """Cut what was added on the last day of each cut of its lot, with the heads that losses leave."""
        patch = self.path.patch
        last = len(self.crop.route) - 1
        known: dict[str, dict[int, int]] = defaultdict(dict)
        for at, cut in sorted(enumerate(self.cuts), key=lambda each: each[1].day):
            if cut.lot == self.path.lot:
                known[cut.unit][cut.number] = at
        models = [self.cuts[at] for at in known[patch.unit].values()]
        before: dict[str, int] = defaultdict(int)
        for row in self._plan.contents:
            if row.lot == self.path.lot:
                before[row.unit] += row.plants
        for unit in dict.fromkeys(row.unit for row in self._rows(last) if row.enters == patch.batch.enters):
            plants = sum(row.plants for row in self._held(unit) if row.lot == self.path.lot) - before[unit]
            if plants:
                self._cut_more(unit, plants, known.get(unit, {}), models)

    def _cut_more(self, unit: str, plants: int, own: dict[int, int], models: list[CutRow]) -> None:
        """Add plants to the cuts a unit has (number of the cut -> its row), or cut it as the models are."""
        heads = share_down(plants, self.crop.heads_share)
        for at in own.values():
            cut = self.cuts[at]
            self.cuts[at] = replace(cut, plants=cut.plants + plants, heads=cut.heads + heads)
        if not own:
            self.cuts += [replace(model, unit=unit, plants=plants, heads=heads) for model in models]

    def plan(self) -> Plan:
        """Return the whole plan; of its totals hours and seed are worked out, which tell what it lacks.

        Raises:
            NoRoom: a kind of unit or the crew's hours do not reach.
        """
        lots = tuple(
            replace(
                lot,
                cells=lot.cells + self.cells,
                seeds=lot.seeds + self.cells * self.crop.handling.seeds_per_cell,
                plants=share_down(lot.cells + self.cells, self.crop.route[0].survival),
            )
            if lot.lot == self.path.lot
            else lot
            for lot in self._plan.lots
        )
        made = replace(
            self._plan,
            lots=lots,
            units=tuple(self.units.values()),
            contents=tuple(self.contents),
            positions=self.standing.all_positions(),
            cuts=tuple(self.cuts),
            tasks=(),
            goals=(),
        )
        made = replace(made, hours=tuple(hours(self.farm, made)), seed=tuple(seed(self.farm, made)))
        self._check_equipment(made)
        self._check_hours(made)
        return made

    def _check_equipment(self, plan: Plan) -> None:
        """Look at what runs out first; the audit looks at everything before anything is told."""
        for name in self.added:
            kind = self.farm.equipment[name]
            spells = [(unit.enters, unit.leaves) for unit in plan.units if unit.kind == name]
            busy = daily(((first, end + kind.wash_days, 1) for first, end in spells), self.farm.calendar.span)
            for day, number in enumerate(busy):
                if number > kind.owned:
                    raise NoRoom(f"every {name} is in use on {dated(self.farm.date_of(day))}")

    def _check_hours(self, plan: Plan) -> None:
        if self.farm.crew is None:
            return
        minutes: dict[int, int] = defaultdict(int)
        for row in plan.hours:
            minutes[row.day] += row.minutes
        for day, number in sorted(minutes.items()):
            if day >= self.farm.today and number > self.farm.crew.on(day):
                raise NoRoom(f"no hours are left on {dated(self.farm.date_of(day))}")
