"""Groups of drawings by what they look like: what looks alike in several places is written once.

How shapes are filled, drawn and lettered is kept once as well, as rules of a style sheet.

A drawing is taken apart from its innermost groups outwards. Each group is moved to its own corner, so that
it is the same text wherever it stands, and gets a number; in what it stands in, a sign with that number and
the place is left. When all drawings are taken, a sign becomes a reference, or the group itself where it is
the only one.
"""

import re
from collections import Counter
from collections.abc import Mapping
from xml.etree.ElementTree import Element, fromstring
from xml.sax.saxutils import escape, quoteattr

from scheduler.outputs.drawings.palette import Style
from scheduler.outputs.drawings.svg import NAMESPACE, number
from scheduler.outputs.report.hatching import strokes

RUN = 3
"""Shapes and texts one after the other, beside groups, from which on they are made a group."""

LEAST = 60
"""Letters from which on it is worth to write a look once."""

ACROSS, DOWN = ("x", "x1", "x2", "cx"), ("y", "y1", "y2", "cy")
LEFT_OUT = ("title", "defs")
PAGE_GIVES = ("width", "height", "style", "font-family", "fill", "xmlns")
"""Attributes of a whole drawing that the style sheet of the page gives."""

STYLED = (
    "fill",
    "stroke",
    "stroke-width",
    "stroke-dasharray",
    "stroke-opacity",
    "fill-opacity",
    "font-size",
    "font-weight",
    "text-anchor",
)
"""Attributes that a style sheet may give instead."""

_VALUE = re.compile(r"[#A-Za-z0-9. ]+")
_SIGN = re.compile("\x01([0-9]+) ([^ ]+) ([^ ]+)\x02")
_HATCHED = re.compile(r"url\(#[^)]*-crop([0-9]+)\)")
_MOVED = re.compile(r"translate\(\s*(\S+)\s+(\S+)\s*\)")

Place = tuple[float, float]


