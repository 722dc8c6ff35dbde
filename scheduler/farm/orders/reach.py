"""The first day each product can be delivered from a new sowing, and the days a crop can be cut at all."""

from collections.abc import Callable, Iterable, Mapping

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Demand, Farm, Growing, Product
from scheduler.farm.growth.picking import Pick, picks_from, picks_of
from scheduler.farm.growth.stages import PLACE_OF, next_work, pace_groups, stage_days
from scheduler.farm.places import Place, PlaceKind
from scheduler.farm.units import WHOLE_SHARE

OVERDUE_DAYS = 7
"""Days from ``farm.today`` through which something overdue may still be moved or cut."""


def earliest_reach(farm: Farm) -> dict[str, int | None]:
    """Return product name -> the first day it can be delivered from a sowing on or after ``farm.today``.

    Work days, closures, pace, sowing windows and days in service count; in each stage the best place does.
    None when no sowing up to the end of the plan's span gets there.
    """
    crops = {name: earliest_cut(farm, crop) for name, crop in farm.crops.items()}
    return {name: _first_of_product(product, crops) for name, product in farm.products.items()}


def _first_of_product(product: Product, crops: Mapping[str, int | None]) -> int | None:
    """Return the first day on which any crop of a product is there; of a mix, enough of its parts."""
    for day in sorted({day for crop in product.sources if (day := crops[crop]) is not None}):
        there = {crop for crop in product.sources if (crops[crop] or day + 1) <= day}
        if _can_be_made(product, there.__contains__):
            return day
    return None


def _can_be_made(product: Product, there: Callable[[str], bool]) -> bool:
    """Say whether a product can be made of the crops that are there: of any; of a mix, of enough parts."""
    if not product.parts:
        return any(there(crop) for crop in product.sources)
    share = sum(part.most for part in product.parts if there(part.crop))
    return share >= WHOLE_SHARE and all(there(part.crop) for part in product.parts if part.least)


def has_harvest_day(farm: Farm, demand: Demand) -> bool:
    """Say whether any open harvest day lies near enough to a demand for its heads to be fresh."""
    first = max(farm.today, demand.first - demand.max_age)
    return bool(farm.calendar.open_days(Work.HARVEST, first, demand.last))


def earliest_cut(farm: Farm, crop: Crop) -> int | None:
    """Return the first day on which a new sowing of a crop can be cut, or None when never."""
    best: int | None = None
    seen: dict[StageKind, set[int]] = {stage.kind: set() for stage in crop.route}
    for sown in farm.calendar.open_days(Work.SOW, farm.today, farm.calendar.span):
        if best is not None and sown >= best:
            break
        if crop.may_sow(sown):
            best = _first((best, _first_cut(farm, crop, sown, seen)))
    return best


def _first_cut(farm: Farm, crop: Crop, sown: int, seen: dict[StageKind, set[int]]) -> int | None:
    """Return the first cut of one sowing, leaving out moves an earlier sowing could make as well."""
    entered = [sown]
    for stage in crop.route:
        fresh = sorted(set(entered) - seen[stage.kind])
        seen[stage.kind].update(fresh)
        left: set[int] = set()
        for places in pace_groups(farm, stage.kind, crop):
            for day in fresh:
                left.update(_leaving_days(farm, crop, stage.kind, places, day))
        entered = sorted(left)
    return entered[0] if entered else None


def cut_days(farm: Farm, crop: Crop) -> frozenset[int]:
    """Return every day on which some lot of a crop can be cut: sown from ``farm.today`` on, or growing.

    Later cuts count too. Of what is picked in beds it is every harvest day from the first picking on; what
    stands in a bed already is picked on its own days alone.
    """
    sowing = farm.calendar.open_days(Work.SOW, farm.today, farm.calendar.span)
    days = {day for day in sowing if crop.may_sow(day)}
    for stage in crop.route:
        days = {
            day
            for places in pace_groups(farm, stage.kind, crop)
            for start in sorted(days)
            for day in _leaving_days(farm, crop, stage.kind, places, start)
        }
    if crop.picking is None:
        homes = {place.belongs_to for place in farm.places_of(PLACE_OF[crop.finish.kind])}
        latest = days
        for _ in range(crop.cuts - 1):
            latest = {day for home in homes for cut in latest for day in _recut_days(farm, crop, home, cut)}
            days |= latest
    standing: set[int] = set()
    for row in farm.growing:
        if row.crop == crop.name:
            found = standing if row.stage is crop.finish.kind else days
            found.update(day for cut in cut_days_of_growing(farm, row) for day in cut)
    if crop.picking is not None and days:
        days = set(farm.calendar.open_days(Work.HARVEST, min(days), farm.calendar.span))
    return frozenset(days | standing)


class CutDays:
    """Says whether any lot at all can be cut fresh for a demand; looks each crop up once."""

    def __init__(self, farm: Farm) -> None:
        """Take the farm."""
        self._farm = farm
        self._days: dict[str, frozenset[int]] = {}

    def serve(self, demand: Demand) -> bool:
        """Say whether lots for some of a demand, new or growing, can be cut on days fresh enough for it."""
        fresh = range(demand.first - demand.max_age, demand.last + 1)
        return any(
            _can_be_made(self._farm.products[name], lambda crop: not self._of(crop).isdisjoint(fresh))
            for name in demand.products
        )

    def _of(self, crop: str) -> frozenset[int]:
        if crop not in self._days:
            self._days[crop] = cut_days(self._farm, self._farm.crops[crop])
        return self._days[crop]


