"""What a grower would want to be told about a book that has no fault."""

from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog, Note, in_order
from scheduler.book.rows import Row
from scheduler.book.words import counted
from scheduler.farm.advice.boxes import box_notes, boxed_products
from scheduler.farm.advice.chores import chore_notes
from scheduler.farm.advice.coolers import cooler_notes
from scheduler.farm.advice.light import light_notes
from scheduler.farm.advice.load import load_notes
from scheduler.farm.advice.orders import order_notes
from scheduler.farm.advice.sizes import size_notes, weight_notes
from scheduler.farm.advice.supplies import supply_notes
from scheduler.farm.advice.work import work_notes
from scheduler.farm.calendar import WEEKDAYS, Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.from_book.figures import Figures
from scheduler.farm.from_book.troughs import measure_troughs
from scheduler.farm.growth.stages import next_work
from scheduler.farm.orders.reach import cut_days_of_growing, is_overdue
from scheduler.farm.places import PlaceKind

LARGE_MARGIN = 5_000
"""A margin of half as much again, above which one is asked whether it is meant (estimate)."""

SMALL_MARGIN = 100
"""A margin below one percent, which is asked about: it looks like a share instead of a percentage."""

CLEARLY_FEWER = 0.9
"""Holes below this share of what the card's spacing takes are told (estimate)."""

WAIT_COLUMNS = {StageKind.TRAY: "wait_tray", StageKind.BOARD: "wait_board"}
WORK_WORDS = {Work.SOW: "sowing", Work.TRANSPLANT: "transplant", Work.RAFT: "raft", Work.HARVEST: "harvest"}


def advice(farm: Farm, book: Book) -> list[Note]:
    """Return notes on a farm and the book it was built from, each with its cell, in the order of the book."""
    rows = {row.text("crop"): row for row in book.rows("crops")}
    notes = [*order_notes(farm, book), *load_notes(farm, book), *_unused_notes(farm, book)]
    for name, crop in farm.crops.items():
        notes += _wait_notes(farm, crop, rows[name])
        notes += _spacing_notes(farm, crop, rows[name], book)
        notes += _crop_notes(farm, crop, rows[name])
    notes += [*_window_notes(farm, book), *_growing_notes(farm, book), *supply_notes(farm, book)]
    notes += [*light_notes(farm, book), *box_notes(farm, book), *cooler_notes(farm, book)]
    notes += [*chore_notes(farm, book), *size_notes(book), *weight_notes(farm, book)]
    notes += work_notes(farm, book)
    return in_order(notes)


def _unused_notes(farm: Farm, book: Book) -> Iterator[Note]:
    wanted = {
        row.text("product") for table in ("orders", "deliveries", "targets") for row in book.rows(table)
    }
    wanted |= {row.text("substitute") for row in book.rows("substitutes") if row.text("product") in wanted}
    wanted |= boxed_products(farm) | {week.product for week in farm.outlets}
    told: set[str] = set()
    for row in (*book.rows("products"), *book.rows("recipes")):
        name = row.text("product")
        if name not in wanted | told:
            told.add(name)
            text = f"nobody orders '{name}', so none is grown for it"
            yield Note(place=row.cell("product"), text=text, code="not-ordered")
    for row in book.rows("crops"):
        name = row.text("crop")
        if not any(name in product.sources for product in farm.products.values()):
            text = f"no product uses '{name}', so it is not sown"
            yield Note(place=row.cell("crop"), text=text, code="not-sold")
    for row in book.rows("equipment"):
        unit = farm.equipment[row.text("name")]
        used = any(stage.unit == unit.name for crop in farm.crops.values() for stage in crop.route)
        if used and unit.owned == 0:
            text = f"none of '{unit.name}' is owned, and crops need it"
            yield Note(place=row.cell("owned"), text=text, code="none-owned")
    for lane in farm.places_of(PlaceKind.LANE):
        if not any(lane.name in crop.lanes for crop in farm.crops.values()):
            cell = next(r.cell("trough") for r in book.rows("troughs") if r.text("trough") == lane.belongs_to)
            text = f"no crop may be finished in '{lane.name}'"
            yield Note(place=cell, text=text, code="unused-lane")


