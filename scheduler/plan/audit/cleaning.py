"""Cleaning: a row that rests between two crops is cleaned on the day it falls empty, and no other row is."""

from collections import Counter
from collections.abc import Iterator

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.exact import tells_all
from scheduler.plan.rests import cleanings

CLEAN = "clean"


def cleaning(ledger: Ledger) -> Iterator[AuditFault]:
    """Report rows whose cleaning is missing from the tasks, and tasks that clean a row on no such day."""
    if not ledger.plan.tasks and not tells_all(ledger.plan):
        return
    wanted = Counter((each.lane.name, each.day) for each in cleanings(ledger.farm, ledger.plan))
    found = Counter((task.where, task.day) for task in ledger.plan.tasks if task.work == CLEAN)
    for row, day in sorted(wanted - found):
        yield ledger.fault("bookkeeping", row, day, "the task of cleaning it between two crops is missing")
    for row, day in sorted(found - wanted):
        yield ledger.fault("bookkeeping", row, day, "a task cleans it, but it falls empty for no other crop")
