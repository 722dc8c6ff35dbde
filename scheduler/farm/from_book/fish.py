"""Fish tanks and loops of a book, ready to be followed day by day."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.calendar import WEEK
from scheduler.farm.from_book.days import FOREVER, Season
from scheduler.farm.from_book.figures import Figures
from scheduler.farm.loops.fish import Curve, FishTank
from scheduler.farm.loops.water import FRUITING, LEAFY, Band, Member, Water, joined_names
from scheduler.farm.units import MILLI, MM_PER, WHOLE_SHARE

MG_PER = {"kg": Fraction(1_000_000), "lb": Fraction(45_359_237, 100)}
"""Milligrams in one unit of mass; the pound is exactly 0.45359237 kg."""

BANDS = {
    LEAFY: ("feed_leafy_low", "feed_leafy_high"),
    FRUITING: ("feed_fruiting_low", "feed_fruiting_high"),
}
"""Kind of plants -> settings with the least and most feed they ask."""

PERCENT = 100
PARTS_OF_FEEDING = 10_000
"""Parts of a million in one percent."""


def build_water(book: Book, season: Season, log: FaultLog) -> Water | None:
    """Return fish and loops; None for a book without fish."""
    rows = book.rows("fish_tanks")
    if not rows:
        return None
    mg = MG_PER[book.settings.text("mass_unit")]
    weights, feeding = _weights(book, mg, log), _feeding(book, mg, log)
    tanks = [_tank(row, season, mg, (weights, feeding), log) for row in rows]
    parts = [
        *(row.text("tank") for row in rows),
        *(row.text("trough") for row in book.rows("troughs")),
        *(row.text("bed") for row in book.tables.get("beds", ())),
    ]
    return Water(
        tanks=tuple(tank for tank in tanks if tank is not None),
        members=_members(book, season, parts, log),
        parts=tuple(parts),
        bands=_bands(book, log),
        bed_areas={row.text("bed"): _position(book, row) for row in book.tables.get("beds", ())},
        leafy=frozenset(row.text("crop") for row in book.rows("crops") if Figures(row, log).is_of_no_bed),
    )


def _position(book: Book, row: Row) -> int:
    """Return the square millimetres of one position of a bed; 0 where the book has no size for it."""
    mm = MM_PER[book.settings.text("length_unit")]
    along, positions = row.number_or_none("spacing"), row.whole_or_none("positions")
    length, width = row.number_or_none("length"), row.number_or_none("width")
    if along is not None:
        return int(along * (row.number_or_none("row_spacing") or along) * mm * mm)
    return int(length * width * mm * mm / positions) if length and width and positions else 0


def _bands(book: Book, log: FaultLog) -> dict[str, Band]:
    bands = {}
    for name, (least, most) in BANDS.items():
        low, high = book.settings.whole(least), book.settings.whole(most)
        if high < low:
            log.add(book.settings.cell(most), str(high), f"{low} ({least}) or more", "backward-range")
        bands[name] = Band(low=low, high=high)
    return bands


def _weights(book: Book, mg: Fraction, log: FaultLog) -> dict[str, Curve]:
    """Return species -> (days since stocked, weight), weeks in order."""
    found = (
        (row, row.text("species"), WEEK * row.whole("week"), int(row.number_of("mass") * mg))
        for row in book.rows("fish_weights")
    )
    return _curves(found, "week", log)


def _feeding(book: Book, mg: Fraction, log: FaultLog) -> dict[str, Curve]:
    """Return species -> (weight, parts of a million fed a day), weights in order."""
    found = (
        (
            row,
            row.text("species"),
            int(row.number_of("mass") * mg),
            int(row.number_of("feed_percent") * PARTS_OF_FEEDING),
        )
        for row in book.rows("fish_feeding")
    )
    return _curves(found, "mass", log)


def _curves(points: Iterable[tuple[Row, str, int, int]], column: str, log: FaultLog) -> dict[str, Curve]:
    curves: dict[str, dict[int, int]] = {}
    cells: dict[tuple[str, int], Cell] = {}
    for row, species, x, y in points:
        if (species, x) in cells:
            expected = f"each {column} once for a species ({cells[species, x]} has it)"
            log.add(row.cell(column), f"the same {column} of '{species}' again", expected, "double-point")
        cells[species, x] = row.cell(column)
        curves.setdefault(species, {})[x] = y
    return {species: tuple(sorted(points.items())) for species, points in curves.items()}


def _tank(
    row: Row,
    season: Season,
    mg: Fraction,
    curves: tuple[Mapping[str, Curve], Mapping[str, Curve]],
    log: FaultLog,
) -> FishTank | None:
    """Return a tank, ``curves`` being weights and feeding by species; None where a fault goes to the log."""
    species = row.text("species")
    weights, feeding = (curve.get(species, ()) for curve in curves)
    if not _says_how_fish_grow(row, weights, feeding, log):
        return None
    yearly, growth = row.number_or_none("yield_per_year"), row.number_or_none("growth_percent")
    # not the first day of the period, which looks back but so far: fish may have been stocked years ago
    begin, (earliest, until) = row.date_or_none("from"), season.period(row)
    stocked = earliest if begin is None else season.day(begin)
    every = WEEK * (row.whole_or_none("harvest_weeks") or 0)
    first = row.date_or_none("first_harvest")
    start = row.number_or_none("start_mass")
    return FishTank(
        name=row.text("tank"),
        species=species,
        stocked=stocked,
        until=until,
        fish=row.whole_or_none("fish") or 0,
        start_mass=weights[0][1] if start is None and weights else int((start or 0) * mg),
        yearly=None if yearly is None else int(yearly * mg),
        ratio=int((row.number_or_none("feed_ratio") or 0) * MILLI),
        weights=weights,
        growth=int((growth or 0) * WHOLE_SHARE // PERCENT),
        feeding=feeding,
        harvest_every=every,
        first_harvest=stocked + every if first is None else season.day(first),
        harvest_share=int(row.number_of("harvest_percent") * WHOLE_SHARE // PERCENT),
        restocked=row.yes("restocked"),
    )


def _says_how_fish_grow(row: Row, weights: Curve, feeding: Curve, log: FaultLog) -> bool:
    """Say whether growth and feed of a tank can be worked out, and in one way; faults go to the log."""
    species, before = row.text("species"), len(log)
    yearly, growth = row.number_or_none("yield_per_year"), row.number_or_none("growth_percent")
    if yearly is None and growth is not None and weights:
        found = f"growth_percent beside weights of '{species}' in fish_weights"
        log.add(row.cell("growth_percent"), found, "one of the two alone", "two-ways")
    if yearly is None and growth is None and not weights and not feeding:
        expected = f"yield_per_year or growth_percent, or rows of '{species}' in fish_weights or fish_feeding"
        log.add(row.cell("growth_percent"), "no growth", expected, "no-growth")
    if yearly is None and not weights and not row.is_given("start_mass"):
        log.add(row.cell("start_mass"), "a blank cell", "the weight of one fish when it is stocked", "blank")
    needs_ratio = yearly is not None or not feeding or (growth is None and not weights)
    if needs_ratio and not row.is_given("feed_ratio"):
        log.add(row.cell("feed_ratio"), "a blank cell", "feed for one of growth, such as 1.5", "blank")
    return len(log) == before


def _members(book: Book, season: Season, parts: list[str], log: FaultLog) -> tuple[Member, ...]:
    rows = book.rows("loops")
    loops = {row.text("loop") for row in rows}
    found = []
    for row in rows:
        loop, part = row.text("loop"), row.text("part")
        if loop in parts:
            expected = "a name of its own, for a tank, trough or bed is called that"
            log.add(row.cell("loop"), f"'{loop}'", expected, "double-name")
        if part == loop or part not in (*parts, *loops):
            expected = "the name of a fish tank, trough or bed, or of another loop that is joined to this one"
            log.add(row.cell("part"), f"'{part}'", expected, "unknown-name")
        first, last = season.period(row, end=FOREVER)
        found.append(Member(loop=loop, part=part, first=first, last=last))
    for at, day, other in _twice(found, set(parts)):
        row = rows[at]
        told = f"'{found[at].part}' in another loop too on {season.date_of(day)}"
        expected = f"one loop at a time ({rows[other].cell('part')} has it), or loops that are joined then"
        log.add(row.cell("part"), told, expected, "two-loops")
    return tuple(found)


def _twice(members: list[Member], parts: set[str]) -> Iterator[tuple[int, int, int]]:
    """Yield (row, first day, other row) where a part is in two loops that are not joined that day."""
    told: set[int] = set()
    for day in sorted({member.first for member in members}):
        named = joined_names(members, day)
        first: dict[str, int] = {}
        for at, member in enumerate(members):
            if member.is_on(day) and member.part in parts and at not in told:
                other = first.setdefault(member.part, at)
                if named[member.loop] != named[members[other].loop]:
                    told.add(at)
                    yield at, day, other
