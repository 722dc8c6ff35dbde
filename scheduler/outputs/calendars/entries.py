"""What the crew's events tell: one event a day and kind of work, and one for each week.

A phone shows a handful of lines for a day, and opening one gives the list of lots.
"""

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from scheduler.farm.dates import day_of_month
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, HOUR, ceil_div
from scheduler.outputs.cautions import caution_line
from scheduler.outputs.words import (
    WORK,
    counted,
    day_in_text,
    headline,
    hours_in_text,
    plain,
    task_line,
    work_order,
)
from scheduler.plan.rows import TaskRow
from scheduler.plan.views.weeks_total import WeekTotal
from scheduler.plan.words import are_greens, done_word, sum_in_words

WEEK = "week"
"""Kind of the events that say what a week holds."""

OTHER = "other"
"""Kind of all work that the words do not know."""

LONGEST_TITLE = 150
"""Letters of a title; phones show a third of it (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Part:
    """Something an event is about, by which it is known again, as short digests.

    Attributes:
        thing: a lot, an ordered item or a delivery: what stays when its day changes.
        like: its crop, item or standing order: what a lot sown a day later still has.
    """

    thing: str
    like: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One all-day event that has no name and number yet.

    Attributes:
        kind: kind of work; events of different kinds are never the same event.
        day: its date.
        title, text: what a phone shows at a glance, and when the event is opened, in lines.
        parts: what it is about; at least one.
        names: seeds for its name, the best first; at least one.
        alarm: minutes after midnight at which the phone rings, None for not at all.
    """

    kind: str
    day: date
    title: str
    text: str
    parts: frozenset[Part]
    names: tuple[str, ...]
    alarm: int | None = None

    def says_the_same(self, other: "Entry") -> bool:
        """Say whether a reader of the calendar could not tell the two apart."""
        mine = (self.kind, self.day, self.title, self.text, self.alarm)
        return mine == (other.kind, other.day, other.title, other.text, other.alarm)


def part(thing: str, like: str) -> Part:
    """Return a part with its names as digests, so that a file for others gives nothing away."""
    return Part(_digest(thing), _digest(like))


def _digest(name: str) -> str:
    return hashlib.blake2b(name.encode("utf-8", "surrogatepass"), digest_size=5).hexdigest()


def titled(text: str) -> str:
    """Return a title that is not longer than a phone could use."""
    return text if len(text) <= LONGEST_TITLE else text[: LONGEST_TITLE - 1].rstrip() + "…"


def work_entries(farm: Farm, tasks: Iterable[TaskRow], alarm: int | None) -> list[Entry]:
    """Return an event for each reported day and kind of work, in the order of the work.

    Raises:
        ValueError: two tasks have the same key.
    """
    groups: dict[tuple[int, str], list[TaskRow]] = defaultdict(list)
    keys: set[str] = set()
    for task in tasks:
        if task.key in keys:
            raise ValueError(f"two tasks have the key {task.key!r}")
        keys.add(task.key)
        if task.day < farm.calendar.days:
            groups[task.day, task.work].append(task)
    ordered = sorted(groups, key=lambda group: (group[0], work_order(group[1])))
    return [_work_entry(farm, day, work, (groups[day, work], alarm)) for day, work in ordered]


def _work_entry(farm: Farm, day: int, work: str, told: tuple[Sequence[TaskRow], int | None]) -> Entry:
    tasks, alarm = told
    lines = [task_line(farm, task) for task in tasks]
    cautions = caution_line(work, greens=are_greens(farm, (task.crop for task in tasks)))
    if cautions:
        lines += ["", cautions]
    return Entry(
        kind=work if work in WORK else OTHER,
        day=farm.date_of(day),
        title=titled(headline(farm, work, tasks)),
        text="\n".join(lines),
        parts=frozenset(_part_of(task) for task in tasks),
        names=tuple(sorted(f"{work}|{task.key}" for task in tasks)),
        alarm=alarm,
    )


