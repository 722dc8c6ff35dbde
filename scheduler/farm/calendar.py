"""Days of the plan as whole numbers from its first day, work days and closures.

Day 0 is the first day of the plan; days before it (things already growing) are negative.
Sowing is day 0 of a batch. A unit holds its place from the day it moves in through the day
before it moves out; on one day, out precedes in.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum


class Work(StrEnum):
    """Kinds of work that have days of their own."""

    SOW = "sow"
    TRANSPLANT = "transplant"
    RAFT = "raft"
    HARVEST = "harvest"


WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
WEEK = len(WEEKDAYS)
"""Days of a week."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Days of one plan.

    Attributes:
        first_day: the date of day 0.
        days: days that are planned and reported.
        span: days that are planned at all; those from ``days`` on keep the farm from ending empty.
        work_days: weekdays (0 is Monday) of each kind of work.
        closed: days (whole numbers) on which a kind of work stops.
    """

    first_day: date
    days: int
    span: int
    work_days: Mapping[Work, frozenset[int]]
    closed: Mapping[Work, frozenset[int]]

    def date_of(self, day: int) -> date:
        """Return the date of a day number."""
        return self.first_day + timedelta(days=day)

    def day_of(self, when: date) -> int:
        """Return the day number of a date; negative before the first day."""
        return (when - self.first_day).days

    def weekday(self, day: int) -> int:
        """Return the weekday of a day, 0 for Monday."""
        return (self.first_day.weekday() + day) % 7

    def is_open(self, work: Work, day: int) -> bool:
        """Say whether this kind of work is done on this day."""
        return self.weekday(day) in self.work_days[work] and day not in self.closed[work]

    def is_closed(self, day: int) -> bool:
        """Say whether closures stop every kind of work on a day, whatever its weekday."""
        return all(day in self.closed[work] for work in Work)

    def open_days(self, work: Work, first: int, last: int) -> list[int]:
        """Return the days from first through last on which this kind of work is done."""
        return [day for day in range(first, last + 1) if self.is_open(work, day)]

    def week_start(self, day: int) -> int:
        """Return the day number of the Monday on or before a day; it may be negative."""
        return day - self.weekday(day)