def _leaving_days(
    farm: Farm, crop: Crop, kind: StageKind, places: tuple[Place, ...], entered: int
) -> list[int]:
    days = stage_days(farm, crop, kind, places[0].belongs_to, entered)
    if PLACE_OF[kind] in (PlaceKind.LANE, PlaceKind.BED):
        # A raft never changes its row, nor a plant its bed, so one must be there all the time.
        return [day for day in days if any(_open_through((place,), entered, day) for place in places)]
    return [day for day in days if _open_through(places, entered, day)]


def _open_through(places: tuple[Place, ...], first: int, end: int) -> bool:
    """Say whether at least one slot is open on every day from ``first`` up to, not including, ``end``."""
    if any(_stays_open(place, first, end) for place in places):
        return True
    changes = {first, *(day for place in places for day in place.slots.changes() if first < day < end)}
    return all(any(place.slots.on(day) > 0 for place in places) for day in changes)


def _stays_open(place: Place, first: int, end: int) -> bool:
    if place.slots.on(first) <= 0:
        return False
    return all(place.slots.on(day) > 0 for day in place.slots.changes() if first < day < end)


def _first(days: Iterable[int | None]) -> int | None:
    return min((day for day in days if day is not None), default=None)


def cut_days_of_growing(farm: Farm, row: Growing) -> list[list[int]]:
    """Return the days on which something that grows already can be cut, a list for each cut to come.

    What is past its last good day counts from the first open day of the work that takes it on.
    """
    crop, place = farm.crops[row.crop], _place_of(farm, row)
    if crop.picking is not None:
        days = [pick.day for pick in pickings_to_come(farm, row)]
        return [days] if days else []
    if row.stage is crop.finish.kind:
        owners, days = {place.belongs_to}, _cut_days_of_growing(farm, crop, row, place.belongs_to)
    else:
        owners = {lane.belongs_to for lane in farm.places_of(PlaceKind.LANE) if lane.name in crop.lanes}
        days = _first_cut_days(farm, crop, row, place.belongs_to)
    if row.not_before is not None:
        days = [day for day in days if day >= row.not_before]
    cuts = []
    for _ in range(crop.cuts - row.cuts_done):
        if days:
            cuts.append(days)
            days = sorted(
                {day for owner in owners for cut in days for day in _recut_days(farm, crop, owner, cut)}
            )
    return cuts


def pickings_to_come(farm: Farm, row: Growing) -> tuple[Pick, ...]:
    """Return the pickings that something that grows, in trays or in a bed, can still give.

    Of what stands in trays they are those of plants set in as soon as may be, at pace 1. None where the crop
    does not end in a bed.
    """
    crop, place = farm.crops[row.crop], _place_of(farm, row)
    picking = crop.picking
    if picking is None:
        return ()
    after = max(farm.today, farm.today if row.not_before is None else row.not_before)
    if row.stage is crop.finish.kind:
        picks = picks_of(picking, farm.pace, place.belongs_to, row.since, crop.finish.days)
        after = max(after, after if row.last_cut is None else row.last_cut + 1)
    else:
        first = _first_cut_days(farm, crop, row, place.belongs_to)[:1]
        picks = tuple(pick for day in first for pick in picks_from(picking, day))
    return tuple(pick for pick in picks if pick.day >= after)


def _first_cut_days(farm: Farm, crop: Crop, row: Growing, owner: str) -> list[int]:
    """Return the days of the first cut of what stands in trays or on boards of ``owner``."""
    kinds = [stage.kind for stage in crop.route]
    entered = stage_days(farm, crop, row.stage, owner, row.since)
    if not entered and is_overdue(farm, row):
        work = next_work(crop, row.stage)
        entered = farm.calendar.open_days(work, farm.today, farm.today + OVERDUE_DAYS)
    for kind in kinds[kinds.index(row.stage) + 1 :]:
        left: set[int] = set()
        for places in pace_groups(farm, kind, crop):
            for day in entered:
                left.update(_leaving_days(farm, crop, kind, places, day))
        entered = sorted(left)
    return entered


def is_overdue(farm: Farm, row: Growing) -> bool:
    """Say whether the last good day of what grows lies before the first open day of its next work."""
    crop, owner = farm.crops[row.crop], _place_of(farm, row).belongs_to
    stage = crop.stage(row.stage)
    if stage is None:
        return False
    since, days = row.since, stage.days
    if row.cuts_done and row.last_cut is not None and crop.picking is None:
        since, days = row.last_cut, crop.cut_interval
    last = farm.pace.last_day_within(owner, since, days + stage.wait)
    # A year without a day of that work is a farm that does not do it.
    opens = farm.calendar.open_days(next_work(crop, row.stage), farm.today, farm.today + 366)
    return bool(opens) and last < opens[0]


def _cut_days_of_growing(farm: Farm, crop: Crop, row: Growing, owner: str) -> list[int]:
    if is_overdue(farm, row):
        return farm.calendar.open_days(Work.HARVEST, farm.today, farm.today + OVERDUE_DAYS)
    if not row.cuts_done or row.last_cut is None:
        return stage_days(farm, crop, row.stage, owner, row.since)
    return _recut_days(farm, crop, owner, row.last_cut)


def _recut_days(farm: Farm, crop: Crop, owner: str, cut: int) -> list[int]:
    """Return the days on which what was cut on a day in a place of ``owner`` may be cut again."""
    first = farm.pace.first_day_reached(owner, cut, crop.cut_interval)
    last = farm.pace.last_day_within(owner, cut, crop.cut_interval + crop.finish.wait)
    return farm.calendar.open_days(Work.HARVEST, max(first, farm.today), last)


def _place_of(farm: Farm, row: Growing) -> Place:
    """Return the place of what grows, or the first of its shelf or trough."""
    kind = PLACE_OF[row.stage]
    return next(place for place in farm.places_of(kind) if row.place in (place.name, place.belongs_to))
