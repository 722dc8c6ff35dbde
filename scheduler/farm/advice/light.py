"""Notes on light, water and heat: what was taken for granted, what changes nothing, and hot sowings."""

from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.book.rows import Row
from scheduler.book.words import listed
from scheduler.farm.dates import short_month
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.light import LEAST_PACE
from scheduler.farm.growth.climate import HalfMonth
from scheduler.farm.growth.heat import HotSowings, hot_sowings
from scheduler.farm.growth.light import SUNSHINE
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import CENT, MILLI

MONTHS = range(1, 13)
WANTS = {"light": "light", "water": "warmth in the water"}
MOST_RUNS = 3
"""Runs of hot sowing days told for one crop."""


def light_notes(farm: Farm, book: Book) -> list[Note]:
    """Return the notes on light, sunshine, temperatures and heat."""
    return [
        *_sunshine_notes(book),
        *_still_notes(farm, book),
        *_idle_notes(farm, book),
        *_bed_notes(farm, book),
        *_heat_notes(farm, book),
    ]


def describe_pace(farm: Farm) -> list[str]:
    """Return a line for the places of each pace that was worked out, so that a grower can look it over.

    Two numbers a month, its first and its second half; months whose pace the book gives have none.
    """
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, halves in farm.climate.halves.items():
        given = {*farm.pace.months.get(name, {}), *farm.pace.months.get("", {})}
        months = tuple(
            f"{short_month(month)} {_pace(halves[2 * month - 2])} {_pace(halves[2 * month - 1])}"
            for month in MONTHS
            if month not in given and halves[2 * month - 1] is not None
        )
        if months:
            alike.setdefault(months, []).append(name)
    return [f"{', '.join(names)}: pace worked out: {', '.join(months)}" for months, names in alike.items()]


def _pace(half: HalfMonth | None) -> str:
    return "" if half is None else f"{half.pace / MILLI:g}"


def _sunshine_notes(book: Book) -> Iterator[Note]:
    """Tell of months without sunshine where light through a cover is worked out."""
    covered = [row for row in book.rows("light") if row.number_of("cover_percent") > 0]
    missing = set(MONTHS) - {row.whole("month") for row in book.rows("sunshine")}
    if covered and missing:
        which = "any month" if len(missing) == len(MONTHS) else _months(sorted(missing))
        text = f"sunshine has no row for {which}; {SUNSHINE} percent of the hours with sun is taken"
        yield Note(place=covered[0].cell("cover_percent"), text=text, code="no-sunshine")


def _still_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of months so dark or cold that the lowest pace stands in for hardly any growth."""
    for name, halves in farm.climate.halves.items():
        for cause, want in WANTS.items():
            still = sorted({number // 2 + 1 for number, half in enumerate(halves) if _is_still(half, cause)})
            if still:
                text = f"hardly anything grows in '{name}' for want of {want} in {_months(still)}"
                text += f"; pace {LEAST_PACE / MILLI:g} is taken"
                yield Note(place=_row_of(book, name, cause).cell("place"), text=text, code="still")


def _is_still(half: HalfMonth | None, cause: str) -> bool:
    return half is not None and half.pace <= LEAST_PACE and half.held_by == cause


def _row_of(book: Book, place: str, cause: str) -> Row:
    """Return the row that light or water of a place comes from: its own, else the one for every trough."""
    rows = list(book.rows("light"))
    if cause == "water":
        rows = [row for row in book.rows("temperatures") if row.number_or_none("water") is not None]
    named = [row for row in rows if row.text("place").removesuffix(" boards") == place]
    return (named or [row for row in rows if not row.text("place")])[0]


def _idle_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of light that changes nothing because the book gives the pace of every month."""
    given = farm.pace.months
    for name, halves in farm.climate.halves.items():
        months = {*given.get(name, {}), *given.get("", {})}
        if months.issuperset(MONTHS):
            cause = "light" if any(half and half.light is not None for half in halves) else "water"
            text = f"{cause} of '{name}' changes nothing: pace has every month, and goes before it"
            yield Note(place=_row_of(book, name, cause).cell("place"), text=text, code="idle-light")


def _bed_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of beds that grow at pace 1 in a book that has the pace of its troughs worked out."""
    worked_out = farm.pace.halves
    troughs = {lane.belongs_to for lane in farm.places_of(PlaceKind.LANE)}
    if not any(pace is not None for name in troughs for pace in worked_out.get(name, ())):
        return
    days = range(farm.calendar.days)
    names = [bed.name for bed in farm.places_of(PlaceKind.BED) if bed.name not in worked_out]
    even = [name for name in names if not all(farm.pace.is_given(name, day) for day in days)]
    if even:
        beds = listed([f"'{name}'" for name in even])
        grow = "grows" if len(even) == 1 else "grow"
        text = (
            f"{beds} {grow} at pace 1 all the year but where pace says otherwise: light and temperatures "
            "without a place hold for troughs alone; give a trough as as_place, or rows of its own"
        )
        row = next(row for row in book.rows("beds") if row.text("bed") == even[0])
        yield Note(place=row.cell("as_place"), text=text, code="even-bed")


def _heat_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell which sowings would stand in heat, whether they are refused or not."""
    if farm.rules.heat == "ignore":
        return
    rows = {row.text("crop"): row for row in book.rows("crops")}
    for name, runs in hot_sowings(farm).items():
        ahead = [run for run in runs if run.last >= farm.today and run.first < farm.calendar.days]
        if ahead:
            yield Note(place=rows[name].cell("heat_limit"), text=_heat_text(farm, name, ahead), code="hot")


def _heat_text(farm: Farm, name: str, runs: list[HotSowings]) -> str:
    first, last = farm.today, farm.calendar.days - 1
    days = [
        f"from {farm.date_of(max(run.first, first))} to {farm.date_of(min(run.last, last))}"
        for run in runs[:MOST_RUNS]
    ]
    if len(runs) > MOST_RUNS:
        left = len(runs) - MOST_RUNS
        days.append("once more" if left == 1 else f"{left} times more")
    homes = list(dict.fromkeys(home for run in runs for home in run.homes))
    text = f"sowings of '{name}' {listed(days)} would stand in heat {_limits(farm, name, homes)}"
    return text + (" and are left out" if farm.rules.heat == "refuse" else "")


def _limits(farm: Farm, name: str, homes: list[str]) -> str:
    """Say which limits are passed, and where."""
    crop = farm.crops[name]
    shelves = {tier.belongs_to for tier in farm.places_of(PlaceKind.TIER)}
    troughs = {
        place.belongs_to for kind in (PlaceKind.ZONE, PlaceKind.LANE) for place in farm.places_of(kind)
    }
    told = []
    for limit, of_seed in ((crop.seed_heat, True), (crop.heat_limit, False)):
        there = [home for home in homes if (home in shelves) is of_seed]
        if there and limit is not None:
            is_all = len(there) > 1 and troughs == {*there}
            where = ["every trough"] if is_all else [f"'{home}'" for home in there]
            word = "from" if of_seed else "above"
            what = ", in which none of its seed comes up," if of_seed else ""
            told.append(f"{word} {limit / CENT:g} °C{what} in {listed(where, 'or')}")
    return " and ".join(told)


def _months(numbers: list[int]) -> str:
    """Write months, three and more that follow each other as a range: ``months 1, 2 and 10 to 12``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts: list[str] = []
    for run in runs:
        parts += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run)
    return f"month{'s' if len(numbers) > 1 else ''} {listed(parts)}"
