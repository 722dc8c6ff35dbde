"""The plan as plain rows: what the tables hold, what the audit judges, what the outputs print.

Days are whole numbers from the plan's first day. Money and minutes are whole hundredths.
A day called ``leaves`` or ``until`` is the first day on which the thing is no longer there.
Each class is one table; ``shared/schema/plan_columns.csv`` documents every column.
"""

from dataclasses import dataclass

from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.rows_boxes import BoxItemRow, BoxRow
from scheduler.plan.rows_water import WaterRow
from scheduler.plan.sale_rows import OutletRow, SaleRow


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRow:
    """Plants of one crop sown on one day, or found growing on the first day.

    ``sown`` is None when a growing lot's sowing day is not known. ``cells`` and ``seeds`` are 0 for
    growing lots. ``discarded`` counts plants of a growing lot that are thrown away on day 0.
    ``overdue`` marks growing lots that were past their last good day on day 0.
    """

    lot: str
    crop: str
    origin: str
    sown: int | None
    cells: int
    seeds: int
    plants: int
    discarded: int
    overdue: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRow:
    """One tray, board or raft, from the day it is filled to the day its slot is free again.

    ``kind`` is the equipment name, ``item`` tray, board or raft. ``emptied`` is the day its last plants
    left; a raft may keep its slot after that (``leaves`` later than ``emptied``) because rafts ahead of it
    stay.
    """

    unit: str
    kind: str
    item: str
    enters: int
    emptied: int
    leaves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentRow:
    """Plants of one lot in one unit that leave it on the same day.

    Trays: ``plants`` is cells, ``rows`` whole rows of cells, ``leaves`` the day they are moved on.
    Boards: plants set, ``leaves`` the day they go to rafts. Rafts: plants set, ``leaves`` the day of
    their last cut. ``from_day`` is the day this lot's plants entered the stage before (sowing day for
    boards; board day, or sowing day without boards, for rafts; ``enters`` for trays), None when not known.
    """

    unit: str
    lot: str
    plants: int
    rows: int
    enters: int
    leaves: int
    from_day: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionRow:
    """Where a unit stands, from a day until (not including) another.

    Slot 1 of a lane is at the harvest end.
    """

    unit: str
    place: str
    slot: int
    enters: int
    until: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """Plants of one lot cut from one raft on one day.

    ``number`` is the cut, 1 for the first; ``heads`` can be sold.
    """

    unit: str
    lot: str
    day: int
    number: int
    plants: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FillRow:
    """Heads of one lot's cut that go into one demand.

    ``substitute`` is the product they go into where that is not the one asked for, else empty.
    """

    demand: str
    crop: str
    lot: str
    cut_day: int
    heads: int
    substitute: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandRow:
    """One dated delivery, or one week of a target, and what it gets.

    ``state`` is ``filled``, ``short``, ``too early`` (no sowing from the first day could reach it, and
    nothing that grew then and goes unused) or ``out of reach`` (no open harvest day lies near enough).
    ``earliest`` is the first day the product can be delivered from a new sowing, None when never.
    ``reason`` says in words what stood in the way, empty when filled. ``reported`` is False past the
    plan's last day. ``substituted`` counts the units of ``filled`` that are of a substitute.
    """

    demand: str
    order: str
    customer: str
    product: str
    day: int
    last: int
    amount: int
    filled: int
    state: str
    firm: bool
    target: bool
    priority: int
    price: int
    earliest: int | None
    reason: str
    reported: bool
    substituted: int = 0

    @property
    def missing(self) -> int:
        """Sale units that it does not get."""
        return max(self.amount - self.filled, 0)

    @property
    def before_sowing(self) -> bool:
        """Whether it is asked for before any new sowing could be ready; what grows may be."""
        return self.earliest is None or self.day < self.earliest

    @property
    def kind(self) -> str:
        """``firm``, ``flexible`` or ``target``."""
        return "target" if self.target else "firm" if self.firm else "flexible"


