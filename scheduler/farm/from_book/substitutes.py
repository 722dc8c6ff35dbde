"""Which products may stand in for which, for whom, in what order and at what price."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.names import meant
from scheduler.book.rows import Row
from scheduler.farm.farm import Product, Substitute
from scheduler.farm.from_book.asking import NAMED
from scheduler.farm.units import cents


@dataclass(frozen=True, slots=True)
class _Rule:
    """One row: for whom it holds ("" for all), and what stands in; ``price`` None is that of the order."""

    customer: str
    order: str
    substitute: str
    rank: int
    price: int | None

    @property
    def closeness(self) -> int:
        """How close the row is to one order: a row for an order goes before one for a customer or all."""
        return 2 * bool(self.order) + bool(self.customer)


class Substitutes:
    """Looks up what may stand in for a product; made once for a book."""

    def __init__(self, book: Book, products: Mapping[str, Product], log: FaultLog) -> None:
        """Read the table ``substitutes`` and tell its faults."""
        self._rules: dict[str, list[_Rule]] = defaultdict(list)
        seen: dict[tuple[str, str, str, str], Row] = {}
        for row in book.rows("substitutes"):
            key = (row.text("product"), row.text("substitute"), row.text("customer"), row.text("order"))
            if key[0] == key[1]:
                expected = "another product than the one it stands in for"
                log.add(row.cell("substitute"), f"'{key[1]}' for itself", expected, "own-substitute")
            elif key in seen:
                first = seen[key].cell("substitute")
                expected = f"each substitute once for a product, customer and order ({first} has it)"
                log.add(row.cell("substitute"), f"'{key[1]}' for '{key[0]}' again", expected, "double-row")
            else:
                seen[key] = row
                self._rules[key[0]].append(_rule(row))
        _check_whom(book, seen.values(), log)
        self._products = products

    def of(self, product: str, whose: tuple[str, str], price: int) -> tuple[Substitute, ...]:
        """Return what may stand in for a product, first choice first.

        Args:
            product: the product asked for.
            whose: customer and name of the order, delivery or target.
            price: what one unit of the product asked for brings, hundredths of money.
        """
        customer, order = whose
        found: dict[str, _Rule] = {}
        for rule in sorted(self._rules.get(product, ()), key=lambda rule: rule.closeness):
            if rule.customer in ("", customer) and rule.order in ("", order):
                found[rule.substitute] = rule
        ranked = sorted(found.values(), key=lambda rule: rule.rank)
        return tuple(
            Substitute(
                product=rule.substitute,
                rank=rule.rank,
                price=price if rule.price is None else rule.price,
            )
            for rule in ranked
            if rule.substitute in self._products
        )


def _rule(row: Row) -> _Rule:
    price = row.number_or_none("price")
    return _Rule(
        customer=row.text("customer"),
        order=row.text("order"),
        substitute=row.text("substitute"),
        rank=row.whole("rank"),
        price=None if price is None else cents(price),
    )


def _check_whom(book: Book, rows: Iterable[Row], log: FaultLog) -> None:
    """Refuse rows for customers and orders that the book does not have."""
    asking = {table: book.rows(table) for table in NAMED}
    orders = sorted({row.text(NAMED[table]) for table, found in asking.items() for row in found} - {""})
    customers = sorted({row.text("customer") for table in ("orders", "deliveries") for row in asking[table]})
    for row in rows:
        for column, known, whose in (
            ("order", orders, "which is no order, delivery or target"),
            ("customer", customers, "who has no order or delivery"),
        ):
            name = row.text(column)
            if name and name not in known:
                log.add(row.cell(column), f"'{name}', {whose}", meant(name, known), "unknown-name")
