"""The page of one row, board zone or tier: its slots, and what comes, is cut and leaves."""

from collections.abc import Iterator, Sequence

from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.outputs.screen import heading
from scheduler.outputs.show.beds import bed_parts
from scheduler.outputs.show.coming import coming_parts
from scheduler.outputs.show.page import Part, day_of, left_out, row, table, titled
from scheduler.outputs.words import counted, date_in_text, day_in_text, plain, some
from scheduler.plan.layout.words import slots_in_words
from scheduler.plan.rows import Plan
from scheduler.plan.views.place_page import Happening, place_page
from scheduler.plan.views.places import UNITS
from scheduler.plan.views.standing import Load, Standing
from scheduler.plan.views.week_by_week import PlaceWeek, weeks_of_place
from scheduler.plan.words import cell_word, heads_in_words, plant_word, worth_listing

DAYS = 21
SLOTS = 24
WEEKS = 8
LOTS = 12
BY_WEEK = (PlaceKind.TIER, PlaceKind.ZONE)
"""Places that are told week by week too; of a row what comes and goes says more, for its rafts stay long."""


def place_parts(farm: Farm, plan: Plan, name: str, day: int) -> Iterator[Part]:
    """Yield the page of a place on a day.

    Raises:
        KeyError: the farm has no such place.
    """
    if farm.place(name).kind is PlaceKind.BED:
        yield from bed_parts(farm, plan, name, day)
        return
    found = place_page(farm, plan, name, day, DAYS)
    place, item = found.place, UNITS[found.place.kind]
    yield heading(f"{plain(name)}, when the work of {date_in_text(farm, day)} is done")
    end = "; slot 1 is at the harvest end" if place.kind is PlaceKind.LANE else ""
    yield Text(f"{counted(len(place.standing), item)} in {counted(place.open, 'slot')}{end}")
    lines = table("number", "name", "rest")
    shown = worth_listing(len(place.standing), SLOTS)
    for each in place.standing[:shown]:
        row(lines, str(each.slot), each.unit, _holds(farm, each))
    yield lines
    if len(place.standing) > shown:
        yield left_out(len(place.standing) - shown, "tables/positions.csv")
    if place.free:
        yield Text(f"free: {slots_in_words(place.free)}")
    if place.closed:
        yield Text(f"closed: {slots_in_words(place.closed)}")
    yield from coming_parts(farm, found.last, found.coming, lambda each: _event(each, item))
    if place.kind in BY_WEEK:
        yield from _weeks(farm, weeks_of_place(farm, plan, name, day), item)


def _weeks(farm: Farm, weeks: Sequence[PlaceWeek], item: str) -> Iterator[Part]:
    yield titled(f"Week by week, on its fullest day; a number is how many {item}s a lot has")
    lines = table("day", "number", "rest")
    shown = worth_listing(len(weeks), WEEKS)
    for week in weeks[:shown]:
        full = week.fullest
        taken = f"{full.used} of {full.there}" if full.there or full.used else "closed"
        lots = some([lot if number == 1 else f"{lot} {number}" for lot, number in week.lots], LOTS)
        row(lines, day_of(farm, week.first), taken, lots or "nothing")
    yield lines
    if len(weeks) > shown:
        yield Text(f"and {len(weeks) - shown} more weeks; --today DATE begins later")


def _holds(farm: Farm, standing: Standing) -> str:
    loads = [load for load in standing.loads if load.plants]
    if not loads:
        return f"empty, leaves {day_in_text(farm, standing.leaves)}"
    return "; ".join(_load(farm, standing, load) for load in loads)


def _load(farm: Farm, standing: Standing, load: Load) -> str:
    noun = cell_word(farm, load.crop) if standing.item == "tray" and load.rows else "plant"
    said = f"{load.lot} {load.crop}, {counted(load.plants, noun)}"
    if load.due is None:
        return said
    what = "cut" if load.due.cut else "out" if standing.item == "raft" else "goes on"
    return f"{said}, {what} {day_in_text(farm, load.due.day)}"


def _event(each: Happening, item: str) -> Sequence[str]:
    what = {"in": "comes in", "cut": "cut", "out": "goes out"}[each.what]
    amount = f"{heads_in_words(each.crop, each.heads)} of {counted(each.plants, plant_word(each.crop))}"
    if each.what != "cut":
        amount = f"{counted(each.units, item)}, {counted(each.plants, 'cell' if item == 'tray' else 'plant')}"
    at = "to" if each.what == "in" else "from"
    return what, f"{each.lot}: {amount}, {at} {slots_in_words(each.slots)}"