@dataclass(frozen=True, slots=True, kw_only=True)
class UseRow:
    """Slots of a place used and open on one day."""

    place: str
    day: int
    used: int
    slots: int


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentRow:
    """Units of one kind in use or being washed on one day."""

    kind: str
    day: int
    in_use: int
    washing: int
    owned: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRow:
    """Work of one kind on one day, hundredths of a minute.

    ``crew`` is the whole day's limit, None without one.
    """

    day: int
    work: str
    minutes: int
    crew: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolerRow:
    """Crates of one crop that stand in one cooler after one day.

    ``heads`` are those in these crates, ``room`` the crates the cooler has places for.
    """

    cooler: str
    day: int
    crop: str
    heads: int
    crates: int
    room: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRow:
    """One thing to do on one day.

    ``work`` is order, soak, sow, uncover, thin, transplant, raft, plant, cut, pick, lift, clear, discard,
    deliver or chore; ``key`` stays the same when the task moves to another day. ``plants`` counts cells,
    plants, heads, sale units, or seeds and pieces ordered, as the work suggests; ``units`` counts trays,
    boards, rafts or packs, one that several lots share only on the first of their lines for a kind of work
    on a day.
    """

    key: str
    day: int
    work: str
    lot: str
    crop: str
    units: int
    unit_kind: str
    plants: int
    where: str
    to: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainRow:
    """How heads reached a demand: delivery <- cut <- raft <- board <- sowing; names joined by ``; ``."""

    demand: str
    crop: str
    lot: str
    heads: int
    cut_day: int
    rafts: str
    lane: str
    raft_day: int
    boards: str
    board_day: int | None
    trays: str
    sow_day: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedRow:
    """Seed of one crop sown on one day."""

    crop: str
    variety: str
    day: int
    cells: int
    seeds: int
    cost: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyRow:
    """One order of seed or packaging to place.

    ``order_by`` is the last day to order it; ``late`` when that lies before today. ``arrive_by`` is the
    first day it is needed on, ``covers_until`` the last day it is ordered for; ``needed`` and ``amount``
    count seeds or pieces. ``cost`` is what is paid; the goals count seed as it is sown.
    """

    item: str
    kind: str
    crop_or_product: str
    order_by: int
    arrive_by: int
    covers_until: int
    needed: int
    packs: int
    amount: int
    cost: int
    late: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GoalRow:
    """One goal: what the plan reaches, the proven limit, and whether they are known to meet.

    No plan as good in the goals before this one can be better than ``bound``; it is None where no limit is
    known. ``status`` is ``proven`` when no plan can be better, ``proven together`` when no plan has a lower
    sum of cost and points (a point counts one hundredth of money), else ``best found``.
    """

    level: int
    goal: str
    value: float
    unit: str
    bound: float | None
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """One figure the grower gave over the card's own."""

    crop: str
    figure: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One thing that is otherwise than in the plan before.

    ``change`` is moved, added, dropped, more, less, newly short or newly safe; ``work`` a kind of task.
    ``item`` is the lot, or the delivery; ``of`` its crop or product. ``day_before`` and ``day`` are None
    where there is nothing; amounts count as tasks do. ``promised`` marks work of the days that were to stay
    as planned.
    """

    change: str
    work: str
    item: str
    of: str
    day_before: int | None
    day: int | None
    before: int
    now: int
    promised: bool
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan: one tuple a table, and a note of how it was made."""

    lots: tuple[LotRow, ...]
    units: tuple[UnitRow, ...]
    contents: tuple[ContentRow, ...]
    positions: tuple[PositionRow, ...]
    cuts: tuple[CutRow, ...]
    plantings: tuple[PlantingRow, ...] = ()
    pickings: tuple[PickingRow, ...] = ()
    fills: tuple[FillRow, ...]
    demands: tuple[DemandRow, ...]
    use: tuple[UseRow, ...]
    equipment: tuple[EquipmentRow, ...]
    hours: tuple[HoursRow, ...]
    coolers: tuple[CoolerRow, ...] = ()
    tasks: tuple[TaskRow, ...]
    chains: tuple[ChainRow, ...]
    seed: tuple[SeedRow, ...]
    supplies: tuple[SupplyRow, ...] = ()
    boxes: tuple[BoxRow, ...] = ()
    box_items: tuple[BoxItemRow, ...] = ()
    water: tuple[WaterRow, ...] = ()
    goals: tuple[GoalRow, ...]
    own_figures: tuple[FigureRow, ...]
    changes: tuple[ChangeRow, ...] = ()
    sales: tuple[SaleRow, ...] = ()
    outlets: tuple[OutletRow, ...] = ()
    made: dict[str, str | int | float | bool | None]


TABLES: dict[str, type] = {
    "lots": LotRow,
    "units": UnitRow,
    "contents": ContentRow,
    "positions": PositionRow,
    "cuts": CutRow,
    "plantings": PlantingRow,
    "pickings": PickingRow,
    "fills": FillRow,
    "demands": DemandRow,
    "use": UseRow,
    "equipment": EquipmentRow,
    "hours": HoursRow,
    "coolers": CoolerRow,
    "tasks": TaskRow,
    "chains": ChainRow,
    "seed": SeedRow,
    "supplies": SupplyRow,
    "boxes": BoxRow,
    "box_items": BoxItemRow,
    "water": WaterRow,
    "goals": GoalRow,
    "own_figures": FigureRow,
    "changes": ChangeRow,
    "sales": SaleRow,
    "outlets": OutletRow,
}
"""Table name -> row class, in the order the tables are written."""

OPTIONAL_TABLES: frozenset[str] = frozenset(
    {"plantings", "pickings", "boxes", "box_items", "coolers", "changes", "water", "sales", "outlets"}
)
"""Tables not written without rows, and read as none; columns with a default, all at it, are treated alike."""
