"""The page of labels: sheets in exact millimetres, one file with nothing outside it, ready to print."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from scheduler.farm.dates import full_day
from scheduler.farm.farm import Farm
from scheduler.outputs.labels.faces import Face, end_padding, face, is_small, side_padding, text_size
from scheduler.outputs.labels.sheets import LabelSheet, mm, sheet_of
from scheduler.outputs.templates import environment
from scheduler.outputs.words import counted, plain
from scheduler.plan.rows import Plan
from scheduler.plan.views.labels import Label, labels_by_day, labels_due

WEEKS = 4
"""Weeks of labels that are made unless asked otherwise."""
MOST = 4_000
"""Labels up to which as many whole weeks are made at once: some ten megabytes for a browser (estimate)."""

MARK = '<meta name="generator" content="raftway labels">'
"""Stands near the top of every page of labels, so that only such a page is written over."""
PIXELS_PER_INCH = 96
THOUSANDTHS_PER_INCH = 25_400


@dataclass(frozen=True, slots=True)
class Placed:
    """A label and where its left top corner lies on its sheet, in mm; ``end`` is first, last or empty."""

    left: str
    top: str
    end: str
    face: Face


def default_sheet(farm: Farm) -> str:
    """Return a sheet that needs no sticky labels: A4 where the farm measures in metres, else US letter."""
    return "a4-cut" if farm.length_unit == "m" else "letter-cut"


def default_days(farm: Farm) -> tuple[int, int]:
    """Return the first and last day whose labels are made unless asked otherwise: four weeks from today."""
    return farm.today, min(farm.today + 7 * WEEKS, farm.calendar.days) - 1


def labels_html(
    farm: Farm,
    plan: Plan,
    sheet: str,
    first_day: int | None = None,
    last_day: int | None = None,
    skip: int = 0,
) -> str:
    """Return the labels of every tray, board and raft that is filled on some days, as one HTML page.

    Args:
        farm: the farm.
        plan: its plan.
        sheet: name of a label sheet, or a geometry of one's own, see :func:`sheets.sheet_of`.
        first_day: day number of the first labels, today unless given.
        last_day: day number of the last labels; unless given four weeks on, or fewer where that would be
            more than :data:`MOST` labels.
        skip: labels of the first sheet that are used up already.

    Raises:
        SheetRefused: there is no such sheet, or it has no label left.
    """
    geometry = sheet_of(sheet)
    first = default_days(farm)[0] if first_day is None else first_day
    last, due = _due(farm, plan, first, last_day)
    faces = [face(farm, geometry, label) for label in due]
    return (
        environment("scheduler.outputs.labels")
        .get_template("labels.html.j2")
        .render(
            farm=plain(farm.name),
            days=_days(farm, first, last),
            count=counted(len(faces), "label"),
            sheets=list(_sheets(geometry, faces, skip % geometry.places)),
            **_measures(geometry),
            mm=mm,
            safe=Markup,
            mark=Markup(MARK),
        )
    )


def _measures(sheet: LabelSheet) -> dict[str, Any]:
    """Return a sheet and the sizes on it, as the template knows them."""
    return {
        "sheet": sheet,
        "small": is_small(sheet),
        "text": mm(text_size(sheet)),
        "screen": (sheet.paper[0] * PIXELS_PER_INCH // THOUSANDTHS_PER_INCH) + 48,
        "side": mm(side_padding(sheet)),
        "end": mm(end_padding(sheet)),
    }


def _due(farm: Farm, plan: Plan, first: int, last: int | None) -> tuple[int, tuple[Label, ...]]:
    """Return the last day of the labels that are made, and these."""
    end = farm.calendar.days - 1
    if last is not None:
        return min(last, end), tuple(labels_due(farm, plan, first, min(last, end)))
    numbers = labels_by_day(farm, plan)
    for weeks in range(WEEKS, 0, -1):
        until = min(first + 7 * weeks - 1, end)
        if sum(numbers[day] for day in range(first, until + 1)) <= MOST:
            break
    return until, tuple(labels_due(farm, plan, first, until))


def _sheets(sheet: LabelSheet, faces: Sequence[Face], skip: int) -> Iterator[list[Placed]]:
    """Lay labels on sheets, row by row, the first ``skip`` places of the first sheet left empty."""
    slots = [None] * skip + list(faces)
    for start in range(0, len(slots), sheet.places):
        placed = []
        for number, each in enumerate(slots[start : start + sheet.places]):
            if each is not None:
                left, top = sheet.place(number)
                row = number // sheet.columns
                end = "first" if row == 0 else "last" if row == sheet.rows - 1 else ""
                placed.append(Placed(mm(left), mm(top), end, each))
        yield placed


def _days(farm: Farm, first: int, last: int) -> str:
    one, two = farm.date_of(first), farm.date_of(last)
    return full_day(one) if first == last else f"{full_day(one)} to {full_day(two)}"