def longest_gap(weekdays: frozenset[int]) -> int:
    """Return the most days from one of these weekdays to the next: 4 for Monday and Thursday."""
    days = sorted(weekdays)
    return max((later - day) % 7 or 7 for day, later in zip(days, [*days[1:], days[0]], strict=True))


def _wait_notes(farm: Farm, crop: Crop, row: Row) -> Iterator[Note]:
    """Tell of stages that may end between two work days and so pass their last good day."""
    for stage in crop.route:
        work = next_work(crop, stage.kind)
        weekdays = farm.calendar.work_days[work]
        gap = longest_gap(weekdays)
        if stage.wait + 1 < gap:
            wait = counted(stage.wait, "day")
            preposition = "in" if stage.kind is StageKind.TRAY else "on"
            named = " ".join(WEEKDAYS[day] for day in sorted(weekdays))
            column = "harvest_window" if stage is crop.finish else WAIT_COLUMNS[stage.kind]
            text = (
                f"'{crop.name}' may wait {wait} {preposition} the {stage.kind}, but {WORK_WORDS[work]} days "
                f"({named}) lie up to {gap} days apart; batches that would find none are not sown"
            )
            yield Note(place=row.cell(column), text=text, code="short-wait")


def _spacing_notes(farm: Farm, crop: Crop, row: Row, book: Book) -> Iterator[Note]:
    """Tell of boards and rafts whose plants stand wider or closer than the card's figures."""
    figures = Figures(row, FaultLog())
    for stage in crop.route[1:]:
        density = figures.card.figures.get(f"plants_per_m2_{stage.kind}") if figures.card else None
        if density is None:
            continue
        areas = _areas(farm, crop, stage.kind, book)
        column = f"plants_per_{stage.kind}"
        if len(areas) != 1:
            continue
        area = areas.pop()
        typical = int(density.typical * area)
        holes = farm.equipment[stage.unit].holes
        if holes < CLEARLY_FEWER * density.typical * area and not row.is_given(column):
            text = f"'{stage.unit}' has {holes} holes; the card's spacing would take {typical} plants"
            yield Note(place=row.cell(column), text=f"{text} of '{crop.name}'", code="few-holes")
        if density.high is not None and stage.plants_per_unit > density.high * area:
            most = int(density.high * area)
            plants = f"{stage.plants_per_unit} plants of '{crop.name}' on one {stage.kind}"
            text = f"{plants}; the card's closest spacing gives {most}"
            yield Note(place=row.cell(column), text=text, code="crowded")


def _areas(farm: Farm, crop: Crop, kind: StageKind, book: Book) -> set[float]:
    """Return the areas in square metres of the boards or rafts a crop may float on."""
    place_kind = PlaceKind.ZONE if kind is StageKind.BOARD else PlaceKind.LANE
    places = [p for p in farm.places_of(place_kind) if kind is StageKind.BOARD or p.name in crop.lanes]
    troughs = measure_troughs(book, FaultLog())
    return {float(troughs[place.belongs_to].raft_area) for place in places}


def _crop_notes(farm: Farm, crop: Crop, row: Row) -> Iterator[Note]:
    if crop.margin > LARGE_MARGIN:
        cells = crop.cells_for(100)
        text = f"a margin of {crop.margin / 100:g} percent: {cells} cells are sown for 100 seedlings"
        place = row.cell("margin_percent")
        yield Note(place=place, text=f"{text} of '{crop.name}'", code="large-margin")
    if 0 < crop.margin < SMALL_MARGIN:
        text = f"a margin of {crop.margin / 100:g} percent adds next to nothing to '{crop.name}'"
        meant = f"; a share of {crop.margin / 100:g} is {crop.margin:g} percent"
        yield Note(place=row.cell("margin_percent"), text=text + meant, code="small-margin")
    if not any(
        crop.in_window(day) for day in farm.calendar.open_days(Work.SOW, farm.today, farm.calendar.span)
    ):
        text = f"'{crop.name}' has no sowing day within its sowing windows from {farm.date_of(farm.today)} on"
        yield Note(place=row.cell("crop"), text=text, code="never-sown")


