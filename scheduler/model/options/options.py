"""Every batch that could be: sowing day, board day, raft day, and the days it could be cut.

A batch is a path through the days. Options are only listed when the stage days, the work days, the
sowing window and at least one useful cut allow them, so the planner never meets an impossible one.
Options are compared by identity: each is made once, and they serve as keys of many tables.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.growth.stages import may_stand, next_work
from scheduler.farm.orders.reach import OVERDUE_DAYS, is_overdue
from scheduler.farm.places import PlaceKind
from scheduler.model.options.bed_options import BedLister, BedSet
from scheduler.model.options.pools import Pool, pools_of
from scheduler.model.options.windows import Windows

MOST_CUT_DAYS = 3
"""Harvest days looked at for one cut of a repeat-cut crop, the earliest: with those of use first a steady
week finds no next cuts where growth is slower."""

MOST_NEXT_DAYS = 2
"""Of those, days looked at after one particular cut."""

EVERY_DAY = 10_000
"""More days than any list has, where every day of a cut is looked at."""

MOST_GROWING_DAYS = 10
"""The same for rafts that grow already, useful days first: their day of setting out is no choice any more."""

MOST_NEXT_GROWING = 4
"""Of those, days looked at after one particular cut."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TrayOut:
    """Part of a lot that leaves its trays on one day.

    ``sown`` is the sowing day, or the day a growing tray's lot was sown; ``growing`` its index in
    ``farm.growing`` or -1. ``cuts`` are the days of its cuts, where it is cut in its trays: the last is
    ``day``. ``first_cut`` is the number of the first of them.
    """

    crop: str
    sown: int
    growing: int
    pool: str
    day: int
    cuts: tuple[int, ...] = ()
    first_cut: int = 1

    @property
    def numbered_cuts(self) -> tuple[tuple[int, int], ...]:
        """(cut number, day) of each cut."""
        return tuple(enumerate(self.cuts, self.first_cut))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoardOut:
    """Part of a lot that goes from boards (set on ``board_day``) to rafts on one day."""

    crop: str
    source: TrayOut | None
    growing: int
    pool: str
    board_day: int
    day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """One step in the life of plants on a raft: cut ``number`` on ``day``, the cut before on ``after``.

    ``after`` is None for the first cut (or the next cut of rafts that grow already).
    """

    number: int
    day: int
    after: int | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RaftSet:
    """Part of a lot set on rafts on one day in one lane pool, and the cuts it could have."""

    crop: str
    source: TrayOut | BoardOut | None
    growing: int
    pool: str
    day: int
    cuttings: tuple[Cutting, ...] = field(repr=False)

    @property
    def exits(self) -> tuple[int, ...]:
        """Days on which its plants could have their last cut, in order."""
        return tuple(sorted({cutting.day for cutting in self.cuttings}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Which days to list options for.

    Attributes:
        sow_from, sow_to: first and last day of sowing.
        end: the last day on which anything may be cut.
        steady: list for a steady farm: no closures, nothing growing.
        beds: list what is picked in beds for a steady farm too.
        in_every_way: crops of which every day of their cuts is listed.
    """

    sow_from: int
    sow_to: int
    end: int
    steady: bool = False
    beds: bool = False
    in_every_way: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """All options of a span; ``whole`` says whether no day of a repeat cut was left out."""

    tray_outs: tuple[TrayOut, ...]
    board_outs: tuple[BoardOut, ...]
    raft_sets: tuple[RaftSet, ...]
    bed_sets: tuple[BedSet, ...] = ()
    whole: bool = True


class OptionLister:
    """Lists the options of one farm; holds what is asked again and again."""

    def __init__(self, farm: Farm, span: Span, useful: dict[str, frozenset[int]]) -> None:
        """Take a farm, the days, and for each crop the days on which a cut is of use."""
        self._farm = farm
        self._span = span
        self._useful = useful
        self._tiers = pools_of(farm, PlaceKind.TIER)
        self._zones = pools_of(farm, PlaceKind.ZONE)
        self._lanes = pools_of(farm, PlaceKind.LANE)
        self._cut_plans: dict[tuple[str, str, int, int], tuple[Cutting, ...]] = {}
        self._tray_outs: list[TrayOut] = []
        self._board_outs: list[BoardOut] = []
        self._raft_sets: list[RaftSet] = []
        self._beds = BedLister(farm, span.sow_from, span.end, useful)
        self._bed_sets: list[BedSet] = []
        self._whole = True

    def list_all(self, pulse: Callable[[], None] | None = None) -> Options:
        """List every option of the span; ``pulse`` is called before those of each crop."""
        for crop in self._farm.crops.values():
            if pulse is not None:
                pulse()
            # What stands in a bed for months is no part of a week that repeats, unless it is asked for.
            left_out = self._span.steady and crop.picking and not self._span.beds
            if self._useful.get(crop.name) and not left_out:
                self._list_crop(crop)
        if not self._span.steady:
            for index, row in enumerate(self._farm.growing):
                self._list_growing(index, row)
        return Options(
            tray_outs=tuple(self._tray_outs),
            board_outs=tuple(self._board_outs),
            raft_sets=tuple(self._raft_sets),
            bed_sets=tuple(self._bed_sets),
            whole=self._whole,
        )

    def _open(self, work: Work, first: int, last: int) -> list[int]:
        first, last = max(first, self._farm.today), min(last, self._span.end)
        calendar = self._farm.calendar
        if self._span.steady:
            return [d for d in range(first, last + 1) if calendar.weekday(d) in calendar.work_days[work]]
        return calendar.open_days(work, first, last)

    def _stage_days(self, stage: Stage, pool: Pool, since: int, work: Work) -> list[int]:
        pace = self._farm.pace
        first = pace.first_day_reached(pool.pace_of, since, stage.days)
        last = pace.last_day_within(pool.pace_of, since, stage.days + stage.wait)
        return self._open(work, first, last)

    def _list_crop(self, crop: Crop) -> None:
        work = next_work(crop, StageKind.TRAY)
        for sown in self._open(Work.SOW, self._span.sow_from, self._span.sow_to):
            if not crop.may_sow(sown):
                continue
            for tiers in self._tiers:
                if not may_stand(crop, tiers.places[0]):
                    continue
                out = TrayOut(crop=crop.name, sown=sown, growing=-1, pool=tiers.name, day=0)
                if crop.is_cut_in_trays:
                    window = Windows(crop, self._farm, tiers.pace_of).first_cut(sown)
                    self._cut_in_trays(crop, out, 1, window)
                    continue
                for day in self._stage_days(crop.tray, tiers, sown, work):
                    self._go_on(crop, replace(out, day=day))

    def _go_on(self, crop: Crop, out: TrayOut) -> None:
        """List where plants that leave a tray can go; keep the tray option only if there is such a place."""
        before = len(self._raft_sets) + len(self._bed_sets)
        if crop.picking is not None:
            self._bed_sets += self._beds.plantings(crop, out, out.growing, out.day)
        elif crop.board is None:
            self._set_on_rafts(crop, out, out.growing, out.day)
        else:
            for zones in self._zones:
                days = self._stage_days(crop.board, zones, out.day, Work.RAFT)
                self._leave_boards(crop, (out, out.growing), zones.name, (out.day, days))
        if len(self._raft_sets) + len(self._bed_sets) > before:
            self._tray_outs.append(out)

    def _leave_boards(
        self, crop: Crop, plants: tuple[TrayOut | None, int], pool: str, stay: tuple[int, list[int]]
    ) -> None:
        """List where plants can go that were set on boards on one day and may leave them on some.

        Args:
            crop: the crop.
            plants: the trays they come from, None where they stand on boards already, and their growing row.
            pool: the board zones.
            stay: the day they were set on boards, and those on which they may leave.
        """
        (source, growing), (since, days) = plants, stay
        for day in days:
            out = BoardOut(
                crop=crop.name, source=source, growing=growing, pool=pool, board_day=since, day=day
            )
            before = len(self._raft_sets)
            self._set_on_rafts(crop, out, growing, day)
            if len(self._raft_sets) > before:
                self._board_outs.append(out)

    def _set_on_rafts(self, crop: Crop, source: TrayOut | BoardOut, growing: int, day: int) -> None:
        for lanes in self._lanes:
            if not any(lane.name in crop.lanes for lane in lanes.places):
                continue
            opens = self._opens(growing)
            key = (crop.name, lanes.name, day, opens)
            if key not in self._cut_plans:
                windows = Windows(crop, self._farm, lanes.pace_of)
                first, last = windows.first_cut(day)
                self._cut_plans[key] = self._cut_plan(crop, (max(first, opens), last), 1, windows)
            if self._cut_plans[key]:
                self._raft_sets.append(
                    RaftSet(
                        crop=crop.name,
                        source=source,
                        growing=growing,
                        pool=lanes.name,
                        day=day,
                        cuttings=self._cut_plans[key],
                    )
                )

    def _cut_plan(
        self, crop: Crop, window: tuple[int, int], number: int, windows: Windows, *, grows: bool = False
    ) -> tuple[Cutting, ...]:
        """List the cuts from ``number`` on: a first cut in ``window``, each next one an interval later.

        A crop cut once is listed only on useful days. Of a repeat-cut crop that grows already useful days
        come first, and the whole list is dropped when no cut is of use.
        """
        days = self._open(Work.HARVEST, *window)
        if crop.cuts == 1:
            return tuple(Cutting(number=number, day=d, after=None) for d in days if self._is_useful(crop, d))
        most, most_next, choose = MOST_CUT_DAYS, MOST_NEXT_DAYS, _earliest
        if grows:
            most, most_next = MOST_GROWING_DAYS, MOST_NEXT_GROWING
            choose = partial(self._useful_first, crop)
        if crop.name in self._span.in_every_way:
            most = most_next = EVERY_DAY
        chosen_of = partial(self._kept, choose)
        found: list[Cutting] = []
        frontier: dict[int | None, list[int]] = {None: chosen_of(days, most)}
        while frontier and number <= crop.cuts:
            steps = [Cutting(number=number, day=d, after=a) for a, later in frontier.items() for d in later]
            found += steps
            if number == crop.cuts:
                break
            reached = chosen_of(sorted({step.day for step in steps}), most)
            frontier = {
                d: chosen_of(self._open(Work.HARVEST, *windows.next_cut(d)), most_next) for d in reached
            }
            kept = {d for later in frontier.values() for d in later}
            chosen = set(chosen_of(sorted(kept), most))
            frontier = {a: [d for d in later if d in chosen] for a, later in frontier.items()}
            number += 1
        return tuple(found) if any(self._is_useful(crop, step.day) for step in found) else ()

    def _kept(self, choose: "_Choose", days: list[int], most: int) -> list[int]:
        """Return at most so many days, and note when some are left out."""
        self._whole = self._whole and len(days) <= most
        return choose(days, most)

    def _useful_first(self, crop: Crop, days: list[int], most: int) -> list[int]:
        """Return at most so many of some days in order: the earliest useful ones before others."""
        ranked = sorted(days, key=lambda day: (not self._is_useful(crop, day), day))
        return sorted(ranked[:most])

    def _is_useful(self, crop: Crop, day: int) -> bool:
        return day in self._useful.get(crop.name, frozenset())

    def _cut_in_trays(self, crop: Crop, out: TrayOut, number: int, window: tuple[int, int]) -> None:
        """List the ways trays may be cut on the shelf, a list of cut days each; ``out`` says which trays."""
        pace_of = next(pool.pace_of for pool in self._tiers if pool.name == out.pool)
        windows = Windows(crop, self._farm, pace_of)
        ways: list[tuple[int, ...]] = [()]
        for _ in range(number, crop.cuts + 1):
            longer = []
            for way in ways:
                days = self._open(Work.HARVEST, *(windows.next_cut(way[-1]) if way else window))
                every = not way or crop.name in self._span.in_every_way
                most = EVERY_DAY if every else MOST_NEXT_DAYS
                longer += [(*way, day) for day in self._kept(_earliest, days, most)]
            for way in longer:
                if any(self._is_useful(crop, day) for day in way[-1:]):
                    self._tray_outs.append(replace(out, day=way[-1], cuts=way, first_cut=number))
            ways = longer

    def _list_growing(self, index: int, row: Growing) -> None:
        crop = self._farm.crops[row.crop]
        if row.stage is StageKind.BED:
            self._bed_sets.append(self._beds.found(index, row))
            return
        pool = self._pool_of(row)
        trays = TrayOut(crop=crop.name, sown=row.since, growing=index, pool=pool.name, day=0)
        if row.stage is crop.finish.kind is StageKind.TRAY:
            self._cut_in_trays(crop, trays, row.cuts_done + 1, self._growing_window(crop, row, pool))
        elif row.stage is StageKind.TRAY:
            for day in self._growing_days(crop.tray, pool, row, next_work(crop, StageKind.TRAY)):
                self._go_on(crop, replace(trays, day=day))
        elif row.stage is StageKind.BOARD and crop.board is not None:
            days = self._growing_days(crop.board, pool, row, Work.RAFT)
            self._leave_boards(crop, (None, index), pool.name, (row.since, days))
        elif row.stage is StageKind.RAFT:
            self._raft_sets.append(
                RaftSet(
                    crop=crop.name,
                    source=None,
                    growing=index,
                    pool=pool.name,
                    day=row.since,
                    cuttings=self._growing_cuts(crop, row, pool),
                )
            )

    def _growing_days(self, stage: Stage, pool: Pool, row: Growing, work: Work) -> list[int]:
        if is_overdue(self._farm, row):
            return self._open(work, self._farm.today, self._farm.today + OVERDUE_DAYS)
        return self._stage_days(stage, pool, row.since, work)

    def _growing_cuts(self, crop: Crop, row: Growing, pool: Pool) -> tuple[Cutting, ...]:
        windows = Windows(crop, self._farm, pool.pace_of)
        window = self._growing_window(crop, row, pool)
        return self._cut_plan(crop, window, row.cuts_done + 1, windows, grows=True)

    def _growing_window(self, crop: Crop, row: Growing, pool: Pool) -> tuple[int, int]:
        """Return the first and last day of the next cut of what is ready for cutting where it stands."""
        windows = Windows(crop, self._farm, pool.pace_of)
        first, last = windows.first_cut(row.since)
        if row.cuts_done and row.last_cut is not None:
            first, last = windows.next_cut(row.last_cut)
        if is_overdue(self._farm, row):
            first, last = self._farm.today, self._farm.today + OVERDUE_DAYS
        return max(first, row.not_before or first), last

    def _opens(self, growing: int) -> int:
        """Return the first day on which a batch may be cut; what is sown may be whenever it is ready."""
        held = self._farm.growing[growing].not_before if growing >= 0 else None
        return self._farm.today if held is None else held

    def _pool_of(self, row: Growing) -> Pool:
        for pool in (*self._tiers, *self._zones, *self._lanes):
            if any(row.place in (place.name, place.belongs_to) for place in pool.places):
                return pool
        raise KeyError(row.place)


_Choose = Callable[[list[int], int], list[int]]
"""Chooses at most so many of some days."""


def _earliest(days: list[int], most: int) -> list[int]:
    return days[:most]
