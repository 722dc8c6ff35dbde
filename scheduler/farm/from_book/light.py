"""Light, sunshine and temperatures of a book as pace and as the air of each place."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.from_book.days import Season
from scheduler.farm.from_book.places import Layout
from scheduler.farm.growth import light, sun
from scheduler.farm.growth.climate import READING_DAYS, Climate, HalfMonth, Temperatures
from scheduler.farm.growth.pace import Pace, half_month
from scheduler.farm.units import CENT, MILLI

EVERY_MONTH = 0
"""Stands for "every month without a row of its own"."""

MIDDLES = (8, 23)
"""Days in the middle of the first and the second half of a month."""

LEAST_PACE = 50
"""Lowest pace that is worked out, the lowest a book may give: plants in the dark stay no use for ever."""

PERCENT = 100


def build_climate(book: Book, season: Season, layout: Layout, log: FaultLog) -> Climate:
    """Return light, water and air of every place; what is wrong goes to the log."""
    water = _temperatures(book, season, layout, "water", log)
    air = _temperatures(book, season, layout, "air", log)
    rows = _light_rows(book, layout, log)
    sunshine = _sunshine(book, log)
    latitude = book.settings.number_or_none("latitude")
    _check_latitude(book, latitude, log)
    worker = _Worker(
        outside=tuple(_outside(half, latitude, sunshine) for half in range(24)),
        water=water,
        full_water=float(book.settings.number_of("full_water")),
    )
    halves, read = {}, {}
    for place in (*layout.shelves, *layout.troughs, *layout.beds):
        lit = rows.get(place, {})
        found = tuple(worker.half(place, half, lit) for half in range(24))
        if any(found):
            halves[place] = found
        days = {day: worker.on(place, day, season, lit) for day in _days_read(water, place)}
        if days:
            read[place] = days
    return Climate(halves=halves, read=read, air=air)


def with_climate(pace: Pace, climate: Climate) -> Pace:
    """Return a pace that knows what was worked out as well as what the book gives."""
    return replace(pace, halves=climate.paces(), read=climate.read)


@dataclass(frozen=True, slots=True)
class _Worker:
    """Works out pace: what comes down outside in each half month, in mol/m2/d, and the water."""

    outside: tuple[float, ...]
    water: Temperatures
    full_water: float

    def half(self, place: str, half: int, rows: Mapping[int, Row]) -> HalfMonth | None:
        """Return one half month of one place; None where nothing is known of it."""
        month = half // 2 + 1
        row = rows.get(month, rows.get(EVERY_MONTH))
        return self._grown(half, row, self.water.months.get(place, {}).get(month))

    def on(self, place: str, day: int, season: Season, rows: Mapping[int, Row]) -> int:
        """Return the pace of a day on which a reading of the water stands."""
        half = half_month(season.date_of(day))
        row = rows.get(half // 2 + 1, rows.get(EVERY_MONTH))
        found = self._grown(half, row, self.water.read_on(place, day))
        return MILLI if found is None else found.pace

    def _grown(self, half: int, row: Row | None, water: int | None) -> HalfMonth | None:
        if row is None and water is None:
            return None
        at_plants, by_light = None, 1.0
        if row is not None:
            at_plants = self.outside[half] * _share(row) + _lamps(row)
            by_light = light.pace_of_light(at_plants, float(row.number_of("full_light")))
        by_water = 1.0 if water is None else light.pace_of_water(water / CENT, self.full_water)
        slower = "light" if by_light <= by_water else "water"
        pace = max(LEAST_PACE, _down(min(by_light, by_water)) * (MILLI // CENT))
        return HalfMonth(
            pace=pace,
            light=None if at_plants is None else _down(at_plants),
            water=water,
            held_by=slower if pace < MILLI else "",
        )


def _down(number: float) -> int:
    """Return hundredths, rounded down: so close a figure is not known, and nothing is cut too young."""
    return math.floor(round(number * CENT, 6))


def _outside(half: int, latitude: Fraction | None, sunshine: Mapping[int, float]) -> float:
    """Return the light outside in the middle of a half month, mol/m2/d; 0 without a latitude."""
    if latitude is None:
        return 0.0
    month = half // 2 + 1
    number = sun.day_of_year(month, MIDDLES[half % 2])
    above = sun.radiation_above_air(float(latitude), number)
    share = sunshine.get(month, light.SUNSHINE / PERCENT)
    return light.sunlight(light.radiation_at_ground(above, share))


def _share(row: Row) -> float:
    return float(row.number_of("cover_percent")) / PERCENT


def _lamps(row: Row) -> float:
    whole = row.number_or_none("lamp_light")
    if whole is not None:
        return float(whole)
    flux, hours = row.number_or_none("lamp_flux"), row.number_or_none("lamp_hours")
    return light.lamplight(float(flux or 0), float(hours or 0))


def _sunshine(book: Book, log: FaultLog) -> dict[int, float]:
    """Return month -> share of the daylight hours with sun."""
    shares: dict[int, float] = {}
    cells: dict[int, Cell] = {}
    for row in book.rows("sunshine"):
        month = row.whole("month")
        if month in cells:
            expected = f"each month once ({cells[month]} has it)"
            log.add(row.cell("month"), f"month {month} again", expected, "double-month")
        sunny, cloudy = row.number_or_none("sunshine_percent"), row.number_or_none("cloud_percent")
        percent = sunny if sunny is not None else PERCENT - (cloudy or 0)
        shares[month], cells[month] = float(percent) / PERCENT, row.cell("month")
    return shares


def _check_latitude(book: Book, latitude: Fraction | None, log: FaultLog) -> None:
    if latitude is None:
        for row in book.rows("light"):
            if row.number_of("cover_percent") > 0:
                found = "light through a cover and no latitude"
                log.add(row.cell("cover_percent"), found, "a row latitude in settings", "no-latitude")


def _light_rows(book: Book, layout: Layout, log: FaultLog) -> dict[str, dict[int, Row]]:
    """Return shelf or trough -> month, or ``EVERY_MONTH`` -> its row."""
    rows: dict[str, dict[int, Row]] = {}
    for row in book.rows("light"):
        owner = _owner(row, layout, log)
        if owner is None:
            continue
        month = row.whole_or_none("month") or EVERY_MONTH
        other = rows.setdefault(owner, {}).get(month)
        if other is not None:
            which = "each month" if month else "a row for every month"
            expected = f"{which} once for a place ({other.cell('month')} has it)"
            found = f"month {month} again" if month else "a blank month again"
            log.add(row.cell("month"), found, expected, "double-light")
        rows[owner][month] = row
    return _for_all(rows, layout)


def _owner(row: Row, layout: Layout, log: FaultLog) -> str | None:
    """Return the shelf or trough a row is for, "" for every trough; None after a fault."""
    place = row.text("place")
    owner = layout.owner_of(place) if place else ""
    if owner is None:
        log.add(row.cell("place"), f"'{place}'", "the name of a whole shelf or trough", "unknown-name")
    return owner


def _for_all(found: Mapping[str, dict[int, Row]], layout: Layout) -> dict[str, dict[int, Row]]:
    """Return the rows of each place: those for every trough stand for troughs without any of their own."""
    general = dict.fromkeys(layout.troughs, found[""]) if "" in found else {}
    return general | {name: rows for name, rows in found.items() if name}


def _temperatures(book: Book, season: Season, layout: Layout, kind: str, log: FaultLog) -> Temperatures:
    """Return the temperatures of one kind, ``water`` or ``air``, in hundredths of a degree C."""
    months: dict[str, dict[int, int]] = {}
    read: dict[str, dict[int, int]] = {}
    cells: dict[tuple[str, str, int], Cell] = {}
    for row in book.rows("temperatures"):
        degrees = row.number_or_none(kind)
        if degrees is None:
            continue
        owner = _owner(row, layout, log)
        if owner is None:
            continue
        if kind == "water" and (owner in layout.shelves or owner in layout.beds):
            what = "trays on a shelf stand" if owner in layout.shelves else "plants in a bed stand"
            log.add(row.cell(kind), f"water on '{owner}'", f"a blank cell: {what} in no water", "no-water")
        when, column = (row.whole_or_none("month"), "month")
        if when is None:
            when, column = season.day(row.date("date")), "date"
        key = (owner, column, when)
        if key in cells:
            expected = f"each {column} once for a place ({cells[key]} has it)"
            log.add(row.cell(column), f"the {column} again with {kind}", expected, "double-temperature")
        cells[key] = row.cell(column)
        table = months if column == "month" else read
        table.setdefault(owner, {})[when] = math.floor(degrees * CENT + Fraction(1, 2))
    return _spread(months, read, layout.troughs)


def _spread(
    months: dict[str, dict[int, int]], read: dict[str, dict[int, int]], troughs: Iterable[str]
) -> Temperatures:
    """Let temperatures for every trough stand for those that have none of that kind of their own."""
    own = (months.keys() | read.keys()) - {""}
    for table in (months, read):
        general = table.pop("", None)
        if general is not None:
            table.update({name: general for name in troughs if name not in own})
    return Temperatures(months=months, read=read)


def _days_read(temperatures: Temperatures, place: str) -> Iterable[int]:
    """Return the days on which a reading stands in a place."""
    return sorted({day for at in temperatures.read.get(place, {}) for day in range(at, at + READING_DAYS)})
