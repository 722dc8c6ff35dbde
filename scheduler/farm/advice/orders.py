"""Notes on orders: deliveries that cannot be met whatever is sown, and rows that change nothing."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import Note
from scheduler.book.parse import WEEKDAY_NAMES
from scheduler.book.rows import Row
from scheduler.farm.calendar import Work
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.from_book.asking import NAMED, order_name
from scheduler.farm.from_book.changes import days_of_change
from scheduler.farm.from_book.days import Season
from scheduler.farm.from_book.demands import order_days
from scheduler.farm.orders.goods import reach_of
from scheduler.farm.orders.reach import CutDays, earliest_reach, has_harvest_day
from scheduler.farm.orders.to_come import cuts_to_come, taken_from


def order_notes(farm: Farm, book: Book) -> list[Note]:
    """Return the notes on orders, changes, single deliveries and targets."""
    demands: dict[str, list[Demand]] = defaultdict(list)
    for demand in farm.demands:
        if demand.reported:
            demands[demand.order].append(demand)
    early, cuts = _too_early(farm), CutDays(farm)
    notes: list[Note] = []
    for table in NAMED:
        for row in book.rows(table):
            mine = _of_row(farm, table, row, demands.get(order_name(row), []))
            notes += _outside_notes(farm, table, row)
            notes += _early_note(farm, (table, row), [d for d in mine if d.name in early], early)
            notes += _harvest_note(farm, table, row, mine)
            notes += _fresh_note(farm, cuts, (table, row), [d for d in mine if d.name not in early])
            notes += _closed_note(farm, table, row, mine)
    return [*notes, *_change_notes(farm, book)]


def _of_row(farm: Farm, table: str, row: Row, demands: list[Demand]) -> list[Demand]:
    """Return the demands of a row: single deliveries of one name are told apart by product and date."""
    if table != "deliveries":
        return demands
    day = farm.calendar.day_of(row.date("date"))
    return [d for d in demands if d.first == day and d.product == row.text("product")]


def _too_early(farm: Farm) -> dict[str, int | None]:
    """Return demand -> earliest day of its product, where neither sowing nor what grows is in time."""
    earliest = earliest_reach(farm)
    cuts = cuts_to_come(farm)
    early: dict[str, int | None] = {}
    for demand in farm.demands:
        day = reach_of(demand, earliest)
        if day is not None and demand.last >= day:
            continue
        if has_harvest_day(farm, demand) and not taken_from(cuts, demand, farm):
            early[demand.name] = day
    return early


def _early_note(
    farm: Farm, at: tuple[str, Row], early: list[Demand], earliest: dict[str, int | None]
) -> Iterator[Note]:
    if not early:
        return
    table, row = at
    day = earliest[early[0].name]
    first = farm.date_of(early[0].first)
    count = f"{len(early)} deliveries, the first on {first}, come" if len(early) > 1 else f"{first} comes"
    when = "no sowing gets there at all" if day is None else f"the earliest is {farm.date_of(day)}"
    text = (
        f"{count} too early for a sowing from {farm.date_of(farm.today)} on, and what grows does not cover it"
    )
    yield Note(
        place=row.cell("date" if table == "deliveries" else "from"), text=f"{text}; {when}", code="too-early"
    )


def _harvest_note(farm: Farm, table: str, row: Row, demands: list[Demand]) -> Iterator[Note]:
    """Tell of deliveries before which no harvest day falls within the age allowed."""
    missed = [
        demand
        for demand in demands
        if demand.in_hand < demand.amount
        and not farm.calendar.open_days(Work.HARVEST, demand.first - demand.max_age, demand.last)
    ]
    if not missed:
        return
    first = farm.date_of(missed[0].first)
    if table == "targets":
        text = f"no harvest day in {len(missed)} of {len(demands)} weeks, the first from {first}"
        yield Note(place=row.cell("target"), text=text, code="no-harvest-day")
        return
    age = missed[0].max_age
    back = (
        "on the day itself"
        if age == 0
        else f"within {age} days before it"
        if age > 1
        else "on it or the day before"
    )
    weekday = WEEKDAY_NAMES[first.weekday()].capitalize()
    text = (
        f"{len(missed)} of {len(demands)} deliveries, the first on {weekday} {first}, "
        f"cannot be filled: no harvest day {back}"
    )
    column = "date" if table == "deliveries" else "weekdays"
    yield Note(place=row.cell(column), text=text, code="no-harvest-day")


def _fresh_note(farm: Farm, cuts: CutDays, at: tuple[str, Row], demands: list[Demand]) -> Iterator[Note]:
    """Tell of deliveries that have harvest days near enough, on none of which any batch could be cut."""
    missed = [
        demand
        for demand in demands
        if demand.in_hand < demand.amount and has_harvest_day(farm, demand) and not cuts.serve(demand)
    ]
    if not missed:
        return
    table, row = at
    first = farm.date_of(missed[0].first)
    weekday = WEEKDAY_NAMES[first.weekday()].capitalize()
    what = "weeks" if table == "targets" else "deliveries"
    text = (
        f"{len(missed)} of {len(demands)} {what}, the first on {weekday} {first}, cannot be filled: "
        "nothing sown on a sowing day is ready on a harvest day near enough; another day of sowing, harvest "
        "or delivery, or a longer harvest_window, hold_days or greatest_age, would help"
    )
    column = {"deliveries": "date", "targets": "target"}.get(table, "weekdays")
    yield Note(place=row.cell(column), text=text, code="no-fresh-batch")


def _closed_note(farm: Farm, table: str, row: Row, demands: list[Demand]) -> Iterator[Note]:
    if table == "targets":
        return
    closed = [demand for demand in demands if farm.calendar.is_closed(demand.first)]
    if closed:
        first = farm.date_of(closed[0].first)
        one = len(closed) == 1
        count = (
            f"the delivery on {first} falls on a closed day"
            if one
            else f"{len(closed)} deliveries fall on closed days, the first on {first}"
        )
        which = "it" if one else "them"
        column, advice = (
            ("date", f"give {which} another date")
            if table == "deliveries"
            else ("weekdays", f"skip {which} in order_changes")
        )
        text = f"{count}; {advice}, unless you deliver all the same"
        yield Note(place=row.cell(column), text=text, code="closed-day")


def _outside_notes(farm: Farm, table: str, row: Row) -> Iterator[Note]:
    """Tell of rows that lie wholly before or after the plan."""
    calendar = farm.calendar
    if table == "deliveries":
        first_name, last_name = "date", "date"
    else:
        first_name, last_name = "from", "to"
    first, last = row.date_or_none(first_name), row.date_or_none(last_name)
    if last is not None and calendar.day_of(last) < 0:
        text = f"{last} lies before the first day of the plan, {calendar.first_day}; nothing is delivered"
        yield Note(place=row.cell(last_name), text=text, code="outside-plan")
    elif first is not None and calendar.day_of(first) >= calendar.days:
        text = f"{first} lies after the last day of the plan, {calendar.date_of(calendar.days - 1)}"
        yield Note(place=row.cell(first_name), text=text, code="outside-plan")


def _change_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of changes that touch no delivery of the plan."""
    calendar = farm.calendar
    season = Season(first_day=calendar.first_day, days=calendar.days)
    orders = {row.text("order"): set(order_days(row, season, calendar)) for row in book.rows("orders")}
    for row in book.rows("order_changes"):
        first, last = days_of_change(row, season)
        days = orders[row.text("order")]
        if first < calendar.span and last >= 0 and not any(first <= day <= last for day in days):
            text = f"'{row.text('order')}' has no delivery between these days, so nothing changes"
            yield Note(place=row.cell("from"), text=text, code="no-change")
