"""What colours, hatches, tags and frames mean, in words."""

from collections.abc import Iterable
from typing import Any

from scheduler.outputs.drawings.block import Block
from scheduler.outputs.drawings.boxes import swatch, tag_box
from scheduler.outputs.drawings.pen import INK, PAPER, SHUT, SOFT, WIDTH, Pen
from scheduler.outputs.drawings.svg import Node, group, label, line, node
from scheduler.outputs.drawings.text import clipped, width_of
from scheduler.outputs.drawings.tray import dome

MARKS = {
    "in": "came in on this day",
    "cut": "plants cut on this day, the raft stays",
    "moved": "moved on on this day, the rest stays",
    "out": "left on this day",
    "date": "day of the next cut, or of moving on",
    "empty": "empty, waits for those ahead of it",
    "closed": "closed slot",
    "dome": "under a dome",
    "waits": "empty, waits for those ahead of it",
    "shut": "slots closed on these days",
}
"""Marks a drawing may use -> what they mean, in the order of the legend."""

COLUMNS = 4
_ROW, _SIZE, _SWATCH = 17, 10, 26


def legend(pen: Pen, crops: Iterable[str], marks: Iterable[str]) -> Block:
    """Return the crops in the order of the book, four in a row, and below them the marks that are used."""
    wanted, used = set(crops), set(marks)
    shown = [crop for crop in pen.styles if crop in wanted]
    inside = [
        _crop(pen, crop, (at % COLUMNS) * WIDTH / COLUMNS, (at // COLUMNS) * _ROW)
        for at, crop in enumerate(shown)
    ]
    y = -(-len(shown) // COLUMNS) * _ROW
    x = 0.0
    for mark, meaning in MARKS.items():
        if mark not in used:
            continue
        width = 44 + width_of(meaning, _SIZE)
        if x and x + width > WIDTH:
            x, y = 0.0, y + _ROW
        inside += [_sample(mark, x, y), label(x + 38, y + 11, meaning, _SIZE, fill=SOFT)]
        x += width + 8
    return Block(height=y + (_ROW if x else 0), inside=inside, gap=0)


def _crop(pen: Pen, crop: str, x: float, y: float) -> Node:
    style = pen.styles[crop]
    code = width_of(style.code, _SIZE, bold=True)
    room = WIDTH / COLUMNS - _SWATCH - code - 14
    return group(
        [
            *swatch(pen, crop, (x + 0.5, y + 1), (_SWATCH, 12)),
            label(x + _SWATCH + 5, y + 11, style.code, _SIZE, font_weight="bold"),
            label(x + _SWATCH + 9 + code, y + 11, clipped(crop, room, _SIZE), _SIZE),
        ],
        title=crop,
    )


def _sample(mark: str, x: float, y: float) -> Node:
    """Return a small picture of a mark, at most 34 wide and 14 high."""
    right = x + 32
    frame: dict[str, Any] = {"x": x + 4, "y": y + 1.5, "width": 28, "height": 11, "rx": 2}
    match mark:
        case "in" | "out":
            return tag_box(mark, right, y + 2, 14)
        case "cut":
            return tag_box("cut 6", right, y + 2, 14)
        case "moved":
            return tag_box("\N{MINUS SIGN}6", right, y + 2, 14)
        case "date":
            return label(right, y + 11, "9 Apr", 9.5, text_anchor="end")
        case "dome":
            return dome(x + 4, y + 13, 28)
        case "waits":
            ground = node("rect", **frame, fill=PAPER, stroke=SOFT, stroke_width=0.7)
            return group([ground, line(x + 5, y + 7, right - 1, y + 7, stroke=INK, stroke_dasharray="2 2")])
        case "shut":
            return node("rect", **frame, fill=SHUT)
        case "closed":
            thin: dict[str, Any] = {"stroke": SOFT, "stroke_width": 0.7}
            return group(
                [
                    node("rect", **frame, fill="#EEEEEE", **thin),
                    line(x + 4, y + 1.5, right, y + 12.5, **thin),
                    line(x + 4, y + 12.5, right, y + 1.5, **thin),
                ]
            )
        case _:
            return node("rect", **frame, fill=PAPER, stroke=INK, stroke_dasharray="4 2")
