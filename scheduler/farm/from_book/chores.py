"""Chores of a book on the days of a plan."""

from collections.abc import Callable, Iterator
from datetime import date, datetime

from dateutil.rrule import rrulestr

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.repeats import Repeat, parse_repeat
from scheduler.book.rows import Row
from scheduler.farm.calendar import Calendar
from scheduler.farm.chores import ChoreDay
from scheduler.farm.places import Steps
from scheduler.farm.units import hundredths_up

MOST_MOVED = 92
"""Most days a chore is moved; one that nobody can do within them is left out."""

STEP = {"before": -1, "after": 1}


def build_chores(
    book: Book, calendar: Calendar, crew: Steps | None, today: int, log: FaultLog
) -> tuple[ChoreDay, ...]:
    """Return all chores from today to the end of the plan, by day and then as the book lists them.

    Nobody works on a day on which every kind of work is closed, or for which there is a crew without hours.
    A chore that would fall on one day twice is done once.
    """

    def idle(day: int) -> bool:
        return calendar.is_closed(day) or (crew is not None and not crew.on(day))

    found: list[ChoreDay] = []
    for row in book.rows("chores"):
        if _last_day_fits(row, log):
            days = _days(row, calendar, idle)
            found += [_chore(row, due, day) for day, due in days.items() if today <= day < calendar.span]
    return tuple(sorted(found, key=lambda chore: chore.day))


def _last_day_fits(row: Row, log: FaultLog) -> bool:
    """Refuse two last days, and one before the first."""
    until, before = parse_repeat(row.text("rule")).until, len(log)
    if until is not None and row.is_given("to"):
        log.add(row.cell("to"), "a last day beside UNTIL in the rule", "one of the two alone", "two-ways")
    elif until is not None and until < row.date("from"):
        expected = f"UNTIL on {row.date('from')} (from) or later"
        log.add(row.cell("rule"), f"UNTIL on {until}", expected, "backward-dates")
    return len(log) == before


def _days(row: Row, calendar: Calendar, idle: Callable[[int], bool]) -> dict[int, int]:
    """Return day it is done -> day it is due; of several due for one day, the one due on it or the first."""
    days: dict[int, int] = {}
    for due in due_days(row, calendar):
        day = _moved(due, row.text("when_closed"), idle)
        if day is not None and (day not in days or day == due):
            days[day] = due
    return days


def due_days(row: Row, calendar: Calendar) -> Iterator[int]:
    """Yield the days a chore's rule says, those from which it could be moved into the plan included."""
    repeat: Repeat = parse_repeat(row.text("rule"))
    first = max(row.date("from"), calendar.date_of(-MOST_MOVED))
    last = calendar.date_of(calendar.span + MOST_MOVED)
    for end in (row.date_or_none("to"), repeat.until):
        last = last if end is None else min(last, end)
    rule = rrulestr(repeat.text, dtstart=_midnight(row.date("from")))
    for moment in rule.between(_midnight(first), _midnight(last), inc=True):
        yield calendar.day_of(moment.date())


def _midnight(when: date) -> datetime:
    # days without an hour or a zone: what clocks do in spring and autumn never moves a chore
    return datetime(when.year, when.month, when.day)  # noqa: DTZ001


def _moved(due: int, when_closed: str, idle: Callable[[int], bool]) -> int | None:
    """Return the day a chore is done on; None when it is left out."""
    if when_closed == "keep" or not idle(due):
        return due
    step = STEP.get(when_closed)
    if step is None:
        return None
    return next((day for day in range(due, due + step * MOST_MOVED, step) if not idle(day)), None)


def _chore(row: Row, due: int, day: int) -> ChoreDay:
    return ChoreDay(
        chore=row.text("chore"),
        place=row.text("place"),
        who=row.text("who"),
        note=row.text("note"),
        due=due,
        day=day,
        minutes=hundredths_up(row.number_of("minutes")),
    )
