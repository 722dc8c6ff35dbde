"""The planner's variables: one container that every rule and goal reads.

All are whole numbers. Trays, boards and rafts are counted per group of units that are filled on one
day and may hold each other's plants; within a group the plants that stay longest are packed together,
so the units still there on a day are the plants still there over the plants of one unit, rounded up.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.farm import Farm
from scheduler.farm.orders.box_aims import Aim
from scheduler.farm.shared import batch_of, carrier, found_per_unit
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.bed_pools import BedPool, bed_pools
from scheduler.model.options.frame import Frame, parcels_of
from scheduler.model.options.options import BoardOut, Cutting, Options, RaftSet, TrayOut
from scheduler.model.options.pools import Bundle

Lot = tuple[str, int, int]
"""Crop, sowing day (0 where unknown), index of the growing row or -1."""

MIXED = ""
"""Stands for the crops of a mix, which go into its units together."""

Homes = Mapping[str, frozenset[str]]
"""Crop -> names of the bundles it keeps to."""

Pulse = Callable[[], None]
"""Called again and again during long work; gives it up by raising."""


BoxSpot = tuple[str, int, str]
"""Share, number of the box, name of the slot."""


PULSE_EVERY = 256
"""Steps between two pulses where one step takes but microseconds."""


def no_pulse() -> None:
    """Let the work go on."""


class TrayLot(NamedTuple):
    """A lot that is cut in its trays: what is sown of a crop on one day, or one growing row."""

    crop: str
    sown: int
    growing: int


class RaftLot(NamedTuple):
    """What of a lot came into the stage before rafts on one day (0 where not known), and onto them on one.

    Its heads are rounded together, through whatever places its plants go and in whatever rows they stand.
    """

    crop: str
    sown: int
    growing: int
    before: int
    day: int


class Tag(NamedTuple):
    """What a variable is about: a crop ("" for no single one), days, whether it only follows, a bundle.

    It is about the days from ``day`` through ``until`` (None: that day alone). For what is chosen those are
    days on which its plants go onto rafts. What only follows (heads, fills, unit counts, yes-or-nos of the
    lane order) is freed wherever a part that is searched could change it.
    """

    crop: str
    day: int
    follows: bool = False
    bundle: str = ""
    until: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitGroup:
    """Units filled on one day that may share plants: see the module's text.

    ``owner`` is the lot (and for rafts the day it entered the stage before) where units are not shared,
    else empty. ``per_unit`` counts rows (trays) or plants (boards, rafts, and everything growing).
    """

    pool: str
    kind: str
    per_unit: int
    enters: int
    owner: tuple[str, int, int, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RaftClass:
    """Rafts of one crop that may stand in the same bundles; ``growing`` keeps rafts of day 0 apart."""

    crop: str
    kind: str
    bundles: tuple[str, ...]
    growing: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """Rafts of one class that enter one bundle on one day; ``entry`` orders all queues of the bundle."""

    raft_class: RaftClass
    bundle: str
    entry: int
    enters: int


@dataclass(eq=False, repr=False)
class Decisions:
    """Variables of one model, made by ``decide`` and only read afterwards.

    Attributes:
        tray_rows: rows of cells (growing: plants) that leave trays by one option.
        board_plants: plants that leave boards by one option.
        raft_plants: plants set on rafts by one option.
        cut_plants: plants cut at one step of an option's cuts.
        leaving: (option, day) -> variables whose sum is the plants gone for good after that day.
        thrown: plants of growing rafts thrown away on the first day.
        raft_lots: what is set on rafts by one option -> the lot it is counted with where heads are.
        heads: (lot on rafts, lot cut in its trays, or planting; cut or picking number; day) -> heads taken
            for demands, of what is sold by mass grams.
        tray_cuts: lot cut in its trays -> (cut number, day) -> options whose trays are cut then.
        bed_plants: plants set into a bed by one option.
        bed_kept: growing plants of a bed -> 1 unless they are pulled out on the first day.
        homes: crops named in it keep to those bundles.
        parcels: what may go into the wishes: each wish's own product under its number, then substitutes.
        fills: (crop, cut day, parcel) -> heads. units: (parcel, crop, of a mix MIXED) -> units.
        short: wish -> units.
        sold: (week of an outlet, step) -> units sold at the step's price.
        whole: wish -> 1 when an all-or-nothing delivery is made.
        trays, boards, rafts: (group, day) -> units still there until that day (rafts: emptied on it).
        queues: queue -> day -> rafts that leave their slot on that day.
        crates: (crop, day) -> crates of it that stand in coolers after that day, where the book has coolers.
        lots: (crop, sowing day) -> 1 when anything is sown.
        bundles_of: crop -> bundles its rafts may stand in.
        emptied: index of a growing row of trays or boards -> units emptied on the first day.
        kept: growing group of rafts -> 1 unless all of it is thrown away on the first day (lift_out only).
        lifted: the same -> its rafts emptied on the first day, 0 when all of it is thrown away.
        lifts: (queue, day) -> rafts of it lifted out on that day past others that stay (where work counts).
        box_wishes: place of a box -> its wishes, one a delivery day.
        picks: (place of a box, product) -> 1 when the product goes in.
        box_marks: what follows from the picks, by a key of its own; box_aims: what boxes are meant to have.
        box_terms: (weight, variable) of what boxes lack, as part of the flexible shortage.
        entering: (bundle that rests between crops, crop, day) -> 1 when rafts of it come in.
        cleared: (bundle, entry, day) -> 1 when everything up to that entry has left by the day.
        pulse: called while variables and rules are made.
    """

    frame: Frame
    options: Options
    bundles: tuple[Bundle, ...]
    homes: Homes
    pulse: Pulse = no_pulse
    tray_rows: dict[TrayOut, IntVar] = field(default_factory=dict)
    board_plants: dict[BoardOut, IntVar] = field(default_factory=dict)
    raft_plants: dict[RaftSet, IntVar] = field(default_factory=dict)
    cut_plants: dict[tuple[RaftSet, Cutting], IntVar] = field(default_factory=dict)
    leaving: dict[RaftSet, dict[int, list[IntVar]]] = field(default_factory=lambda: defaultdict(dict))
    thrown: dict[RaftSet, IntVar] = field(default_factory=dict)
    raft_lots: dict[RaftSet, RaftLot] = field(default_factory=dict)
    heads: dict[tuple[RaftLot | TrayLot | BedSet, int, int], IntVar] = field(default_factory=dict)
    tray_cuts: dict[TrayLot, dict[tuple[int, int], list[TrayOut]]] = field(
        default_factory=lambda: defaultdict(dict)
    )
    bed_plants: dict[BedSet, IntVar] = field(default_factory=dict)
    bed_kept: dict[BedSet, IntVar] = field(default_factory=dict)
    fills: dict[tuple[str, int, int], IntVar] = field(default_factory=dict)
    units: dict[tuple[int, str], IntVar] = field(default_factory=dict)
    short: dict[int, IntVar] = field(default_factory=dict)
    whole: dict[int, IntVar] = field(default_factory=dict)
    sold: dict[tuple[int, int], IntVar] = field(default_factory=dict)
    tray_groups: dict[UnitGroup, list[TrayOut]] = field(default_factory=lambda: defaultdict(list))
    board_groups: dict[UnitGroup, list[BoardOut]] = field(default_factory=lambda: defaultdict(list))
    raft_groups: dict[UnitGroup, list[RaftSet]] = field(default_factory=lambda: defaultdict(list))
    trays: dict[tuple[UnitGroup, int], IntVar] = field(default_factory=dict)
    boards: dict[tuple[UnitGroup, int], IntVar] = field(default_factory=dict)
    rafts: dict[tuple[UnitGroup, int], IntVar] = field(default_factory=dict)
    class_of: dict[UnitGroup, RaftClass] = field(default_factory=dict)
    queues: dict[Queue, dict[int, IntVar]] = field(default_factory=dict)
    crates: dict[tuple[str, int], IntVar] = field(default_factory=dict)
    lots: dict[tuple[str, int], IntVar] = field(default_factory=dict)
    emptied: dict[int, IntVar] = field(default_factory=dict)
    bundles_of: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    kept: dict[UnitGroup, IntVar] = field(default_factory=dict)
    lifted: dict[UnitGroup, IntVar] = field(default_factory=dict)
    lifts: dict[tuple[Queue, int], IntVar] = field(default_factory=dict)
    entering: dict[tuple[str, str, int], IntVar] = field(default_factory=dict)
    cleared: dict[tuple[str, int, int], IntVar] = field(default_factory=dict)
    box_wishes: dict[BoxSpot, list[int]] = field(default_factory=lambda: defaultdict(list))
    picks: dict[tuple[BoxSpot, str], IntVar] = field(default_factory=dict)
    box_marks: dict[tuple[str | int, ...], IntVar] = field(default_factory=dict)
    box_aims: list[Aim] = field(default_factory=list)
    box_terms: list[tuple[int, IntVar]] = field(default_factory=list)
    _most: dict[int, int] = field(default_factory=dict)
    _tags: dict[int, Tag] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find what may go into the wishes."""
        self.parcels = parcels_of(self.frame.wishes)

    @cached_property
    def bed_pools(self) -> tuple[BedPool, ...]:
        """The pools of beds the plantings stand in."""
        return bed_pools(self.farm, self.frame.start)

    def beds_of(self, crop: str) -> list[str]:
        """Return the names of the pools of beds a crop may be set into."""
        return [pool.name for pool in self.bed_pools if crop in pool.crops]

    @property
    def counts_lifts(self) -> bool:
        """Whether rafts may be lifted out past others, and the work of it counts."""
        farm, rules = self.farm, self.farm.rules
        return rules.lift_out and rules.lift_minutes > 0 and (farm.hands is not None or farm.cost("hour") > 0)

    @property
    def farm(self) -> Farm:
        """The farm the model is about."""
        return self.frame.farm

    def new(self, model: CpModel, most: int, name: str, tag: Tag) -> IntVar:
        """Make a variable from 0 through ``most``; a search that frees a part asks for its tag."""
        variable = model.new_int_var(0, most, name) if most > 1 else model.new_bool_var(name)
        if not variable.index % PULSE_EVERY:
            self.pulse()
        if not most:
            model.add(variable == 0)
        self._most[variable.index] = most
        self._tags[variable.index] = tag
        return variable

    def most(self, variable: IntVar) -> int:
        """Return the upper limit a variable was made with."""
        return self._most[variable.index]

    @property
    def tags(self) -> dict[int, Tag]:
        """Variable index -> tag."""
        return self._tags


