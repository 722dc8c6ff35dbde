"""The work of each day on one line, by kind of work, against what the crew has."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """Work of one day, hundredths of a minute.

    Attributes:
        day: day number.
        by_work: kind of work -> its minutes; kinds without work are left out.
        total: all work together.
        crew: what the whole crew has on that day; None without a limit.
    """

    day: int
    by_work: Mapping[str, int]
    total: int
    crew: int | None

    @property
    def share(self) -> float | None:
        """Work as a part of what the crew has; None without a limit, or when it has none."""
        return self.total / self.crew if self.crew else None


def day_hours(farm: Farm, plan: Plan) -> tuple[DayHours, ...]:
    """Return the reported days that have any work, in order."""
    days: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in plan.hours:
        if row.day < farm.calendar.days:
            days[row.day][row.work] += row.minutes
    return tuple(
        DayHours(
            day=day,
            by_work=dict(days[day]),
            total=sum(days[day].values()),
            crew=None if farm.crew is None else farm.crew.on(day),
        )
        for day in sorted(days)
    )
