"""Chores: each stands in the tasks once, on its day and at its place, and no other does."""

from collections import Counter
from collections.abc import Iterator

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.tally import CHORE

Told = tuple[str, int, str, str]
"""Chore, day, place and key."""


def chores(ledger: Ledger) -> Iterator[AuditFault]:
    """Report chores that are missing from the tasks, and tasks that are no chore of the book."""
    farm = ledger.farm
    wanted: Counter[Told] = Counter(
        (each.chore, each.day, each.place, f"chore {each.chore} {farm.date_of(each.due)}")
        for each in farm.chores
    )
    found: Counter[Told] = Counter(
        (task.crop, task.day, task.where, task.key) for task in ledger.plan.tasks if task.work == CHORE
    )
    for name, day, place, key in sorted(wanted - found):
        where = f" at {place}" if place else ""
        yield ledger.fault("bookkeeping", name, day, f"the task '{key}'{where} is missing")
    for name, day, place, key in sorted(found - wanted):
        where = f" at {place}" if place else ""
        yield ledger.fault("bookkeeping", name, day, f"the task '{key}'{where} is no chore of that day")
