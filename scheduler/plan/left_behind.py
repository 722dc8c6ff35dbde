"""What stands in trays and on boards until a day and goes nowhere from there: nothing of it is set out."""

from collections import defaultdict
from collections.abc import Mapping

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.exact import tells_left_behind
from scheduler.plan.rows import Plan
from scheduler.plan.thrown import Thrown, thrown_away

LeftBehind = Mapping[tuple[str, int], Mapping[str, int]]
"""(lot, day) -> tray or board -> plants that leave it on that day; cells of what is sown."""


def left_behind(farm: Farm, plan: Plan, thrown: Thrown | None = None) -> LeftBehind:
    """Return what leaves trays and boards where nothing that came into them with it is set out that day.

    Where some of it is set out, the others are what losses and the plan leave of that work, and go with it.
    What is thrown away on the first day as the lots say is left out, and what stands longer than is planned;
    so are rows with unknown names, which a table edited by hand may have.

    Args:
        farm: the farm.
        plan: a plan.
        thrown: what is thrown away on the first day; worked out when not given.
    """
    items = {unit.unit: unit.item for unit in plan.units}
    crop_of = {lot.lot: farm.crops[lot.crop] for lot in plan.lots if lot.crop in farm.crops}
    contents = [row for row in plan.contents if row.unit in items and row.lot in crop_of]
    set_out = {(row.lot, items[row.unit], row.from_day, row.enters) for row in contents}
    set_out |= {(row.lot, "bed", row.from_day, row.enters) for row in plan.plantings}
    gone = thrown_away(farm, plan) if thrown is None else thrown
    found: dict[tuple[str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in contents:
        onto = _next(crop_of[row.lot], items[row.unit])
        goes_on = any((row.lot, onto, since, row.leaves) in set_out for since in (row.enters, None))
        if onto and not goes_on and row.leaves < farm.calendar.span:
            found[row.lot, row.leaves][row.unit] += row.plants
    for lot, units in gone.items():
        for unit, plants in units.items():
            if unit in found.get((lot, farm.today), {}):
                found[lot, farm.today][unit] -= plants
    left = {key: {unit: n for unit, n in units.items() if n > 0} for key, units in found.items()}
    return {key: units for key, units in left.items() if units}


def told_behind(farm: Farm, plan: Plan, found: LeftBehind) -> LeftBehind:
    """Return what the tasks of a plan throw away of what goes nowhere: all of it.

    Of a plan by older rules, which made no tasks of it, it is what tasks tell on later days all the same.
    """
    if tells_left_behind(plan):
        return found
    told = {(task.lot, task.day) for task in plan.tasks if task.work == "discard"}
    return {key: units for key, units in found.items() if key in told and key[1] > farm.today}


def _next(crop: Crop, item: str) -> str:
    """Return what plants go into from a kind of unit; empty for what they are cut from."""
    stages = [stage.kind.value for stage in crop.route]
    at = stages.index(item) if item in stages else len(stages)
    return stages[at + 1] if at + 1 < len(stages) else ""
