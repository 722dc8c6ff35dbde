"""Readings looked through: what is doubled, wild or missing, means of days, and what lies outside a range.

Limits of what an instrument can have seen are estimates; a value that stands apart from those around it is
left out and told, never mended.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from statistics import median

from scheduler.book.readings import Doubt, Reading
from scheduler.farm.dates import timed
from scheduler.farm.units import nearest

POSSIBLE = {
    "pH": (2_000, 12_000),
    "conductivity": (10, 20_000),
    "water": (-2_000, 45_000),
    "air": (-40_000, 60_000),
    "oxygen": (0, 25_000),
}
"""Lowest and highest that is taken, thousandths (estimate)."""

JUMP = {"pH": 1_500, "conductivity": 1_500, "water": 5_000, "air": 15_000, "oxygen": 5_000}
"""Furthest from the middle of its neighbours, thousandths (estimate)."""

AROUND = 2
"""Neighbours on each side."""

LONG_GAP = timedelta(hours=6)
TIMES_USUAL = 4
"""A gap is longer than this many times the usual step, and than six hours (estimate)."""

Series = tuple[str, str]
"""Place and what is measured."""

Tell = Callable[[int, str, str], None]
"""Takes the row, words and code of a doubt."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sifted:
    """Readings that are kept, by place and kind in order of time, and doubts in order of their rows."""

    kept: dict[Series, tuple[Reading, ...]]
    doubts: tuple[Doubt, ...]


def sift(readings: Iterable[Reading], source: str) -> Sifted:
    """Sort readings by time; leave out what is doubled, impossible or stands apart, and tell it and gaps."""
    series: dict[Series, list[Reading]] = defaultdict(list)
    for reading in readings:
        series[reading.place, reading.measures].append(reading)
    kept: dict[Series, tuple[Reading, ...]] = {}
    doubts: list[Doubt] = []

    def doubt(row: int, said: str, code: str) -> None:
        doubts.append(Doubt(source=source, row=row, said=said, code=code))

    for key, found in series.items():
        name = named(*key)
        back = sum(1 for one, two in pairwise(found) if two.when < one.when)
        if back:
            row = next(two.row for one, two in pairwise(found) if two.when < one.when)
            doubt(row, f"{name}: {back} out of order from here, put in order", "out-of-order")
        ordered = _once(sorted(found, key=lambda each: (each.when, each.row)), name, doubt)
        low, high = POSSIBLE[key[1]]
        possible = []
        for each in ordered:
            if low <= each.value <= high:
                possible.append(each)
            else:
                doubt(each.row, f"{name}: {said(each.value)} cannot be, left out", "wild")
        kept[key] = _without_jumps(possible, key, doubt)
        _tell_gaps(kept[key], name, doubt)
    return Sifted(kept=kept, doubts=tuple(sorted(doubts, key=lambda each: (each.row, each.said))))


def named(place: str, measures: str) -> str:
    """Return what is measured, and where."""
    return f"{measures} of {place}" if place else measures


def said(value: int) -> str:
    """Return thousandths as a decimal number."""
    return f"{value / 1000:.2f}".rstrip("0").rstrip(".")


def _once(ordered: Sequence[Reading], name: str, doubt: Tell) -> list[Reading]:
    found: dict[datetime, Reading] = {}
    same = 0
    for each in ordered:
        first = found.setdefault(each.when, each)
        if first is not each and first.value == each.value:
            same += 1
        elif first is not each:
            kept = f"{said(first.value)} of row {first.row} kept"
            told = f"{name}: {said(each.value)} again for {timed(each.when)}, {kept}"
            doubt(each.row, told, "double")
    if same:
        row = ordered[-1].row
        doubt(row, f"{name}: {same} told twice alike up to here, taken once", "double")
    return list(found.values())


def _without_jumps(ordered: Sequence[Reading], key: Series, doubt: Tell) -> tuple[Reading, ...]:
    kept = []
    for at, each in enumerate(ordered):
        near = [*ordered[max(0, at - AROUND) : at], *ordered[at + 1 : at + 1 + AROUND]]
        if len(near) > AROUND and abs(each.value - median(other.value for other in near)) > JUMP[key[1]]:
            middle = said(int(median(other.value for other in near)))
            doubt(each.row, f"{named(*key)}: {said(each.value)} among values near {middle}, left out", "wild")
        else:
            kept.append(each)
    return tuple(kept)


def _tell_gaps(ordered: Sequence[Reading], name: str, doubt: Tell) -> None:
    for one, two in gaps(ordered):
        doubt(two.row, f"{name}: nothing from {timed(one.when)} to {timed(two.when)}", "gap")


def gaps(ordered: Sequence[Reading]) -> list[tuple[Reading, Reading]]:
    """Return the readings before and after each long time without any; they come in order of time."""
    steps = [two.when - one.when for one, two in pairwise(ordered)]
    if not steps:
        return []
    usual = median(step.total_seconds() for step in steps)
    longest = max(LONG_GAP, timedelta(seconds=TIMES_USUAL * usual))
    return [(one, two) for one, two in pairwise(ordered) if two.when - one.when > longest]


def means(kept: Sequence[Reading]) -> dict[date, int]:
    """Return the mean of each day, thousandths to the nearest."""
    days: dict[date, list[int]] = defaultdict(list)
    for reading in kept:
        days[reading.when.date()].append(reading.value)
    return {day: nearest(Fraction(sum(values), len(values))) for day, values in sorted(days.items())}


def outside(days: dict[date, int], low: float | None, high: float | None) -> tuple[list[date], list[date]]:
    """Return the days whose mean lies below and above a range; a bound that is None is not looked at."""
    below = [day for day, value in days.items() if low is not None and value < round(low * 1000)]
    above = [day for day, value in days.items() if high is not None and value > round(high * 1000)]
    return below, above
