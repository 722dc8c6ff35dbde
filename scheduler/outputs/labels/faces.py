"""What stands on one label, in words, and how large it is for the label's size."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from scheduler.farm.dates import day_of_month
from scheduler.farm.farm import Farm
from scheduler.outputs.labels.qr import qr_svg
from scheduler.outputs.labels.sheets import THOUSAND, LabelSheet, mm
from scheduler.outputs.words import counted, day_in_text, plain
from scheduler.plan.views.labels import Label, Move

WORDS = {"board": "to boards", "raft": "to rafts", "bed": "to beds", "cut": "cut", "out": "thrown away"}
STAGES = {"tray": "sown", "board": "boards", "raft": "rafts"}
MOVES_NAMED = 3

SMALL = (50 * THOUSAND, 25 * THOUSAND)
"""Labels narrower or lower than this have no table of dates (estimate, tried on paper)."""
PLACE_FROM = 30 * THOUSAND
"""Labels lower than this do not name the place (estimate, tried on paper)."""
ROOMY_FROM = 42 * THOUSAND
"""Labels lower than this have room for the place or for a second line of moves, not both (estimate)."""
PADDING = 2 * THOUSAND
UNPRINTED = 5 * THOUSAND
"""Printers leave about this much of the paper's edge white (estimate)."""
LETTER = 660
"""Width of a bold capital or digit of a plain typeface, thousandths of the type size (estimate)."""
SMALL_LETTER = 560
"""The same of mixed bold text."""
SMALLEST_CODE = 2_100
"""Type size in thousandths of a mm, about 6 points; longer codes go on in a second line."""
NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """One cell of the table of dates; ``now`` marks the stage this label is stuck on in."""

    head: str
    days: str
    now: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """All that is written on one label; ``code_size`` and ``qr_size`` in mm, ``qr`` is an SVG or empty."""

    code: str
    code_size: str
    crop: str
    variety: str
    unit: str
    what: str
    where: str
    dates: tuple[When, ...]
    moves: str
    qr: str
    qr_size: str


def face(farm: Farm, sheet: LabelSheet, label: Label) -> Face:
    """Return what stands on one label of a sheet."""
    code, moves = plain(label.lot), _moves(farm, label)
    size = qr_size(sheet)
    qr = qr_svg(label.lot, size)
    item = f"open {label.item}" if label.is_open else label.item
    what = f"{item} {label.number} of {label.of}" if label.of > 1 else item
    noun = "cell" if label.item == "tray" and any(move.rows for move in label.moves) else "plant"
    amount = "" if label.is_open else f": {counted(label.amount, noun)}"
    return Face(
        code=code,
        code_size=mm(_code_size(sheet, code, size if qr else 0)),
        crop=plain(label.crop),
        variety=plain(label.variety),
        unit=plain(label.unit),
        what=f"{what.capitalize()}{amount}",
        where=_where(label) if _has_place(sheet, moves) else "",
        dates=() if is_small(sheet) else _dates(farm, label),
        moves=moves,
        qr=qr,
        qr_size=mm(size),
    )


def is_small(sheet: LabelSheet) -> bool:
    """Say whether only code, crop and next move fit."""
    return sheet.label[0] < SMALL[0] or sheet.label[1] < SMALL[1]


def side_padding(sheet: LabelSheet) -> int:
    """Return what stays white left and right in a label, so that a printer reaches all of its text."""
    return max(PADDING, UNPRINTED - sheet.margin[0])


def end_padding(sheet: LabelSheet) -> int:
    """Return what stays white above the labels of the first row and below those of the last."""
    return max(PADDING, UNPRINTED - sheet.margin[1])


