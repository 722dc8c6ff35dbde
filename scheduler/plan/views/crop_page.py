"""One crop: where it stands on a day, what is sown next, and how many heads are cut for whom each week."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.rows import Plan
from scheduler.plan.views.standing import standing_on
from scheduler.plan.views.trace import Trace
from scheduler.plan.words import most_first


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """What one place holds of the crop: ``units`` (in beds plantings), ``plants`` (trays: cells), lots."""

    place: str
    item: str
    units: int
    plants: int
    lots: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingLine:
    """One sowing and what becomes of it; days are those on which some of it comes to the stage."""

    lot: str
    day: int
    cells: int
    trays: int
    boards: tuple[int, ...]
    rafts: tuple[int, ...]
    cuts: tuple[int, ...]
    heads: int
    beds: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CropWeek:
    """Heads of the crop cut in one week.

    Attributes:
        monday: day number of the week's Monday.
        heads: heads cut.
        takers: (customer or target, heads), most heads first.
        unsold: heads nobody asked for.
    """

    monday: int
    heads: int
    takers: tuple[tuple[str, int], ...]
    unsold: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CropPage:
    """All that is shown of a crop; sowings from ``day`` on, weeks from that of ``day`` on that cut any."""

    crop: Crop
    day: int
    here: tuple[Here, ...]
    sowings: tuple[SowingLine, ...]
    weeks: tuple[CropWeek, ...]


def crop_page(farm: Farm, plan: Plan, crop: str, day: int) -> CropPage:
    """Return what is shown of a crop on a day.

    Raises:
        KeyError: the farm has no such crop.
    """
    trace = Trace(farm, plan)
    return CropPage(
        crop=farm.crops[crop],
        day=day,
        here=(*_here(farm, plan, crop, day), *_in_beds(trace, crop, day)),
        sowings=tuple(_sowings(trace, crop, day)),
        weeks=tuple(_weeks(trace, crop, farm.calendar.week_start(day))),
    )


def _here(farm: Farm, plan: Plan, crop: str, day: int) -> Iterable[Here]:
    for place in standing_on(farm, plan, day):
        plants: Counter[str] = Counter()
        units: dict[str, set[str]] = defaultdict(set)
        lots: dict[str, None] = {}
        for stands in place.standing:
            for load in stands.loads:
                if load.crop == crop and load.plants:
                    plants[stands.item] += load.plants
                    units[stands.item].add(stands.unit)
                    lots[load.lot] = None
        for item, of_item in units.items():
            yield Here(
                place=place.place, item=item, units=len(of_item), plants=plants[item], lots=tuple(lots)
            )


def _in_beds(trace: Trace, crop: str, day: int) -> Iterable[Here]:
    """Yield what beds hold of a crop in the evening of a day."""
    for place in trace.farm.places_of(PlaceKind.BED):
        rows = [
            row
            for lot, lot_row in trace.lots.items()
            if lot_row.crop == crop
            for row in trace.plantings(lot)
            if row.bed == place.name and row.enters <= day < row.leaves
        ]
        if rows:
            yield Here(
                place=place.name,
                item="planting",
                units=len(rows),
                plants=sum(row.plants for row in rows),
                lots=tuple(dict.fromkeys(row.lot for row in rows)),
            )


def _harvested(trace: Trace, lot: str) -> list[tuple[int, int]]:
    """Return (day, heads) of every cut and picking of a lot."""
    return [
        *((cut.day, cut.heads) for unit in trace.cut_from(lot) for cut in trace.cuts(unit, lot)),
        *((each.day, each.heads) for row in trace.plantings(lot) for each in trace.pickings(row.planting)),
    ]


def _sowings(trace: Trace, crop: str, day: int) -> Iterable[SowingLine]:
    own = [row for row in trace.lots.values() if row.crop == crop and row.origin == "sown"]
    for row in sorted(own, key=lambda row: (row.sown or 0, row.lot)):
        if row.sown is None or not day <= row.sown < trace.farm.calendar.days:
            continue
        rafts = trace.held(row.lot, "raft")
        cuts = _harvested(trace, row.lot)
        yield SowingLine(
            lot=row.lot,
            day=row.sown,
            cells=row.cells,
            trays=len({each.unit for each in trace.held(row.lot, "tray")}),
            boards=_days(each.enters for each in trace.held(row.lot, "board")),
            rafts=_days(each.enters for each in rafts),
            cuts=_days(day for day, _ in cuts),
            heads=sum(heads for _, heads in cuts),
            beds=_days(each.enters for each in trace.plantings(row.lot)),
        )


def _days(days: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(set(days)))


def _weeks(trace: Trace, crop: str, first: int) -> Iterable[CropWeek]:
    calendar = trace.farm.calendar
    lots = [lot for lot, row in trace.lots.items() if row.crop == crop]
    heads: Counter[int] = Counter()
    takers: dict[int, Counter[str]] = defaultdict(Counter)
    for lot in lots:
        for day, number in _harvested(trace, lot):
            if day < calendar.days:
                heads[calendar.week_start(day)] += number
    for taker, cut_day, number in _taken(trace, crop, lots):
        if cut_day < calendar.days:
            takers[calendar.week_start(cut_day)][taker] += number
    for monday in sorted(heads):
        if monday >= first and heads[monday]:
            taken = most_first(takers[monday])
            yield CropWeek(
                monday=monday,
                heads=heads[monday],
                takers=taken,
                unsold=heads[monday] - sum(number for _, number in taken),
            )


def _taken(trace: Trace, crop: str, lots: Iterable[str]) -> Iterable[tuple[str, int, int]]:
    """Yield who gets heads of a crop (customer, target or outlet), the day of the cut, and how many."""
    for lot in lots:
        for fill in trace.fills(lot):
            demand = trace.demands.get(fill.demand)
            if demand is not None:
                yield demand.customer or demand.order, fill.cut_day, fill.heads
    for sale in trace.plan.sales:
        if sale.crop == crop:
            yield sale.outlet, sale.cut_day, sale.heads
