"""Dates of a book as days of the plan: periods, closures of work, crew hours and pace."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.calendar import WEEKDAYS, Calendar, Work
from scheduler.farm.growth.pace import Pace
from scheduler.farm.places import Steps
from scheduler.farm.units import HOUR, MILLI, nearest

START = -400
"""The day that stands for "from the start": further back than anything that still grows (estimate)."""

BEYOND = 400
"""Days past the last one for which crew hours and closed days are still worked out."""

FOREVER = 10**6
"""The day that stands for "without end"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """The first day and the number of days of a plan: what turns dates into day numbers."""

    first_day: date
    days: int

    def day(self, when: date) -> int:
        """Return the day number of a date."""
        return (when - self.first_day).days

    def date_of(self, day: int) -> date:
        """Return the date of a day number."""
        return self.first_day + timedelta(days=day)

    def period(
        self, row: Row, names: tuple[str, str] = ("from", "to"), *, end: int | None = None
    ) -> tuple[int, int]:
        """Return first and last day of a row; a blank first is the start, a blank last is ``end``."""
        first, last = row.date_or_none(names[0]), row.date_or_none(names[1])
        return (
            START if first is None else max(START, self.day(first)),
            (FOREVER if end is None else end) if last is None else self.day(last),
        )


def season_of(book: Book) -> Season:
    """Return the season a book is for."""
    return Season(first_day=book.settings.date("first_day"), days=7 * book.settings.whole("weeks"))


def steps_of(value: Callable[[int], int], changes: Iterable[int]) -> Steps:
    """Return the steps of a number that a book can only change on the days given."""
    return Steps.of(value, (START, *(change for change in changes if START < change < FOREVER)))


def work_days(book: Book) -> dict[Work, frozenset[int]]:
    """Return the weekdays of each kind of work."""
    return {
        Work.SOW: book.settings.weekdays("sow_days"),
        Work.TRANSPLANT: book.settings.weekdays("transplant_days"),
        Work.RAFT: book.settings.weekdays("raft_days"),
        Work.HARVEST: book.settings.weekdays("harvest_days"),
    }


def closed_days(book: Book, season: Season, log: FaultLog) -> dict[Work, frozenset[int]]:
    """Return the days on which each kind of work stops.

    A closure with a place closes slots there; it stops work, on the whole farm, only when its work cell
    is filled. A closure without a place must stop some work.
    """
    closed: dict[Work, set[int]] = {work: set() for work in Work}
    for row in book.rows("closures"):
        stops = closed_work(row, log)
        first, last = season.period(row, end=season.day(row.date("from")))
        for work in stops:
            closed[work].update(range(first, min(last, season.days + BEYOND) + 1))
    return {work: frozenset(days) for work, days in closed.items()}


def closed_work(row: Row, log: FaultLog) -> tuple[Work, ...]:
    """Return the kinds of work a closure stops."""
    words = row.words("work")
    if len(words) > 1 and ("all" in words or "none" in words):
        log.add(
            row.cell("work"),
            f"'{'; '.join(words)}'",
            "all alone, none alone, or some kinds of work",
            "bad-list",
        )
        return ()
    if not row.text("place"):
        if words == ("none",):
            log.add(
                row.cell("work"),
                "'none' and no place",
                "work that stops, or a place to close",
                "empty-closure",
            )
        if row.whole_or_none("slots") is not None:
            expected = "blank, or the place whose slots are closed beside it"
            log.add(row.cell("slots"), "slots and no place", expected, "empty-closure")
    elif not row.is_given("work"):
        return ()
    if words == ("all",):
        return tuple(Work)
    return tuple(Work(word) for word in words if word != "none")


def crew_steps(book: Book, season: Season, log: FaultLog) -> Steps | None:
    """Return hundredths of a minute of work there are on each day, rounded down; None without rows.

    A day that no row covers has none. Two rows for one day are a fault, for it is not clear which counts.
    """
    rows = book.rows("crew")
    if not rows:
        return None
    horizon = season.days + BEYOND
    minutes: dict[int, int] = {}
    cells: dict[int, Cell] = {}
    for row in rows:
        first, last = season.period(row)
        clash = None
        for day in range(max(0, first), min(horizon, last) + 1):
            weekday = (season.first_day.weekday() + day) % 7
            if weekday not in row.weekdays("weekdays"):
                continue
            if day in cells and clash is None:
                clash = (weekday, cells[day])
            minutes[day], cells[day] = (
                row.number_of("hours") * HOUR // 1,
                row.cell("weekdays"),
            )
        if clash:
            found = f"{WEEKDAYS[clash[0]]} again for the same dates"
            log.add(
                row.cell("weekdays"),
                found,
                f"each day once, with the hours of all who work on it ({clash[1]} has it)",
                "double-crew",
            )
    return steps_of(lambda day: minutes.get(day, 0), range(horizon + 1))


def build_pace(book: Book, season: Season, owner_of: Callable[[str], str | None], log: FaultLog) -> Pace:
    """Return the pace of places in thousandths, rounded to the nearest.

    ``owner_of`` gives the shelf or trough of a place's name: pace belongs to a whole shelf or trough.
    """
    months: dict[str, dict[int, int]] = {}
    cells: dict[tuple[str, int], Cell] = {}
    for row in book.rows("pace"):
        place, month = row.text("place"), row.whole("month")
        owner = owner_of(place) if place else ""
        if owner is None:
            log.add(row.cell("place"), f"'{place}'", "the name of a whole shelf or trough", "unknown-name")
            continue
        if (owner, month) in cells:
            expected = f"each month once for a place ({cells[owner, month]} has it)"
            log.add(row.cell("month"), f"month {month} again", expected, "double-pace")
        cells[owner, month] = row.cell("month")
        months.setdefault(owner, {})[month] = max(1, nearest(row.number_of("pace") * MILLI))
    return Pace(first_day=season.first_day, months=months)


def build_calendar(book: Book, season: Season, closed: dict[Work, frozenset[int]], span: int) -> Calendar:
    """Return the calendar of a plan that runs ``span`` days, ``season.days`` of which are reported."""
    return Calendar(
        first_day=season.first_day,
        days=season.days,
        span=span,
        work_days=work_days(book),
        closed=closed,
    )
