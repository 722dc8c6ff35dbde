"""How much paper week sheets take, by estimate, and which weeks share a page.

A browser alone knows how high a sheet is. The estimate here decides what a style sheet cannot: small weeks
that follow each other and fit on one page are printed together, under a running head that names them all, and
the work of a short day stays in one piece. Where it errs, a page is less full, or two pages carry the head of
one; nothing is lost.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.farm.dates import period
from scheduler.outputs.report.row import Row, Said
from scheduler.outputs.report.week import DaySheet, WeekSheet

PAGE = 70.0
"""Lines of a work sheet on a page of Letter; A4 has five more (measured with Chromium, as all below)."""

HEAD, QUIET, DAY, BLOCK, LEAST, BETWEEN = 6.5, 5.0, 3.6, 1.9, 2.0, 0.5
"""Lines of what heads a week, of a week without work, of what heads a day and a kind of work,
of the lowest row of work, and between rows."""

PICTURE, OVER_PICTURES, BETWEEN_PICTURES = 51.8, 3.0, 0.6
"""Lines of a drawing as high as wide, of the heading over the drawings of a week, and between them."""

LETTERS = {"many": 22, "source": 27, "target": 33, "note": 22}
"""Column of the table of work -> letters on one of its lines."""

TOGETHER = 12.0
"""Lines up to which a day is kept in one piece."""

FIRST_WEEKS = 4
"""Weeks that are printed unless others are chosen: as many as have labels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheaf:
    """Weeks that are printed on one page where all of them are; ``page`` names it, ``head`` stands on top."""

    page: str
    head: str
    weeks: tuple[WeekSheet, ...]


def sheaves(weeks: Sequence[WeekSheet]) -> tuple[Sheaf, ...]:
    """Return all weeks in order, those together that fit on one page by estimate.

    A week without work stands before the next one, however long that is.
    """
    found: list[list[WeekSheet]] = []
    room = 0.0
    for week in weeks:
        high = lines_of_week(week)
        if not found or (high > room and any(each.days for each in found[-1])):
            found.append([])
            room = PAGE
        found[-1].append(week)
        room -= high
    return tuple(_sheaf(tuple(several)) for several in found)


def first_ticked(weeks: Sequence[WeekSheet]) -> frozenset[int]:
    """Return the numbers of the weeks that are printed unless others are chosen: the first, sheaves whole."""
    ticked: list[int] = []
    for sheaf in sheaves(weeks):
        if len(ticked) >= FIRST_WEEKS:
            break
        ticked += [week.number for week in sheaf.weeks]
    return frozenset(ticked)


def lines_of_week(week: WeekSheet) -> float:
    """Return how many lines the sheet of a week takes on paper, by estimate."""
    head = HEAD if week.days else QUIET
    parcels = [1.6 * len(theirs) + 3 for _, theirs in (*week.customers, *week.targets)]
    lists = sum(parcels) / 2 + 3 if parcels else 0.0
    drawn = sum(PICTURE * each.picture.height + BETWEEN_PICTURES for each in week.last_drawn)
    drawn += OVER_PICTURES if drawn else 0.0
    return head + sum(map(lines_of_day, week.days)) + lists + drawn


def lines_of_day(day: DaySheet) -> float:
    """Return how many lines the work of a day takes on paper, by estimate."""
    return DAY + sum(BLOCK + sum(map(_lines_of_row, block.rows)) for block in day.blocks)


def stays_together(day: DaySheet) -> bool:
    """Say whether the work of a day is so short that it stays on one page."""
    return lines_of_day(day) <= TOGETHER


def _lines_of_row(row: Row) -> float:
    cells = (_lines(getattr(row, name), letters) for name, letters in LETTERS.items())
    return max(LEAST, *cells) + BETWEEN


def _lines(said: Said, letters: int) -> int:
    return -(-sum(len(line.striptags()) + 2 for line in said) // letters)


def _sheaf(weeks: tuple[WeekSheet, ...]) -> Sheaf:
    first, last = weeks[0], weeks[-1]
    if first is last:
        return Sheaf(page=first.page, head=f"{first.title}, {first.dates}", weeks=weeks)
    return Sheaf(
        page=f"{first.page}to{last.number}",
        head=f"Weeks {first.number} to {last.number}, {period(first.span[0], last.span[1])}",
        weeks=weeks,
    )
