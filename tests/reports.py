"""The first example, whole or a few weeks, by any names, and pages taken apart: for tests of what is told."""

import csv
import io
import re
import shutil
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.outputs.csv_folder import read_plan
from scheduler.outputs.report import season
from scheduler.plan.rows import Plan
from scheduler.plan.views.nursery_lines import Dated
from scheduler.plan.views.week import Week

EXAMPLE = Path(__file__).resolve().parents[1] / "examples" / "alder-quay"


@cache
def example() -> tuple[Farm, Plan]:
    """Return the first example and its plan."""
    return opened(EXAMPLE / "book", EXAMPLE / "plan")


def opened(book: Path, plan: Path) -> tuple[Farm, Plan]:
    """Return the farm of a book and a plan of it."""
    farm = build_farm(read_book(book))
    return farm, read_plan(plan, farm.calendar)


@contextmanager
def without_charts() -> Iterator[None]:
    """Make reports that have no charts: they take most of the time of a small one."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(season, "CHARTS", {})
        yield


def weeks_of(farm: Farm, first: int, number: int) -> Farm:
    """Return the farm as if only some weeks were reported; week 1 is that of day 0."""
    start = farm.calendar.week_start(0) + 7 * (first - 1)
    return replace(farm, today=max(start, 0), calendar=replace(farm.calendar, days=start + 7 * number))


def lines_of(weeks: Iterable[Week]) -> list[Dated]:
    """Return every line of some work sheets with its day and kind of work."""
    return [
        (day.day, work, line)
        for week in weeks
        for day in week.days
        for work, lines in day.work.items()
        for line in lines
    ]


def renamed(folder: Path, names: Mapping[str, str]) -> tuple[Farm, Plan]:
    """Return the first example with other names wherever they stand in its book and plan."""
    ordered = sorted(names, key=len, reverse=True)
    pattern = re.compile("|".join(re.escape(name) for name in ordered))
    for part in ("book", "plan"):
        shutil.copytree(EXAMPLE / part, folder / part)
        for path in (folder / part).rglob("*.csv"):
            rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))
            told = [
                rows[0],
                *([pattern.sub(lambda m: names[m[0]], cell) for cell in row] for row in rows[1:]),
            ]
            with path.open("w", encoding="utf-8", newline="") as file:
                csv.writer(file, lineterminator="\n").writerows(told)
    return opened(folder / "book", folder / "plan")


class _Cells(HTMLParser):
    """Collects the text of every cell, by table and row; parts of a cell that stand apart are joined by /."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._open = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
            self._open = False
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")
            self._open = True
        elif self._open and tag in ("p", "i", "span") and self.tables[-1][-1][-1]:
            self.tables[-1][-1][-1] += " / "

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "tr", "tbody", "table"):
            self._open = False

    def handle_data(self, data: str) -> None:
        if self._open:
            self.tables[-1][-1][-1] += data.replace("\xa0", " ")


def tables_of(html: str) -> list[list[list[str]]]:
    """Return the tables of a page as rows of cells of text."""
    reader = _Cells()
    reader.feed(html)
    return [[[" ".join(cell.split()) for cell in row] for row in table] for table in reader.tables]


def section(html: str, anchor: str) -> str:
    """Return the part of a page that begins at an anchor, up to the next week's."""
    start = html.index(f'id="{anchor}"')
    end = re.compile(r'<section class="week"|<section id="back"').search(html, start)
    return html[start : end.start() if end else len(html)]


class _Elements(HTMLParser):
    """Collects every element with its attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, {name: value or "" for name, value in attrs}))


def elements_of(html: str) -> list[tuple[str, dict[str, str]]]:
    """Return every element of a page: its name and its attributes."""
    reader = _Elements()
    reader.feed(html)
    return reader.found
