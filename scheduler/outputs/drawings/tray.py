"""One tray as a box: its rows of cells in the colours of their lots, and beside them what they are."""

from scheduler.book.words import counted
from scheduler.outputs.drawings.boxes import BAND, BIG, HEIGHT, SMALL, Box, tag_box, tag_of, tag_width
from scheduler.outputs.drawings.pen import INK, PAPER, SOFT, Pen, in_full, lot_in_short, noun_of, what_is_due
from scheduler.outputs.drawings.svg import Node, group, label, line, node, rect
from scheduler.outputs.drawings.text import clipped, first_fitting
from scheduler.plan.views.standing import Load, Standing
from scheduler.plan.words import worth_listing

LOTS = 2
_LEFT, _TOP, _WIDE, _HIGH = 4, 13, 28, 46
_TEXT = _LEFT + _WIDE + 5
_LINES = 24
"""Most rows of cells that are told apart by lines."""


def tray_box(pen: Pen, standing: Standing, box: Box) -> Node:
    """Return a tray in its slot."""
    inside = [
        rect(
            0,
            0,
            box.width,
            HEIGHT,
            rx=3,
            fill=PAPER,
            stroke=INK,
            stroke_width=2.2 if standing.came else 1,
        ),
        *_cells(pen, standing),
        *_words(pen, standing, box.width),
    ]
    if standing.domed:
        inside.append(dome(_LEFT - 1.5, _TOP, _WIDE + 3))
    tag = tag_of(standing)
    if tag:
        inside.append(tag_box(tag, box.width - 2, 1.5, BAND))
    return group(inside, box.x, box.y, title=in_full(pen, standing))


def dome(x: float, bottom: float, width: float) -> Node:
    """Return the outline of a dome that stands on ``bottom``."""
    right, top = x + width, bottom - 12
    return node(
        "path",
        d=f"M{x:.2f} {bottom:.2f}C{x:.2f} {top:.2f} {right:.2f} {top:.2f} {right:.2f} {bottom:.2f}",
        fill="none",
        stroke=INK,
        stroke_width=1.3,
    )


def _cells(pen: Pen, standing: Standing) -> list[Node]:
    """Return the tray from above: rows of cells from its top, empty ones white."""
    kind = pen.farm.equipment[standing.kind]
    drawn: list[Node] = []
    at, bottom = float(_TOP), _TOP + _HIGH
    for load in standing.loads:
        share = load.rows / kind.rows if load.rows else load.plants / max(kind.holes, load.plants, 1)
        high = min(_HIGH * share, bottom - at)
        if high > 0:
            drawn += pen.paint(load.crop, "rect", x=_LEFT, y=at, width=_WIDE, height=high)
            at += high
            drawn.append(line(_LEFT, at, _LEFT + _WIDE, at, stroke=INK, stroke_width=0.7))
    known = all(load.rows for load in standing.loads)
    if known and 1 < kind.rows <= _LINES:
        drawn += [
            line(_LEFT, y, _LEFT + _WIDE, y, stroke=INK, stroke_width=0.5, stroke_opacity=0.7)
            for y in (_TOP + _HIGH * row / kind.rows for row in range(1, kind.rows))
        ]
    return [*drawn, rect(_LEFT, _TOP, _WIDE, _HIGH, fill="none", stroke=INK, stroke_width=0.9)]


def _words(pen: Pen, standing: Standing, width: float) -> list[Node]:
    room = width - _TEXT - 3
    tag = tag_of(standing)
    first = room - tag_width(tag, BAND) if tag else room
    loads = [load for load in standing.loads if load.plants]
    drawn = _one_lot(pen, loads[0], (first, room)) if len(loads) == 1 else _shared(pen, loads, (first, room))
    due = min((load for load in loads if load.due), key=lambda load: load.to_come[0].day, default=None)
    if due is not None:
        text = what_is_due(pen, due, standing.item, room, SMALL)
        drawn.append(label(_TEXT, 49, text, SMALL))
    care = [word for word, there in (("dome", standing.domed), ("dark", standing.dark)) if there]
    if care:
        drawn.append(label(_TEXT, 60, clipped(", ".join(care), room, SMALL), SMALL, fill=SOFT))
    return drawn


def _one_lot(pen: Pen, load: Load, rooms: tuple[float, float]) -> list[Node]:
    """Return the words of a lot; ``rooms`` are that of the first line, beside the tag, and of the others."""
    first, room = rooms
    code = pen.styles[load.crop].code
    lot = lot_in_short(load.lot, code, room, SMALL)
    noun = noun_of(load, "tray")
    amount = first_fitting([counted(load.plants, noun), f"{load.plants:,}"], room, SMALL)
    return [
        label(_TEXT, 13, clipped(code, first, BIG, bold=True), BIG, font_weight="bold"),
        label(_TEXT, 25, lot, SMALL),
        label(_TEXT, 37, amount, SMALL),
    ]


def _shared(pen: Pen, loads: list[Load], rooms: tuple[float, float]) -> list[Node]:
    """Return a line for each of the largest lots, and how many more there are."""
    shown = worth_listing(len(loads), LOTS)
    drawn = []
    for at, load in enumerate(loads[:shown]):
        code = pen.styles[load.crop].code
        ways = [f"{load.lot}: {load.plants:,}", f"{code} {load.plants:,}", code]
        text = first_fitting(ways, rooms[min(at, 1)], SMALL, bold=True)
        drawn.append(label(_TEXT, 13 + 12 * at, text, SMALL, font_weight="bold"))
    if shown < len(loads):
        drawn.append(label(_TEXT, 13 + 12 * shown, f"+{len(loads) - shown} more", SMALL))
    return drawn
