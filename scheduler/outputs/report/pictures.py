"""Drawings for one page: each as it is drawn for itself, but what is alike in many is kept once.

A raft looks the same day after day while it moves along its row. So the page holds each look once, among
its definitions, and a drawing only says where it stands. Hatches become strokes (see :mod:`.hatching`). What
a drawing tells of each unit to those who point at it is left out: the page is for paper, and its tables say
it.
"""

import re
from collections.abc import Iterable

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.outputs.drawings.palette import crop_styles
from scheduler.outputs.drawings.shelf import shelf_sheets
from scheduler.outputs.drawings.svg import Node
from scheduler.outputs.drawings.trough import trough_sheets
from scheduler.outputs.report.looks import Looks
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import Yard

_SIZE = re.compile(r'viewBox="0 0 (\S+) (\S+)"')


class Picture:
    """One drawing in a page; it is written when all are known."""

    def __init__(self, drawn: str, looks: Looks, name: str) -> None:
        """Keep a drawing that was taken apart, and a name that no other of the page has."""
        self._drawn = drawn
        self._looks = looks
        self._name = name

    def __html__(self) -> str:
        """Return it as markup."""
        return self._looks.written(self._drawn)

    def named(self) -> Markup:
        """Return it as markup that :meth:`again` can refer to."""
        opened, inside = self._parts()
        return Markup(f'{opened}<g id="{self._name}">{self._looks.written(inside)}</g></svg>')

    def again(self) -> Markup:
        """Return a drawing that shows the named one a second time."""
        opened = self._parts()[0].replace('class="drawing"', 'class="drawing again"')
        return Markup(f'{opened}<use href="#{self._name}"/></svg>')

    @property
    def height(self) -> float:
        """How high it is, in parts of its width."""
        width, height = _SIZE.search(self._parts()[0]).groups()  # type: ignore[union-attr]  # all have one
        return float(height) / float(width)

    def _parts(self) -> tuple[str, str]:
        """Return how the drawing begins and what stands in it; a value has no ``>`` that is not escaped."""
        opened, _, inside = self._drawn.removesuffix("</svg>").partition(">")
        return f"{opened}>", inside


class Pictures:
    """Every drawing of a page."""

    def __init__(self, farm: Farm, plan: Plan, yard: Yard | None = None) -> None:
        """Draw for a plan of a farm; ``yard`` has its rows by day, where several pages are drawn."""
        self._farm, self._plan, self._yard = farm, plan, yard
        self._looks = Looks({style.number: style for style in crop_styles(farm).values()})
        self._taken_before = 0

    def trough(self, trough: str, day: int) -> list[Picture]:
        """Return a trough at the end of a day, in as many drawings as pages need."""
        return self._taken(trough_sheets(self._farm, self._plan, trough, day, yard=self._rows()))

    def shelf(self, shelf: str, day: int) -> list[Picture]:
        """Return a shelf at the end of a day, in as many drawings as pages need."""
        return self._taken(shelf_sheets(self._farm, self._plan, shelf, day, yard=self._rows()))

    def shared(self) -> Markup:
        """Return what the drawings refer to; ask for it when all are drawn."""
        return Markup(self._looks.shared())

    def rules(self) -> Markup:
        """Return the rules of a style sheet that the drawings need; ask for them when all are drawn."""
        return Markup(self._looks.rules())

    def _rows(self) -> Yard:
        """Return the plan's rows by day: sorted when first something is drawn."""
        self._yard = self._yard or Yard(self._farm, self._plan)
        return self._yard

    def _taken(self, drawings: Iterable[Node]) -> list[Picture]:
        found = []
        for drawing in drawings:
            self._taken_before += 1
            found.append(Picture(self._looks.take(drawing), self._looks, f"drawn-{self._taken_before}"))
        return found
