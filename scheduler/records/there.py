"""How much of a delivery can be recorded, where it cannot be as planned because less was cut."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from scheduler.book.faults import BookFaults, Fault
from scheduler.book.place import Cell
from scheduler.records.entries import Logged
from scheduler.records.recording import judge
from scheduler.records.tasks import Done, Tasks


def what_is_there(
    tasks: Tasks, log: Sequence[Logged], faults: Iterable[Fault], today: date
) -> dict[str, int]:
    """Return key of a delivery that asks for too much -> the most units of it that can be recorded, if any.

    Args:
        tasks: the tasks of the plan.
        log: all entries so far.
        faults: what was refused of tasks as planned; the place of each is the key of its task.
        today: the day up to which things are recorded.
    """
    codes: dict[str, set[str]] = defaultdict(set)
    for fault in faults:
        codes[str(fault.place)].add(fault.code)
    asked = (tasks.by_key[key] for key, of in codes.items() if of == {"too-many"} and key in tasks.by_key)
    found: dict[str, int] = {}
    for task in asked:
        least = _most(tasks, log, Done(key=task.key, where=Cell(task.key)), today)
        if least:
            found[task.key] = least
    return found


def with_count(
    refused: BookFaults, tasks: Tasks, log: Sequence[Logged], done: Done, today: date
) -> BookFaults:
    """Return the faults of a task that was told, with the count of a delivery that can be recorded, if any.

    Args:
        refused: what was refused of it.
        tasks: the tasks of the plan.
        log: all entries so far.
        done: the task as it was told.
        today: the day up to which things are recorded.
    """
    most = 0
    if {fault.code for fault in refused.faults} <= {"too-many", "no-longer"}:
        most = _most(tasks, log, done, today)
    if not most:
        return refused
    there = f"{most:,} are there in all: record done '{done.key}' --counted {most}"
    faults = [replace(fault, expected=f"{fault.expected}; {there}") for fault in refused.faults]
    return BookFaults(faults, more_may_show=refused.more_may_show)


def _most(tasks: Tasks, log: Sequence[Logged], done: Done, today: date) -> int:
    """Return the most units of a delivery that can be recorded, fewer than are asked for; 0 of other work."""
    task = tasks.by_key[done.key]
    asked = task.plants if done.counted is None else done.counted
    least, beyond = 0, asked if task.work == "deliver" else 0
    while beyond - least > 1:
        middle = (least + beyond) // 2
        if _can_be(tasks, log, replace(done, counted=middle), today):
            least = middle
        else:
            beyond = middle
    return least


def _can_be(tasks: Tasks, log: Sequence[Logged], done: Done, today: date) -> bool:
    try:
        judge(tasks.farm, log, list(tasks.told(done)), today)
    except BookFaults:
        return False
    return True
