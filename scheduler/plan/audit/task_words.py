"""What tasks are called, and what they say they are about: crop or product, and the kind of units."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from scheduler.farm.crops import StageKind
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.exact import tells_all
from scheduler.plan.instead import delivery_key, outlet_key
from scheduler.plan.rows import SupplyRow, TaskRow

IN_TRAYS = ("soak", "sow", "uncover", "thin")
ON_FINISH = ("raft", "cut", "lift")
"""Work with what plants are cut from: rafts, or the trays of what is cut in them."""


def task_words(ledger: Ledger) -> Iterator[AuditFault]:
    """Report tasks of another name, crop, product or kind of units than what they are about.

    Plans of older versions are not held to it.
    """
    if not tells_all(ledger.plan):
        return
    named: dict[str, list[TaskRow]] = defaultdict(list)
    products, orders = _products(ledger), _orders(ledger)
    for task in ledger.plan.tasks:
        if task.lot in ledger.lots:
            named[f"{task.work} {task.lot}"].append(task)
            kinds = _kinds(ledger, task)
            yield from _said(ledger, task, "crop", {ledger.lots[task.lot].crop})
            yield from _said(ledger, task, "unit_kind", kinds)
        elif task.key in products:
            yield from _said(ledger, task, "crop", {products[task.key]})
            yield from _said(ledger, task, "unit_kind", {""})
        elif task.key in orders:
            yield from _said(ledger, task, "crop", {orders[task.key].item})
            yield from _said(ledger, task, "unit_kind", {""})
            if task.units != orders[task.key].packs:
                message = f"the task says {task.units} packs, the order has {orders[task.key].packs}"
                yield ledger.fault("bookkeeping", task.key, task.day, message)
    for base, tasks in named.items():
        yield from _numbered(ledger, base, tasks)


def _said(ledger: Ledger, task: TaskRow, column: str, wanted: set[str]) -> Iterator[AuditFault]:
    found = getattr(task, column)
    if found not in wanted:
        expected = " or ".join(each or "nothing" for each in sorted(wanted))
        message = f"{column} of the task '{task.key}' is {found or 'nothing'}, not {expected}"
        yield ledger.fault("bookkeeping", task.lot or task.key, task.day, message)


def _kinds(ledger: Ledger, task: TaskRow) -> set[str]:
    """Return the kinds of units that work of a lot may be done with; plants in beds stand in none."""
    crop = ledger.crop_of(task.lot)
    if task.work in IN_TRAYS:
        return {crop.tray.unit}
    if task.work == "transplant":
        return {crop.board.unit if crop.board else ""}
    if task.work in ON_FINISH:
        return {crop.finish.unit}
    if task.work == "discard":
        found = {entry.stage for entry in ledger.entries.get(task.lot, ())}
        # what goes nowhere may be thrown away in the stage it has come to by then, bought plugs at once
        later = [stage.unit for stage in crop.route[:-1] if task.day > ledger.farm.today or not found]
        stages = [crop.stage(kind) for kind in found if kind is not StageKind.BED]
        return {*later, *(stage.unit for stage in stages if stage)} | (
            {""} if StageKind.BED in found else set()
        )
    return {""}


def _products(ledger: Ledger) -> dict[str, str]:
    """Return name of each delivery's task, and of each day of an outlet -> the product."""
    found = {
        delivery_key(demand.name, "" if product == demand.product else product): product
        for demand in ledger.farm.demands
        for product in demand.products
    }
    for row in ledger.plan.outlets:
        found[outlet_key(row.outlet, row.product, ledger.farm.date_of(row.day))] = row.product
    return found


def _orders(ledger: Ledger) -> dict[str, SupplyRow]:
    """Return name of each task of ordering -> the order; those of one item are numbered in time."""
    numbers: Counter[str] = Counter()
    found = {}
    for row in ledger.plan.supplies:
        numbers[row.item] += 1
        found[f"order {row.item} {numbers[row.item]}"] = row
    return found


def _numbered(ledger: Ledger, base: str, tasks: list[TaskRow]) -> Iterator[AuditFault]:
    """Tasks of one work and lot are called by these, from the second in time on with a number."""
    names = [base, *(f"{base} {number}" for number in range(2, len(tasks) + 1))]
    by_key = {task.key: task for task in tasks}
    for task in tasks:
        if task.key not in names:
            message = f"a task is called '{task.key}'; those to {task.work} {task.lot} are '{base}'"
            message += f" to '{names[-1]}'" if len(names) > 1 else ""
            yield ledger.fault("bookkeeping", task.lot, task.day, message)
            return
    days = [by_key[name].day for name in names if name in by_key]
    if days != sorted(days):
        message = f"tasks '{base}' are not numbered in order of time"
        yield ledger.fault("bookkeeping", tasks[0].lot, min(days), message)
