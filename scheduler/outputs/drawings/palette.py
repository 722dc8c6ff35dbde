"""How every crop looks in drawings and charts: one colour, one hatch and one short code.

The colours are the eight of Okabe and Ito for readers who see colours differently, with grey in the
place of black. A crop's hatch tells it apart in black and white too: the first eight crops differ in
both, and sixty-four pairs go by before one comes again.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.outputs.drawings.svg import Node, node

COLOURS = ("#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7", "#999999")
"""Orange, sky blue, bluish green, yellow, blue, vermilion, reddish purple, grey."""

HATCHES = ("", "/", "-", "\\", "|", ".", "x", "+")
"""Signs for hatches, as drawing libraries know them."""

TILE, REPEAT = 24, 6
"""Side of a tile, and of one repeat of the hatch in it: edges of tiles show, so that few is better."""

_STROKES = {
    "/": ["M{x} {y}m-1 1l2 -2m-1 7l6 -6m-1 7l2 -2"],
    "\\": ["M{x} {y}m-1 5l2 2m-1 -7l6 6m-1 -7l2 2"],
    "-": ["M{x} {y}m0 3h6"],
    "|": ["M{x} {y}m3 0v6"],
    ".": ["M{x} {y}m2 3h2"],
}
_STROKES["x"] = _STROKES["/"] + _STROKES["\\"]
_STROKES["+"] = _STROKES["-"] + _STROKES["|"]
_DOT, _LINE = 2.0, 1.1
LIGHT, DARK = "#FFFFFF", "#111111"


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How one crop looks.

    Attributes:
        crop: its name.
        code: its short code, two to four letters.
        colour: fill, such as ``#E69F00``.
        hatch: one of :data:`HATCHES`.
        ink: black or white, whichever reads better on the colour.
        number: which crop of the book it is, from 0.
    """

    crop: str
    code: str
    colour: str
    hatch: str
    ink: str
    number: int


def crop_styles(farm: Farm) -> Mapping[str, Style]:
    """Return crop name -> how it looks, the same in every drawing of a farm."""
    return {
        crop.name: _style(number, crop.name, crop.code) for number, crop in enumerate(farm.crops.values())
    }


def _style(number: int, crop: str, code: str) -> Style:
    colour = COLOURS[number % len(COLOURS)]
    return Style(
        crop=crop,
        code=code or crop[:3].upper(),
        colour=colour,
        hatch=HATCHES[(number + number // len(COLOURS)) % len(HATCHES)],
        ink=readable_on(colour),
        number=number,
    )


def readable_on(colour: str) -> str:
    """Return black or white, whichever stands out more on a colour."""
    return max((DARK, LIGHT), key=lambda ink: contrast(ink, colour))


def contrast(one: str, other: str) -> float:
    """Return how much two colours stand out from each other: 1 not at all, 21 black on white.

    The formula of the Web Content Accessibility Guidelines 2 (from memory).
    """
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def pattern(style: Style, name: str) -> Node:
    """Return a crop's hatch as a pattern without ground; ``url(#name)`` draws it over the colour."""
    steps = range(0, TILE, REPEAT)
    strokes = "".join(
        each.format(x=x, y=y) for x in steps for y in steps for each in _STROKES.get(style.hatch, ())
    )
    weight = _DOT if style.hatch == "." else _LINE
    return node(
        "pattern",
        node("path", d=strokes, fill="none", stroke=style.ink, stroke_width=weight),
        id=name,
        width=TILE,
        height=TILE,
        patternUnits="userSpaceOnUse",
    )
