"""Sheets of the work: tasks to tick off, hours day by day, seed to sow and supplies to order."""

from openpyxl.worksheet.datavalidation import DataValidation

from scheduler.farm.farm import Farm
from scheduler.outputs.words import plain, work_order
from scheduler.outputs.workbook.cells import Kind, Value
from scheduler.outputs.workbook.sheets import DONE, FULL, SHORT, Column, Mark, TableSheet
from scheduler.plan.rows import Plan, TaskRow
from scheduler.plan.tally import WORKS
from scheduler.plan.views.day_hours import day_hours

LONGEST_CURRENCY = 12


def in_money(farm: Farm, name: str) -> str:
    """Return a heading with the farm's currency in brackets."""
    currency = plain(farm.currency).strip()[:LONGEST_CURRENCY].strip()
    return f"{name} ({currency})" if currency else name


TASK_COLUMNS = (
    Column(heading="day", kind=Kind.DATE),
    Column(heading="work"),
    Column(heading="lot"),
    Column(heading="crop", widest=22, note="The crop; of a delivery the product, of an order the item."),
    Column(
        heading="units",
        kind=Kind.WHOLE,
        note="Trays, boards, rafts or packs. One that several lots share is counted on the first of "
        "their lines.",
    ),
    Column(heading="kind of unit", widest=20),
    Column(
        heading="plants",
        kind=Kind.WHOLE,
        note="Sow: cells. Set out: plants. Cut: heads, or grams of open trays. Deliver: units. "
        "Order: seeds or pieces.",
    ),
    Column(heading="from", kind=Kind.LONG, widest=24),
    Column(heading="to", kind=Kind.LONG, widest=24),
    Column(heading="note", kind=Kind.LONG, widest=42),
    Column(heading="done", kind=Kind.FILL, note="For you: yes when it is done, or who did it."),
    Column(heading="counted", kind=Kind.FILL, note="For you: what you really counted."),
    Column(heading="who", kind=Kind.FILL, note="For you: who did it."),
    Column(heading="seed lot", kind=Kind.FILL, note="For you: lot of the seed that was sown."),
    Column(heading="remark", kind=Kind.FILL, note="For you: what is worth knowing of it."),
    Column(
        heading="task",
        note="Name of the task; it stays when the task moves to another day.",
        hidden=True,
    ),
)
"""What stands in a line of the tasks, as :func:`_task` fills it."""


def tasks_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return the tasks up to the last reported day, in the order of each day's work."""
    tasks = sorted(
        (task for task in plan.tasks if task.day < farm.calendar.days),
        key=lambda task: (task.day, work_order(task.work)),
    )
    return TableSheet(
        name="tasks",
        title="What to do on each day",
        columns=TASK_COLUMNS,
        rows=[_task(farm, task) for task in tasks],
        empty="There is nothing to do.",
        marks=(Mark(columns=("day", "task"), formula='{done}<>""', fill=DONE),),
        choices={
            "done": DataValidation(type="list", formula1='"yes,no"', allow_blank=True, showErrorMessage=False)
        },
    )


def _task(farm: Farm, task: TaskRow) -> tuple[Value, ...]:
    for_you = [None] * 5
    return (
        farm.date_of(task.day),
        task.work,
        task.lot,
        task.crop,
        task.units or None,
        task.unit_kind,
        task.plants or None,
        task.where,
        task.to,
        task.note,
        *for_you,
        task.key,
    )


def hours_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return the work of each day by kind, beside what the crew has where the book limits it."""
    days = day_hours(farm, plan)
    known = {work for day in days for work in day.by_work}
    works = [work for work in WORKS if work in known] + sorted(known - set(WORKS))
    limited = farm.crew is not None
    crew = (
        Column(heading="crew has (hours)", kind=Kind.HOURS),
        Column(heading="crew in use", kind=Kind.SHARE, note="Work as a part of what the crew has that day."),
    )
    return TableSheet(
        name="hours",
        title="Work on each day",
        columns=(
            Column(heading="day", kind=Kind.DATE),
            *(Column(heading=f"{plain(work)} (minutes)", kind=Kind.MINUTES) for work in works),
            Column(heading="all work (hours)", kind=Kind.HOURS),
            *(crew if limited else ()),
        ),
        rows=[
            (
                farm.date_of(day.day),
                *(day.by_work.get(work) for work in works),
                day.total,
                *((day.crew, day.share) if limited else ()),
            )
            for day in days
        ],
        empty="No work is counted in minutes.",
        marks=(
            (Mark(columns=("crew in use", "crew in use"), formula="{crew in use}>=1", fill=FULL),)
            if limited
            else ()
        ),
    )


def seed_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return the seed of each crop and sowing day."""
    return TableSheet(
        name="seed",
        title="Seed to sow",
        columns=(
            Column(heading="sowing day", kind=Kind.DATE),
            Column(heading="crop"),
            Column(heading="variety"),
            Column(heading="cells", kind=Kind.WHOLE),
            Column(
                heading="seeds",
                kind=Kind.WHOLE,
                note="Grams where seed is weighed, plugs where they are bought.",
            ),
            Column(heading=in_money(farm, "cost"), kind=Kind.MONEY),
        ),
        rows=[
            (farm.date_of(row.day), row.crop, row.variety, row.cells, row.seeds, row.cost)
            for row in plan.seed
            if row.day < farm.calendar.days
        ],
        empty="Nothing is sown.",
    )


def supplies_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return the orders of seed and packaging to place, by the day to order."""
    return TableSheet(
        name="supplies",
        title="Seed and packaging to order",
        columns=_supply_columns(farm),
        rows=[
            (
                farm.date_of(row.order_by),
                row.item,
                row.kind,
                row.packs,
                row.amount,
                row.needed,
                row.cost,
                farm.date_of(row.arrive_by),
                farm.date_of(row.covers_until),
                row.crop_or_product,
                "late" if row.late else "yes",
            )
            for row in plan.supplies
        ],
        empty="Nothing is to be ordered: the book has no supplies, or stock lasts.",
        marks=(Mark(columns=("in time", "in time"), formula='{in time}="late"', fill=SHORT),),
    )


def _supply_columns(farm: Farm) -> tuple[Column, ...]:
    return (
        Column(heading="order by", kind=Kind.DATE, note="Last day to order it so that it comes in time."),
        Column(heading="item"),
        Column(heading="kind"),
        Column(heading="packs", kind=Kind.WHOLE),
        Column(heading="pieces in them", kind=Kind.WHOLE),
        Column(
            heading="pieces needed",
            kind=Kind.WHOLE,
            note="Used from the day it is needed through the day it covers, spare included, less what is "
            "left in stock.",
        ),
        Column(heading=in_money(farm, "cost"), kind=Kind.MONEY),
        Column(heading="needed on", kind=Kind.DATE),
        Column(heading="covers until", kind=Kind.DATE),
        Column(heading="for", kind=Kind.LONG),
        Column(heading="in time", note="late: ordered today, it comes after stock has run out."),
    )