def qr_size(sheet: LabelSheet) -> int:
    """Return the side of the QR code: a third of the width, half the height, 10 to 26 mm."""
    return max(10 * THOUSAND, min(26 * THOUSAND, sheet.label[0] * 30 // 100, sheet.label[1] * 50 // 100))


def text_size(sheet: LabelSheet) -> int:
    """Return the type size of the small lines, thousandths of a mm: 6 to 11 points by the label's height."""
    return max(2_100, min(3_900, sheet.label[1] * 70 // 1000))


def _width(sheet: LabelSheet) -> int:
    return sheet.label[0] - 2 * side_padding(sheet)


def _code_size(sheet: LabelSheet, code: str, beside: int) -> int:
    """Return a type size at which the lot code fills the room beside the QR code, in one line if it can."""
    room = _width(sheet) - beside - (THOUSAND if beside else 0)
    largest = sheet.label[1] * 19 // 100
    return max(SMALLEST_CODE, min(largest, room * THOUSAND // (LETTER * max(len(code), 1))))


def _has_place(sheet: LabelSheet, moves: str) -> bool:
    """Say whether the place fits: on low labels it gives way to a second line of moves."""
    if is_small(sheet) or sheet.label[1] < PLACE_FROM:
        return False
    one_line = len(moves) * text_size(sheet) * SMALL_LETTER // THOUSAND * 11 // 10 <= _width(sheet)
    return one_line or sheet.label[1] >= ROOMY_FROM


def _where(label: Label) -> str:
    # a raft's slot changes whenever those ahead of it leave
    slot = f" slot {label.slot}" if label.place and label.item != "raft" else ""
    return f"{plain(label.place)}{slot}{' (shared)' if label.shared else ''}".strip()


def _dates(farm: Farm, label: Label) -> tuple[When, ...]:
    stages = [("boards", label.boards)]
    ends = {
        "tray": [("cut", label.cuts)],
        "raft": [("rafts", label.rafts), ("cut", label.cuts)],
        "bed": [("beds", label.beds), ("picked", label.picks)],
    }
    stages += ends[label.ends_in]
    dated = [("sown", _sown(farm, label))]
    dated += [(head, [farm.date_of(day) for day in days]) for head, days in stages]
    return tuple(
        When(head=head, days=_span(days), now=head == STAGES[label.item])
        for head, days in dated
        if head != "boards" or label.has_boards
    )


def _sown(farm: Farm, label: Label) -> list[date]:
    """Return the sowing day: that of the plan, or of what was found growing the one its code ends with."""
    if label.sown is not None:
        return [farm.date_of(label.sown)]
    dated = re.fullmatch(r"[A-Z]+-([0-9]{2})([0-9]{2})([0-9]{2})(-[0-9]+)?", label.lot)
    try:
        told = date(2000 + int(dated[1]), int(dated[2]), int(dated[3])) if dated else None
    except ValueError:
        return []
    return [told] if told is not None and told <= farm.calendar.first_day else []


def _span(days: Sequence[date]) -> str:
    """Return ``9 Mar``, ``9-16 Mar`` or ``30 Mar-2 Apr``; a question mark when no day is known."""
    if not days:
        return "?"
    first, last = days[0], days[-1]
    if first == last:
        return day_of_month(last)
    begin = str(first.day) if (first.year, first.month) == (last.year, last.month) else day_of_month(first)
    return f"{begin}\N{EN DASH}{day_of_month(last)}"


def _moves(farm: Farm, label: Label) -> str:
    """Return ``to boards Thu 12 Mar``, with rows or plants where they do not all go on one day."""
    shown = label.moves if len(label.moves) <= MOVES_NAMED else label.moves[: MOVES_NAMED - 1]
    said, before = [], ""
    for move in shown:
        words = "" if move.to == before else f"{WORDS[move.to]} "
        split = f"{NO_BREAK}({_part(move)})" if len(label.moves) > 1 and move.to != "cut" else ""
        said.append(f"{words}{_day(farm, move.day)}{split}")
        before = move.to
    if len(label.moves) > len(shown):
        said.append(f"then {len(label.moves) - len(shown)} more, last {_day(farm, label.moves[-1].day)}")
    return ", ".join(said)


def _part(move: Move) -> str:
    said = counted(move.rows, "row") if move.rows else counted(move.plants, "plant")
    return said.replace(" ", NO_BREAK)


def _day(farm: Farm, day: int) -> str:
    return day_in_text(farm, day).replace(" ", NO_BREAK)
