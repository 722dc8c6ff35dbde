"""What an earlier plan sets into beds of a lot from today on, and today what is overdue."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.earlier import Earlier, lot_at_large


def plantings_ahead(farm: Farm, before: Earlier, lot: str) -> Iterator[tuple[PlantingRow, int, int]]:
    """Yield plantings of a lot with the day they are to be set in, and how many plants.

    What was to be set in before today and does not stand in a bed is due today, the latest first.
    """
    rows, today = before.planted.get(lot, ()), farm.today
    names = {row.lot for row in farm.growing}
    stand = sum(
        row.plants
        for row in farm.growing
        if row.stage is StageKind.BED and lot_at_large(row.lot, names) == lot
    )
    past = [row for row in rows if row.enters < today <= row.leaves]
    overdue = sum(row.plants for row in past) - stand
    for row in reversed(past):
        if overdue > 0:
            plants = min(overdue, row.plants)
            overdue -= plants
            yield row, today, plants
    yield from ((row, row.enters, row.plants) for row in rows if row.enters >= today)


def into_beds(farm: Farm, before: Earlier, lot: str) -> dict[int, int]:
    """Return day -> plants of a lot that the earlier plan sets into beds on it."""
    wanted: dict[int, int] = defaultdict(int)
    for _, day, plants in plantings_ahead(farm, before, lot):
        wanted[day] += plants
    return wanted
