"""What left a place on the day, as a line or two of small labels below it."""

from scheduler.book.words import counted
from scheduler.outputs.drawings.boxes import SMALL, swatch, tag_box
from scheduler.outputs.drawings.pen import WIDTH, Pen
from scheduler.outputs.drawings.svg import Node, group, label
from scheduler.outputs.drawings.text import clipped, width_of
from scheduler.plan.views.standing import Gone, Load
from scheduler.plan.words import worth_listing

LINE = 16
LINES = 4
_TAG, _SWATCH, _BETWEEN = 28, 16, 12


def gone_lines(pen: Pen, gone: tuple[Gone, ...], *, to_the_right: bool) -> tuple[list[Node], float]:
    """Return labels for units that left, and how much room they take; ``to_the_right`` ends lines there."""
    lines: list[list[tuple[Node, float]]] = [[]]
    for at, unit in enumerate(gone):
        drawn, width = _chip(pen, unit)
        if lines[-1] and sum(w + _BETWEEN for _, w in lines[-1]) + width > WIDTH:
            if len(lines) == LINES and worth_listing(len(gone) - at, 0):
                break
            lines.append([])
        lines[-1].append((drawn, width))
    shown = sum(len(each) for each in lines)
    inside = []
    for row, chips in enumerate(lines):
        x = WIDTH - sum(width + _BETWEEN for _, width in chips) + _BETWEEN if to_the_right else 0.0
        for drawn, width in chips:
            inside.append(group([drawn], x, row * LINE))
            x += width + _BETWEEN
    if shown < len(gone):
        more = f"and {counted(len(gone) - shown, 'more')}".replace("mores", "more")
        inside.append(label(0, len(lines) * LINE + 11, more, SMALL))
        return inside, (len(lines) + 1) * LINE
    return inside, len(lines) * LINE if gone else 0


def in_words(gone: Gone) -> str:
    """Return a unit that left, and what of its plants left with it or out of it."""
    lots = ", ".join(_lot(load) for load in gone.loads)
    where = f", to {', '.join(gone.to)}" if gone.to else ""
    return f"{gone.unit}: {lots or 'empty'}{where}"


def _lot(load: Load) -> str:
    if not load.thrown:
        return f"{load.lot} {load.taken or load.plants:,}"
    kept = f"{load.taken - load.thrown:,} and " if load.taken > load.thrown else ""
    return f"{load.lot} {kept}{load.thrown:,} thrown away"


def _chip(pen: Pen, gone: Gone) -> tuple[Node, float]:
    crops = list(dict.fromkeys(load.crop for load in gone.loads))[:4]
    x, inside = _TAG + 4.0, [tag_box("out", _TAG, 1, 14)]
    for crop in crops:
        inside += swatch(pen, crop, (x, 1.5), (_SWATCH, 10))
        x += _SWATCH + 3
    said = clipped(in_words(gone), WIDTH - x, SMALL)
    inside.append(label(x, 10.5, said, SMALL))
    full = f"Left slot {gone.slot} on this day: {gone.item} {in_words(gone)}"
    return group(inside, title=full), x + width_of(said, SMALL)
