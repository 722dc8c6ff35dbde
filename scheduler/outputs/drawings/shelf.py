"""A shelf at the end of a day: its tiers tray by tray, with the rows of cells of each lot, and the domes."""

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.outputs.drawings.block import Block
from scheduler.outputs.drawings.grid import grid_for, same_and_free
from scheduler.outputs.drawings.pen import PAGE, pen_for
from scheduler.outputs.drawings.rows import STRIP, free_strip, place_block
from scheduler.outputs.drawings.sheet import Heading, sheets
from scheduler.outputs.drawings.svg import Node
from scheduler.outputs.drawings.tray import tray_box
from scheduler.outputs.words import counted
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import PlaceDay, Yard, standing_in

FOLDED = 3
"""From this many alike tiers on in which nothing stands, they are told in one line."""

MANY = 30
"""From this many lines of trays on, boxes are low, with one line of text."""

LEAST = 112
"""Least width of a tray: its cells and beside them its lot."""


def shelf_svg(farm: Farm, plan: Plan, shelf: str, day: int) -> str:
    """Return a shelf at the end of a day's work as one drawing, as high as it has to be.

    Raises:
        KeyError: the farm has no such shelf.
    """
    return str(shelf_sheets(farm, plan, shelf, day, tallest=None)[0])


def shelf_sheets(
    farm: Farm, plan: Plan, shelf: str, day: int, tallest: float | None = PAGE, yard: Yard | None = None
) -> list[Node]:
    """Return the same in several drawings where one would be higher than ``tallest``.

    ``yard`` has the plan's rows by day, for who draws many: ids do not tell the day then.

    Raises:
        KeyError: the farm has no such shelf.
    """
    if shelf not in shelves(farm):
        raise KeyError(shelf)
    pen = pen_for(farm, "shelf", shelf, day if yard is None else None)
    tiers = standing_in(yard or Yard(farm, plan), day, shelf)
    trays = sum(len(tier.standing) for tier in tiers)
    heading = Heading(
        name=shelf,
        rest=f"{pen.date(day)}, end of the day",
        spoken=f"{shelf} at the end of {pen.date(day)}: {counted(trays, 'tray')}.",
    )
    grid = grid_for(tiers, MANY, LEAST)
    blocks = []
    for run in same_and_free(tiers):
        if len(run) >= FOLDED:
            blocks.append(_free_tiers(run))
        else:
            blocks += [place_block(pen, tier, grid, draw=tray_box) for tier in run]
    return sheets(pen, heading, blocks, tallest)


def shelves(farm: Farm) -> list[str]:
    """Return the names of all shelves, in the order of the book."""
    return list(dict.fromkeys(place.belongs_to for place in farm.places_of(PlaceKind.TIER)))


def _free_tiers(run: list[PlaceDay]) -> Block:
    """Return tiers that are all free as a single line."""
    text = f"{run[0].place} to {run[-1].place}: free, {counted(run[0].open, 'slot')} each"
    return Block(height=STRIP, inside=[free_strip(text, 0)], gap=6)
