"""What one line of a work sheet says: one thing to do on one day, in numbers and names, not yet in words.

Places under ``sources`` are as they stand when the work of the day begins, places under ``targets`` as they
stand when it is done. Days are whole numbers from the plan's first day.
"""

from dataclasses import dataclass

from scheduler.plan.views.ledger import Spot, Stack

DAY_ORDER = (
    "discard",
    "cut",
    "pick",
    "deliver",
    "lift",
    "out",
    "clear",
    "clean",
    "raft",
    "plant",
    "transplant",
    "move",
    "sow",
    "uncover",
    "thin",
    "soak",
    "wash",
    "order",
    "chore",
)
"""Kinds of work in an order they can be done in: what leaves a place goes before what comes into it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sowing:
    """Seed of one lot that goes into trays.

    Attributes:
        targets: the trays; ``plants`` of a stack counts cells.
        units: trays that are counted on this line and not on an earlier one that shares them.
        soak_hours: hundredths of an hour the seed lies in water before; 0 for none.
        soaked: the day it is put into water; None without soaking.
        light_on: the day it comes out of the dark; None when it does not stand in the dark.
        domes_off: the day its dome is taken off; None without a dome.
    """

    lot: str
    crop: str
    variety: str
    targets: tuple[Stack, ...]
    units: int
    rows: int
    cells: int
    seeds_per_cell: int
    seeds: int
    soak_hours: int
    soaked: int | None
    light_on: int | None
    domes_off: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Soaking:
    """Seed of one lot that is put into water; it is sown on ``sown``."""

    lot: str
    crop: str
    variety: str
    seeds: int
    soak_hours: int
    sown: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """Trays of one lot that come into the light, lose their domes, or are thinned.

    ``units`` counts trays that no earlier line of the same work shares. ``dome_until`` is the day up to which
    another lot in such a tray keeps the dome on; None when no other does. ``domed`` are the trays that keep
    it, where others lose theirs; empty where all go the same way.
    """

    lot: str
    crop: str
    light_on: bool
    domes_off: bool
    dome_until: int | None
    domed: tuple[Stack, ...] = ()
    sources: tuple[Stack, ...]
    units: int
    cells: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingOut:
    """Plants of one lot that go onto boards, or onto rafts of one row.

    Attributes:
        plants: how many are set out.
        sources: the trays or boards they come from, as those are emptied of this lot.
        standing: what stands there of the lot: cells of trays that were sown, else plants.
        cells: whether ``standing`` counts cells.
        targets: the boards or rafts, rafts in the order they go in.
        units: boards or rafts that are counted on this line and not on an earlier one that shares them.
        turns: rafts only: which ones of the day in this row they are, from 1.
        entering: rafts only: how many go into this row on this day.
    """

    lot: str
    crop: str
    plants: int
    sources: tuple[Stack, ...]
    standing: int
    cells: bool
    targets: tuple[Stack, ...]
    units: int
    turns: tuple[int, ...] = ()
    entering: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RaftCut:
    """What is cut from one raft.

    Attributes:
        raft, slot: its name, and where it stands, 1 at the harvest end.
        plants, heads: plants cut, and what of them can be sold.
        regrowing: those of the plants cut that stay to be cut again.
        staying: plants of whatever lot that stay on the raft.
        leaves: the day it is taken out of its row.
    """

    raft: str
    slot: int
    plants: int
    heads: int
    regrowing: int
    staying: int
    leaves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ForWhom:
    """Heads of a cut that go into one delivery, or into one week of a target (``customer`` empty)."""

    demand: str
    order: str
    customer: str
    product: str
    day: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """Plants of one lot cut in one row.

    Attributes:
        day: the day it is cut.
        row: the row and the slots of its rafts.
        kinds: kinds of the rafts.
        rafts: what is cut from each, the one at the harvest end first.
        units: rafts that are counted on this line and not on an earlier one that shares them.
        numbers: which cuts these are, of ``cuts`` that the crop gets.
        whom: where the heads go.
        spare: heads nobody asked for.
    """

    lot: str
    crop: str
    day: int
    row: Spot
    kinds: tuple[str, ...]
    rafts: tuple[RaftCut, ...]
    units: int
    plants: int
    heads: int
    numbers: tuple[int, ...]
    cuts: int
    whom: tuple[ForWhom, ...]
    spare: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingIn:
    """Plants of one lot that go into positions of one bed; ``sources`` are the trays they come from."""

    lot: str
    crop: str
    plants: int
    sources: tuple[Stack, ...]
    bed: Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class Picking:
    """Plants of one lot picked in one bed.

    Attributes:
        bed: the bed and the positions.
        plants, heads: plants picked, and the pieces or grams of them that can be sold.
        numbers: which pickings of these plants they are.
        whom: where the heads go.
        spare: heads nobody asked for.
    """

    lot: str
    crop: str
    bed: Spot
    plants: int
    heads: int
    numbers: tuple[int, ...]
    whom: tuple[ForWhom, ...]
    spare: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PullingOut:
    """Plants of one lot that are pulled out of one bed, which can be planted again from ``free`` on."""

    lot: str
    crop: str
    bed: Spot
    plants: int
    free: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TakingOut:
    """Rafts that leave one row at the harvest end, or are lifted out past others that stay.

    ``emptied`` is the last day anything was on them.
    """

    row: Spot
    kinds: tuple[str, ...]
    units: int
    lifted: bool
    emptied: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Discarding:
    """Plants of one lot that are thrown away, and where they stand; ``beds`` are positions in beds."""

    lot: str
    crop: str
    plants: int
    sources: tuple[Stack, ...]
    overdue: bool
    beds: tuple[Spot, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """A tray or board that moves because its slot closes."""

    kind: str
    item: str
    lots: tuple[str, ...]
    source: Spot
    target: Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class Washing:
    """Units of one kind to wash; from ``free`` on they can be used again."""

    kind: str
    item: str
    units: int
    sources: tuple[Spot, ...]
    free: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """Heads of one lot's cut that are in a delivery."""

    lot: str
    crop: str
    cut_day: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """One delivery, or one week of a target (``customer`` empty), in units of sale.

    ``pack`` names a unit; ``last`` differs from ``day`` for a target only. ``instead`` lists the substitutes
    in it as (product, pack, units); ``filled`` counts these too.
    """

    demand: str
    order: str
    customer: str
    product: str
    pack: str
    day: int
    last: int
    amount: int
    filled: int
    firm: bool
    state: str
    reason: str
    taken: tuple[Taken, ...]
    instead: tuple[tuple[str, str, int], ...] = ()

    @property
    def as_ordered(self) -> int:
        """Units of the product ordered itself."""
        return self.filled - sum(units for _, _, units in self.instead)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordering:
    """One order of seed or packaging to place: packs, and seeds or pieces in all; cost in hundredths."""

    item: str
    kind: str
    used_for: str
    packs: int
    amount: int
    needed_from: int
    covers_until: int
    cost: int
    late: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """One chore of the house; ``due`` differs from the day of the line where it was moved."""

    name: str
    place: str
    who: str
    note: str
    minutes: int
    due: int
    day: int


Line = (
    Sowing
    | Soaking
    | Care
    | SettingOut
    | Cutting
    | SettingIn
    | Picking
    | PullingOut
    | TakingOut
    | Discarding
    | Moving
    | Washing
    | Delivery
    | Ordering
    | Chore
)