def _window_notes(farm: Farm, book: Book) -> Iterator[Note]:
    for row in book.rows("sowing_windows"):
        first, last = row.date_or_none("from"), row.date_or_none("to")
        place = row.cell("from" if row.is_given("from") else "to")
        start = 0 if first is None else farm.calendar.day_of(first)
        end = farm.calendar.span if last is None else farm.calendar.day_of(last)
        if end < 0 or start > farm.calendar.span:
            text = f"this window of '{row.text('crop')}' lies outside the plan and changes nothing"
            yield Note(place=place, text=text, code="outside-plan")
        elif not farm.calendar.open_days(Work.SOW, max(0, start), min(end, farm.calendar.span)):
            text = f"no sowing day falls within this window of '{row.text('crop')}'"
            yield Note(place=place, text=text, code="empty-window")


def _growing_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of what is past its last good day, and of rafts that stand behind younger ones."""
    rows = _rows_of(farm, book)
    last_since: dict[str, int] = {}
    asked = _asked(farm)
    for one in farm.growing:
        row = rows[one.lot]
        if is_overdue(farm, one):
            text = (
                f"'{one.lot}' is past its last good day for the next step; it is planned first or thrown away"
            )
            yield Note(place=row.cell("since"), text=text, code="overdue")
        elif not _is_asked_for(farm, one, asked):
            text = (
                f"nobody orders in time what '{one.lot}' can give, so it is thrown away on the first day; "
                "give it a target if you can sell it"
            )
            yield Note(place=row.cell("crop"), text=text, code="not-wanted")
        if one.stage is StageKind.RAFT:
            if one.since < last_since.get(one.place, one.since):
                text = f"'{one.lot}' stands behind rafts that came into '{one.place}' after it"
                yield Note(place=row.cell("order"), text=text, code="out-of-order")
            last_since[one.place] = one.since


def _asked(farm: Farm) -> dict[str, list[tuple[int, int]]]:
    """Return crop -> (first, last) days of cutting from which a delivery, target or outlet takes it."""
    asked: dict[str, list[tuple[int, int]]] = {name: [] for name in farm.crops}
    for demand in farm.demands:
        for product in demand.products:
            for crop in farm.products[product].sources:
                asked[crop].append((demand.first - demand.max_age, demand.last))
    for week in farm.outlets:
        for crop in farm.products[week.product].sources:
            asked[crop].append((0, farm.calendar.span))
    return asked


def _is_asked_for(farm: Farm, one: Growing, asked: dict[str, list[tuple[int, int]]]) -> bool:
    """Say whether anything that still can be cut of what grows could go to anybody."""
    days = {day for cut in cut_days_of_growing(farm, one) for day in cut}
    return any(first <= day <= last for first, last in set(asked[one.crop]) for day in days)


def _rows_of(farm: Farm, book: Book) -> dict[str, Row]:
    """Return lot -> its row of the book; of rows alike in all that tells them apart, the first goes first."""
    left = list(book.rows("growing"))
    found: dict[str, Row] = {}
    for one in sorted(farm.growing, key=lambda one: (len(one.lot), one.lot)):
        row = next(row for row in left if _is_row_of(farm, row, one))
        left.remove(row)
        found[one.lot] = row
    return found


def _is_row_of(farm: Farm, row: Row, one: Growing) -> bool:
    """Say whether a row of the book is that of something growing; several rows may have its code."""
    when = farm.calendar.day_of(row.date("since"))
    code = row.text("lot") or farm.crops[one.crop].lot_on(row.date("since"))
    what = row.text("crop"), row.text("stage"), when, row.whole("plants"), code
    return what == (one.crop, one.stage, one.since, one.plants, one.batch)
