"""What a plant on a raft or in a bed, or a cell cut in its tray, takes in a steady week: the bound's columns.

Days are the least that work days and pace allow, each stage for itself, so that no plan takes fewer.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from scheduler.farm import work
from scheduler.farm.calendar import WEEK, Work
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.growth.stages import may_stand
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import WHOLE_SHARE
from scheduler.model.capacity.beds import stays_of
from scheduler.model.capacity.week import SteadyWeek
from scheduler.model.options.pools import Pool, pools_of
from scheduler.plan.capacity import RoomKind
from scheduler.plan.tally import dome_pool

Key = tuple[RoomKind, str]
"""What there is only so much of: its kind, and the name of its first place or of the equipment."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneGroup:
    """Rows of one trough that the same crops may use.

    Attributes:
        name: the trough, with the row's number behind it where the trough has several groups.
        owner: the trough.
        places: the rows.
        crops: the crops.
    """

    name: str
    owner: str
    places: tuple[Place, ...]
    crops: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of raising a crop, counted for one plant set on a raft or into a bed.

    Of a crop that is cut in its trays it is counted for one cell.

    Attributes:
        crop: its name.
        heads: heads it gives.
        takes: days of a place or unit (hours: hundredths of a minute).
    """

    crop: str
    heads: Fraction
    takes: Mapping[Key, Fraction]


def lane_groups(farm: Farm) -> tuple[LaneGroup, ...]:
    """Return the rows of a farm by trough and by the crops that may use them."""
    groups: dict[tuple[str, frozenset[str]], list[Place]] = defaultdict(list)
    for lane in farm.places_of(PlaceKind.LANE):
        crops = frozenset(crop.name for crop in farm.crops.values() if lane.name in crop.lanes)
        groups[lane.belongs_to, crops].append(lane)
    number: dict[str, int] = defaultdict(int)
    for owner, _ in groups:
        number[owner] += 1
    return tuple(
        LaneGroup(
            name=owner if number[owner] == 1 else lanes[0].name,
            owner=owner,
            places=tuple(lanes),
            crops=crops,
        )
        for (owner, crops), lanes in groups.items()
    )


class Ways:
    """Lists the ways of a steady week; holds what is asked again and again."""

    def __init__(self, week: SteadyWeek) -> None:
        """Find the pools of places."""
        self._week, self._farm = week, week.farm
        self._tiers = pools_of(week.farm, PlaceKind.TIER)
        self._zones = pools_of(week.farm, PlaceKind.ZONE)
        self._lanes = lane_groups(week.farm)
        self._days: dict[tuple[str, int, int, Work, Work], int | None] = {}
        self._domes = dome_pool(week.farm)

    def all(self) -> list[Way]:
        """Return every way of every crop that the mix may use and that can be sown in the week."""
        frame, farm = self._week.frame, self._farm
        wanted = {name for wish in frame.wishes for name in farm.products[wish.product].sources}
        sown = range(frame.start, frame.start + frame.period)
        crops = [
            farm.crops[name]
            for name in farm.crops
            if name in wanted and any(map(farm.crops[name].may_sow, sown))
        ]
        return [way for crop in crops for way in self._of(crop)]

    def _of(self, crop: Crop) -> Iterator[Way]:
        for tiers in self._tiers:
            if not may_stand(crop, tiers.places[0]):
                continue
            if crop.is_cut_in_trays:
                yield from self._cut_in_trays(crop, tiers)
                continue
            for zones in self._zones if crop.board else (None,):
                nursery = self._nursery(crop, tiers, zones)
                if nursery is None:
                    continue
                yield from self._in_beds(crop, nursery) if crop.picking else self._on_rafts(crop, nursery)

    def _nursery(self, crop: Crop, tiers: Pool, zones: Pool | None) -> dict[Key, Fraction] | None:
        """Return what trays and boards of one plant set on a raft take; None where it cannot be raised so."""
        takes: dict[Key, Fraction] = defaultdict(Fraction)
        plants = Fraction(1)
        if crop.board and zones:
            plants /= Fraction(crop.board.survival, WHOLE_SHARE)
            span = crop.board.days, crop.board.days + crop.board.wait
            days = self._least(zones.pace_of, span, Work.TRANSPLANT, Work.RAFT)
            if days is None:
                return None
            kind = self._farm.equipment[crop.board.unit]
            units = plants / crop.board.plants_per_unit
            takes[RoomKind.ZONE, zones.name] += units * days
            takes[RoomKind.BOARD, kind.name] += units * (days + kind.wash_days)
            takes[RoomKind.HOURS, ""] += plants * (
                work.set_on_board_per_plant(crop) + work.wash_board_per_plant(crop, kind)
            )
        cells = plants / Fraction(crop.tray.survival, WHOLE_SHARE)
        span = crop.tray.days, crop.tray.days + crop.tray.wait
        days = self._least(tiers.pace_of, span, Work.SOW, Work.TRANSPLANT if crop.board else Work.RAFT)
        if days is None:
            return None
        for key, amount in self._trays(crop, tiers, days).items():
            takes[key] += cells * amount
        return takes

    def _trays(self, crop: Crop, tiers: Pool, days: int) -> dict[Key, Fraction]:
        """Return what one cell takes that stands so many days in its tray, sowing and washing included."""
        kind = self._farm.equipment[crop.tray.unit]
        minutes = work.sow_per_cell(crop, kind) + work.wash_tray_per_cell(crop, kind)
        takes = {
            (RoomKind.TIER, tiers.name): Fraction(days, kind.holes),
            (RoomKind.TRAY, kind.name): Fraction(days + kind.wash_days, kind.holes),
            (RoomKind.HOURS, ""): Fraction(minutes),
        }
        if self._domes is not None and crop.handling.dome_days:
            under = min(crop.handling.dome_days, days) + self._domes.wash_days
            takes[RoomKind.DOME, self._domes.name] = Fraction(under, kind.holes)
        return takes

    def _cut_in_trays(self, crop: Crop, tiers: Pool) -> Iterator[Way]:
        """Yield the ways of a crop that is cut in its trays, one for each number of cuts it may have."""
        for cuts, days in self._days_to_cuts(crop, tiers.pace_of, Work.SOW):
            takes = self._trays(crop, tiers, days)
            takes[RoomKind.HOURS, ""] += cuts * work.cut_per_plant(crop)
            yield Way(crop=crop.name, heads=Fraction(cuts * crop.heads_share, WHOLE_SHARE), takes=takes)

    def _days_to_cuts(self, crop: Crop, owner: str, begin: Work) -> Iterator[tuple[int, int]]:
        """Yield cuts and the least days of the last stage, for each number of cuts a crop may have."""
        last = crop.finish
        days = self._least(owner, (last.days, last.days + last.wait), begin, Work.HARVEST)
        again = None
        if crop.cuts > 1:
            span = crop.cut_interval, crop.cut_interval + last.wait
            again = self._least(owner, span, Work.HARVEST, Work.HARVEST)
        if days is None:
            return
        yield 1, days
        for cuts in range(2, crop.cuts + 1) if again is not None else ():
            yield cuts, days + (cuts - 1) * (again or 0)

    def _in_beds(self, crop: Crop, nursery: Mapping[Key, Fraction]) -> Iterator[Way]:
        """Yield the ways of a crop that is picked, one for each pool of beds."""
        for stay in stays_of(self._week.frame, crop):
            takes = dict(nursery)
            takes[RoomKind.BED, stay.pool] = Fraction(stay.days)
            takes[RoomKind.HOURS, ""] += stay.minutes
            yield Way(crop=crop.name, heads=stay.heads, takes=takes)

    def _on_rafts(self, crop: Crop, nursery: Mapping[Key, Fraction]) -> Iterator[Way]:
        """Yield the ways of a crop that is cut on rafts, one for each group of rows and number of cuts."""
        kind, plants = self._farm.equipment[crop.finish.unit], crop.finish.plants_per_unit
        minutes = work.set_on_raft_per_plant(crop) + work.wash_raft_per_plant(crop, kind)
        for lanes in self._lanes:
            if crop.name not in lanes.crops:
                continue
            for cuts, days in self._days_to_cuts(crop, lanes.owner, Work.RAFT):
                takes = dict(nursery)
                takes[RoomKind.LANE, lanes.name] = Fraction(days, plants)
                takes[RoomKind.RAFT, kind.name] = Fraction(days + kind.wash_days, plants)
                takes[RoomKind.HOURS, ""] += minutes + cuts * work.cut_per_plant(crop)
                heads = Fraction(cuts * crop.heads_share, WHOLE_SHARE)
                yield Way(crop=crop.name, heads=heads, takes=takes)

    def _least(self, owner: str, span: tuple[int, int], begin: Work, end: Work) -> int | None:
        """Return the least days a stage may last that begins and ends on work days; None when it cannot.

        ``span`` is the least and the most days at pace 1. Every day on which the stage could begin counts.
        """
        key = (owner, *span, begin, end)
        if key not in self._days:
            frame, calendar = self._week.frame, self._farm.calendar
            starts = [
                day
                for day in range(frame.start, frame.end + 1)
                if calendar.weekday(day) in calendar.work_days[begin]
            ]
            found = [self._stay(owner, day, span, end) for day in starts]
            self._days[key] = min((days for days in found if days is not None), default=None)
        return self._days[key]

    def _stay(self, owner: str, start: int, span: tuple[int, int], end: Work) -> int | None:
        """Return the days from one start to the first weekday of work they may end on; None where none is."""
        pace, calendar = self._farm.pace, self._farm.calendar
        first = pace.first_day_reached(owner, start, span[0])
        for day in range(first, min(pace.last_day_within(owner, start, span[1]), first + WEEK - 1) + 1):
            if calendar.weekday(day) in calendar.work_days[end]:
                return day - start
        return None
