"""One place as lines of boxes, slot by slot, with its name above and what left it below."""

from collections.abc import Callable, Iterator, Sequence

from scheduler.book.words import counted
from scheduler.outputs.drawings.block import Block
from scheduler.outputs.drawings.boxes import HEIGHT, LOW, SMALL, Box, closed_box, free_box, tag_of, unit_box
from scheduler.outputs.drawings.gone import gone_lines
from scheduler.outputs.drawings.grid import Grid, is_lane, slots_of
from scheduler.outputs.drawings.pen import FAINT, SOFT, WIDTH, Pen
from scheduler.outputs.drawings.svg import Node, group, label, rect
from scheduler.outputs.drawings.text import clipped, clipped_name, width_of
from scheduler.plan.views.standing import PlaceDay, Standing

_NAME, _NUMBERS, _AFTER = 15.0, 9.0, 4.0
_NAME_SIZE, _NUMBER_SIZE = 11, 8
VERB_FITS = 66
"""Boxes narrower than this tell the day of the next cut without the word."""

STRIP = 18
"""Height of a line of free slots that is told instead of drawn."""

Draw = Callable[[Pen, Standing, Box], Node]
"""Draws one unit in its slot."""


def place_block(
    pen: Pen, place: PlaceDay, grid: Grid, above: Block | None = None, draw: Draw = unit_box
) -> Block:
    """Return a tier, a board zone, or a row of a trough, which ends at the right, where slot 1 is cut.

    Args:
        pen: draws.
        place: what stands there.
        grid: how slots are laid out.
        above: what belongs above the first of such blocks on a sheet.
        draw: draws one unit; boxes that are low are always drawn alike.
    """
    inside, y = _lines_drawn(pen, place, grid, unit_box if grid.low else draw)
    if place.gone:
        left, height = gone_lines(pen, place.gone, to_the_right=is_lane(place))
        inside.append(group(left, y=y))
        y += height
    marks = marks_of(place)
    if not grid.low and grid.width < VERB_FITS and any(each.plants for each in place.standing):
        marks |= {"date"}
    return Block(
        height=y,
        inside=inside,
        crops=crops_of(place),
        marks=marks,
        above=above,
        gap=4 if grid.low else 7,
    )


def _lines_drawn(pen: Pen, place: PlaceDay, grid: Grid, draw: Draw) -> tuple[list[Node], float]:
    """Return the name and the lines of slots of a place, and their height."""
    inside: list[Node] = [] if grid.low else _name(place)
    y = 0.0 if grid.low else _NAME
    for line, free in _parts(place, grid):
        if grid.low:
            inside.append(_low_name(place, line, grid, y))
        if free:
            inside.append(free_strip(f"{slots_in_words(line)}: free", y, grid.left))
            y += STRIP + _AFTER
            continue
        if not (grid.low and grid.lines == 1 and is_lane(place)):
            y += _NUMBERS
            inside += _numbers(line, grid, y - 2, from_right=is_lane(place))
        inside += _boxes(pen, place, line, (grid, y, draw))
        y += (LOW if grid.low else HEIGHT) + (2 if grid.low else _AFTER)
    return inside, y


def free_strip(text: str, y: float, left: float = 0) -> Node:
    """Return a whole line of free slots, told instead of drawn."""
    frame = rect(
        left + 0.5,
        0.5,
        WIDTH - left - 1,
        STRIP - 1,
        rx=3,
        fill="none",
        stroke=FAINT,
        stroke_width=0.8,
        stroke_dasharray="1.5 2.5",
    )
    room = WIDTH - left - 16
    return group([frame, label(left + 8, 12.5, clipped(text, room, SMALL), SMALL, fill=SOFT)], y=y)


def _parts(place: PlaceDay, grid: Grid) -> Iterator[tuple[list[int], bool]]:
    """Yield slot numbers line by line, and whether all are free; lines that are free come as one."""
    free = set(place.free)
    whole: list[int] = []
    for line in _lines(place, grid):
        if free.issuperset(line):
            whole = sorted({*whole, *line})
            continue
        if whole:
            yield whole, True
            whole = []
        yield line, False
    if whole:
        yield whole, True


