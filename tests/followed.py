"""A farm whose plan is followed for some days, with what went otherwise: for the tests of planning again.

farm = Followed(planned(tmp_path))
farm.until(14)                                # every task of days 0 to 13, as planned
farm.tell(told("lost", 14, lot="BUT-260302", plants=20))
again = farm.again(15)
"""

from collections.abc import Collection
from dataclasses import replace

from recorded import told

from scheduler.book.book import read_raw, typed_book
from scheduler.book.place import Cell
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.model.again.replan import plan_again
from scheduler.model.settings import SolveSettings
from scheduler.plan.changes import changes
from scheduler.plan.earlier import earlier, in_days_of
from scheduler.plan.rows import Plan
from scheduler.records.drafts import Told
from scheduler.records.entries import Logged, in_force
from scheduler.records.next_book import NextBook, next_book, start_after
from scheduler.records.recording import judge
from scheduler.records.state import State, replay
from scheduler.records.tasks import Done, Tasks

__all__ = ["Followed", "told"]

EFFORT = SolveSettings(seconds=0.4, deterministic=True)


class Followed:
    """A book, its plan so far, and the log.

    Attributes:
        book: folder of the book.
        farm, plan: the plan so far and the farm it is for.
        log: all entries.
        made: the book that the last plan began with.
    """

    def __init__(self, book, farm: Farm, plan: Plan) -> None:
        self.book, self.farm, self.plan = book, farm, plan
        self.first = farm
        self.log: list[Logged] = []
        self.made: NextBook | None = None
        self.day = 0

    def until(self, day: int, but: Collection[str] = ()) -> None:
        """Do all tasks of the plan before a day of the first book, but for some keys."""
        end = self.farm.calendar.day_of(self.first.date_of(day))
        tasks = Tasks(self.farm, self.plan)
        due = [task for task in self.plan.tasks if self.day <= task.day < end and task.key not in but]
        self.tell(*(each for task in due for each in tasks.told(Done(key=task.key, where=Cell(task.key)))))
        self.day = end

    def tell(self, *entries: Told) -> None:
        """Record entries."""
        new = judge(self.first, self.log, entries, self.first.date_of(900)).new
        start = len(self.log) + 1
        self.log += [
            Logged(number=number, entry=entry, written="2026-01-01T00:00:00Z", source="test")
            for number, entry in enumerate(new, start=start)
        ]

    def state(self, day: int) -> State:
        """Return what stands on the morning of a day of the first book."""
        numbered = ((each.number, each.entry) for each in self.log)
        return replay(numbered, self.first.date_of(day - 1))

    def again(self, day: int, effort: SolveSettings = EFFORT, weeks: int | None = None) -> Plan:
        """Plan again from a day of the first book; the new plan is then the plan so far."""
        first = self.first.date_of(day)
        raw = read_raw(self.book)
        book = build_farm(typed_book(raw))
        entries = [each.entry for each in in_force((each.number, each.entry) for each in self.log)]
        start = start_after(book, entries, (self.farm, self.plan), (first, weeks))
        self.made = next_book(raw, book, self.state(day), start)
        farm = build_farm(typed_book(self.made.raw))
        before = in_days_of(farm, self.farm, self.plan)
        found = plan_again(farm, earlier(before), effort).plan
        assert found is not None
        self.farm, self.day = farm, 0
        self.plan = replace(found, changes=tuple(changes(farm, before, found)))
        return self.plan
