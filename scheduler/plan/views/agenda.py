"""The work of some days in sums: what of each kind, for which crops or customers, and how long it takes."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan, TaskRow
from scheduler.plan.views.weeks_total import task_heads


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkSum:
    """All there is to do of one kind of work on one day.

    Attributes:
        work: kind of work, as in the tasks.
        units: trays, boards, rafts or packs.
        plants: cells, plants, heads or sale units.
        parts: (crop or item, customer, plants) of each, sums, in the order of the tasks; the customer is
            empty unless something is delivered.
    """

    work: str
    units: int
    plants: int
    parts: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AgendaDay:
    """One day's work.

    Attributes:
        day: day number.
        works: kinds of work in the order given.
        tasks: the tasks, in that order.
        minutes: hundredths of a minute of all work.
        crew: hundredths of a minute there are, None without a limit.
    """

    day: int
    works: tuple[WorkSum, ...]
    tasks: tuple[TaskRow, ...]
    minutes: int
    crew: int | None


def agenda(
    farm: Farm, plan: Plan, first: int, last: int, order: Callable[[str], tuple[int, str]]
) -> list[AgendaDay]:
    """Return the days from ``first`` through ``last``, those with nothing to do included.

    Args:
        farm: the farm.
        plan: its plan.
        first: day number.
        last: day number; days the plan does not report are left out.
        order: kind of work -> its place in a day.
    """
    tasks: dict[int, list[TaskRow]] = defaultdict(list)
    for task in plan.tasks:
        tasks[task.day].append(task)
    minutes: dict[int, int] = defaultdict(int)
    for row in plan.hours:
        minutes[row.day] += row.minutes
    made = []
    for day in range(first, min(last, farm.calendar.days - 1) + 1):
        of_day = sorted(tasks[day], key=lambda task: order(task.work))
        made.append(
            AgendaDay(
                day=day,
                works=tuple(_sum(farm, of_day, work) for work in dict.fromkeys(t.work for t in of_day)),
                tasks=tuple(of_day),
                minutes=minutes[day],
                crew=None if farm.crew is None else farm.crew.on(day),
            )
        )
    return made


def _sum(farm: Farm, tasks: list[TaskRow], work: str) -> WorkSum:
    own = [task for task in tasks if task.work == work]
    parts: dict[tuple[str, str], int] = defaultdict(int)
    for task in own:
        parts[task.crop, task.to if work == "deliver" else ""] += task.plants
    return WorkSum(
        work=work,
        units=sum(task.units for task in own),
        plants=sum(task_heads(farm, task) for task in own),
        parts=tuple((crop, customer, plants) for (crop, customer), plants in parts.items()),
    )
