"""Outlets of a book, week by week."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.calendar import WEEK, WEEKDAYS, Calendar
from scheduler.farm.from_book.days import Season
from scheduler.farm.from_book.demands import greatest_age
from scheduler.farm.orders.outlets import OutletWeek, Stall, Step
from scheduler.farm.units import cents


def build_outlets(book: Book, season: Season, calendar: Calendar, log: FaultLog) -> tuple[OutletWeek, ...]:
    """Return every week of every outlet up to the end of the span, in the order of the book and of time."""
    groups: dict[tuple[str, str, int, int], list[Row]] = defaultdict(list)
    for row in book.rows("outlets"):
        first, last = season.period(row, end=calendar.span - 1)
        groups[row.text("outlet"), row.text("product"), first, last].append(row)
    _check_apart(list(groups.items()), log)
    weeks: list[OutletWeek] = []
    for (outlet, product, first, last), rows in groups.items():
        _check_steps(rows, log)
        for monday in range(calendar.week_start(max(0, first)), last + 1, WEEK):
            days = range(max(0, first, monday), min(last, calendar.span - 1, monday + WEEK - 1) + 1)
            stalls = tuple(
                Stall(name=f"{outlet} | {product} | {calendar.date_of(day)}", day=day)
                for day in days
                if calendar.weekday(day) in rows[0].weekdays("weekdays")
            )
            if stalls:
                weeks.append(
                    OutletWeek(
                        outlet=outlet,
                        product=product,
                        stalls=stalls,
                        steps=tuple(_steps(rows)),
                        max_age=greatest_age(book, rows[0]),
                    )
                )
    return tuple(weeks)


def _steps(rows: list[Row]) -> Iterator[Step]:
    for row in rows:
        yield Step(amount=row.whole("amount"), price=cents(row.number_of("price")))


def _check_steps(rows: list[Row], log: FaultLog) -> None:
    """Steps of one outlet and product share their days, and each brings no more than the one before."""
    for before, row in pairwise(rows):
        price, best = row.number_of("price"), before.number_of("price")
        if price > best:
            expected = f"at most {float(best):g}, the price of the step before ({before.cell('price')})"
            log.add(row.cell("price"), f"{float(price):g}", expected, "rising-price")
        if row.weekdays("weekdays") != rows[0].weekdays("weekdays"):
            days = " ".join(WEEKDAYS[day] for day in sorted(rows[0].weekdays("weekdays")))
            expected = f"{days}, as in the first step ({rows[0].cell('weekdays')})"
            log.add(row.cell("weekdays"), "other days", expected, "two-ways")
        if row.is_given("greatest_age") and row.whole("greatest_age") != rows[0].whole_or_none(
            "greatest_age"
        ):
            expected = f"that of the first step ({rows[0].cell('greatest_age')}), or a blank cell"
            log.add(row.cell("greatest_age"), "another age", expected, "two-ways")


def _check_apart(groups: list[tuple[tuple[str, str, int, int], list[Row]]], log: FaultLog) -> None:
    """Steps of other dates stand for other times: they may not run side by side."""
    for at, ((outlet, product, first, last), rows) in enumerate(groups):
        for (other, sold, begins, ends), before in groups[:at]:
            if (other, sold) == (outlet, product) and begins <= last and first <= ends:
                found = f"dates that meet those of another row of '{outlet}'"
                expected = f"the same dates ({before[0].cell('from')}), or dates apart from them"
                log.add(rows[0].cell("from"), found, expected, "two-ways")
                break
