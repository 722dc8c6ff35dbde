"""From a book to a farm: puts together what the modules of ``from_book`` make of its tables."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.farm.calendar import Calendar
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Demand, Equipment, Farm, HouseRules, Product
from scheduler.farm.from_book.beds import (
    check_own_rows,
    climate_with_beds,
    pace_with_beds,
    paces_of_beds,
    with_picking_days,
)
from scheduler.farm.from_book.boxes import BoxDemands, build_boxes, last_box_day
from scheduler.farm.from_book.chores import build_chores
from scheduler.farm.from_book.coolers import build_coolers
from scheduler.farm.from_book.crops import build_crops, build_equipment
from scheduler.farm.from_book.days import (
    Season,
    build_calendar,
    build_pace,
    closed_days,
    crew_steps,
    season_of,
)
from scheduler.farm.from_book.demands import build_demands, build_products, last_demand_day
from scheduler.farm.from_book.fish import build_water
from scheduler.farm.from_book.growing import build_growing
from scheduler.farm.from_book.light import build_climate, with_climate
from scheduler.farm.from_book.mixes import build_mixes
from scheduler.farm.from_book.outlets import build_outlets
from scheduler.farm.from_book.places import Layout, build_places
from scheduler.farm.from_book.ready import with_ready
from scheduler.farm.from_book.supplies import build_supplies
from scheduler.farm.growth.climate import Climate
from scheduler.farm.growth.course import homes_of
from scheduler.farm.growth.heat import without_hot_sowings
from scheduler.farm.growth.pace import Pace
from scheduler.farm.orders.outlets import OutletWeek
from scheduler.farm.units import cents, hundredths_up

MOST_EXTRA_DAYS = 120
"""Most days planned past the last reported one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """Where things grow, what grows there, and how fast."""

    layout: Layout
    equipment: dict[str, Equipment]
    crops: dict[str, Crop]
    climate: Climate
    pace: Pace


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What is sold: products and deliveries, and beside them those that stand for boxes."""

    products: dict[str, Product]
    demands: tuple[Demand, ...]
    shares: BoxDemands
    outlets: tuple[OutletWeek, ...]

    def all_demands(self) -> tuple[Demand, ...]:
        """Return the demands of orders and of boxes, by day and name."""
        both = (*self.demands, *self.shares.demands)
        return tuple(sorted(both, key=lambda demand: (demand.first, demand.name)))


def build_farm(book: Book, today: date | None = None) -> Farm:
    """Build the farm a book describes.

    ``today`` is the first day on which anything new is done; the plan's first day when not given.

    Raises:
        BookFaults: with every fault that shows only when tables are taken together.
    """
    log = FaultLog()
    farm = _farm(book, today, log)
    log.raise_if_any()
    return without_hot_sowings(farm)


def _farm(book: Book, today: date | None, log: FaultLog) -> Farm:
    """Return the farm, which is whole only where no fault went to the log."""
    season, settings = season_of(book), book.settings
    ground = _ground(book, season, log)
    calendar = _calendar(book, season, ground, log)
    asked = _asked(book, season, calendar, ground.crops, log)
    crops = with_picking_days(ground.crops, calendar, asked.products, asked.demands)
    first, crew = _today(book, season, today, log), crew_steps(book, season, log)
    return Farm(
        name=settings.text("farm"),
        currency=settings.text("currency"),
        length_unit=settings.text("length_unit"),
        mass_unit=settings.text("mass_unit"),
        calendar=calendar,
        rules=_rules(book),
        places=ground.layout.places,
        equipment=ground.equipment,
        crops={name: _within_span(crop, calendar.span) for name, crop in crops.items()},
        products={**asked.products, **asked.shares.products},
        demands=asked.all_demands(),
        boxes=asked.shares.boxes,
        growing=build_growing(book, season, ground.layout, (crops, ground.equipment, first), log),
        pace=ground.pace,
        crew=crew,
        costs=_costs(book, log),
        today=first,
        supplies=build_supplies(book, crops, log),
        raft_areas={trough.name: trough.raft_area for trough in ground.layout.troughs.values()},
        climate=ground.climate,
        coolers=build_coolers(book),
        chores=build_chores(book, calendar, crew, first, log),
        water=build_water(book, season, log),
        outlets=asked.outlets,
    )


def _ground(book: Book, season: Season, log: FaultLog) -> _Ground:
    layout = build_places(book, season, log)
    equipment = build_equipment(book, log)
    crops = build_crops(book, season, layout, equipment, log)
    like = paces_of_beds(book, layout.owner_of, log)
    check_own_rows(book, like, log)
    climate = climate_with_beds(build_climate(book, season, layout, log), like)
    pace = pace_with_beds(with_climate(build_pace(book, season, layout.owner_of, log), climate), like)
    return _Ground(layout=layout, equipment=equipment, crops=crops, climate=climate, pace=pace)


def _calendar(book: Book, season: Season, ground: _Ground, log: FaultLog) -> Calendar:
    closed = closed_days(book, season, log)
    # days past the last reported one follow from the crops, which with a fault have none to go by
    span = season.days if len(log) else _span(book, season, ground.layout, ground.pace, ground.crops.values())
    return build_calendar(book, season, closed, span)


def _asked(book: Book, season: Season, calendar: Calendar, crops: dict[str, Crop], log: FaultLog) -> _Asked:
    products = build_products(book, crops, log) | build_mixes(book, crops, log)
    demands = build_demands(book, season, calendar, products, log)
    demands = with_ready(book, season, products, demands, log)
    return _Asked(
        products=products,
        demands=demands,
        shares=build_boxes(book, season, calendar, (products, demands), log),
        outlets=build_outlets(book, season, calendar, log),
    )


def _span(book: Book, season: Season, layout: Layout, pace: Pace, crops: Iterable[Crop]) -> int:
    """Return the days that are planned: one longest crop cycle past the last where demand goes on.

    Demand that stops on a date is followed only up to that date, and none past ``MOST_EXTRA_DAYS``.
    """
    asked = (last_demand_day(book, season), last_box_day(book, season))
    last = None if None in asked else max(day for day in asked if day is not None)
    if last is not None and last < season.days:
        return season.days
    cycle = max((_cycle(crop, season, layout, pace) for crop in crops), default=0)
    extra = min(cycle, MOST_EXTRA_DAYS)
    return season.days + (extra if last is None else min(extra, last - season.days + 1))


def _cycle(crop: Crop, season: Season, layout: Layout, pace: Pace) -> int:
    """Return the longest a crop sown on the last day may take to its first cut, in its slowest places."""
    homes = homes_of(layout.places, crop)
    day = season.days
    for stage in crop.route:
        wait = 0 if stage.kind is StageKind.BED else stage.wait  # to the first picking
        lasts = (pace.last_day_within(home, day, stage.days + wait) for home in homes[stage.kind])
        day = max(lasts, default=day)
    return day - season.days


def _within_span(crop: Crop, span: int) -> Crop:
    return replace(crop, sowing=tuple((first, min(last, span)) for first, last in crop.sowing))


def _rules(book: Book) -> HouseRules:
    settings = book.settings
    return HouseRules(
        hold_days=settings.whole("hold_days"),
        share_trays=settings.yes("share_trays"),
        share_boards=settings.yes("share_boards"),
        share_rafts=settings.yes("share_rafts"),
        lift_out=settings.yes("lift_out"),
        lift_minutes=hundredths_up(settings.number_of("lift_minutes")),
        all_or_nothing=settings.yes("all_or_nothing"),
        supply_weeks=settings.whole("supply_weeks"),
        heat=settings.text("heat"),
        freeze_days=settings.whole("freeze_days"),
    )


def _costs(book: Book, log: FaultLog) -> dict[str, int]:
    costs: dict[str, int] = {}
    cells: dict[str, Cell] = {}
    for row in book.rows("costs"):
        name, cell = row.text("cost"), row.cell("cost")
        if name in costs:
            log.add(cell, f"'{name}' again", f"each cost once ({cells[name]} has it)", "double-cost")
        costs[name], cells[name] = cents(row.number_of("amount")), cell
    return costs


def _today(book: Book, season: Season, today: date | None, log: FaultLog) -> int:
    if today is None:
        return 0
    day = season.day(today)
    if not 0 <= day < season.days:
        expected = f"a day of the plan, from {season.first_day} to {season.date_of(season.days - 1)}"
        log.add(book.settings.cell("first_day"), f"{today} as today", expected, "bad-today")
        return 0
    return day
