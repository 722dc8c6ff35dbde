"""What was decided, in plain amounts: the hand-over from any planner to the rows of a plan.

Nothing here knows how the amounts were found. Days are whole numbers from the plan's first day.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayMove:
    """Part of a lot that leaves its trays on one day.

    Attributes:
        crop: crop name.
        sown: sowing day (of a growing row: the day it was sown).
        growing: index in ``farm.growing``, or -1 for a new lot.
        tiers: names of the tiers the trays may stand on.
        day: day the plants leave the trays.
        rows: whole rows of cells (growing rows: 0).
        plants: seedlings taken from a growing row (new lots: 0).
        cuts: (cut number, day) of each cut, for a crop that is cut in its trays; the last is on ``day``.
    """

    crop: str
    sown: int
    growing: int
    tiers: tuple[str, ...]
    day: int
    rows: int
    plants: int
    cuts: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayHeads:
    """Heads that deliveries count on from one cut of a lot in its trays on one day."""

    crop: str
    sown: int
    growing: int
    number: int
    day: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardMove:
    """Part of a lot that stands on boards from ``board_day`` and goes to rafts on ``day``.

    ``zones`` are the board zones it may stand in; ``plants`` are those that leave the boards (and were set
    on them). ``growing`` with ``sown`` None marks plants that stood on boards on day 0.
    """

    crop: str
    sown: int | None
    growing: int
    zones: tuple[str, ...]
    board_day: int
    day: int
    plants: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutAmount:
    """Plants cut at cut ``number`` on ``day``.

    ``after`` is the day of their cut before, None for the first.
    """

    number: int
    day: int
    after: int | None
    plants: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RaftBatch:
    """Part of a lot set on rafts on one day.

    Attributes:
        crop, sown, growing: its lot; ``sown`` None for rafts that stood afloat on day 0.
        from_day: day it entered the stage before (board day, else sowing day); None when not known.
        board_day: day it went onto boards; None without boards.
        day: day it went onto rafts.
        plants: plants set.
        cuts: its cuts.
        gone: (day, plants) that leave after their last cut on that day; thrown ones included.
        thrown: plants of a growing row thrown away on the first day (part of ``gone``).
        heads: (cut number, day, heads) that deliveries count on from it and others of its lot that came into
            the stage before, and onto rafts, on the same days; empty leaves the choice open.
        lanes: rows of one pace it was meant for; empty leaves the choice open.
    """

    crop: str
    sown: int | None
    growing: int
    from_day: int | None
    board_day: int | None
    day: int
    plants: int
    cuts: tuple[CutAmount, ...]
    gone: tuple[tuple[int, int], ...]
    thrown: int
    heads: tuple[tuple[int, int, int], ...] = ()
    lanes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RaftLeave:
    """Rafts of one crop that enter some rows on one day and leave their slots on another (or earlier).

    ``lanes`` are the rows of one bundle: no raft of a bundle overtakes another, whichever row it stands in.
    ``growing`` is the growing row they belong to, or -1.
    """

    crop: str
    growing: int
    lanes: tuple[str, ...]
    enters: int
    leaves: int
    rafts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BedBatch:
    """Part of a lot set into a bed on one day.

    Attributes:
        crop, sown, growing: its lot; ``sown`` None for plants that stood in the bed on day 0.
        from_day: day it entered the stage before; None when not known.
        day: day it is set in.
        leaves: day it is pulled out.
        plants: plants set in.
        heads: (picking number, day, heads that deliveries count on) of every picking.
        positions: (bed, first, last) of the positions it may take; of what grows already those it has.
    """

    crop: str
    sown: int | None
    growing: int
    from_day: int | None
    day: int
    leaves: int
    plants: int
    heads: tuple[tuple[int, int, int], ...]
    positions: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """Heads of one crop cut on one day that go into one demand.

    ``substitute`` is the product they go into where that is not the one asked for, else empty.
    """

    crop: str
    cut_day: int
    demand: str
    heads: int
    substitute: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """Heads of one crop cut on one day that are sold as a product at an outlet on ``day``."""

    outlet: str
    product: str
    day: int
    crop: str
    cut_day: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """Everything a plan is made from; amounts of 0 are left out."""

    tray_moves: tuple[TrayMove, ...]
    board_moves: tuple[BoardMove, ...]
    raft_batches: tuple[RaftBatch, ...]
    raft_leaves: tuple[RaftLeave, ...]
    fills: tuple[Fill, ...]
    tray_heads: tuple[TrayHeads, ...] = ()
    sales: tuple[Sale, ...] = ()
    bed_batches: tuple[BedBatch, ...] = ()
