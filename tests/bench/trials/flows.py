"""Plants as fractional flows: what no plan of a farm can exceed.

Every plan is such a flow: plants go from trays to boards to rafts within their stage days and on work days,
lose what they lose, and hold their share of a slot for as long as they stand. Whole units, the order of rows
and the rows themselves are left out, so a limit found here holds for every plan. Either all days of a season
count (``period`` 0), or one week that repeats (``period`` 7).
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

import highspy
import numpy as np

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import MILLI, WHOLE_SHARE

from .highs import new_solver

WEEK = 7
PLACE_OF = {"tray": PlaceKind.TIER, "board": PlaceKind.ZONE, "raft": PlaceKind.LANE}

Terms = list[tuple[int, float]]
"""Variable number and coefficient."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Something to fill: units of a product on days from first through last, ``age`` days fresh at most.

    ``others`` are products that may stand in for it.
    """

    product: str
    first: int
    last: int
    age: int
    amount: float
    others: tuple[str, ...] = ()

    @property
    def products(self) -> tuple[str, ...]:
        """The product wanted, then those that may stand in."""
        return (self.product, *self.others)


@dataclass
class Lines:
    """A linear program while it is being written: variables from 0 up, rows, and a goal to minimize."""

    costs: list[float] = field(default_factory=list)
    highs: list[float] = field(default_factory=list)
    rows: list[tuple[float, float, Terms]] = field(default_factory=list)

    def new(self, cost: float = 0.0, high: float = highspy.kHighsInf) -> int:
        """Make a variable."""
        self.costs.append(cost)
        self.highs.append(high)
        return len(self.costs) - 1

    def keep(self, terms: Terms, low: float, high: float) -> None:
        """Add a row."""
        self.rows.append((low, high, terms))

    def solve(self, seconds: float | None = None) -> tuple[float, np.ndarray] | None:
        """Return the least goal and the values, or None when the time was too short.

        Raises:
            ValueError: there is no answer at all.
        """
        solver = new_solver()
        if seconds is not None:
            solver.setOptionValue("time_limit", seconds)
        solver.passModel(_program(self))
        solver.run()
        status = solver.getModelStatus()
        if status == highspy.HighsModelStatus.kOptimal:
            return solver.getObjectiveValue(), np.array(solver.getSolution().col_value)
        if status == highspy.HighsModelStatus.kTimeLimit:
            return None
        raise ValueError(f"linear program ended with {status}")


def _program(lines: Lines) -> highspy.HighsLp:
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = len(lines.costs), len(lines.rows)
    program.col_cost_ = np.array(lines.costs)
    program.col_lower_ = np.zeros(len(lines.costs))
    program.col_upper_ = np.array(lines.highs)
    program.row_lower_ = np.array([low for low, _, _ in lines.rows])
    program.row_upper_ = np.array([high for _, high, _ in lines.rows])
    program.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    program.a_matrix_.start_ = np.cumsum([0, *(len(terms) for _, _, terms in lines.rows)])
    program.a_matrix_.index_ = np.array([v for _, _, terms in lines.rows for v, _ in terms], dtype=np.int32)
    program.a_matrix_.value_ = np.array([c for _, _, terms in lines.rows for _, c in terms])
    return program


@dataclass(frozen=True, slots=True)
class Stand:
    """Plants that stand in one kind of place from a day until another; ``share`` units a plant."""

    item: str
    kind: str
    enters: int
    leaves: int
    share: float
    plants: int


class Flows:
    """The flows of one farm.

    Attributes:
        lines: the program.
        stands: who stands where, for prices of space and units.
        sown: (crop, day, cells); moved: (crop, stage, day, plants set); cut: (crop, day, plants cut).
        filled: for each wanted thing the units that go into it; given: heads that go into anything.
    """

    def __init__(self, farm: Farm, wanted: list[Wanted], period: int = 0) -> None:
        """Write everything but the goal."""
        self.farm, self.wanted, self.period = farm, wanted, period
        self.lines = Lines()
        self.stands: list[Stand] = []
        self.sown: list[tuple[Crop, int, int]] = []
        self.moved: list[tuple[Crop, StageKind, int, int]] = []
        self.cut: list[tuple[Crop, int, int]] = []
        self.filled: list[Terms] = [[] for _ in wanted]
        self.given: Terms = []
        self._heads: dict[tuple[str, int], Terms] = defaultdict(list)
        self._last = period - 1 if period else max(farm.calendar.span, farm.calendar.days) + 1
        if farm.growing:
            raise ValueError("flows start from an empty farm")
        for crop in farm.crops.values():
            self._grow(crop)
        self._slots()
        self._fill()

    def _days(self, work: Work, first: int, last: int) -> list[int]:
        calendar = self.farm.calendar
        if self.period:
            return [d for d in range(first, last + 1) if calendar.weekday(d) in calendar.work_days[work]]
        return calendar.open_days(work, first, min(last, self._last))

    def _stage_days(self, since: int, days: int, wait: int, work: tuple[Work, str]) -> list[int]:
        kind, place = work
        if self.period:
            return self._days(kind, since + days, since + days + wait)
        pace = self.farm.pace
        first = pace.first_day_reached(place, since, days)
        return self._days(kind, first, pace.last_day_within(place, since, days + wait))

    def _fold(self, day: int) -> int:
        return day % self.period if self.period else day

    def _places(self, kind: PlaceKind) -> str:
        """Return the shelf or trough whose pace counts.

        Raises:
            ValueError: places of a kind grow at different paces.
        """
        places = self.farm.places_of(kind)
        if len({self.farm.pace.signature(place.belongs_to) for place in places}) > 1:
            raise ValueError("flows know one pace for all places of a kind")
        return places[0].belongs_to

    def _grow(self, crop: Crop) -> None:
        """Write the flow of one crop, stage by stage; what arrives on a day is a list of terms."""
        kind = self.farm.equipment[crop.tray.unit]
        arrived: dict[int, Terms] = defaultdict(list)
        shelf = self._places(PlaceKind.TIER)
        after_tray = Work.TRANSPLANT if crop.board else Work.RAFT
        for day in self._days(Work.SOW, self.farm.today, self._last):
            if not self.period and not crop.may_sow(day):
                continue
            for leaves in self._stage_days(day, crop.tray.days, crop.tray.wait, (after_tray, shelf)):
                cells = self.lines.new()
                self.sown.append((crop, day, cells))
                self.stands.append(Stand("tray", kind.name, day, leaves, 1 / kind.holes, cells))
                arrived[self._fold(leaves)].append((cells, crop.tray.survival / WHOLE_SHARE))
        if crop.board is not None:
            arrived = self._on_boards(crop, arrived)
        self._on_rafts(crop, arrived)

    def _on_boards(self, crop: Crop, arrived: dict[int, Terms]) -> dict[int, Terms]:
        board = crop.board
        if board is None:
            return arrived
        place = self._places(PlaceKind.ZONE)
        onward: dict[int, Terms] = defaultdict(list)
        for day, terms in sorted(arrived.items()):
            parts: Terms = []
            for leaves in self._stage_days(day, board.days, board.wait, (Work.RAFT, place)):
                plants = self.lines.new()
                parts.append((plants, 1.0))
                self.moved.append((crop, StageKind.BOARD, day, plants))
                self.stands.append(Stand("board", board.unit, day, leaves, 1 / board.plants_per_unit, plants))
                onward[self._fold(leaves)].append((plants, board.survival / WHOLE_SHARE))
            self._at_most(parts, terms)
        return onward

    def _on_rafts(self, crop: Crop, arrived: dict[int, Terms]) -> None:
        """Plants between cuts are flows of their own, so that no sequence of cuts need be listed."""
        raft = crop.finish
        place = self._places(PlaceKind.LANE)
        before, days = arrived, raft.days
        for number in range(1, crop.cuts + 1):
            cut: dict[int, Terms] = defaultdict(list)
            for since, terms in sorted(before.items()):
                parts: Terms = []
                for day in self._stage_days(since, days, raft.wait, (Work.HARVEST, place)):
                    plants = self.lines.new()
                    parts.append((plants, 1.0))
                    if number == 1:
                        self.moved.append((crop, StageKind.RAFT, since, plants))
                    self.cut.append((crop, self._fold(day), plants))
                    self.stands.append(Stand("raft", raft.unit, since, day, 1 / raft.plants_per_unit, plants))
                    cut[self._fold(day)].append((plants, 1.0))
                    self._heads[crop.name, self._fold(day)].append((plants, crop.heads_share / WHOLE_SHARE))
                self._at_most(parts, terms)
            before, days = cut, crop.cut_interval

    def _at_most(self, parts: Terms, terms: Terms) -> None:
        if parts:
            self.lines.keep([*parts, *((v, -share) for v, share in terms)], -highspy.kHighsInf, 0.0)

    def _slots(self) -> None:
        for item, place_kind in PLACE_OF.items():
            places = self.farm.places_of(place_kind)
            changes = {day for place in places for day in place.slots.changes()}
            inside = [stand for stand in self.stands if stand.item == item]
            for day, terms in self._standing(inside, changes, 0):
                most = sum(place.slots.on(max(day, self.farm.today)) for place in places)
                self.lines.keep(terms, -highspy.kHighsInf, most)
        for kind in self.farm.equipment.values():
            inside = [stand for stand in self.stands if stand.kind == kind.name]
            if kind.item in PLACE_OF:
                for _, terms in self._standing(inside, set(), kind.wash_days):
                    self.lines.keep(terms, -highspy.kHighsInf, kind.owned)

    def _standing(self, stands: list[Stand], changes: set[int], wash: int) -> Iterator[tuple[int, Terms]]:
        """Yield days and the units that stand on them; in between nothing can grow tighter."""
        if self.period:
            days = list(range(self.period))
        else:
            entering = {stand.enters for stand in stands} | {day for day in changes if day >= 0}
            days = sorted(day for day in entering if day <= self._last)
        position = {day: number for number, day in enumerate(days)}
        on: dict[int, Terms] = defaultdict(list)
        for stand in stands:
            until = stand.leaves + wash
            if self.period:
                for day in days:
                    copies = (until - 1 - day) // self.period - (stand.enters - 1 - day) // self.period
                    if copies:
                        on[day].append((stand.plants, copies * stand.share))
                continue
            for day in days[position[stand.enters] :]:
                if day >= until:
                    break
                on[day].append((stand.plants, stand.share))
        yield from sorted(on.items())

    def _fill(self) -> None:
        given: dict[tuple[str, int], Terms] = defaultdict(list)
        for index, want in enumerate(self.wanted):
            days = {self._fold(day) for day in range(want.first - want.age, want.last + 1)}
            found = [pair for name in want.products for pair in self.farm.products[name].sources.items()]
            for crop, per_unit in found:
                for day in sorted(days):
                    if (crop, day) in self._heads:
                        units = self.lines.new()
                        given[crop, day].append((units, per_unit / MILLI))
                        self.given.append((units, per_unit / MILLI))
                        self.filled[index].append((units, 1.0))
        for key, terms in given.items():
            self._at_most(terms, self._heads[key])
