"""From a figure of matplotlib to one element of SVG that stands alone or in a page beside others.

Same figure, same bytes: text stays text, no date, ids from a fixed salt. Nothing of the figure's settings
is left behind in matplotlib, and nothing of a user's own settings gets in.
"""

import io
import re
import warnings
from collections.abc import Callable, Container, Iterator
from typing import TYPE_CHECKING, Any
from xml.dom import minidom

from scheduler.outputs.fonts import load_charts

if TYPE_CHECKING:
    from matplotlib.figure import Figure

INK, QUIET = "#222222", "#8A8A8A"
"""Colours of text and limits, and of what should stand back."""

SIGNS: dict[str, Any] = {"linestyle": "none", "markeredgecolor": INK, "markeredgewidth": 0.8}
"""Signs that stand alone, without a line from one to the next."""

_SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none",
    "text.parse_math": False,  # a dollar sign in a name is a dollar sign
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],  # comes with matplotlib, so that texts are measured the same anywhere
    "font.size": 8.5,
    "text.color": INK,
    "axes.edgecolor": QUIET,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.7,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.axisbelow": True,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.major.width": 0.7,
    "ytick.major.width": 0.7,
    "grid.color": "#DDDDDD",
    "grid.linewidth": 0.7,
    "hatch.linewidth": 0.7,
    "legend.frameon": False,
    "legend.handlelength": 1.6,
    "legend.handleheight": 1.0,
    "figure.facecolor": "none",
    "axes.facecolor": "none",
}
_NO_METADATA = {"Date": None, "Creator": None, "Format": None, "Type": None}
_HREF = "xlink:href"
_REFERENCE = re.compile(r"url\(#([^)]+)\)")
_DECIMALS = re.compile(r"(\.[0-9]{2})[0-9]+")


def svg_of(name: str, told: str, size: tuple[float, float], draw: Callable[["Figure"], None]) -> str:
    """Draw a figure and return it as one ``<svg>`` element, as wide as what it stands in.

    Args:
        name: begins every id, so that charts in one page keep apart; letters and hyphens.
        told: what the chart shows, for those who cannot see it.
        size: width and height in inches, which give its shape and the size of its text.
        draw: draws into an empty figure.
    """
    load_charts()
    import matplotlib
    from matplotlib.figure import Figure

    out = io.StringIO()
    with matplotlib.rc_context(), warnings.catch_warnings():
        # letters the font lacks are drawn by the browser, which has others
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        matplotlib.rcdefaults()
        settings: Any = matplotlib.rcParams
        settings.update(_SETTINGS | {"svg.hashsalt": f"raftway-{name}"})
        figure = Figure(figsize=size, layout="constrained")
        draw(figure)
        figure.savefig(out, format="svg", metadata=_NO_METADATA)
    return _standing_alone(out.getvalue(), name, told)


def _standing_alone(text: str, name: str, told: str) -> str:
    """Take off what belongs to a file, and let no id or style reach beyond the element."""
    with minidom.parseString(text) as document:
        (root,) = document.getElementsByTagName("svg")
        _take_off(root)
        for attribute in ("width", "height", "version"):
            root.removeAttribute(attribute)
        elements = list(_elements(root))
        used = {each for element in elements for each in _referred(element)}
        for element in elements:
            _keep_apart(element, used, f"chart-{name}-")
        root.setAttribute("style", "stroke-linejoin: round; stroke-linecap: butt")
        root.setAttribute("class", "chart")
        root.setAttribute("role", "img")
        root.setAttribute("aria-label", told)
        return root.toxml()


def _take_off(element: minidom.Element) -> None:
    """Take off styles, which would reach beyond the element, and the blanks between elements."""
    for child in list(element.childNodes):
        if isinstance(child, minidom.Text):
            if not child.data.strip() and element.tagName != "text":
                element.removeChild(child)
        elif isinstance(child, minidom.Element):
            if child.tagName == "style":
                element.removeChild(child)
            else:
                _take_off(child)


def _elements(root: minidom.Element) -> Iterator[minidom.Element]:
    yield root
    for child in root.childNodes:
        if isinstance(child, minidom.Element):
            yield from _elements(child)


def _referred(element: minidom.Element) -> Iterator[str]:
    """Return the ids an element refers to."""
    for name, value in element.attributes.items():
        if name == _HREF:
            yield value.removeprefix("#")
        yield from _REFERENCE.findall(value)


def _keep_apart(element: minidom.Element, used: Container[str], begin: str) -> None:
    """Begin each id that is used, and what refers to it, with words of this chart; write short numbers."""
    if element.hasAttribute("id"):
        own = element.getAttribute("id")
        element.removeAttribute("id")
        if own in used:
            element.setAttribute("id", begin + own)
    for name, value in list(element.attributes.items()):
        if name == _HREF:
            element.setAttribute(name, f"#{begin}{value.removeprefix('#')}")
        elif name == "transform" and value.startswith("rotate(-0 "):
            element.removeAttribute(name)
        elif name in ("d", "x", "y"):
            element.setAttribute(name, _DECIMALS.sub(r"\1", value))
        elif "url(#" in value:
            element.setAttribute(name, _REFERENCE.sub(rf"url(#{begin}\1)", value))
