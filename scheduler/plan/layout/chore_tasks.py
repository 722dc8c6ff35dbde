"""Tasks of the house: its chores on their days."""

from collections.abc import Iterator

from scheduler.farm.chores import ChoreDay
from scheduler.farm.dates import short_day
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, ceil_div
from scheduler.plan.rows import TaskRow


def chore_tasks(farm: Farm) -> Iterator[TaskRow]:
    """Yield one task for each chore and day.

    A key names the day the chore is due, so it stays when closed days move the chore.
    """
    for chore in farm.chores:
        yield TaskRow(
            key=chore_key(farm, chore),
            day=chore.day,
            work="chore",
            lot="",
            crop=chore.chore,
            units=0,
            unit_kind="",
            plants=0,
            where=chore.place,
            to="",
            note=chore_note(farm, chore),
        )


def chore_key(farm: Farm, chore: ChoreDay) -> str:
    """Return the key of a chore's task."""
    return f"chore {chore.chore} {farm.date_of(chore.due)}"


def chore_note(farm: Farm, chore: ChoreDay) -> str:
    """Return how long it takes, who does it, what to mind and whether it was moved."""
    said = [f"{ceil_div(chore.minutes, CENT):,} min"] if chore.minutes else []
    said += [text for text in (chore.who, chore.note) if text]
    if chore.day != chore.due:
        said.append(f"moved from {short_day(farm.date_of(chore.due))}, a day without work")
    return "; ".join(said)
