"""A trough at the end of a day: its rows raft by raft from the intake end to the harvest end, its boards."""

from collections.abc import Iterator, Sequence

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.outputs.drawings.block import Block
from scheduler.outputs.drawings.boxes import triangle
from scheduler.outputs.drawings.grid import Grid, grid_for, same_and_free
from scheduler.outputs.drawings.pen import INK, PAGE, SOFT, WIDTH, Pen, pen_for
from scheduler.outputs.drawings.rows import STRIP, free_strip, place_block, short_name
from scheduler.outputs.drawings.sheet import Heading, sheets
from scheduler.outputs.drawings.svg import Node, label, line
from scheduler.outputs.drawings.text import width_of
from scheduler.outputs.words import counted
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import PlaceDay, Yard, standing_in

FOLDED = 3
"""From this many alike rows on in which nothing stands, they are told in one line."""

MANY = 16
"""From this many lines of slots on, boxes are low, with one line of text."""


def trough_svg(farm: Farm, plan: Plan, trough: str, day: int) -> str:
    """Return a trough at the end of a day's work as one drawing, as high as it has to be.

    Raises:
        KeyError: the farm has no such trough.
    """
    return str(trough_sheets(farm, plan, trough, day, tallest=None)[0])


def trough_sheets(
    farm: Farm, plan: Plan, trough: str, day: int, tallest: float | None = PAGE, yard: Yard | None = None
) -> list[Node]:
    """Return the same in several drawings where one would be higher than ``tallest``; all are 804 wide.

    ``yard`` has the plan's rows by day, for who draws many: ids do not tell the day then.

    Raises:
        KeyError: the farm has no such trough.
    """
    if trough not in troughs(farm):
        raise KeyError(trough)
    pen = pen_for(farm, "trough", trough, day if yard is None else None)
    places = standing_in(yard or Yard(farm, plan), day, trough)
    lanes = [place for place in places if place.kind is PlaceKind.LANE]
    zones = [place for place in places if place.kind is PlaceKind.ZONE]
    standing = [each.item for place in places for each in place.standing]
    filled = [counted(standing.count(item), item) for item in ("raft", "board") if item in standing]
    heading = Heading(
        name=trough,
        rest=f"{pen.date(day)}, end of the day",
        spoken=f"{trough} at the end of {pen.date(day)}: {', '.join(filled) or 'nothing stands there'}.",
    )
    return sheets(pen, heading, [*_lane_blocks(pen, lanes), *_zone_blocks(pen, zones)], tallest)


def troughs(farm: Farm) -> list[str]:
    """Return the names of all troughs, in the order of the book."""
    return list(
        dict.fromkeys(
            place.belongs_to for place in farm.places if place.kind in (PlaceKind.LANE, PlaceKind.ZONE)
        )
    )


def _lane_blocks(pen: Pen, lanes: Sequence[PlaceDay]) -> Iterator[Block]:
    grid = grid_for(lanes, MANY)
    above = _direction(grid)
    for run in same_and_free(lanes):
        if len(run) >= FOLDED:
            yield _free_rows(run)
        else:
            for lane in run:
                yield place_block(pen, lane, grid, above)


def _zone_blocks(pen: Pen, zones: Sequence[PlaceDay]) -> Iterator[Block]:
    grid = grid_for(zones, MANY)
    for zone in zones:
        yield place_block(pen, zone, grid)


def _direction(grid: Grid) -> Block:
    """Return the way rafts go, in words and with arrows; slot numbers below it where rows have none."""
    left, right, way = grid.left, WIDTH, "rafts move this way"
    start, middle = left + width_of("intake end", 10, bold=True) + 8, (left + right) / 2
    end = right - width_of("harvest end", 10, bold=True) - 12
    half = width_of(way, 10) / 2 + 8
    inside = [
        label(left, 10, "intake end", 10, font_weight="bold"),
        label(right, 10, "harvest end", 10, font_weight="bold", text_anchor="end"),
        label(middle, 10, way, 10, text_anchor="middle", fill=SOFT),
        line(start, 6.5, middle - half, 6.5, stroke=INK),
        line(middle + half, 6.5, end, 6.5, stroke=INK),
        triangle(middle - half - 4, 6.5, 7, INK),
        triangle(end, 6.5, 7, INK),
    ]
    height = 14.0
    if grid.low and grid.lines == 1:
        for slot in range(1, grid.slots + 1):
            x = grid.x(slot - 1, from_right=True) + grid.width / 2
            inside.append(label(x, 23, str(slot), 8, text_anchor="middle", fill=SOFT))
        height = 24.0
    return Block(height=height, inside=inside, gap=2)


def _free_rows(run: Sequence[PlaceDay]) -> Block:
    """Return rows that are all free as a single line."""
    first, last = short_name(run[0]), short_name(run[-1])
    text = f"{first} to {last.removeprefix('row ')}: free, {counted(run[0].open, 'slot')} each"
    return Block(height=STRIP, inside=[free_strip(text, 0)], gap=6)
