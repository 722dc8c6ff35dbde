"""What each week of a plan holds: sums of its tasks and hours from Monday to Sunday."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from scheduler.farm.calendar import WEEK, Calendar, Work
from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan, TaskRow
from scheduler.plan.words import as_heads, cell_word

OPEN = "sow open trays"
"""What the sowing of open trays is summed up as, beside the kinds of work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekTotal:
    """One week with something to do, as far as it lies ahead and is reported.

    Attributes:
        monday: day number of its Monday; negative where the plan begins within the week.
        first, last: day numbers it covers; ``first`` lies after ``monday`` where the plan begins within it.
        opens: its first day on which any kind of work is done, ``first`` when there is none.
        tasks: tasks of whatever kind.
        trays, cells: trays with cells, and their cells sown.
        boards, on_boards: boards set out, and plants on them.
        rafts, on_rafts: rafts set out, and plants on them.
        heads: heads cut or picked to be sold.
        deliveries: deliveries that get something.
        orders: orders of seed and packaging to place.
        chores: chores of the house, each as often as it is done.
        open_trays: open trays sown, which have no cells.
        minutes: (day number, hundredths of a minute) for each day with counted work, in order.
    """

    monday: int
    first: int
    last: int
    opens: int
    tasks: int
    trays: int
    cells: int
    boards: int
    on_boards: int
    rafts: int
    on_rafts: int
    heads: int
    deliveries: int
    orders: int
    minutes: tuple[tuple[int, int], ...]
    chores: int = 0
    open_trays: int = 0

    @property
    def all_minutes(self) -> int:
        """Counted work of the whole week, hundredths of a minute."""
        return sum(minutes for _, minutes in self.minutes)


@dataclass(slots=True)
class _Sums:
    """Sums of one week by kind of work."""

    tasks: Counter[str]
    units: Counter[str]
    plants: Counter[str]
    minutes: Counter[int]


def weeks_total(farm: Farm, plan: Plan) -> list[WeekTotal]:
    """Return the weeks from today to the last reported day that hold a task or counted work, in order.

    Sums are those of the plan's tasks, so they agree with the lists of single days: a unit that several lots
    share counts once for each kind of work and day.
    """
    calendar, ahead = farm.calendar, range(farm.today, farm.calendar.days)
    weeks: dict[int, _Sums] = defaultdict(lambda: _Sums(Counter(), Counter(), Counter(), Counter()))
    for task in plan.tasks:
        if task.day in ahead:
            sums = weeks[calendar.week_start(task.day)]
            sums.tasks[task.work] += 1
            kind = _kind(farm, task)
            sums.units[kind] += task.units
            sums.plants[kind] += task_heads(farm, task)
    for row in plan.hours:
        if row.day in ahead:
            weeks[calendar.week_start(row.day)].minutes[row.day] += row.minutes
    return [_total(farm, monday, weeks[monday]) for monday in sorted(weeks)]


def _kind(farm: Farm, task: TaskRow) -> str:
    """Return what a task is summed up with: open trays have no cells to add to those of others."""
    return OPEN if task.work == "sow" and cell_word(farm, task.crop) == "tray" else task.work


def task_heads(farm: Farm, task: TaskRow) -> int:
    """Return the plants of a task for sums over crops: harvests sold by mass count by :func:`as_heads`."""
    return as_heads(farm, task.crop, task.plants) if task.work in ("cut", "pick") else task.plants


def _total(farm: Farm, monday: int, sums: _Sums) -> WeekTotal:
    first = max(monday, farm.today)
    last = min(monday + WEEK, farm.calendar.days) - 1
    return WeekTotal(
        monday=monday,
        first=first,
        last=last,
        opens=_first_work_day(farm.calendar, first, last),
        tasks=sums.tasks.total(),
        trays=sums.units["sow"],
        cells=sums.plants["sow"],
        boards=sums.units["transplant"],
        on_boards=sums.plants["transplant"],
        rafts=sums.units["raft"],
        on_rafts=sums.plants["raft"],
        heads=sums.plants["cut"] + sums.plants["pick"],
        deliveries=sums.tasks["deliver"],
        orders=sums.tasks["order"],
        minutes=tuple(sorted(sums.minutes.items())),
        chores=sums.tasks["chore"],
        open_trays=sums.units[OPEN],
    )


def _first_work_day(calendar: Calendar, first: int, last: int) -> int:
    """Return the first day on which any kind of work is done; the first day when there is none."""
    days = range(first, last + 1)
    return next((day for day in days if any(calendar.is_open(work, day) for work in Work)), first)
