"""Pages of work: a week day by day in sums, and one day with every task."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from rich.cells import cell_len, set_cell_size
from rich.padding import Padding
from rich.text import Text

from scheduler.book.words import plural
from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, HOUR, ceil_div
from scheduler.outputs.screen import WIDTH, heading
from scheduler.outputs.show.page import Part, day_of, left_out, row, table, titled
from scheduler.outputs.words import (
    HARVESTS,
    amount_in_words,
    counted,
    date_in_text,
    harvest_word,
    hours_in_text,
    plain,
    some,
    sown_word,
    task_line,
    words_for,
    work_order,
    work_sum,
)
from scheduler.plan.rows import Plan, TaskRow
from scheduler.plan.views.agenda import AgendaDay, WorkSum, agenda
from scheduler.plan.words import worth_listing

NAMES = 4
"""Crops or customers named for one kind of work on one day."""
LINES = 40
"""Lines of the page of one day; a longer one has each task in one line."""
MOST_LINES = 48
"""Lines of such a page; of a longer one not all tasks are listed."""
LEAST = 3
"""Tasks of one kind of work that are listed however long the day is."""
INDENT = 2
RAGGED = 6
"""Columns that the breaking of lines between words leaves empty (estimate)."""
LOT, CROP, AMOUNT = 15, 18, 12
"""Widest columns of a task in one line."""


def week_page(farm: Farm, plan: Plan, day: int) -> Iterator[Part]:
    """Yield the week that a day lies in, Monday to Sunday, as far as the plan reports it."""
    monday = max(farm.calendar.week_start(day), 0)
    last = farm.calendar.week_start(day) + WEEK - 1
    days = agenda(farm, plan, monday, last, work_order)
    total = sum(each.minutes for each in days)
    yield heading(f"{plain(farm.name)}: {date_in_text(farm, monday)} to {date_in_text(farm, days[-1].day)}")
    if total:
        yield Text(f"{hours(total)} of work")
    lines = table("day", "work", "rest")
    for each in days:
        for number, work in enumerate(each.works):
            row(lines, day_of(farm, each.day) if number == 0 else "", *_said(farm, work))
        if not each.works:
            row(lines, day_of(farm, each.day), "nothing to do", "")
    yield lines


def day_page(farm: Farm, plan: Plan, day: int) -> Iterator[Part]:
    """Yield one day with all its tasks, kind by kind."""
    (of_day,) = agenda(farm, plan, day, day, work_order)
    yield heading(f"{plain(farm.name)}: {date_in_text(farm, day)}")
    if not of_day.tasks:
        yield Text("Nothing to do.")
        return
    if of_day.minutes:
        yield Text(f"{hours(of_day.minutes)} of work{_crew(of_day)}")
    whole = sum(_lines(_task(farm, task)) for task in of_day.tasks) + len(of_day.works) + 2 <= LINES
    most = max(LEAST, (LINES - 2) // len(of_day.works) - 2)
    if len(of_day.tasks) + len(of_day.works) + 3 <= MOST_LINES:
        most = MOST_LINES
    for work in of_day.works:
        tasks = [task for task in of_day.tasks if task.work == work.work]
        shown = worth_listing(len(tasks), most)
        yield titled(_verb(farm, work)) if whole else heading(_verb(farm, work))
        for task in tasks[:shown]:
            if whole:
                yield Padding(Text(_task(farm, task)), (0, 0, 0, INDENT))
            else:
                yield _in_one_line(farm, task, of_day.tasks)
        if len(tasks) > shown:
            yield Padding(left_out(len(tasks) - shown, "tables/tasks.csv"), (0, 0, 0, INDENT))
    if not whole:
        yield Text("The whole of each task is in tables/tasks.csv and on the week sheets of report.html.")


def _task(farm: Farm, task: TaskRow) -> str:
    said = task_line(farm, task)
    return said if said.endswith(".") else f"{said}."


def _lines(text: str) -> int:
    """Return about how many lines a text takes."""
    return ceil_div(max(cell_len(text), 1), WIDTH - INDENT - RAGGED)


def _in_one_line(farm: Farm, task: TaskRow, tasks: Sequence[TaskRow]) -> Text:
    """Return lot, crop, amount and place, in columns as wide as the tasks of the day need."""
    lot = min(LOT, max(cell_len(plain(each.lot)) for each in tasks))
    crop = min(CROP, max(cell_len(plain(each.crop)) for each in tasks))
    amount = amount_in_words(farm, task)
    to = plain(task.to.removeprefix("intake end of "))  # the name of the row must not be cut off
    where = f"to {to}" if to else f"at {plain(task.where)}" if task.where else ""
    columns = (set_cell_size(plain(task.lot), lot), set_cell_size(plain(task.crop), crop))
    return Text(
        f"{' ' * INDENT}{' '.join(columns)} {amount:>{AMOUNT}} {where}", no_wrap=True, overflow="ellipsis"
    )


def _crew(day: AgendaDay) -> str:
    return "" if day.crew is None else f", the crew has {hours(day.crew)}"


def hours(hundredths: int) -> str:
    """Return hundredths of a minute as ``2.5 hours`` or ``40 minutes``."""
    minutes = round(hundredths / CENT)
    return counted(minutes, "minute") if minutes * CENT < HOUR else f"{hours_in_text(hundredths)} hours"


def _said(farm: Farm, work: WorkSum) -> tuple[str, str]:
    """Return what there is of one kind of work, and what it is made up of.

    What is cut or picked is told in heads, pieces and grams, each by themselves.
    """
    if work.work not in HARVESTS:
        return _verb(farm, work), _parts(farm, work)
    said = []
    for crop, _, number in work.parts:
        word = harvest_word(farm, work.work, crop)
        said.append(f"{plain(crop)} {number:,}{' g' if word == 'g' else ''}")
    return _verb(farm, work), some(said, NAMES)


def _verb(farm: Farm, work: WorkSum) -> str:
    parts = ((crop, number) for crop, _, number in work.parts)
    return work_sum(farm, work.work, (work.units, work.plants), parts)


def _parts(farm: Farm, work: WorkSum) -> str:
    """Return crops with their cells, plants or heads, or what each customer gets."""
    if work.work in ("order", "chore"):
        return ", ".join(plain(crop) for crop, _, _ in work.parts)
    if work.work == "deliver":
        return _for_customers(work)
    words = {sown_word(farm, work.work, crop) for crop, _, _ in work.parts}
    if len(words) > 1:
        parts = ((plain(crop), counted(n, sown_word(farm, work.work, crop))) for crop, _, n in work.parts)
        return some([f"{crop} {amount}" for crop, amount in parts], NAMES)
    said = [f"{plain(crop)} {plants:,}" for crop, _, plants in work.parts]
    unit = f" {plural(words.pop())}" if words and words_for(work.work).counts_units else ""
    return some(said, NAMES) + (unit if worth_listing(len(said), NAMES) == len(said) else "")


def _for_customers(work: WorkSum) -> str:
    """Return ``Harbour Table: Basil 6, Leaf lettuce 16; Linnet Kitchen: Pak choi 24``."""
    products: dict[str, list[str]] = defaultdict(list)
    for product, customer, number in work.parts:
        products[plain(customer)].append(f"{plain(product)} {number:,}")
    said = [f"{customer}: {', '.join(each)}" for customer, each in products.items()]
    return some(said, NAMES, "; ")