def _part_of(task: TaskRow) -> Part:
    if task.work == "deliver":
        return part(task.key, f"{task.to}|{task.crop}")
    if task.work == "chore":
        return part(task.key, task.crop)  # the key has the day it is due
    # a key also numbers the days of a lot's work, and the number changes when an earlier day is done
    return part(task.lot or task.crop or task.key, task.crop or task.key)


def week_entries(farm: Farm, weeks: Iterable[WeekTotal], alarm: int | None) -> list[Entry]:
    """Return an event on the first work day of each week."""
    return [_week_entry(farm, week, alarm) for week in weeks]


def _week_entry(farm: Farm, week: WeekTotal, alarm: int | None) -> Entry:
    monday = farm.date_of(week.monday)
    name = f"Week of {day_of_month(monday)}"
    if week.first > week.monday:
        name += f", from {day_in_text(farm, week.first)}"
    short = (
        (_hours(week.all_minutes), week.all_minutes),
        (f"{_harvest(farm)} {sum_in_words(farm, week.heads)}", week.heads),
        (counted(week.deliveries, "delivery"), week.deliveries),
        (f"sow {_sown(week, counted(week.cells, 'cell'))}", week.cells + week.open_trays),
        (counted(week.boards, "board"), week.boards),
        (counted(week.rafts, "raft"), week.rafts),
    )
    said = ", ".join(text for text, number in short if number) or counted(week.tasks, "task")
    return Entry(
        kind=WEEK,
        day=farm.date_of(week.opens),
        title=titled(f"{name}: {said}"),
        text="\n".join(_week_lines(farm, week)),
        parts=frozenset({part(f"{WEEK} {monday}", "")}),
        names=(f"{WEEK}|{monday}",),
        alarm=alarm,
    )


def _week_lines(farm: Farm, week: WeekTotal) -> list[str]:
    cells = f"{counted(week.cells, 'cell')} in {counted(week.trays, 'tray')}"
    lines = (
        (f"Order: {counted(week.orders, 'order')} of seed and packaging", week.orders),
        (f"Sow: {_sown(week, cells)}", week.cells + week.open_trays),
        (f"Boards: {counted(week.boards, 'board')}, {counted(week.on_boards, 'plant')}", week.on_boards),
        (f"Rafts: {counted(week.rafts, 'raft')}, {counted(week.on_rafts, 'plant')}", week.on_rafts),
        (f"{_harvest(farm).capitalize()}: {sum_in_words(farm, week.heads)}", week.heads),
        (f"Deliver: {counted(week.deliveries, 'delivery')}", week.deliveries),
        (f"Chores: {counted(week.chores, 'chore')}", week.chores),
    )
    said = [line for line, number in lines if number]
    if week.minutes:
        days = (f"{day_in_text(farm, day)} {_hours(minutes)}" for day, minutes in week.minutes)
        said.append(f"Work: {_hours(week.all_minutes)} ({', '.join(days)})")
    return said or [counted(week.tasks, "task")]


def _sown(week: WeekTotal, cells: str) -> str:
    """Return the cells sown as they are told, and the open trays, or whichever of the two there are."""
    said = ((cells, week.cells), (counted(week.open_trays, "open tray"), week.open_trays))
    return ", ".join(text for text, number in said if number)


def _hours(minutes: int) -> str:
    """Return hundredths of a minute as minutes, rounded up, or from an hour on as hours."""
    whole = ceil_div(minutes, CENT)
    return f"{whole} min" if whole * CENT < HOUR else f"{hours_in_text(whole * CENT)} h"


def nothing_to_do(farm: Farm) -> Entry:
    """Return the event of a plan without any work: a calendar must have one (RFC 5545, 3.6)."""
    return Entry(
        kind=WEEK,
        day=farm.date_of(farm.today),
        title="No work in this plan",
        text=f"{plain(farm.name)} has nothing to do up to {day_in_text(farm, farm.calendar.days - 1)}.",
        parts=frozenset({part("nothing", "")}),
        names=("nothing",),
    )


def _harvest(farm: Farm) -> str:
    """Return the verb for what is harvested: cut, pick or harvest."""
    return {"cut": "cut", "picked": "pick"}.get(done_word(farm), "harvest")