def cells_of(farm: Farm, out: TrayOut) -> int:
    """Return the cells that one unit of an option's variable stands for: a row's, or 1 of what grows."""
    tray = farm.equipment[farm.crops[out.crop].tray.unit]
    return tray.cells_per_row if out.growing < 0 else 1


def lot_of(option: TrayOut | BoardOut | RaftSet | BedSet) -> Lot:
    """Return the lot an option is part of."""
    if isinstance(option, TrayOut):
        return option.crop, option.sown, option.growing
    if option.source is None:
        return option.crop, 0, option.growing
    return lot_of(option.source)


def batch_lot(farm: Farm, option: BoardOut | RaftSet) -> Lot:
    """Return the lot an option is part of, where its plants may share units: rows of one lot are one."""
    crop, sown, growing = lot_of(option)
    return crop, sown, batch_of(farm, growing) if growing >= 0 else growing


def entered_before(option: RaftSet | BedSet) -> int:
    """Return the day an option's plants entered the stage before (0 where rafts or beds grow already)."""
    if isinstance(option.source, BoardOut):
        return option.source.board_day
    return option.source.sown if option.source else 0


def raft_lot_of(option: RaftSet) -> RaftLot:
    """Return what an option's heads are counted with."""
    return RaftLot(*lot_of(option), entered_before(option), option.day)


def growing_per_unit(farm: Farm, index: int) -> int:
    """Return the most plants one unit of a growing row holds, those of all rows that share it."""
    return found_per_unit(farm, farm.growing[index])


def growing_owner(farm: Farm, option: TrayOut | BoardOut | RaftSet) -> tuple[str, int, int, int]:
    """Return whose units of day 0 an option's are: its own row's, or those of the rows that share one."""
    together = farm.growing[option.growing].together
    if together:
        return "", 0, carrier(farm, option.growing), 0
    return (*lot_of(option), entered_before(option) if isinstance(option, RaftSet) else 0)
