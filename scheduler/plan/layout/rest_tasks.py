"""Tasks of rows that rest between two crops: to be cleaned when the last raft of the crop before has left."""

from collections.abc import Iterator

from scheduler.farm.dates import short_day
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, ceil_div
from scheduler.plan.rests import Cleaning, cleanings
from scheduler.plan.rows import Plan, TaskRow


def rest_tasks(farm: Farm, plan: Plan) -> Iterator[TaskRow]:
    """Yield one task for each row and rest.

    A key names the row and the crop that is to come, so it mostly stays when the day changes.
    """
    for each in cleanings(farm, plan):
        yield TaskRow(
            key=f"clean {each.lane.name} for {each.after} {farm.date_of(each.until)}",
            day=each.day,
            work="clean",
            lot="",
            crop="",
            units=1,
            unit_kind="",
            plants=0,
            where=each.lane.name,
            to="",
            note=rest_note(farm, each),
        )


def rest_note(farm: Farm, each: Cleaning) -> str:
    """Return how long it takes, what stood there, and until when it stays empty."""
    said = [f"{ceil_div(each.lane.rest_minutes, CENT):,} min"] if each.lane.rest_minutes else []
    free = short_day(farm.date_of(each.day + each.lane.rest_before(each.until)))
    said.append(f"after {each.before}; keep it empty until {free}")
    said.append(f"{each.after} comes in on {short_day(farm.date_of(each.until))}")
    return "; ".join(said)
