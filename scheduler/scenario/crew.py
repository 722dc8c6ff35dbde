"""Changes to the crew's hours."""

from collections.abc import Sequence

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import changed_from, times
from scheduler.scenario.tables import Line, Tables


def change_crew(tables: Tables, changes: Sequence[Change]) -> None:
    """Change the hours of every day that has some, all changes at once."""
    rows = tables.lines("crew")
    if not rows:
        for change in changes:
            found, expected = "a change of hours", "a book with crew: without rows hours are not limited"
            tables.log.add(change.at("percent"), found, expected, "no-crew")
    for line in rows:
        changed_from(tables, line, changes, _hours)


def _hours(line: Line, held: Sequence[Change]) -> dict[str, tuple[str, str]]:
    return {"hours": (decimal_text(line.number_of("hours") * times(held)), "percent")}
