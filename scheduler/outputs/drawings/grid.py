"""How the slots of places are laid out in lines, so that every box is wide enough to be read."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scheduler.farm.places import PlaceKind
from scheduler.farm.units import ceil_div
from scheduler.outputs.drawings.pen import WIDTH
from scheduler.plan.views.standing import PlaceDay

BETWEEN = 3
"""Room between two boxes."""

_LEFT, _LEAST, _LEAST_LOW = 66, 50, 33.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Lines of boxes.

    Attributes:
        slots: slots of the largest of the places.
        lines: lines that one place takes.
        columns: boxes in a full line.
        low: whether boxes have one line of text.
        left: room kept free on the left, for names.
        width: width of one box.
    """

    slots: int
    lines: int
    columns: int
    low: bool
    left: float
    width: float

    def x(self, column: int, *, from_right: bool) -> float:
        """Return the left edge of a column, counted from 0 at the left or at the right end of a line."""
        step = self.width + BETWEEN
        return WIDTH - self.width - column * step if from_right else self.left + column * step


def grid_for(places: Sequence[PlaceDay], many: int, least: float = _LEAST) -> Grid:
    """Return the lines for some places: as few as boxes of ``least`` width allow, low from ``many`` on."""
    slots = max((slots_of(place) for place in places), default=1)
    grid = _grid(slots, 0, least, low=False)
    if grid.lines * len(places) < many:
        return grid
    return _grid(slots, _LEFT, min(least, _LEAST_LOW), low=True)


def _grid(slots: int, left: float, least: float, *, low: bool) -> Grid:
    fitting = int((WIDTH - left + BETWEEN) // (least + BETWEEN))
    lines = ceil_div(slots, fitting)
    columns = ceil_div(slots, lines)
    room = (WIDTH - left + BETWEEN) / columns - BETWEEN
    return Grid(slots=slots, lines=lines, columns=columns, low=low, left=left, width=room)


def slots_of(place: PlaceDay) -> int:
    """Return how many boxes a place needs; at least one, also where none is open all season."""
    return max(1, place.most, *(each.slot for each in place.standing), 1)


def same_and_free(places: Sequence[PlaceDay]) -> Iterator[list[PlaceDay]]:
    """Part places into runs of such that are alike and wholly free on a quiet day, and single others."""
    run: list[PlaceDay] = []
    for place in places:
        quiet = not (place.standing or place.gone or place.closed) and place.open
        if run and quiet and place.open == run[0].open:
            run.append(place)
            continue
        if run:
            yield run
        run = [place] if quiet else []
        if not quiet:
            yield [place]
    if run:
        yield run


def is_lane(place: PlaceDay) -> bool:
    """Say whether a place has an intake and a harvest end."""
    return place.kind is PlaceKind.LANE
