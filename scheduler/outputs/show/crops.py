"""The page of one crop: where it stands, what is sown next, what is cut each week and for whom."""

from collections.abc import Iterator

from rich.text import Text

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, days_in_words, left_out, row, table, titled
from scheduler.outputs.words import counted, date_in_text, plain, some
from scheduler.plan.rows import Plan
from scheduler.plan.views.crop_page import CropPage, crop_page
from scheduler.plan.words import cell_word, heads_in_words, worth_listing

PLACES = 8
SOWINGS = 6
WEEKS = 8
LOTS = 3
TAKERS = 4


def crop_parts(farm: Farm, plan: Plan, crop: str, day: int) -> Iterator[Part]:
    """Yield the page of a crop on a day.

    Raises:
        KeyError: the farm has no such crop.
    """
    found = crop_page(farm, plan, crop, day)
    variety = f" ({plain(found.crop.variety)})" if found.crop.variety else ""
    yield heading(f"{plain(crop)}{variety}, seen on {date_in_text(farm, day)}")
    yield Text(_route(found.crop))
    yield titled("Where it stands when the work of the day is done")
    here = table("name", "number", "number", "rest")
    shown = worth_listing(len(found.here), PLACES)
    for each in found.here[:shown]:
        noun = "plant" if each.item != "tray" else cell_word(farm, crop)
        held = "" if noun == each.item else counted(each.plants, noun)
        amounts = (counted(each.units, each.item), held)
        row(here, each.place, *amounts, some(each.lots, LOTS))
    yield here if found.here else Text("None of it stands anywhere.")
    if len(found.here) > shown:
        yield left_out(len(found.here) - shown, "tables/contents.csv")
    yield from _sowings(farm, found)
    yield from _weeks(farm, found)


def _route(crop: Crop) -> str:
    """Return the stages with their days at pace 1, such as ``tray 14 days > raft 21 days``."""
    said = " > ".join(f"{stage.kind} {counted(stage.days, 'day')}" for stage in crop.route)
    return (
        f"{said}; cut up to {crop.cuts} times, {counted(crop.cut_interval, 'day')} apart"
        if crop.cuts > 1
        else said
    )


def _done(crop: Crop) -> str:
    return "picked" if crop.picking else "cut"


def _sowings(farm: Farm, found: CropPage) -> Iterator[Part]:
    sowings = found.sowings
    yield titled(f"To be sown: {counted(len(sowings), 'lot')}" if sowings else "Not sown again")
    lines = table("day", "name", "number", "number", "rest")
    shown = worth_listing(len(sowings), SOWINGS)
    for each in sowings[:shown]:
        stages = [("rafts", each.rafts), ("beds", each.beds), (_done(found.crop), each.cuts)]
        said = ", ".join(f"{name} {days_in_words(farm, days)}" for name, days in stages if days)
        row(
            lines,
            day_of(farm, each.day),
            each.lot,
            counted(each.cells, cell_word(farm, found.crop.name)),
            heads_in_words(found.crop, each.heads),
            said,
        )
    yield lines
    if len(sowings) > shown:
        yield left_out(len(sowings) - shown, "tables/lots.csv")


def _weeks(farm: Farm, found: CropPage) -> Iterator[Part]:
    weeks = found.weeks
    heads = heads_in_words(found.crop, sum(week.heads for week in weeks))
    done = _done(found.crop)
    yield titled(f"To be {done}: {heads}, by week" if weeks else f"Not {done} again")
    lines = table("day", "number", "rest")
    shown = worth_listing(len(weeks), WEEKS)
    for week in weeks[:shown]:
        takers = [f"{name} {number:,}" for name, number in week.takers]
        said = some(takers, TAKERS)
        if week.unsold:
            said += f"{'; ' if said else ''}{week.unsold:,} not asked for"
        row(lines, day_of(farm, week.monday), heads_in_words(found.crop, week.heads), said)
    yield lines
    if len(weeks) > shown:
        yield left_out(len(weeks) - shown, f"tables/{'pickings' if found.crop.picking else 'cuts'}.csv")
