"""Rafts of one row that are told in another order than the plan has them go in."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet

from scheduler.book.words import listed
from scheduler.plan.rows import TaskRow
from scheduler.records.tasks import Tasks

AGAIN = "and tell it again with 'moved', for what a task says is taken once"


def out_of_turn(tasks: Tasks, key: str, ops: AbstractSet[str]) -> Iterator[str]:
    """Yield a line where a task of setting out on rafts is told before or after others of its row and day.

    Of rafts that come into a row on one day the records know nothing but the order in which they were told:
    the first stands nearest the harvest end.

    Args:
        tasks: the tasks of the plan, those of a day in the order in which they are done.
        key: the task that is told now.
        ops: names of all entries so far.
    """
    task = tasks.by_key[key]
    if task.work != "raft" or not ops.isdisjoint(tasks.ops(task)):
        return
    # rafts of one lot are alike to the records
    rafts = (
        each for each in tasks.plan.tasks if each.work == "raft" and (each == task or each.lot != task.lot)
    )
    beside = [each for each in rafts if (each.day, each.to) == (task.day, task.to)]
    at = beside.index(task)
    sooner = [each for each in beside[:at] if ops.isdisjoint(tasks.ops(each))]
    later = [each for each in beside[at + 1 :] if not ops.isdisjoint(tasks.ops(each))]
    if sooner:
        yield (
            f"The plan has {_lots(sooner)} go into that row before {task.lot}; told first, {task.lot} stands "
            f"nearer the harvest end. If it does not, withdraw it once {_lots(sooner)} is told, {AGAIN}"
        )
    if later:
        yield (
            f"The plan has {task.lot} go into that row before {_lots(later)}; told last, it stands behind. "
            f"If it does not, withdraw what was told of {_lots(later)}, {AGAIN}"
        )


def _lots(tasks: Sequence[TaskRow]) -> str:
    return listed(list(dict.fromkeys(task.lot for task in tasks)))
