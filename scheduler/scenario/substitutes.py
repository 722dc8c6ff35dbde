"""Changes to what may stand in for what."""

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.tables import Tables


def add_substitute(tables: Tables, change: Change) -> None:
    """Let a product stand in for another."""
    cells = {name: change.text(name) for name in ("product", "substitute", "customer", "order")}
    numbers = {name: change.number(name) for name in ("rank", "price")}
    cells |= {name: decimal_text(number) for name, number in numbers.items() if number is not None}
    tables.add("substitutes", cells, change)


def drop_substitute(tables: Tables, change: Change) -> None:
    """Let a product, or all, stand in for another no more."""
    asked = {name: change.text(name) for name in ("product", "substitute", "customer")}
    found = [
        line
        for line in tables.lines("substitutes")
        if all(not text or line.text(name) == text for name, text in asked.items())
    ]
    if not found:
        rows = [line.text("substitute") for line in tables.named("substitutes", asked["product"])]
        key = "substitute" if asked["substitute"] and rows else "product"
        found_text = f"'{asked[key]}', for which no such row is in substitutes"
        expected = "a row with these names: " + ", ".join(
            f"'{line.text('substitute')}' for '{line.text('product')}'"
            for line in tables.lines("substitutes")
        )
        tables.log.add(change.at(key), found_text, expected.rstrip(": ") or "a row", "unknown-name")
    tables.drop(found)
