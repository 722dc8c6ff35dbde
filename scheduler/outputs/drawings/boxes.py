"""One slot as a box: a raft or board with its lots, an empty raft that waits, a free or a closed slot."""

from dataclasses import dataclass
from typing import Any

from scheduler.book.words import counted
from scheduler.outputs.drawings.pen import (
    FAINT,
    INK,
    PAPER,
    SOFT,
    Pen,
    in_full,
    lot_in_short,
    noun_of,
    what_is_due,
)
from scheduler.outputs.drawings.svg import Node, group, label, line, node, number, rect
from scheduler.outputs.drawings.text import clipped, first_fitting, width_of
from scheduler.plan.views.standing import Load, Standing
from scheduler.plan.words import worth_listing

HEIGHT, LOW = 64, 28
"""Height of a box with all its lines, and of one with a single line."""

BAND, LOW_BAND = 14, 12
BIG, SMALL, SMALLER = 12, 9.5, 9
LOTS = 2
ARROWED = "in"
"""The tag of what came in, which has an arrow before it."""

BESIDE = 104
"""From this width on there is room for the plants beside the code of the crop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """Where one slot is drawn, and whether there is room for one line only."""

    x: float
    y: float
    width: float
    low: bool = False

    @property
    def height(self) -> float:
        """Height of the box."""
        return LOW if self.low else HEIGHT


def unit_box(pen: Pen, standing: Standing, box: Box) -> Node:
    """Return a raft or board: a band in the colours of its lots, and what they are in words."""
    inside = [*_frame(box, standing), *_band(pen, standing, box)]
    inside += _one_line(pen, standing, box) if box.low else _lines(pen, standing, box)
    tag, band = tag_of(standing), LOW_BAND if box.low else BAND
    if tag:
        room = box.width - 10
        said = first_fitting([tag, tag.removeprefix("cut ")], room, band - 4.5, bold=True)
        inside.append(tag_box(said, box.width - 2, 1.5, band))
    return group(inside, box.x, box.y, title=in_full(pen, standing))


def tag_of(standing: Standing) -> str:
    """Return what happened to a unit on the day, in a word or two."""
    if standing.came:
        return ARROWED
    taken = sum(load.taken for load in standing.loads)
    if not taken:
        return ""
    return f"cut {taken:,}" if standing.item == "raft" else f"\N{MINUS SIGN}{taken:,}"


def tag_box(text: str, right: float, y: float, band: float) -> Node:
    """Return a dark tag that ends at ``right``, within a band; what came in has an arrow before its word."""
    height = band - 3
    size = height - 1.5
    width = tag_width(text, band)
    left = right - width
    inside = [rect(left, y, width, height, rx=2, fill=INK)]
    middle = (left + right) / 2
    if text == ARROWED:
        inside.append(triangle(left + 2.5, y + height / 2, size * 0.6, PAPER))
        middle += size * 0.35
    base = y + height - 2.6
    inside.append(label(middle, base, text, size, text_anchor="middle", font_weight="bold", fill=PAPER))
    return group(inside)


def tag_width(text: str, band: float) -> float:
    """Return how wide a tag is within a band."""
    size = band - 4.5
    return width_of(text, size, bold=True) + 5 + (size * 0.8 if text == ARROWED else 0)


def triangle(x: float, middle: float, size: float, fill: str) -> Node:
    """Return a triangle that points to the right."""
    points = ((x, middle - size / 2), (x + size * 0.8, middle), (x, middle + size / 2))
    return node("polygon", points=" ".join(f"{number(a)},{number(b)}" for a, b in points), fill=fill)


def _frame(box: Box, standing: Standing) -> list[Node]:
    weight = 2.2 if standing.came else 1
    dashes = "" if standing.plants else "4 2"
    return [
        rect(
            0,
            0,
            box.width,
            box.height,
            rx=3,
            fill=PAPER,
            stroke=INK,
            stroke_width=weight,
            stroke_dasharray=dashes,
        )
    ]


def _band(pen: Pen, standing: Standing, box: Box) -> list[Node]:
    """Return the band on top, each lot as wide as its share of the plants."""
    loads = [load for load in standing.loads if load.plants]
    whole = sum(load.plants for load in loads)
    if not whole:
        return []
    height = (LOW_BAND if box.low else BAND) - 1
    room, at = box.width - 2, 1.0
    bands: list[Node] = []
    for load in loads:
        width = room * load.plants / whole
        bands += pen.paint(load.crop, "rect", x=at, y=1, width=width, height=height)
        at += width
    bottom = 1 + height
    bands.append(line(0, bottom, box.width, bottom, stroke=INK, stroke_width=0.7))
    return bands


def _one_line(pen: Pen, standing: Standing, box: Box) -> list[Node]:
    y, size = LOW - 4.5, 10
    if not standing.plants:
        return [_middle(box, y - 1, "empty")]
    codes = "+".join(dict.fromkeys(pen.styles[load.crop].code for load in standing.loads if load.plants))
    room = box.width - 5
    said = clipped(codes, room, size, bold=True)
    drawn = [label(2.5, y, said, size, font_weight="bold")]
    plants = f"{standing.plants:,}"
    used = width_of(said, size, bold=True) + 3
    if used + width_of(plants, SMALL) <= room:
        drawn.append(label(box.width - 2.5, y, plants, SMALL, text_anchor="end"))
    return drawn


def _lines(pen: Pen, standing: Standing, box: Box) -> list[Node]:
    loads = [load for load in standing.loads if load.plants]
    if not loads:
        return [
            _middle(box, 37, "empty", BIG),
            _middle(box, 50, first_fitting(["waits its turn", "waits"], box.width - 4, SMALL)),
        ]
    if len(loads) == 1:
        return _one_lot(pen, standing, loads[0], box)
    return _shared(pen, standing, loads, box)


def _one_lot(pen: Pen, standing: Standing, load: Load, box: Box) -> list[Node]:
    x, room, y = 3, box.width - 6, BAND
    code = pen.styles[load.crop].code
    plants = counted(load.plants, noun_of(load, standing.item))
    beside = box.width >= BESIDE
    lot = lot_in_short(load.lot, code, room, SMALL)
    due = what_is_due(pen, load, standing.item, room, SMALL)
    drawn = [label(x, y + 13, clipped(code, room, BIG, bold=True), BIG, font_weight="bold")]
    if beside:
        drawn.append(label(box.width - 3, y + 13, plants, SMALL, text_anchor="end"))
        return [*drawn, label(x, y + 28, lot, SMALL), label(x, y + 43, due, SMALL)]
    plants = first_fitting([plants, f"{load.plants:,}"], room, SMALLER)
    return [
        *drawn,
        label(x, y + 24, lot, SMALL),
        label(x, y + 35, plants, SMALLER),
        label(x, y + 46, due, SMALL),
    ]


def _shared(pen: Pen, standing: Standing, loads: list[Load], box: Box) -> list[Node]:
    """Return a line for each of the largest lots, and one that says how many there are and what is due."""
    x, room, y = 3, box.width - 6, BAND
    shown = worth_listing(len(loads), LOTS)
    drawn = []
    for at, load in enumerate(loads[:shown]):
        code = pen.styles[load.crop].code
        ways = [f"{load.lot}: {load.plants:,}", f"{code} {load.plants:,}", code]
        said = first_fitting(ways, room, SMALL, bold=True)
        drawn.append(label(x, y + 11 + 11.5 * at, said, SMALL, font_weight="bold"))
    first = min((load for load in loads if load.due), key=lambda load: load.due.day, default=None)  # type: ignore[union-attr]
    if shown < len(loads):
        drawn.append(label(x, y + 12 + 11.5 * shown, f"+{len(loads) - shown} more", SMALL))
    if first is not None:
        due = what_is_due(pen, first, standing.item, room, SMALL)
        drawn.append(label(x, y + 46, due, SMALL))
    return drawn


def free_box(slot: int, box: Box) -> Node:
    """Return a free slot: a faint dashed frame and the word."""
    frame = rect(
        0.5,
        0.5,
        box.width - 1,
        box.height - 1,
        rx=3,
        fill="none",
        stroke=FAINT,
        stroke_width=0.8,
        stroke_dasharray="1.5 2.5",
    )
    return group([frame, _middle(box, box.height / 2 + 3, "free")], box.x, box.y, title=f"Slot {slot}: free")


def closed_box(slot: int, box: Box) -> Node:
    """Return a closed slot: crossed out, with the word."""
    left, top, right, bottom = 1, 1, box.width - 1, box.height - 1
    thin: dict[str, Any] = {"stroke": SOFT, "stroke_width": 0.7}
    word = first_fitting(["closed"], box.width - 6, SMALL)
    wide = width_of(word, SMALL) + 3
    middle = box.height / 2
    return group(
        [
            rect(left, top, right - left, bottom - top, rx=3, fill="#EEEEEE", **thin),
            line(left, top, right, bottom, **thin),
            line(left, bottom, right, top, **thin),
            rect((box.width - wide) / 2, middle - 7, wide, 13, fill="#EEEEEE"),
            _middle(box, middle + 3, word),
        ],
        box.x,
        box.y,
        title=f"Slot {slot}: closed on this day",
    )


def _middle(box: Box, y: float, text: str, size: float = SMALL) -> Node:
    return label(box.width / 2, y, text, size, text_anchor="middle", fill=SOFT)


def swatch(pen: Pen, crop: str, at: tuple[float, float], size: tuple[float, float]) -> list[Node]:
    """Return a small sample of a crop's colour and hatch."""
    shape = {"x": at[0], "y": at[1], "width": size[0], "height": size[1]}
    return [
        *pen.paint(crop, "rect", **shape),
        node("rect", **shape, fill="none", stroke=INK, stroke_width=0.7),
    ]
