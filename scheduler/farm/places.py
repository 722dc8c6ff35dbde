"""Places with slots: tiers, board zones, lanes, beds; and the geometry that turns water into slots."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum


class Keeps(StrEnum):
    """Whose trays a tier is kept for."""

    ALL = ""
    NURSERY = "nursery"
    GREENS = "greens"


class PlaceKind(StrEnum):
    """What kind of unit a place takes."""

    TIER = "tier"
    ZONE = "zone"
    LANE = "lane"
    BED = "bed"


@dataclass(frozen=True, slots=True)
class Steps:
    """A whole number that changes on some days: ``((0, 12), (60, 9))`` is 12 from day 0 and 9 from day 60.

    The first step starts at the earliest day anyone may ask for; before it the value is 0.
    """

    steps: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, value: Callable[[int], int], days: Iterable[int]) -> "Steps":
        """Return the steps of a number that can only change on the days given."""
        steps: list[tuple[int, int]] = []
        for day in sorted(set(days)):
            number = value(day)
            if not steps or steps[-1][1] != number:
                steps.append((day, number))
        return cls(tuple(steps))

    def on(self, day: int) -> int:
        """Return the value on a day."""
        value = 0
        for start, number in self.steps:
            if start > day:
                break
            value = number
        return value

    def highest(self) -> int:
        """Return the largest value of any day."""
        return max((number for _, number in self.steps), default=0)

    def changes(self) -> list[int]:
        """Return the days on which the value changes."""
        return [start for start, _ in self.steps]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place with slots.

    Attributes:
        name: unique name, such as ``Shelf A 2``, ``North trough boards`` or ``North trough 1``.
        belongs_to: the shelf or trough it is part of; pace is given for that.
        kind: tier, zone, lane or bed.
        slots: slots open on each day (0 outside its days in service); of a bed its positions.
        keeps: tiers that are kept for crops that move on from their trays, or for those cut in them.
        rest: days a row stays empty between two crops; rest_minutes: hundredths of a minute to clean it then.
        rest_cut: days by which that is shorter before what comes in on a day; only where it is asked what a
            shorter rest would do.
        clean_days: days from pulling a plant out of a bed until its position is free again; 0 elsewhere.
    """

    name: str
    belongs_to: str
    kind: PlaceKind
    slots: Steps
    keeps: Keeps = Keeps.ALL
    rest: int = 0
    clean_days: int = 0
    rest_minutes: int = 0
    rest_cut: Steps | None = None

    def rest_before(self, day: int) -> int:
        """Return the days a row stays empty before another crop comes in on a day."""
        return self.rest - (self.rest_cut.on(day) if self.rest_cut else 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class TroughShape:
    """What a trough's size gives, in whole millimetres.

    Attributes:
        rows: rows of rafts side by side.
        slots: slots in one row, intake end to harvest end.
        spare_width: water left over beside the rows.
        spare_length: water left over behind the last slot.
    """

    rows: int
    slots: int
    spare_width: int
    spare_length: int


def trough_shape(width: int, length: int, raft: tuple[int, int], *, along: bool) -> TroughShape:
    """Lay rafts of ``raft`` = (short side, long side) in a trough; all in whole millimetres.

    ``along`` lays the long side along the trough's length, otherwise it lies across.
    A 6 ft x 36 ft trough with 2 x 4 ft rafts laid along takes three rows of nine
    (common practice, no source).
    """
    short, long = min(raft), max(raft)
    across_side, along_side = (short, long) if along else (long, short)
    rows, slots = width // across_side, length // along_side
    return TroughShape(
        rows=rows,
        slots=slots,
        spare_width=width - rows * across_side,
        spare_length=length - slots * along_side,
    )
