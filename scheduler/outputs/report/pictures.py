"""Drawings for one page: each as it is drawn for itself, but what is alike in many is kept once.

A raft looks the same day after day while it moves along its row. So the page holds each look once, among
its definitions, and a drawing only says where it stands. Hatches become strokes (see :mod:`.hatching`). What
a drawing tells of each unit to those who point at it is left out: the page is for paper, and its tables say
it.
"""

from collections.abc import Iterable

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.outputs.drawings.palette import crop_styles
from scheduler.outputs.drawings.shelf import shelf_sheets
from scheduler.outputs.drawings.trough import trough_sheets
from scheduler.outputs.report.looks import Looks
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import Yard


class Picture:
    """One drawing in a page; it is written when all are known."""

    def __init__(self, drawn: str, looks: Looks) -> None:
        """Keep a drawing that was taken apart."""
        self._drawn = drawn
        self._looks = looks

    def __html__(self) -> str:
        """Return it as markup."""
        return self._looks.written(self._drawn)


class Pictures:
    """Every drawing of a page."""

    def __init__(self, farm: Farm, plan: Plan, yard: Yard | None = None) -> None:
        """Draw for a plan of a farm; ``yard`` has its rows by day, where several pages are drawn."""
        self._farm, self._plan, self._yard = farm, plan, yard
        self._looks = Looks({style.number: style for style in crop_styles(farm).values()})

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

    def _taken(self, drawings: Iterable[str]) -> list[Picture]:
        return [Picture(self._looks.take(drawing), self._looks) for drawing in drawings]