class Looks:
    """What the drawings of a page have in common."""

    def __init__(self, styles: Mapping[int, Style]) -> None:
        """Take the look of each crop by its number."""
        self._styles = styles
        self._numbers: dict[str, int] = {}
        self._texts: list[str] = []
        self._stands: Counter[int] = Counter()
        self._shared: dict[int, str] = {}
        self._rules: dict[str, str] = {}

    def take(self, drawing: str) -> str:
        """Return a drawing with signs in the place of its groups."""
        root = fromstring(drawing)  # our own drawing, no file from outside
        kept = {name: value for name, value in root.attrib.items() if name not in PAGE_GIVES}
        inside = self._inside(root, (0.0, 0.0))
        self._count(inside)
        return f"{_opened('svg', kept | {'class': 'drawing'})}>{inside}</svg>"

    def shared(self) -> str:
        """Return a drawing that shows nothing and defines what others refer to; empty when there is none."""
        often = [at for at, text in enumerate(self._texts) if self._stands[at] > 1 and len(text) >= LEAST]
        if not often:
            return ""
        self._shared = {at: f"l{number}" for number, at in enumerate(often)}
        looks = "".join(
            f'<g id="{name}">{self.written(self._texts[at])}</g>' for at, name in self._shared.items()
        )
        return f'<svg class="shared" width="0" height="0" aria-hidden="true"><defs>{looks}</defs></svg>'

    def rules(self) -> str:
        """Return the rules of a style sheet that drawings need."""
        return "".join(f".{name}{{{rule}}}" for rule, name in self._rules.items())

    def written(self, taken: str) -> str:
        """Return what was taken as markup, with references to what is shared."""
        return _SIGN.sub(self._place, taken)

    def _place(self, sign: re.Match[str]) -> str:
        at, x, y = int(sign[1]), sign[2], sign[3]
        if at in self._shared:
            where = "".join(f' {axis}="{value}"' for axis, value in (("x", x), ("y", y)) if value != "0")
            return f'<use href="#{self._shared[at]}"{where}/>'
        moved = f' transform="translate({x} {y})"' if (x, y) != ("0", "0") else ""
        return f"<g{moved}>{self.written(self._texts[at])}</g>"

    def _sign(self, text: str, place: Place) -> str:
        """Return the sign of a look at a place."""
        at = self._numbers.setdefault(text, len(self._texts))
        if at == len(self._texts):
            self._texts.append(text)
            self._count(text)
        return f"\x01{at} {_near(place[0])} {_near(place[1])}\x02"

    def _count(self, text: str) -> None:
        self._stands.update(int(sign[1]) for sign in _SIGN.finditer(text))

    def _inside(self, drawn: Element, by: Place) -> str:
        """Return what stands in a group, moved."""
        parts: list[str] = []
        run: list[str] = []
        shapes = [each for each in drawn if _name(each) not in LEFT_OUT]
        beside_groups = any(_name(each) == "g" for each in shapes)
        for each in shapes:
            if _name(each) != "g":
                run.append(self._shape(each, by))
                continue
            parts += [self._run(run, beside_groups), self._group(each, by)]
            run = []
        return "".join([*parts, self._run(run, beside_groups)])

    def _run(self, run: list[str], beside_groups: bool) -> str:
        text = "".join(run)
        return self._sign(text, (0.0, 0.0)) if beside_groups and len(run) >= RUN else text

    def _group(self, group: Element, by: Place) -> str:
        moved = _MOVED.fullmatch(group.get("transform", ""))
        x, y = (float(moved[1]), float(moved[2])) if moved else (0.0, 0.0)
        left, top = _corner(group)
        return self._sign(self._inside(group, (-left, -top)), (x + left + by[0], y + top + by[1]))

    def _shape(self, shape: Element, by: Place) -> str:
        hatched = _HATCHED.fullmatch(shape.get("fill", ""))
        if hatched:
            return self._hatch(shape, self._styles[int(hatched[1])], by)
        attributes = dict(shape.attrib)
        for names, move in ((ACROSS, by[0]), (DOWN, by[1])):
            for name in names:
                if name in attributes:
                    attributes[name] = _near(float(attributes[name]) + move)
        if "points" in attributes:
            pairs = (pair.split(",") for pair in attributes["points"].split())
            attributes["points"] = " ".join(
                f"{_near(float(x) + by[0])},{_near(float(y) + by[1])}" for x, y in pairs
            )
        opened = _opened(_name(shape), self._styled(attributes))
        return f"{opened}>{escape(shape.text)}</{_name(shape)}>" if shape.text else f"{opened}/>"

    def _styled(self, attributes: Mapping[str, str]) -> dict[str, str]:
        """Return attributes with a class in the place of those that a style sheet may give."""
        given = {name: attributes[name] for name in STYLED if _VALUE.fullmatch(attributes.get(name, ""))}
        if not given:
            return dict(attributes)
        rule = ";".join(f"{name}:{value}{_unit(name)}" for name, value in given.items())
        name = self._rules.setdefault(rule, f"k{len(self._rules)}")
        rest = {key: value for key, value in attributes.items() if key not in given}
        return {"class": name, **rest}

    def _hatch(self, shape: Element, style: Style, by: Place) -> str:
        """Return strokes in the place of a rectangle that is filled with a hatch."""
        x, y, width, height = (float(shape.get(name, 0)) for name in ("x", "y", "width", "height"))
        path = {
            "d": strokes(style.hatch, width, height),
            "fill": "none",
            "stroke": style.ink,
            "stroke-width": "1.1",
        }
        return self._sign(_opened("path", self._styled(path)) + "/>", (x + by[0], y + by[1]))


def _unit(name: str) -> str:
    return "px" if name == "font-size" else ""


def _name(drawn: Element) -> str:
    return drawn.tag.removeprefix(f"{{{NAMESPACE}}}")


def _opened(name: str, attributes: Mapping[str, str]) -> str:
    """Return the beginning of an element, still open."""
    return f"<{name}" + "".join(f" {key}={quoteattr(value)}" for key, value in attributes.items())


def _corner(group: Element) -> Place:
    """Return where the first rectangle of a group begins; a group with paths of its own stays where it is."""
    shapes = {_name(each): each for each in reversed(group)}
    first = shapes.get("rect")
    if first is None or "path" in shapes:
        return 0.0, 0.0
    return float(first.get("x", 0)), float(first.get("y", 0))


def _near(value: float) -> str:
    """Return a number with one decimal, so that what was rounded where it stood is alike again."""
    return number(round(value, 1))
