"""Fish feed against what the plants ask, week by week and loop by loop: areas, bands, what is lacking.

Plants ask so many grams of feed a day for each square metre that is planted; on rafts and boards the planted
part of a unit counts. Works from the plan's contents and positions and the farm alone.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from scheduler.farm.crops import StageKind
from scheduler.farm.dates import full_day
from scheduler.farm.farm import Farm
from scheduler.farm.loops.fish import TankDay, tank_days
from scheduler.farm.loops.water import FRUITING, LEAFY, Water
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import CENT, SQUARE_MM_PER_M2, ceil_div, nearest
from scheduler.plan.exact import counts_leafy_beds
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import Plan
from scheduler.plan.rows_water import WaterRow
from scheduler.plan.tally import daily

GRAM = 1000
"""Milligrams in a gram, and millionths of a square metre times grams that are a milligram."""

BALANCED = "balanced"
SHORT = "plants short of feed"
OVER = "more feed than plants use"
NO_PLANTS = "no plants"
NO_FISH = "no fish"

Areas = Mapping[tuple[str, str], Sequence[int]]
"""(trough or bed, leafy or fruiting) -> square millimetres planted on each day from 0 on."""


def water_rows(farm: Farm, plan: Plan) -> list[WaterRow]:
    """Return the weeks of each loop from today to the last reported day; none for a farm without fish."""
    return balance(farm, planted(farm, plan)) if farm.water is not None else []


def planted(farm: Farm, plan: Plan) -> Areas:
    """Return the area planted on each reported day, boards and rafts by the part of their holes in use."""
    crop_of = {lot.lot: farm.crops[lot.crop] for lot in plan.lots}
    items = {unit.unit: unit.item for unit in plan.units}
    places = {place.name: place for place in farm.places}
    stands: dict[str, list[tuple[str, int, int]]] = defaultdict(list)
    for row in plan.positions:
        stands[row.unit].append((row.place, row.enters, row.until))
    runs: dict[tuple[str, str], list[tuple[int, int, int]]] = defaultdict(list)
    for content in plan.contents:
        stage = crop_of[content.lot].stage(StageKind(items[content.unit]))
        if stage is None or stage.kind not in (StageKind.BOARD, StageKind.RAFT):
            continue
        part = Fraction(min(content.plants, stage.plants_per_unit), stage.plants_per_unit)
        for name, enters, until in stands[content.unit]:
            place = places[name]
            area = int(part * farm.raft_areas.get(place.belongs_to, Fraction(0)) * SQUARE_MM_PER_M2)
            run = (max(enters, content.enters), min(until, content.leaves), area)
            runs[place.belongs_to, LEAFY].append(run)
    found = {key: daily(each, farm.calendar.days) for key, each in runs.items()}
    return {**found, **_beds(farm.water, plan, farm.calendar.days)}


def _beds(water: Water | None, plan: Plan, days: int) -> dict[tuple[str, str], list[int]]:
    """Return the area of each bed whose positions are taken by plants of a kind, day by day."""
    if water is None:
        return {}
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    by_crop, runs = counts_leafy_beds(plan), defaultdict[tuple[str, str], list[tuple[int, int, int]]](list)
    for planting in plan.plantings:
        area = len(positions_in(planting.positions) or ()) * water.bed_areas.get(planting.bed, 0)
        kind = water.kind_in_beds([crop_of.get(planting.lot, "")]) if by_crop else FRUITING
        runs[planting.bed, kind].append((planting.enters, planting.free, area))
    return {key: daily(each, days) for key, each in runs.items()}


def all_planted(farm: Farm) -> Areas:
    """Return the area there would be if every open slot for boards and rafts, and every bed, were planted.

    A bed in which fruiting plants may stand is taken to be full of them.
    """
    found: dict[tuple[str, str], list[int]] = {}
    for place in farm.places:
        each = farm.raft_areas.get(place.belongs_to, Fraction(0)) * SQUARE_MM_PER_M2
        if place.kind is PlaceKind.TIER:
            continue
        kind = LEAFY
        if place.kind is PlaceKind.BED and farm.water is not None:
            each = Fraction(farm.water.bed_areas.get(place.belongs_to, 0))
            kind = farm.water.kind_in_beds(
                crop.name for crop in farm.crops.values() if crop.picking and place.name in crop.picking.beds
            )
        days = found.setdefault((place.belongs_to, kind), [0] * farm.calendar.days)
        for day in range(farm.calendar.days):
            days[day] += int(each * place.slots.on(day))
    return found


@dataclass(slots=True)
class _Sums:
    """Sums of one loop over the days of one week: square millimetres, milligrams, fish on the last day."""

    first: int
    last: int
    days: int = 0
    leafy: int = 0
    fruiting: int = 0
    eaten: int = 0
    fish: int = 0


def balance(farm: Farm, areas: Areas) -> list[WaterRow]:
    """Return the weeks of each loop, loops in the order they come, for areas as :func:`planted` gives them.

    Raises:
        ValueError: the farm has no fish.
    """
    water = farm.water
    if water is None:
        raise ValueError("a farm without fish")
    tanks = {tank.name: tank_days(tank, farm.calendar.days) for tank in water.tanks}
    sums: dict[str, dict[int, _Sums]] = defaultdict(dict)
    for day in range(farm.today, farm.calendar.days):
        week = farm.calendar.week_start(day)
        for part, loop in water.loops_on(day).items():
            of_week = sums[loop].setdefault(week, _Sums(day, day))
            if of_week.last < day or not of_week.days:
                of_week.last, of_week.days, of_week.fish = day, of_week.days + 1, 0
            _add(of_week, tanks.get(part), (areas, part), day)
    rows = [
        _row(water, loop, each) for loop, weeks in sums.items() for each in weeks.values() if _is_told(each)
    ]
    return _with_remarks(farm, rows)


def _add(sums: _Sums, tank: Sequence[TankDay] | None, areas: tuple[Areas, str], day: int) -> None:
    if tank is not None:
        sums.eaten += tank[day].feed
        sums.fish += tank[day].fish
    found, part = areas
    for kind in (LEAFY, FRUITING):
        if (part, kind) in found:
            setattr(sums, kind, getattr(sums, kind) + found[part, kind][day])


def _is_told(sums: _Sums) -> bool:
    return bool(sums.eaten or sums.leafy or sums.fruiting)


def _row(water: Water, loop: str, sums: _Sums) -> WaterRow:
    """Return one week; grams are rounded to the nearest, what is asked at least up."""
    days = sums.days
    low = sum(getattr(sums, kind) * water.bands[kind].low for kind in (LEAFY, FRUITING))
    high = sum(getattr(sums, kind) * water.bands[kind].high for kind in (LEAFY, FRUITING))
    eaten, area = sums.eaten * GRAM, sums.leafy + sums.fruiting
    middle = Fraction(low + high, 2)
    state = _state(low, eaten, high)
    off = Fraction(0) if state == BALANCED else abs(eaten - middle)
    # square millimetres that as much feed carries, planted as it is; leafy plants where nothing is
    leafy = Fraction(water.bands[LEAFY].low + water.bands[LEAFY].high, 2)
    area_off = off * area / middle if middle else off / leafy
    unit = GRAM * GRAM * days
    return WaterRow(
        loop=loop,
        day=sums.first,
        last=sums.last,
        leafy=nearest(Fraction(sums.leafy * CENT, SQUARE_MM_PER_M2 * days)),
        fruiting=nearest(Fraction(sums.fruiting * CENT, SQUARE_MM_PER_M2 * days)),
        asked_low=ceil_div(low, unit),
        asked_high=nearest(Fraction(high, unit)),
        eaten=nearest(Fraction(eaten, unit)),
        state=state,
        off=nearest(off / unit),
        area_off=nearest(area_off * CENT / (SQUARE_MM_PER_M2 * days)),
        fish=sums.fish,
        remark="",
    )


def _state(low: int, eaten: int, high: int) -> str:
    if not high:
        return NO_PLANTS
    if not eaten:
        return NO_FISH
    return SHORT if eaten < low else OVER if eaten > high else BALANCED


def _with_remarks(farm: Farm, rows: Sequence[WaterRow]) -> list[WaterRow]:
    """Tell when fish that eat too little as yet will eat enough for what is planted in that week."""
    return [
        replace(row, remark=_growing(farm, row, rows)) if row.state in (SHORT, NO_FISH) else row
        for row in rows
    ]


def _growing(farm: Farm, row: WaterRow, rows: Sequence[WaterRow]) -> str:
    later = (other for other in rows if other.loop == row.loop and other.day > row.day)
    enough = next((other for other in later if other.eaten >= row.asked_low), None)
    if enough is None:
        return ""
    return f"fish eat too little as yet; enough for this from {full_day(farm.date_of(enough.day))}"


def tanks_told(farm: Farm) -> Iterator[tuple[str, str, tuple[TankDay, ...]]]:
    """Yield name, species and days of each tank."""
    if farm.water is not None:
        for tank in farm.water.tanks:
            yield tank.name, tank.species, tank_days(tank, farm.calendar.days)
