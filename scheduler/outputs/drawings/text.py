"""How wide a text is, so that it can be clipped before it leaves its box."""

import unicodedata
from collections.abc import Sequence

WIDTHS = {
    30: "'IJijl",
    34: " ,./:;\\|",
    36: "-f",
    41: "!()[]rt",
    46: '"',
    53: "*?_`sz",
    56: "Lc",
    60: "Fkvxy",
    62: "Taeo",
    64: "$0123456789ESbdghnpqu{}PY",
    70: "ABCKRVXZ",
    76: "HNU",
    79: "&DGOQ",
    84: "#+<=>^w~",
    100: "%@MWm",
}
"""Hundredths of the size that letters take in DejaVu Sans, rounded up; it is wider than most."""

_WIDTH_OF = {letter: width / 100 for width, letters in WIDTHS.items() for letter in letters}
_OTHER, _CYRILLIC, _WIDE, _BOLD, _BOLD_NARROW = 0.84, 0.92, 1.05, 1.15, 1.3
FROM_RIGHT = "\N{RIGHT-TO-LEFT MARK}"
MORE = "\N{HORIZONTAL ELLIPSIS}"


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide a text is at a size; never less than in DejaVu Sans."""
    return sum(_letter(letter, bold=bold) for letter in text) * size


def _letter(letter: str, *, bold: bool) -> float:
    if unicodedata.category(letter) in ("Mn", "Me", "Cf"):
        return 0.0
    width = _WIDTH_OF.get(letter) or _other(letter)
    if bold:
        return width * (_BOLD_NARROW if width <= 0.41 else _BOLD)
    return width


def _other(letter: str) -> float:
    if unicodedata.east_asian_width(letter) in ("W", "F") or letter == MORE:
        return _WIDE
    return _CYRILLIC if "\N{CYRILLIC CAPITAL LETTER IE WITH GRAVE}" <= letter <= "\u052f" else _OTHER


def clipped(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """Return a text that fits into ``room``, its end cut off and marked where it must be."""
    if width_of(text, size, bold=bold) <= room:
        return text
    left = room - width_of(MORE, size, bold=bold)
    kept = ""
    for letter in text:
        left -= _letter(letter, bold=bold) * size
        if left < 0:
            break
        kept += letter
    return f"{kept.rstrip()}{MORE}{_mark_after(kept)}" if kept else ""


def clipped_start(text: str, room: float, size: float) -> str:
    """Return a text that fits, its start cut off and marked where it must be."""
    if width_of(text, size) <= room:
        return text
    kept = text
    while kept and width_of(MORE + kept, size) > room:
        kept = kept[1:]
    return MORE + kept if kept else ""


def clipped_name(name: str, owner: str, room: float, size: float) -> str:
    """Return a bold name that fits; where it begins with its owner's, what follows that is kept whole."""
    rest = name.removeprefix(owner)
    if width_of(name, size, bold=True) <= room or rest == name:
        return clipped(name, room, size, bold=True)
    return clipped(owner, room - width_of(rest, size, bold=True), size, bold=True) + rest


def _mark_after(text: str) -> str:
    """Return what keeps a sign on the left of text that is written from right to left."""
    kinds = [kind for kind in map(unicodedata.bidirectional, text) if kind in ("L", "R", "AL")]
    return FROM_RIGHT if kinds and kinds[-1] != "L" else ""


def first_fitting(texts: Sequence[str], room: float, size: float, *, bold: bool = False) -> str:
    """Return the first of several ways to say the same that fits, or the last one clipped."""
    for text in texts:
        if width_of(text, size, bold=bold) <= room:
            return text
    return clipped(texts[-1], room, size, bold=bold)
