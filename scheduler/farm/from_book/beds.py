"""Media beds of a book as places, and how the crops that end in one are picked."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.calendar import WEEK, Calendar
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Demand, Product
from scheduler.farm.from_book.days import BEYOND, START
from scheduler.farm.from_book.figures import GRAMS, Figures
from scheduler.farm.growth.climate import Climate, Temperatures
from scheduler.farm.growth.pace import Pace
from scheduler.farm.growth.picking import Picking, picking_days
from scheduler.farm.units import MILLI

MOST_POSITIONS = 20_000
"""Positions of one bed, whether given or worked out from its size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """One bed as measured.

    Attributes:
        row: its row of the book.
        positions: plants it takes.
        along, across: plants along the bed and rows of plants across it; 0 where only a number is given.
    """

    row: Row
    positions: int
    along: int = 0
    across: int = 0

    @property
    def name(self) -> str:
        """Its name in the book."""
        return self.row.text("bed")


def measure_beds(book: Book, log: FaultLog) -> dict[str, Bed]:
    """Return every bed by name; one that takes no plant is a fault and is left out."""
    found = {}
    for row in book.rows("beds"):
        bed = _measure(row, log)
        if bed is not None:
            found[bed.name] = bed
    return found


def _measure(row: Row, log: FaultLog) -> Bed | None:
    given = row.whole_or_none("positions")
    if given is not None:
        return Bed(row=row, positions=given)
    length, width, spacing = (row.number_of(name) for name in ("length", "width", "spacing"))
    across = row.number_or_none("row_spacing") or spacing
    bed = Bed(
        row=row,
        positions=int(length // spacing) * int(width // across),
        along=int(length // spacing),
        across=int(width // across),
    )
    if not bed.along or not bed.across:
        name, space = ("width", across) if bed.along else ("length", spacing)
        found = f"{float(row.number_of(name)):g} with plants {float(space):g} apart"
        log.add(row.cell(name), found, f"a {name} that takes at least one plant", "small-bed")
        return None
    if bed.positions > MOST_POSITIONS:
        found = f"{bed.positions} positions from size and spacing"
        log.add(row.cell("spacing"), found, f"at most {MOST_POSITIONS}", "too-many-positions")
        return None
    return bed


def is_bed_crop(figures: Figures) -> bool:
    """Say whether a crop ends in a bed: as its row or card says, without either as its figures do."""
    finish = figures.row.text("finish")
    if finish:
        return finish == "bed"
    if figures.card is not None:
        return not figures.is_of_no_bed
    return any(figures.row.is_given(name) for name in ("beds", "days_bed", "pick_weeks", "picks_a_week"))


@dataclass(frozen=True, slots=True)
class BedBook:
    """What the picking of crops is read from: rows of the yield curve by crop, all beds, the unit of mass."""

    curves: Mapping[str, list[Row]]
    beds: tuple[str, ...]
    mass_unit: str

    def picking(self, figures: Figures, log: FaultLog) -> Picking:
        """Return how a crop is picked; on which days is added when the calendar is known."""
        row = figures.row
        if not self.beds:
            log.add(row.cell("beds"), f"no bed for '{row.text('crop')}'", "a row in beds", "no-place")
        given = self.curves.get(row.text("crop"))
        curve = self._given_curve(figures, given, log) if given else self._even_curve(figures, log)
        a_week, rhythm = row.whole_or_none("picks_a_week"), figures.of_card("cut_interval")
        if a_week is None:
            a_week = max(1, min(WEEK, int(WEEK // rhythm))) if rhythm else 2
        return Picking(
            beds=frozenset(row.words("beds") or self.beds),
            curve=curve,
            a_week=a_week,
            by_mass=row.text("yield_in") == "mass",
        )

    def _times(self, row: Row) -> Fraction:
        """Return grams in one unit of mass, or 1 where pieces are counted."""
        return GRAMS[self.mass_unit] if row.text("yield_in") == "mass" else Fraction(1)

    def _even_curve(self, figures: Figures, log: FaultLog) -> tuple[int, ...]:
        row = figures.row
        # of cards for other ends the window is the slip of one cut, and the yield what one cut gives
        weeks = row.whole_or_none("pick_weeks")
        season = None if figures.is_of_no_bed else figures.of_card("harvest_window")
        if weeks is None and season is None:
            _missing(row, "pick_weeks", _without(figures), log)
        weeks = weeks or max(1, int((season or 0) // WEEK))
        own = row.number_or_none("yield_per_plant")
        of_card = None if figures.is_of_no_bed else figures.of_card("yield_per_plant")
        if own is not None:
            return (int(own * self._times(row) * MILLI / weeks),) * weeks
        if of_card is not None and row.text("yield_in") == "mass":  # cards count grams
            return (int(of_card * MILLI / weeks),) * weeks
        what = _without(figures) if of_card is None else "its card counts by mass"
        _missing(row, "yield_per_plant", what, log)
        return (MILLI,) * weeks

    def _given_curve(self, figures: Figures, rows: list[Row], log: FaultLog) -> tuple[int, ...]:
        """Return the amounts of a curve's rows; weeks must follow one another from the first."""
        row = figures.row
        for column in ("pick_weeks", "yield_per_plant"):
            if row.is_given(column):
                expected = f"a blank cell: yield_curve has rows of '{row.text('crop')}'"
                log.add(row.cell(column), f"{column} beside a yield curve", expected, "two-ways")
        amounts: dict[int, Fraction] = {}
        cells: dict[int, Cell] = {}
        for each in rows:
            week = each.whole("week")
            if week in cells:
                expected = f"each week once ({cells[week]} has it)"
                log.add(each.cell("week"), f"week {week} again", expected, "double-week")
            cells[week] = each.cell("week")
            amounts[week] = each.number_of("yield_per_plant") * self._times(row) * MILLI
        last = max(amounts)
        missing = [week for week in range(1, last + 1) if week not in amounts]
        if missing:
            found = f"no row for week {missing[0]} of '{row.text('crop')}'"
            log.add(cells[last], found, "a row for each week", "missing-week")
        if not any(amounts.values()):
            found, expected = f"no yield of '{row.text('crop')}'", "a week that gives something"
            log.add(rows[0].cell("yield_per_plant"), found, expected, "no-yield")
        return tuple(int(amounts.get(week, 0)) for week in range(1, last + 1))


def _without(figures: Figures) -> str:
    """Say why no card gives a figure of the picking season."""
    if figures.card is not None and figures.is_of_no_bed:
        return f"card {figures.card.name} is for {figures.card.route}"
    return "no card has it"


def _missing(row: Row, column: str, why: str, log: FaultLog) -> None:
    expected = f"{column} of '{row.text('crop')}', or its rows in yield_curve"
    log.add(row.cell(column), f"a blank cell, and {why}", expected, "missing-figure")


def bed_book(book: Book) -> BedBook:
    """Return what the picking of a book's crops is read from."""
    curves: dict[str, list[Row]] = {}
    for row in book.rows("yield_curve"):
        curves.setdefault(row.text("crop"), []).append(row)
    beds = tuple(row.text("bed") for row in book.rows("beds"))
    return BedBook(curves, beds, book.settings.text("mass_unit"))


def bed_stage(figures: Figures, picking: Picking) -> Stage:
    """Return the stage in the bed: its wait is the days of growth over which it is picked."""
    return Stage(
        kind=StageKind.BED,
        unit="",
        plants_per_unit=1,
        days=figures.days("days_bed"),
        wait=WEEK * len(picking.curve),
        survival=figures.share("survival_bed_percent"),
    )


def check_curves(book: Book, crops: Mapping[str, Crop], log: FaultLog) -> None:
    """Refuse yield curves of crops that do not end in a bed."""
    for row in book.rows("yield_curve"):
        crop = crops.get(row.text("crop"))
        if crop is not None and crop.picking is None:
            route = " > ".join(stage.kind for stage in crop.route)
            found = f"'{crop.name}', which goes {route}"
            log.add(row.cell("crop"), found, "a crop that ends in a bed", "no-bed-crop")


def with_picking_days(
    crops: Mapping[str, Crop],
    calendar: Calendar,
    products: Mapping[str, Product],
    demands: Iterable[Demand],
) -> dict[str, Crop]:
    """Return the crops with the days on which those in beds are picked: near the deliveries they go into."""
    wanted: dict[str, set[tuple[int, int]]] = {}
    for demand in demands:
        if not demand.is_target:
            for name in products[demand.product].sources:
                wish = (calendar.weekday(demand.first), demand.max_age)
                wanted.setdefault(name, set()).add(wish)
    span = (START, max(calendar.span, calendar.days) + BEYOND)
    found = dict(crops)
    for name, crop in crops.items():
        if crop.picking is not None:
            days = picking_days(calendar, crop.picking.a_week, wanted.get(name, ()), span)
            found[name] = replace(crop, picking=replace(crop.picking, days=days))
    return found


def paces_of_beds(book: Book, owner_of: Callable[[str], str | None], log: FaultLog) -> dict[str, str]:
    """Return bed -> the shelf or trough whose pace, light and air it has."""
    found = {}
    for row in book.rows("beds"):
        name = row.text("as_place")
        owner = owner_of(name) if name else ""
        if owner is None or (name and owner == row.text("bed")):
            expected = "the name of a whole shelf or trough"
            log.add(row.cell("as_place"), f"'{name}'", expected, "unknown-name")
        elif owner:
            found[row.text("bed")] = owner
    return found


def check_own_rows(book: Book, like: Mapping[str, str], log: FaultLog) -> None:
    """Refuse pace, light and temperatures of a bed that has those of another place."""
    for table in ("pace", "light", "temperatures"):
        for row in book.rows(table):
            if row.text("place") in like:
                found = f"{table} of '{row.text('place')}'"
                expected = f"a blank as_place of that bed: it has those of '{like[row.text('place')]}'"
                log.add(row.cell("place"), found, expected, "two-ways")


def pace_with_beds(pace: Pace, like: Mapping[str, str]) -> Pace:
    """Return a pace in which beds have that of the places they are like."""
    return replace(
        pace,
        months=_with(pace.months, like),
        halves=_with(pace.halves, like),
        read=_with(pace.read, like),
    )


def climate_with_beds(climate: Climate, like: Mapping[str, str]) -> Climate:
    """Return a climate in which beds have that of the places they are like."""
    air = Temperatures(months=_with(climate.air.months, like), read=_with(climate.air.read, like))
    return Climate(halves=_with(climate.halves, like), read=_with(climate.read, like), air=air)


T = TypeVar("T")


def _with(table: Mapping[str, T], like: Mapping[str, str]) -> dict[str, T]:
    return {**table, **{bed: table[place] for bed, place in like.items() if place in table}}
