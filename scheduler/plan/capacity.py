"""What a farm can carry every week, as plain rows: the limit of a mix, what binds it, and how it grows."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise


class RoomKind(StrEnum):
    """What a farm has only so much of."""

    TIER = "tray places"
    ZONE = "board slots"
    LANE = "raft slots"
    BED = "bed positions"
    TRAY = "trays"
    BOARD = "boards"
    RAFT = "rafts"
    DOME = "domes"
    HOURS = "hours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One product of a mix.

    Attributes:
        product: its name.
        amount: units a week in the mix as it is asked for.
        linear: units a week that the linear bound lets through.
        whole: units a week in the steady week with whole units; None where none was found.
    """

    product: str
    amount: float
    linear: float
    whole: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What one head of a crop takes: days of one place, losses included.

    Attributes:
        crop: its name.
        tray_days, board_days, raft_days, bed_days: days of one tray place, board slot, raft slot and bed
            position for one head.
    """

    crop: str
    tray_days: float
    board_days: float
    raft_days: float
    bed_days: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """Something a farm has only so much of, in a steady week at the linear bound.

    Attributes:
        kind: what it is.
        name: shelves, troughs or the kind of equipment.
        there: how much there is on an average day of the week (hours: in the week).
        used: share of it in use.
        price: units a week that a little more of one is worth by the dual price of the bound.
        worth: units a week that one more brings, by solving again.
    """

    kind: RoomKind
    name: str
    there: float
    used: float
    price: float
    worth: float

    @property
    def binds(self) -> bool:
        """Say whether more of it would bring more."""
        return self.worth > TINY


TINY = 1e-6
"""Units a week that count as nothing: the rest of a sum of fractions."""


class Sought(StrEnum):
    """An answer that is searched for, beside the linear bound that is worked out."""

    WHOLE = "steady week of whole units"
    SEASON = "plan of the whole season"


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """A plan of the whole season that asks for a mix week after week.

    Attributes:
        times: times the mix that was asked for, thousandths.
        filled: share of what a sowing can reach that is filled; 1 when nothing is short.
    """

    times: int
    filled: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """How much of a mix a farm carries every week.

    Attributes:
        parts: the mix, product by product.
        left_out: products of the mix that nothing can be grown for in that week.
        first_day: day number of the first day of the steady week, for its pace and sowing windows.
        weeks: weeks after which the steady week repeats.
        linear: times the mix that the linear bound allows; nothing carries more.
        whole: times the mix found with whole trays, boards and rafts, in thousandths; None when not looked
            for, or not in time.
        whole_most: times that no steady week can exceed, in thousandths, as far as proven.
        season: what a plan of the whole season was found to fill; None when not looked for, or no plan was
            found.
        rooms: what there is only so much of, in the order of the book.
        loads: crops that may be grown for it.
        missed: what was looked for and not found in its time; the season is only looked for after the week.
    """

    parts: tuple[Part, ...]
    left_out: tuple[str, ...]
    first_day: int
    weeks: int
    linear: float
    whole: int | None
    whole_most: int | None
    season: Season | None
    rooms: tuple[Room, ...]
    loads: tuple[Load, ...]
    missed: Sought | None = None

    @property
    def amount(self) -> float:
        """Units a week of the mix as it is asked for."""
        return sum(part.amount for part in self.parts)

    @property
    def binding(self) -> tuple[Room, ...]:
        """What holds the farm back, most worth first."""
        return tuple(sorted((room for room in self.rooms if room.binds), key=lambda room: -room.worth))


Held = tuple[RoomKind, str]
"""What holds a farm back: its kind, and the shelf, trough or kind of equipment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One farm of a frontier.

    Attributes:
        number: rows, board slots, tray places, bed positions, or percent of all of these places.
        linear: units a week at the linear bound.
        whole: units a week found with whole units, there or with less; None if not looked for or not found.
        binding: what binds, most worth first.
    """

    number: int
    linear: float
    whole: float | None
    binding: tuple[Held, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A number from which on one more brings less.

    Attributes:
        number: where the curve bends.
        before, after: units a week that one more brings up to there, and from there on.
        binding: what holds back the farm beyond it.
    """

    number: int
    before: float
    after: float
    binding: tuple[Held, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frontier:
    """Output against the number of something.

    Attributes:
        what: ``rows``, ``boards``, ``trays``, ``beds`` or ``together``.
        now: the number the farm has; 100 (percent) for all together.
        points: by number.
        bends: where the curve of the linear bound bends, by number.
    """

    what: str
    now: int
    points: tuple[Point, ...]
    bends: tuple[Bend, ...]


def bends_of(points: tuple[Point, ...]) -> tuple[Bend, ...]:
    """Return where a curve bends: where one more brings less than before by more than a hundredth.

    Points may lie apart: between two of them the curve counts as straight.
    """
    slopes = [
        (after.linear - before.linear) / (after.number - before.number) for before, after in pairwise(points)
    ]
    least = max(slopes, default=0.0) / 100
    found = []
    for at in range(1, len(slopes)):
        before, after = slopes[at - 1], slopes[at]
        if before - after > max(least, TINY):
            found.append(
                Bend(
                    number=points[at].number,
                    before=before,
                    after=max(0.0, after),
                    binding=points[at + 1].binding,
                )
            )
    return tuple(found)
