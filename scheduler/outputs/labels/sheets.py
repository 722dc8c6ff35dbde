"""Label sheets by their geometry: those of ``shared/reference/label_sheets.csv``, or a grower's own.

Lengths are whole thousandths of a millimetre, so that places on a sheet add up exactly.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from crops.published import table
from scheduler.book.names import nearest, plain
from scheduler.outputs.words import plain as printable

THOUSAND = 1000
OWN = "PAPER GRID LABEL MARGIN GAP"
"""Form of a sheet of one's own: five pairs, such as ``210x297 3x8 70x37 0x0.5 0x0``."""

SMALLEST = (25 * THOUSAND, 15 * THOUSAND)
"""Smallest label that a lot code and its QR code fit on (estimate)."""

LARGEST_PAPER = 1200 * THOUSAND
"""A0, the largest paper of ISO 216, is 1189 mm long."""


class SheetRefused(Exception):
    """There is no such sheet, or its labels do not fit on it; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """Geometry of a sheet, in thousandths of a millimetre.

    Attributes:
        name: such as ``a4-3x8``: paper, labels across, labels down.
        paper: its width and height.
        columns, rows: labels across and down.
        label: width and height of one.
        margin: from the paper's left and top edge to the first label.
        gap: between labels, across and down.
        cut_lines: plain paper, with lines to cut along.
        kind: what it is, in words.
    """

    name: str
    paper: tuple[int, int]
    columns: int
    rows: int
    label: tuple[int, int]
    margin: tuple[int, int]
    gap: tuple[int, int]
    cut_lines: bool
    kind: str

    @property
    def places(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows

    def place(self, number: int) -> tuple[int, int]:
        """Return left and top of a label, counted from 0 along the rows."""
        down, across = divmod(number, self.columns)
        return (
            self.margin[0] + across * (self.label[0] + self.gap[0]),
            self.margin[1] + down * (self.label[1] + self.gap[1]),
        )


def mm(thousandths: int) -> str:
    """Return millimetres as text: ``37``, ``63.5``."""
    return f"{(Decimal(thousandths) / THOUSAND).normalize():f}"


@cache
def label_sheets() -> dict[str, LabelSheet]:
    """Return the sheets that have a name, in the order of the table."""
    return {row["sheet"]: _from_row(row) for row in table("label_sheets")}


def sheet_of(asked: str) -> LabelSheet:
    """Return a sheet by its name, or read one given as :data:`OWN`.

    Raises:
        SheetRefused: the name is not known, or the labels do not fit on the paper.
    """
    known = {plain(name): sheet for name, sheet in label_sheets().items()}
    if plain(asked) in known:
        return known[plain(asked)]
    pairs = [re.fullmatch(r"(\d+(?:\.\d{1,3})?)x(\d+(?:\.\d{1,3})?)", part) for part in asked.lower().split()]
    if len(pairs) != 5 or not all(pairs):
        near = nearest(asked, label_sheets())
        listed = f"did you mean {near}?" if near else f"there is {', '.join(label_sheets())};"
        raise SheetRefused(
            f"no label sheet '{printable(asked)}'; {listed} your own is given as \"{OWN}\" in mm, "
            'such as "210x297 3x8 70x37 0x0.5 0x0"'
        )
    paper, grid, label, margin, gap = ((_length(pair[1]), _length(pair[2])) for pair in pairs if pair)
    own = LabelSheet(
        name=asked,
        paper=paper,
        columns=grid[0] // THOUSAND,
        rows=grid[1] // THOUSAND,
        label=label,
        margin=margin,
        gap=gap,
        cut_lines=False,
        kind="your own",
    )
    _check(own, grid)
    return own


def _check(sheet: LabelSheet, grid: tuple[int, int]) -> None:
    if any(number % THOUSAND or not number for number in grid):
        raise SheetRefused("labels across and down: give whole numbers from 1")
    if max(sheet.paper) > LARGEST_PAPER:
        raise SheetRefused(f"give paper of at most {mm(LARGEST_PAPER)} mm")
    for at, side in enumerate(("wide", "high")):
        if sheet.label[at] < SMALLEST[at]:
            raise SheetRefused(f"give labels of at least {mm(SMALLEST[at])} mm {side}")
        # margins are printed rounded, so the last label may end a trifle beside the paper
        over = sheet.place(sheet.places - 1)[at] + sheet.label[at] - sheet.paper[at]
        if over > THOUSAND // 10:
            ends = f"the labels end {mm(over)} mm beyond paper {mm(sheet.paper[at])} mm {side}"
            raise SheetRefused(f"{ends}; make them smaller")


def _from_row(row: dict[str, str]) -> LabelSheet:
    def pair(one: str, two: str) -> tuple[int, int]:
        return _length(row[one]), _length(row[two])

    return LabelSheet(
        name=row["sheet"],
        paper=pair("paper_width_mm", "paper_height_mm"),
        columns=int(row["columns"]),
        rows=int(row["rows"]),
        label=pair("label_width_mm", "label_height_mm"),
        margin=pair("left_mm", "top_mm"),
        gap=pair("gap_across_mm", "gap_down_mm"),
        cut_lines=row["cut_lines"] == "yes",
        kind=row["conditions"],
    )


def _length(text: str) -> int:
    return int(Decimal(text) * THOUSAND)
