"""Products, and every dated delivery and week that orders, single deliveries and targets ask for."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from math import ceil

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.calendar import Calendar, Work
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Demand, Product
from scheduler.farm.from_book.asking import order_name
from scheduler.farm.from_book.changes import Change, changed_amount, read_changes
from scheduler.farm.from_book.days import Season
from scheduler.farm.from_book.figures import GRAMS, Figures
from scheduler.farm.from_book.substitutes import Substitutes
from scheduler.farm.units import MILLI, cents

TARGET_PRIORITY = 2
"""Targets have no rank of their own; they stand with orders of the usual rank."""


def build_products(book: Book, crops_known: Mapping[str, Crop], log: FaultLog) -> dict[str, Product]:
    """Return every product by name; rows of one name are crops that all fill it.

    A crop that has a fault of its own is not in ``crops_known``; nothing is said about its products.
    """
    packs: dict[str, str] = {}
    sources: dict[str, dict[str, int]] = {}
    crop_rows = {row.text("crop"): row for row in book.rows("crops")}
    for row in book.rows("products"):
        name, crop = row.text("product"), row.text("crop")
        crops = sources.setdefault(name, {})
        if crop in crops:
            log.add(
                row.cell("crop"),
                f"'{crop}' again for '{name}'",
                "each crop of a product once",
                "double-source",
            )
        if row.is_given("pack") and packs.setdefault(name, row.text("pack")) != row.text("pack"):
            expected = f"'{packs[name]}', as in its first row"
            log.add(row.cell("pack"), f"'{row.text('pack')}' for '{name}'", expected, "two-packs")
        figures = Figures(crop_rows[crop], log)
        crops[crop] = _heads_per_unit(row, figures, crops_known.get(crop), book, log)
    return {
        name: Product(name=name, pack=packs.get(name, "head"), sources=crops)
        for name, crops in sources.items()
    }


def _heads_per_unit(row: Row, figures: Figures, crop: Crop | None, book: Book, log: FaultLog) -> int:
    """Return thousandths of a plant, or of a gram for a crop sold by mass, in one unit, rounded up."""
    by_mass = crop is not None and crop.is_sold_by_mass
    given = row.number_or_none("mass_per_unit")
    if by_mass and given is not None:
        if row.is_given("plants_per_unit"):
            found = f"plants_per_unit for '{row.text('crop')}', which is sold by mass"
            log.add(row.cell("plants_per_unit"), found, "a blank cell: mass_per_unit says it", "two-ways")
        return ceil(given * GRAMS[book.settings.text("mass_unit")] * MILLI)
    if by_mass:
        found = f"no mass_per_unit, and '{row.text('crop')}' is sold by mass"
        other = ", or yield_per_tray 0 of the crop where whole trays are sold" if crop and crop.grams else ""
        if crop is not None and crop.picking is not None:
            other = ", or yield_in pieces of the crop where pieces are sold"
        expected = f"the mass of one unit{other}"
        log.add(row.cell("mass_per_unit"), found, expected, "missing-figure")
    elif crop is not None and given is not None:
        found = f"mass_per_unit for '{row.text('crop')}', of which plants are counted"
        log.add(row.cell("mass_per_unit"), found, "plants_per_unit", "not-by-mass")
    return _plants_per_unit(row, figures)


def _plants_per_unit(row: Row, figures: Figures) -> int:
    """Return thousandths of a plant in one unit, rounded up: the row's, else the card's, else one plant."""
    plants = row.number_or_none("plants_per_unit")
    if plants is None:
        plants = figures.of_card("plants_per_sale_unit")
    return ceil((plants if plants is not None else Fraction(1)) * MILLI)


def last_demand_day(book: Book, season: Season) -> int | None:
    """Return the last day any demand asks for; None when something goes on without end."""
    last = 0
    for table in ("orders", "targets"):
        for row in book.rows(table):
            end = row.date_or_none("to")
            if end is None:
                return None
            last = max(last, season.day(end))
    return max([last, *(season.day(row.date("date")) for row in book.rows("deliveries"))])


def build_demands(
    book: Book, season: Season, calendar: Calendar, products: Mapping[str, Product], log: FaultLog
) -> tuple[Demand, ...]:
    """Return every demand from day 0 up to the end of the span, by first day, then name.

    What lies before the first day has been delivered and is left out.
    """
    builder = _DemandBuilder(book, season, calendar, Substitutes(book, products, log))
    changes = read_changes(book, season, log)
    demands = [demand for row in book.rows("orders") for demand in builder.of_order(row, changes)]
    demands += builder.of_deliveries(book.rows("deliveries"))
    demands += builder.of_targets(book.rows("targets"))
    return tuple(_named_apart(sorted(demands, key=lambda demand: (demand.first, demand.name))))


def _named_apart(demands: list[Demand]) -> Iterator[Demand]:
    """Give equal names their product, and a number where that is equal too."""
    taken: set[str] = set()
    for demand in demands:
        name, number = demand.name, 1
        if name in taken:
            name = f"{demand.name} {demand.product}"
        while name in taken:
            number += 1
            name = f"{demand.name} {demand.product} {number}"
        taken.add(name)
        yield replace(demand, name=name)


@dataclass(frozen=True, slots=True)
class _Terms:
    """What all deliveries of one row share."""

    order: str
    customer: str
    product: str
    firm: bool
    price: int
    priority: int
    max_age: int


@dataclass(frozen=True, slots=True)
class _DemandBuilder:
    """Turns rows into demands of one calendar."""

    book: Book
    season: Season
    calendar: Calendar
    substitutes: Substitutes

    def of_order(self, row: Row, changes: Mapping[str, list[Change]]) -> Iterator[Demand]:
        """Expand a standing order by weekdays, weeks and changes."""
        terms = self._terms(row)
        for day in order_days(row, self.season, self.calendar):
            amount = changed_amount(row.whole("amount"), changes.get(terms.order, []), day)
            if amount > 0:
                yield self._delivery(terms, day, amount)

    def of_deliveries(self, rows: tuple[Row, ...]) -> Iterator[Demand]:
        """Take single deliveries; one without a name gets its row's number."""
        for row in rows:
            day = self.season.day(row.date("date"))
            if 0 <= day < self.calendar.span and row.whole("amount") > 0:
                yield self._delivery(self._terms(row), day, row.whole("amount"))

    def of_targets(self, rows: tuple[Row, ...]) -> Iterator[Demand]:
        """Take a target week by week, Monday to Sunday.

        A week that begins or ends inside the target's dates or the plan's days is cut there, and its amount
        goes down with the harvest days left in it, rounded down.
        """
        for row in rows:
            first, last = self.season.period(row, end=self.calendar.span - 1)
            first, last = max(0, first), min(last, self.calendar.span - 1)
            for monday in range(self.calendar.week_start(first), last + 1, 7):
                for start, end in self._parts(max(first, monday), min(last, monday + 6)):
                    amount = row.whole("amount") * self._harvest_days(start, end) // self._harvest_days(0, 6)
                    if amount > 0:
                        yield self._week(row, (start, end), amount)

    def _parts(self, start: int, end: int) -> list[tuple[int, int]]:
        """Cut a week where reporting ends."""
        days = self.calendar.days
        return [(start, days - 1), (days, end)] if start < days <= end else [(start, end)]

    def _harvest_days(self, start: int, end: int) -> int:
        harvest = self.calendar.work_days[Work.HARVEST]
        return sum(self.calendar.weekday(day) in harvest for day in range(start, end + 1))

    def _terms(self, row: Row) -> _Terms:
        return _Terms(
            order=order_name(row),
            customer=row.text("customer"),
            product=row.text("product"),
            firm=row.text("kind") == "firm",
            price=cents(row.number_of("price")),
            priority=row.whole("priority"),
            max_age=greatest_age(self.book, row),
        )

    def _delivery(self, terms: _Terms, day: int, amount: int) -> Demand:
        return Demand(
            name=f"{terms.order} {self._date(day)}",
            order=terms.order,
            customer=terms.customer,
            product=terms.product,
            first=day,
            last=day,
            amount=amount,
            firm=terms.firm,
            price=terms.price,
            priority=terms.priority,
            max_age=terms.max_age,
            reported=day < self.calendar.days,
            substitutes=self.substitutes.of(terms.product, (terms.customer, terms.order), terms.price),
        )

    def _week(self, row: Row, days: tuple[int, int], amount: int) -> Demand:
        name, product, price = order_name(row), row.text("product"), cents(row.number_of("price"))
        return Demand(
            name=f"{name} {self._date(days[0])}",
            order=name,
            customer="",
            product=product,
            first=days[0],
            last=days[1],
            amount=amount,
            firm=False,
            price=price,
            priority=TARGET_PRIORITY,
            max_age=0,
            reported=days[0] < self.calendar.days,
            is_target=True,
            substitutes=self.substitutes.of(product, ("", name), price),
        )

    def _date(self, day: int) -> date:
        return self.calendar.date_of(day)


def greatest_age(book: Book, row: Row) -> int:
    """Return the days after its cut on which what a row sells may go out, no more than the farm holds it."""
    hold, age = book.settings.whole("hold_days"), row.whole_or_none("greatest_age")
    return hold if age is None else min(age, hold)


def order_days(row: Row, season: Season, calendar: Calendar) -> Iterator[int]:
    """Yield the days of the span on which a standing order is delivered, before any changes.

    Weeks of an order that is not weekly are counted from the Monday on or before its first day, even when
    that lies before the plan.
    """
    begin = row.date_or_none("from")
    start = 0 if begin is None else season.day(begin)
    end = row.date_or_none("to")
    last = calendar.span - 1 if end is None else min(calendar.span - 1, season.day(end))
    monday = calendar.week_start(start)
    for day in range(max(0, start), last + 1):
        in_week = (day - monday) // 7 % row.whole("every_weeks") == 0
        if in_week and calendar.weekday(day) in row.weekdays("weekdays"):
            yield day
