"""Groups of drawings by what they look like: what looks alike in several places is written once.

How shapes are filled, drawn and lettered is kept once as well, as rules of a style sheet.

A drawing is taken apart from its innermost groups outwards. Each group is moved to its own corner, so that
it is the same text wherever it stands, and gets a number; in what it stands in, a sign with that number and
the place is left. When all drawings are taken, a sign becomes a reference, or the group itself where it is
the only one.
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from xml.sax.saxutils import escape

from scheduler.outputs.drawings.palette import Style
from scheduler.outputs.drawings.svg import Node, Value, number, plain_lines, quoted, shown
from scheduler.outputs.report.hatching import strokes

RUN = 3
"""Shapes and texts one after the other, beside groups, from which on they are made a group."""

LEAST = 60
"""Letters from which on it is worth to write a look once."""

AXES = {"x": 0, "x1": 0, "x2": 0, "cx": 0, "y": 1, "y1": 1, "y2": 1, "cy": 1}
"""Attributes that say where a shape stands -> across or down."""

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
Attributes = dict[str, Value]


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
        self._classes: dict[tuple[tuple[str, Value], ...], tuple[str, frozenset[str]]] = {}
        self._known: dict[tuple[Node, ...], tuple[str, Place]] = {}

    def take(self, drawing: Node) -> str:
        """Return a whole drawing as markup, with signs in the place of its groups."""
        kept = {name: value for name, value in drawing.attributes if name not in PAGE_GIVES}
        inside = self._inside(_shapes(drawing), (0.0, 0.0))
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

    def _inside(self, shapes: Sequence[Node], by: Place) -> str:
        """Return what stands in a group, moved."""
        parts: list[str] = []
        run: list[str] = []
        beside_groups = any(each.tag == "g" for each in shapes)
        for each in shapes:
            if each.tag != "g":
                run.append(self._shape(each, by))
                continue
            parts += [self._run(run, beside_groups), self._group(each, by)]
            run = []
        return "".join([*parts, self._run(run, beside_groups)])

    def _run(self, run: list[str], beside_groups: bool) -> str:
        text = "".join(run)
        return self._sign(text, (0.0, 0.0)) if beside_groups and len(run) >= RUN else text

    def _group(self, group: Node, by: Place) -> str:
        moved = _MOVED.fullmatch(str(dict(group.attributes).get("transform", "")))
        x, y = (float(moved[1]), float(moved[2])) if moved else (0.0, 0.0)
        text, (left, top) = self._looked_at(group)
        return self._sign(text, (x + left + by[0], y + top + by[1]))

    def _looked_at(self, group: Node) -> tuple[str, Place]:
        """Return what stands in a group, moved to its corner, and where that is.

        It is worked out once for innermost groups: a raft is drawn day after day.
        """
        shapes = tuple(_shapes(group))
        is_innermost = all(each.tag != "g" for each in shapes)
        found = self._known.get(shapes) if is_innermost else None
        if found is None:
            left, top = _corner(shapes)
            found = self._inside(shapes, (-left, -top)), (left, top)
            if is_innermost:
                self._known[shapes] = found
        return found

    def _shape(self, shape: Node, by: Place) -> str:
        attributes = dict(shape.attributes)
        hatched = _HATCHED.fullmatch(str(attributes.get("fill", "")))
        if hatched:
            return self._hatch(attributes, self._styles[int(hatched[1])], by)
        for name in attributes.keys() & AXES.keys():
            attributes[name] = _near(_as_drawn(attributes[name]) + by[AXES[name]])
        if "points" in attributes:
            pairs = (pair.split(",") for pair in str(attributes["points"]).split())
            attributes["points"] = " ".join(
                f"{_near(float(x) + by[0])},{_near(float(y) + by[1])}" for x, y in pairs
            )
        opened = _opened(shape.tag, self._styled(attributes))
        text = "".join(plain_lines(each) for each in shape.inside if isinstance(each, str))
        return f"{opened}>{escape(text)}</{shape.tag}>" if text else f"{opened}/>"

    def _styled(self, attributes: Attributes) -> Attributes:
        """Return attributes with a class in the place of those that a style sheet may give."""
        name, given = self._class_of(tuple(each for each in attributes.items() if each[0] in STYLED))
        if not given:
            return attributes
        return {"class": name} | {key: value for key, value in attributes.items() if key not in given}

    def _class_of(self, asked: tuple[tuple[str, Value], ...]) -> tuple[str, frozenset[str]]:
        """Return the class for some attributes, and which of them it gives; worked out once."""
        if asked not in self._classes:
            texts = {name: shown(value) for name, value in asked}
            given = [name for name in STYLED if name in texts and _VALUE.fullmatch(texts[name])]
            rule = ";".join(f"{name}:{texts[name]}{_unit(name)}" for name in given)
            name = self._rules.setdefault(rule, f"k{len(self._rules)}") if given else ""
            self._classes[asked] = name, frozenset(given)
        return self._classes[asked]

    def _hatch(self, shape: Attributes, style: Style, by: Place) -> str:
        """Return strokes in the place of a rectangle that is filled with a hatch."""
        x, y, width, height = (_as_drawn(shape.get(name, 0)) for name in ("x", "y", "width", "height"))
        path: Attributes = {
            "d": strokes(style.hatch, width, height),
            "fill": "none",
            "stroke": style.ink,
            "stroke-width": "1.1",
        }
        return self._sign(_opened("path", self._styled(path)) + "/>", (x + by[0], y + by[1]))


def _unit(name: str) -> str:
    return "px" if name == "font-size" else ""


def _shapes(drawn: Node) -> list[Node]:
    """Return the elements of a group that a page shows."""
    return [each for each in drawn.inside if isinstance(each, Node) and each.tag not in LEFT_OUT]


def _opened(name: str, attributes: Attributes) -> str:
    """Return the beginning of an element, still open."""
    return f"<{name}" + "".join([f" {key}={quoted(shown(value))}" for key, value in attributes.items()])


def _corner(shapes: Sequence[Node]) -> Place:
    """Return where the first rectangle of a group begins; a group with paths of its own stays where it is."""
    tags = [each.tag for each in shapes]
    if "rect" not in tags or "path" in tags:
        return 0.0, 0.0
    first = dict(shapes[tags.index("rect")].attributes)
    return _as_drawn(first.get("x", 0)), _as_drawn(first.get("y", 0))


def _as_drawn(value: Value) -> float:
    """Return a number as a drawing shows it, with two decimals, so that a page shows it at the same place."""
    return round(float(value), 2)


def _near(value: float) -> str:
    """Return a number with one decimal, so that what was rounded where it stood is alike again."""
    return number(round(value, 1))
