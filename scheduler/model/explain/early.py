"""An earlier sowing: what could stand on the farm on the first day, had it been sown before."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Demand, Farm, Growing
from scheduler.farm.growth.picking import picks_of
from scheduler.farm.growth.stages import PLACE_OF, pace_groups, stage_days
from scheduler.farm.places import Place
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.model.answers.read_back import NotReadBack
from scheduler.model.explain.capacity import Case, plants_for
from scheduler.model.explain.season import Season
from scheduler.plan.layout.lots import lot_code
from scheduler.plan.relief import Grant, Limit, Relief
from scheduler.plan.rows import Plan

MOST_DAYS = 120
"""Days before the first one that are looked at."""

MOST_TRIES = 6
"""Sowing days tried, the latest first."""


_Step = tuple[Stage, int, tuple[Place, ...]]
"""A stage of a way, the day it is entered, and the places where it may be spent."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Path:
    """A way from a sowing before the first day to a cut in time: where it stands on the first day."""

    crop: Crop
    sown: int
    stage: Stage
    since: int
    places: tuple[Place, ...]


def early_relief(case: Case) -> Relief | None:
    """Something was sown before the first day: the latest sowing that would have done."""
    tries = 0
    for path in _paths(case.farm, case.demand):
        if case.filler.over or tries == MOST_TRIES:
            return None
        tries += 1
        row = _row(case, path)
        if row is None:
            continue
        farm = replace(case.farm, growing=(*case.farm.growing, row))
        asked = replace(case.season.asked, farm=farm, names=(case.demand.name,))
        try:
            season = Season(asked, case.filler.engine.check)
        except NotReadBack:
            continue
        filled = case.filler.fill(season, [case.demand.name])
        if filled is not None:
            grant = Grant(
                limit=Limit.EARLIER,
                what=path.crop.name,
                amount=_cells(case.farm, path, row.plants),
                first=path.sown,
                last=path.sown,
            )
            return case.relief([grant], filled.cost, filled.plan)
    return None


def _paths(farm: Farm, demand: Demand) -> Iterator[_Path]:
    """Yield ways that reach a delivery from a sowing before the first day, the latest sowing first."""
    early = replace(farm, today=-MOST_DAYS)
    for sown in range(-1, -MOST_DAYS, -1):
        if not farm.calendar.is_open(Work.SOW, sown):
            continue
        for name in farm.products[demand.product].sources:
            crop = farm.crops[name]
            if crop.may_sow(sown):
                found = _path(farm, early, (crop, demand), sown)
                if found is not None:
                    yield found


def _path(farm: Farm, early: Farm, what: tuple[Crop, Demand], sown: int) -> _Path | None:
    """Return one way of a sowing day, as early in its route on the first day as can be."""
    crop, demand = what
    reached: list[tuple[int, tuple[_Step, ...]]] = [(sown, ())]
    for stage in crop.route:
        after: dict[int, tuple[_Step, ...]] = {}
        for (entered, steps), places in product(reached, pace_groups(farm, stage.kind, crop)):
            for day in stage_days(early, crop, stage.kind, places[0].belongs_to, entered):
                # nothing is done any more between the first day and today
                if not 0 <= day < farm.today:
                    after[day] = (*steps, (stage, entered, places))
        reached = sorted(after.items())
    for cut, steps in reached:
        if max(farm.today, demand.first - demand.max_age) <= cut <= demand.last:
            stage, since, places = [(stage, day, places) for stage, day, places in steps if day < 0][-1]
            return _Path(crop=crop, sown=sown, stage=stage, since=since, places=places)
    return None


def _row(case: Case, path: _Path) -> Growing | None:
    """Return what would stand on the first day: as many plants as the missing units need."""
    farm, crop = case.farm, path.crop
    per_unit = farm.products[case.demand.product].sources[crop.name]
    plants = plants_for(crop, ceil_div(case.missing * per_unit, MILLI))
    if path.stage.kind is not StageKind.RAFT and crop.board is not None:
        plants = ceil_div(plants * WHOLE_SHARE, max(1, crop.board.survival))
    place = _roomiest(case.filler.before, path)
    if place is None:
        return None
    if path.stage.kind is StageKind.BED:
        return _in_bed(farm, path, place, plants)
    kind = farm.equipment[path.stage.unit]
    size = path.stage.plants_per_unit if path.stage.kind is not StageKind.TRAY else kind.holes
    cells = _cells(farm, path, plants) if path.stage.kind is StageKind.TRAY else plants
    orders = [row.order for row in farm.growing if row.place == place.name]
    return Growing(
        lot=lot_code(farm, crop.name, path.sown, -1),
        crop=crop.name,
        stage=path.stage.kind,
        place=place.name,
        since=path.since,
        plants=plants,
        units=ceil_div(cells, size),
        order=max(orders, default=0) + 1 if path.stage.kind is StageKind.RAFT else 0,
    )


def _in_bed(farm: Farm, path: _Path, bed: Place, plants: int) -> Growing | None:
    """Return plants that stand side by side in a bed on the first day, picked as often as they could be."""
    taken = {
        position
        for row in farm.growing
        if row.place == bed.name
        for position in range(row.order, row.order + row.units)
    }
    starts = range(1, bed.slots.on(farm.today) - plants + 2)
    first = next((start for start in starts if taken.isdisjoint(range(start, start + plants))), None)
    if first is None or path.crop.picking is None:
        return None
    picks = picks_of(path.crop.picking, farm.pace, bed.name, path.since, path.stage.days)
    return Growing(
        lot=lot_code(farm, path.crop.name, path.sown, -1),
        crop=path.crop.name,
        stage=StageKind.BED,
        place=bed.name,
        since=path.since,
        plants=plants,
        units=plants,
        order=first,
        cuts_done=sum(pick.day < farm.today for pick in picks),
    )


def _cells(farm: Farm, path: _Path, plants: int) -> int:
    """Return the cells to sow for plants that stand in a stage, in whole rows of a tray.

    What is cut in its trays counts cells already.
    """
    crop = path.crop
    if path.stage.kind is StageKind.RAFT and crop.board is not None:
        plants = ceil_div(plants * WHOLE_SHARE, max(1, crop.board.survival))
    row = farm.equipment[crop.tray.unit].cells_per_row
    cells = plants if crop.is_cut_in_trays else crop.cells_for(plants)
    return ceil_div(cells, row) * row


def _roomiest(plan: Plan, path: _Path) -> Place | None:
    """Return the place with most free slots on the first day, None where there are none."""
    names = {place.name: place for place in path.places if place.kind is PLACE_OF[path.stage.kind]}
    free = {row.place: row.slots - row.used for row in plan.use if row.day == 0 and row.place in names}
    best = max(free, key=lambda name: free[name], default=None)
    return names[best] if best is not None and free[best] > 0 else None
