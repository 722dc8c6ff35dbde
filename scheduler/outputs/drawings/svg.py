"""A small builder of SVG: everything that is text is escaped, every number is written the same way."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

from scheduler.outputs.words import plain

NAMESPACE = "http://www.w3.org/2000/svg"

KEPT = "\n\N{LEFT-TO-RIGHT MARK}\N{RIGHT-TO-LEFT MARK}"
"""Signs that cannot be printed and yet may stand in text."""

Value = str | int | float
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9-]*")


@dataclass(frozen=True, slots=True)
class Node:
    """One element: its name, attributes, and what stands in it (text or other elements)."""

    tag: str
    attributes: tuple[tuple[str, Value], ...]
    inside: tuple["Node | str", ...]

    def __str__(self) -> str:
        """Return the element as text."""
        parts: list[str] = []
        _write(self, parts)
        return "".join(parts)


def node(tag: str, *inside: "Node | str", **attributes: Value) -> Node:
    """Return an element; an underscore in the name of an attribute stands for a hyphen.

    Attributes that are empty text are left out.

    Raises:
        ValueError: a name is none of SVG's.
    """
    named = tuple((_name_of(name), value) for name, value in attributes.items() if value != "")
    return Node(_name_of(tag), named, inside)


@lru_cache(maxsize=1024)
def _name_of(given: str) -> str:
    name = given.rstrip("_").replace("_", "-")
    if not _NAME.fullmatch(name):
        raise ValueError(f"{name!r} is no name of an element or attribute")
    return name


def group(inside: Iterable[Node], x: float = 0, y: float = 0, title: str = "") -> Node:
    """Return elements as one, moved to (x, y), with a text that shows when it is pointed at."""
    move = f"translate({number(x)} {number(y)})" if x or y else ""
    told = [node("title", title)] if title else []
    return node("g", *told, *inside, transform=move)


def referring(drawn: Node, old: str, new: str) -> Node:
    """Return an element in which references to ids that begin with ``old`` begin with ``new``."""
    attributes = tuple(
        (name, value.replace(f"url(#{old}-", f"url(#{new}-") if isinstance(value, str) else value)
        for name, value in drawn.attributes
    )
    inside = tuple(referring(each, old, new) if isinstance(each, Node) else each for each in drawn.inside)
    return Node(drawn.tag, attributes, inside)


def rect(x: float, y: float, width: float, height: float, **attributes: Value) -> Node:
    """Return a rectangle."""
    return node("rect", x=x, y=y, width=width, height=height, **attributes)


def line(x: float, y: float, to_x: float, to_y: float, **attributes: Value) -> Node:
    """Return a straight line; its colour is that of ``stroke``."""
    return node("line", x1=x, y1=y, x2=to_x, y2=to_y, **attributes)


def label(x: float, y: float, text: str, size: float = 10, **attributes: Value) -> Node:
    """Return a line of text that stands on y; ``text_anchor`` end or middle moves it left of x."""
    return node("text", text, x=x, y=y, font_size=size, **attributes)


def svg(size: tuple[float, float], title: str, definitions: Sequence[Node], inside: Iterable[Node]) -> Node:
    """Return a whole drawing that stands alone, in a file as well as within a page.

    Args:
        size: width and height of what is drawn; a page may show it at any width.
        title: what it is, for those who point at it or have it read out.
        definitions: patterns; their ids must be this drawing's own.
        inside: what is drawn.
    """
    width, height = size
    return node(
        "svg",
        node("title", title),
        *([node("defs", *definitions)] if definitions else []),
        *inside,
        xmlns=NAMESPACE,
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        role="img",
        aria_label=title,
        font_family="sans-serif",
        fill="#111111",
        style="max-width:100%;height:auto",
    )


def number(value: float) -> str:
    """Return a number as it stands in a drawing: two decimals at most, no zeros behind them."""
    if isinstance(value, int):
        return str(value)
    return _two_decimals(value)


@lru_cache(maxsize=4096)
def _two_decimals(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def shown(value: Value) -> str:
    """Return the value of an attribute as it stands in a drawing, not yet escaped."""
    return plain(value) if isinstance(value, str) else number(value)


def _write(drawn: Node, parts: list[str]) -> None:
    parts.append(f"<{drawn.tag}")
    parts += [f" {name}={quoted(shown(value))}" for name, value in drawn.attributes]
    if not drawn.inside:
        parts.append("/>")
        return
    parts.append(">")
    for each in drawn.inside:
        if isinstance(each, Node):
            _write(each, parts)
        else:
            parts.append(escape(plain_lines(each)))
    parts.append(f"</{drawn.tag}>")


@lru_cache(maxsize=4096)
def quoted(text: str) -> str:
    """Return the value of an attribute as it is written: within quotes, and escaped."""
    return quoteattr(text)


def plain_lines(text: str) -> str:
    """Return text without signs that steer what shows it, but for new lines and marks of direction."""
    if text.isprintable():
        return text
    return "".join(sign if sign in KEPT else plain(sign) for sign in text)
