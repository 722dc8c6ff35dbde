"""What a grower would want to be told about the chores of a book that has no fault."""

from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.farm.chores import minutes_of_chores
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT


def chore_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Yield notes on chores that are never due, and on days on which they take more than the crew has."""
    there = {chore.chore for chore in farm.chores if chore.day < farm.calendar.days}
    rows = book.rows("chores")
    for row in rows:
        if row.text("chore") not in there:
            text = f"'{row.text('chore')}' is not due on any day of the plan"
            yield Note(place=row.cell("rule"), text=text, code="never-due")
    crew = farm.crew
    if crew is None:
        return
    over = {day: most for day, most in minutes_of_chores(farm.chores).items() if most > crew.on(day)}
    if over:
        day = min(over)
        days = "on 1 day," if len(over) == 1 else f"on {len(over):,} days, the first"
        text = (
            f"chores take more than the crew has {days} {farm.date_of(day)}: {over[day] / CENT:g} minutes "
            f"of {crew.on(day) / CENT:g}; nothing else is planned then"
        )
        yield Note(place=rows[0].cell("minutes"), text=text, code="chores-over-hours")
