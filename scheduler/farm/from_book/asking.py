"""Orders, single deliveries and targets: the tables that ask for products, and what their rows are called."""

from scheduler.book.rows import Row

NAMED = {"orders": "order", "deliveries": "delivery", "targets": "target"}
"""Tables that ask for products -> the column that names what asks."""


def order_name(row: Row) -> str:
    """Return the name of an order, single delivery or target; one without a name is numbered by its row."""
    column = NAMED[row.table]
    return row.text(column) or f"{column.capitalize()} {row.number - 1}"
