"""The page of one bed: its positions, and what is set in, picked and pulled out."""

from collections.abc import Iterator, Sequence

from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.coming import coming_parts
from scheduler.outputs.show.page import Part, left_out, row, table
from scheduler.outputs.words import counted, date_in_text, day_in_text, plain
from scheduler.plan.positions import positions_text
from scheduler.plan.rows import Plan
from scheduler.plan.views.bed_page import BedEvent, InBed, bed_page
from scheduler.plan.words import heads_in_words, worth_listing

DAYS = 21
PLANTINGS = 24


def bed_parts(farm: Farm, plan: Plan, name: str, day: int) -> Iterator[Part]:
    """Yield the page of a bed on a day.

    Raises:
        KeyError: the farm has no such place.
    """
    found = bed_page(farm, plan, name, day, DAYS)
    yield heading(f"{plain(name)}, when the work of {date_in_text(farm, day)} is done")
    plants = sum(each.row.plants for each in found.standing)
    yield Text(f"{counted(plants, 'plant')} in {counted(found.open, 'position')}")
    lines = table("name", "name", "rest")
    shown = worth_listing(len(found.standing), PLANTINGS)
    for each in found.standing[:shown]:
        row(lines, each.row.positions, each.row.planting, _holds(farm, each))
    yield lines
    if len(found.standing) > shown:
        yield left_out(len(found.standing) - shown, "tables/plantings.csv")
    if found.free:
        yield Text(f"free: {_positions(found.free)}")
    if found.cleaned:
        yield Text(f"being cleaned up: {_positions(found.cleaned)}")
    yield from coming_parts(farm, found.last, found.coming, _event)


def _positions(numbers: Sequence[int]) -> str:
    return f"{'position' if len(numbers) == 1 else 'positions'} {positions_text(numbers)}"


def _holds(farm: Farm, each: InBed) -> str:
    said = f"{each.row.lot} {each.crop.name}, {counted(each.row.plants, 'plant')}"
    if each.next_pick is not None:
        said += f", picked {day_in_text(farm, each.next_pick)}"
    return f"{said}, pulled out {day_in_text(farm, each.row.leaves)}"


def _event(each: BedEvent) -> tuple[str, str]:
    plants, where = counted(each.row.plants, "plant"), _where(each)
    if each.what == "pick":
        amount = heads_in_words(each.crop, each.heads)
        return "picked", f"{each.row.lot}: {amount} of {plants}, picking {each.number}, {where}"
    what, way = ("set in", "to") if each.what == "in" else ("pulled out", "from")
    return what, f"{each.row.lot}: {plants}, {way} {where}"


def _where(each: BedEvent) -> str:
    noun = "position" if each.row.plants == 1 else "positions"
    return f"{noun} {each.row.positions}"
