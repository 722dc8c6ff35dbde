"""Amounts of boxes in words, the same on paper, screen and phone."""

from scheduler.book.words import counted, plural
from scheduler.plan.views.box_days import BoxLine, BoxPage

FULL_SIGNS = 3
"""Decimals of an amount in a box: thousandths of units."""


def amount(units: float, pack: str) -> str:
    """Return units of a product as ``1 head`` or ``0.5 bunches``; a half alone as ``half a bunch``."""
    if units == 0.5:
        return f"half a {pack}"
    number = f"{units:.{FULL_SIGNS}f}".rstrip("0").rstrip(".")
    return f"{number} {pack if units == 1 else plural(pack)}"


def in_boxes(page: BoxPage, line: BoxLine) -> str:
    """Return what a full and a half box get of one line, as far as there are any."""
    parts = []
    if page.row.boxes and line.row.full_box:
        parts.append(amount(line.row.full_box, line.pack))
    if page.row.half_boxes and line.row.half_box:
        half = amount(line.row.half_box, line.pack)
        parts.append(f"{half} in a half box" if parts else half)
    return "; ".join(parts)


def several_boxes(page: BoxPage) -> str:
    """Return ``40 boxes and 15 half boxes``."""
    full, half = page.row.boxes, page.row.half_boxes
    counts = ((full, "box"), (half, "half box"))
    return " and ".join(counted(number, noun) for number, noun in counts if number)
