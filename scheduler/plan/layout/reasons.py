"""Why a delivery is short, as far as the plan shows: what was fullest while its plants would have grown."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scheduler.book.words import listed
from scheduler.farm.calendar import Work
from scheduler.farm.coolers import coolers_for
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.dates import dated, span
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.growth.course import Homes, homes_of
from scheduler.farm.growth.stages import may_stand
from scheduler.farm.orders.goods import crops_for
from scheduler.farm.orders.reach import CutDays
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.rows import Plan

FULL, NEARLY = 100, 90
"""Percent of the slots, units or hours there are."""

NOTHING_FULL = "no place was full; the search found no way in its time"
IN_HEAT = "every sowing for it would stand in heat, which the book refuses"
NO_BATCH = "no batch can be cut fresh for that day: stage days, work days and closures leave no way"
OUT_OF_WINDOW = "no crop for it may be sown on the days from which it would come"
MOST_NAMES = 3


@dataclass(frozen=True, slots=True)
class _Supply:
    """Something there is only so much of: words for full and nearly full, and percent in use on each day."""

    full: str
    nearly: str
    percent: list[int]


class Reasons:
    """Looks up what was full; made once for a plan."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Take a plan whose tables of use, equipment and hours are there."""
        self._farm = farm
        self._used: dict[str, dict[int, int]] = defaultdict(dict)
        for row in plan.use:
            self._used[row.place][row.day] = row.used
        self._days = farm.calendar.span
        self._kinds: dict[str, list[int]] = defaultdict(list)
        for kind in plan.equipment:
            self._kinds[kind.kind].append(_percent(kind.in_use + kind.washing, kind.owned))
        self._crates: list[dict[str, int]] = [defaultdict(int) for _ in range(self._days)]
        for crates in plan.coolers:
            self._crates[crates.day][crates.cooler] += crates.crates
        self._crew = self._crew_days(plan)
        self._supplies: dict[tuple[str, StageKind], list[_Supply]] = {}
        self._homes: dict[str, Homes] = {}
        self._cuts = CutDays(farm)

    def why_short(self, demand: Demand, spared: Sequence[str] = ()) -> str:
        """Return one sentence, without a full stop, on what most likely stood in the way.

        ``spared`` are lots that are ready for it before any new sowing, and that go to nobody.
        """
        if spared:
            lots = listed(spared) if len(spared) <= MOST_NAMES else f"{len(spared)} lots"
            return f"ready in time for it, but thrown away or left over: {lots}"
        crops = [self._farm.crops[name] for name in crops_for(self._farm, demand)]
        unsown = self._why_unsown(crops, demand)
        if unsown:
            return unsown
        if not self._cuts.serve(demand):
            return NO_BATCH
        best: tuple[float, int, str] = (0, 0, NOTHING_FULL)
        for crop in crops:
            for stage, start, end in self._spans(crop, demand):
                first, last = max(start, self._farm.today), min(end, self._days)
                for supply in self._of(crop, stage):
                    best = max(best, self._judge(supply, first, last), key=lambda found: found[:2])
            for supply in self._cold(crop) if self._waits(demand) else ():
                found = self._judge(supply, demand.first - demand.max_age, demand.first)
                best = max(best, found, key=lambda found: found[:2])
        return best[2]

    def _judge(self, supply: _Supply, first: int, last: int) -> tuple[float, int, str]:
        """Return (share of days full, peak, words); nothing where it was never nearly full."""
        inside = range(first, last)
        if not inside:
            return 0, 0, NOTHING_FULL
        full = [day for day in inside if supply.percent[day] >= FULL]
        peak = max(inside, key=lambda day: supply.percent[day])
        if full:
            days = span(self._farm.date_of(full[0]), self._farm.date_of(full[-1]))
            if len(full) == 1:
                days = f"on {days}"
            elif len(full) < full[-1] - full[0] + 1:
                days = f"on {len(full)} days, {days}"
            return len(full) / len(inside), supply.percent[peak], f"{supply.full} {days}"
        if supply.percent[peak] >= NEARLY:
            return 0, supply.percent[peak], f"{supply.nearly} on {dated(self._farm.date_of(peak))}"
        return 0, 0, NOTHING_FULL

    def _waits(self, demand: Demand) -> bool:
        """Say whether all that fills a delivery must be cut before its day."""
        return not demand.is_target and not self._farm.calendar.is_open(Work.HARVEST, demand.first)

    def _cold(self, crop: Crop) -> list[_Supply]:
        """Return the coolers a crop stands in, all as one."""
        rooms = coolers_for(crop.crating, self._farm.coolers) if crop.crating else ()
        names = {cooler.name for cooler in rooms}
        what = f"coolers {_names(cooler.name for cooler in rooms)}"
        room = sum(cooler.crates for cooler in rooms)
        percent = [_percent(sum(day.get(name, 0) for name in names), room) for day in self._crates]
        return [_Supply(f"{what} full", f"{what} nearly full", percent)] if rooms else []

    def _of(self, crop: Crop, stage: StageKind) -> list[_Supply]:
        key = (crop.name, stage)
        if key not in self._supplies:
            self._supplies[key] = self._supplies_of(crop, stage)
        return self._supplies[key]

    def _supplies_of(self, crop: Crop, stage: StageKind) -> list[_Supply]:
        farm = self._farm
        if stage is StageKind.TRAY:
            tiers = farm.places_of(PlaceKind.TIER)
            places = tuple(tier for tier in tiers if may_stand(crop, tier))
            what = f"shelf places of {_names(place.belongs_to for place in places)}"
        elif stage is StageKind.BOARD:
            places = farm.places_of(PlaceKind.ZONE)
            what = f"board places of {_names(place.name for place in places)}"
        elif stage is StageKind.BED:
            places = tuple(bed for bed in farm.places_of(PlaceKind.BED) if may_stand(crop, bed))
            what = f"positions of {_names(place.name for place in places)}"
        else:
            places = tuple(lane for lane in farm.places_of(PlaceKind.LANE) if lane.name in crop.lanes)
            what = f"rows of {_names(place.belongs_to for place in places)}"
        found = [_Supply(f"{what} full", f"{what} nearly full", self._in_places(places))]
        of_crop = crop.stage(stage)
        if of_crop is not None and of_crop.unit in self._kinds:
            owned = f"{farm.equipment[of_crop.unit].owned} of the {of_crop.unit}s in use or being washed"
            found.append(_Supply(f"all {owned}", f"nearly all {owned}", self._kinds[of_crop.unit]))
        if self._crew is not None:
            found.append(_Supply("the crew's hours used up", "the crew's hours nearly used up", self._crew))
        return found

    def _in_places(self, places: Iterable[Place]) -> list[int]:
        """Return percent of the slots of some places that are taken on each day."""
        listed = list(places)
        return [
            _percent(
                sum(self._used[place.name].get(day, 0) for place in listed),
                sum(place.slots.on(day) for place in listed),
            )
            for day in range(self._days)
        ]

    def _spans(self, crop: Crop, demand: Demand) -> list[tuple[StageKind, int, int]]:
        """Return (stage, first day, day after the last) of a delivery's plants, in their fastest places."""
        end = demand.last
        homes = self._homes_of(crop)
        spans = []
        for stage in reversed(crop.route):
            start = max(
                (self._farm.pace.latest_start(home, end, stage.days) for home in homes[stage.kind]),
                default=end - stage.days,
            )
            spans.append((stage.kind, start, end))
            end = start
        return spans

    def _why_unsown(self, crops: Iterable[Crop], demand: Demand) -> str:
        """Say why none of some crops could be sown for a delivery; nothing if one could, or on no day."""
        kept_by_heat = False
        for crop in crops:
            days = self._farm.calendar.open_days(Work.SOW, *self._sowing_days(crop, demand))
            if not days or any(crop.may_sow(day) for day in days):
                return ""
            kept_by_heat = kept_by_heat or any(crop.in_window(day) for day in days)
        return IN_HEAT if kept_by_heat else OUT_OF_WINDOW

    def _sowing_days(self, crop: Crop, demand: Demand) -> tuple[int, int]:
        """Return the first and the last day of sowing from which a delivery's plants could come."""
        homes = self._homes_of(crop)
        first, last = demand.first - demand.max_age, demand.last
        for stage in reversed(crop.route):
            if homes[stage.kind]:
                longest = stage.days + stage.wait
                first = min(self._farm.pace.latest_start(home, first, longest) for home in homes[stage.kind])
                last = max(self._farm.pace.latest_start(home, last, stage.days) for home in homes[stage.kind])
        return max(first, self._farm.today), last

    def _homes_of(self, crop: Crop) -> Homes:
        """Return a shelf or trough for each pace at which a stage of a crop may go."""
        if crop.name not in self._homes:
            pace = self._farm.pace
            self._homes[crop.name] = {
                kind: tuple({pace.signature(home): home for home in reversed(homes)}.values())
                for kind, homes in homes_of(self._farm.places, crop).items()
            }
        return self._homes[crop.name]

    def _crew_days(self, plan: Plan) -> list[int] | None:
        if self._farm.crew is None:
            return None
        minutes: dict[int, int] = defaultdict(int)
        for row in plan.hours:
            minutes[row.day] += row.minutes
        return [
            _percent(minutes[day], self._farm.crew.on(day)) if minutes[day] else 0
            for day in range(self._days)
        ]


def _percent(used: int, there: int) -> int:
    return FULL if there <= 0 else used * 100 // there


def _names(names: Iterable[str]) -> str:
    """Join different names: ``North trough and South trough``; many are only counted."""
    unlike = list(dict.fromkeys(names))
    return listed(unlike) if len(unlike) <= MOST_NAMES else f"{len(unlike)} places"
