"""Dates in words, the same on paper, screen and phone, and in English whatever the computer is set to."""

from datetime import date, datetime

from scheduler.book.words import LETTERS, MONTHS, WEEKDAYS


def weekday_name(day: date) -> str:
    """Return ``Mon``."""
    return WEEKDAYS[day.weekday()][:LETTERS]


def short_month(number: int) -> str:
    """Return the name of a month by its number: 3 is ``Mar``."""
    return MONTHS[number - 1][:LETTERS]


def month_name(day: date) -> str:
    """Return ``Mar``."""
    return short_month(day.month)


def day_of_month(day: date) -> str:
    """Return ``9 Mar``."""
    return f"{day.day} {month_name(day)}"


def dated(day: date) -> str:
    """Return ``9 Mar 2026``."""
    return f"{day_of_month(day)} {day.year}"


def timed(moment: datetime) -> str:
    """Return ``9 Mar 2026 08:00``."""
    return f"{dated(moment)} {moment:%H:%M}"


def short_day(day: date) -> str:
    """Return ``Mon 9 Mar``."""
    return f"{weekday_name(day)} {day_of_month(day)}"


def full_day(day: date) -> str:
    """Return ``Mon 9 Mar 2026``."""
    return f"{short_day(day)} {day.year}"


def column_day(day: date) -> str:
    """Return ``Mon  9 Mar``: always as wide, so that days stand below each other."""
    return f"{weekday_name(day)} {day.day:2d} {month_name(day)}"


def column_date(day: date) -> str:
    """Return `` 9 Mar 2026``: always as wide."""
    return f"{day.day:2d} {month_name(day)} {day.year}"


def long_day(day: date) -> str:
    """Return ``Tuesday 10 March``."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def long_date(day: date) -> str:
    """Return ``10 March 2026``."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def span(first: date, last: date) -> str:
    """Return two dates as ``15 to 21 Jun 2026``, months and years only where they differ."""
    if first == last:
        return dated(last)
    if first.year != last.year:
        return f"{dated(first)} to {dated(last)}"
    begin = str(first.day) if first.month == last.month else day_of_month(first)
    return f"{begin} to {dated(last)}"


def period(first: date, last: date) -> str:
    """Return two dates as ``15 to 21 June 2026``, months and years only where they differ."""
    if first == last:
        return long_date(last)
    begin = str(first.day)
    if (first.year, first.month) != (last.year, last.month):
        begin += f" {MONTHS[first.month - 1]}"
    if first.year != last.year:
        begin += f" {first.year}"
    return f"{begin} to {long_date(last)}"