def crops_of(place: PlaceDay) -> frozenset[str]:
    """Return the crops that are seen in a place."""
    standing = (load.crop for each in place.standing for load in each.loads)
    return frozenset(standing).union(load.crop for each in place.gone for load in each.loads)


def marks_of(place: PlaceDay) -> frozenset[str]:
    """Return the marks that need a word in the legend."""
    marks = set()
    marks |= {"closed"} if place.closed else set()
    marks |= {"out"} if place.gone else set()
    for each in place.standing:
        tag = tag_of(each)
        if tag:
            marks.add("in" if each.came else "cut" if each.item == "raft" else "moved")
        if not each.plants:
            marks.add("empty")
        if each.domed:
            marks.add("dome")
    return frozenset(marks)


def _lines(place: PlaceDay, grid: Grid) -> Iterator[list[int]]:
    """Yield slot numbers line by line: a row begins with its highest, at the intake end."""
    slots = list(range(1, slots_of(place) + 1))
    if not is_lane(place):
        yield from (slots[at : at + grid.columns] for at in range(0, len(slots), grid.columns))
        return
    parts = [slots[at : at + grid.columns] for at in range(0, len(slots), grid.columns)]
    yield from reversed(parts)


def _at(slot: int, line: Sequence[int], grid: Grid, *, from_right: bool) -> float:
    return grid.x(slot - line[0], from_right=from_right)


def _numbers(line: Sequence[int], grid: Grid, y: float, *, from_right: bool) -> list[Node]:
    return [
        label(
            _at(slot, line, grid, from_right=from_right) + grid.width / 2,
            y,
            str(slot),
            _NUMBER_SIZE,
            text_anchor="middle",
            fill=SOFT,
        )
        for slot in line
    ]


def _boxes(pen: Pen, place: PlaceDay, line: Sequence[int], at: tuple[Grid, float, Draw]) -> Iterator[Node]:
    grid, y, draw = at
    held = {each.slot: each for each in place.standing}
    free = set(place.free)
    for slot in reversed(line) if is_lane(place) else line:
        x = _at(slot, line, grid, from_right=is_lane(place))
        box = Box(x=x, y=y, width=grid.width, low=grid.low)
        if slot in held:
            yield draw(pen, held[slot], box)
        elif slot in free:
            yield free_box(slot, box)
        else:
            yield closed_box(slot, box)


def _name(place: PlaceDay) -> list[Node]:
    filled = used_in_words(place)
    room = WIDTH - width_of(filled, SMALL) - 12
    name = clipped_name(place.place, place.belongs_to, room, _NAME_SIZE)
    return [
        group([label(0, 11, name, _NAME_SIZE, font_weight="bold")], title=place.place),
        label(WIDTH, 11, filled, SMALL, text_anchor="end", fill=SOFT),
    ]


def used_in_words(place: PlaceDay) -> str:
    """Return how many slots are used: ``7 of 9 slots``, or that none is open."""
    if not place.open and not place.standing:
        return "closed on this day"
    return f"{len(place.standing)} of {counted(place.open, 'slot')} used"


def short_name(place: PlaceDay) -> str:
    """Return a place's name without that of its trough: ``row 2``."""
    rest = place.place.removeprefix(f"{place.belongs_to} ")
    return f"row {rest}" if is_lane(place) and rest != place.place else rest


def _low_name(place: PlaceDay, line: Sequence[int], grid: Grid, y: float) -> Node:
    """Return a row's name at the left of its first line, and its slots at the left of the others."""
    first = slots_of(place) if is_lane(place) else 1
    if first not in line:
        text = clipped(slots_in_words(line).removeprefix("slots "), grid.left - 4, 8)
        return label(0, y + 20, text, 8, fill=SOFT)
    name = clipped(short_name(place), grid.left - 4, SMALL, bold=True)
    used = f"{len(place.standing)} of {place.open}"
    inside = [
        label(0, y + 11, name, SMALL, font_weight="bold"),
        label(0, y + 22, clipped(used, grid.left - 4, 8), 8, fill=SOFT),
    ]
    return group(inside, title=f"{place.place}: {used_in_words(place)}")


def slots_in_words(line: Sequence[int]) -> str:
    """Return ``slots 1 to 9``; slot numbers without a gap."""
    low, high = min(line), max(line)
    return f"slot {low}" if low == high else f"slots {low} to {high}"
