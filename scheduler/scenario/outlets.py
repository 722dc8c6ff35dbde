"""Changes to outlets: one more, one that takes more or pays less, one that ends."""

from collections.abc import Sequence
from fractions import Fraction

from scheduler.book.decimals import decimal_text
from scheduler.book.names import meant
from scheduler.farm.units import CENT
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import changed_from, ended, times
from scheduler.scenario.tables import Line, Tables, day_text, said


def add_outlets(tables: Tables, changes: Sequence[Change]) -> None:
    """Add all steps of outlets at once: those of one outlet and product stand with the best price first."""
    for change in sorted(changes, key=_best_first):
        cells = {name: change.text(name) for name in ("outlet", "product")}
        cells |= {name: decimal_text(change.number(name) or 0) for name in ("amount", "price")}
        age = change.number("greatest_age")
        cells |= {
            "weekdays": change.weekdays("weekdays"),
            "greatest_age": "" if age is None else decimal_text(age),
            "from": day_text(change.start),
            "to": day_text(change.day("to")),
        }
        tables.add("outlets", cells, change)


def _best_first(change: Change) -> tuple[object, ...]:
    return change.text("outlet"), change.text("product"), -(change.number("price") or 0), change.rank


def change_outlets(tables: Tables, changes: Sequence[Change]) -> None:
    """Change amounts and prices of all outlets at once; a step that comes to no unit is left out."""
    for change in changes:
        if not {"percent", "price_percent"} & change.given:
            expected = "percent, price_percent or both"
            tables.log.add(change.at("percent"), "neither percent nor price_percent", expected, "blank")
    for line in tables.lines("outlets"):
        held = [change for change in changes if _is_for(change, line)]
        changed_from(tables, line, held, _step)
    tables.drop([line for line in tables.lines("outlets") if line.cells["amount"] == "0"])


def _step(line: Line, held: Sequence[Change]) -> dict[str, tuple[str, str]]:
    """Return the amount and the price of a step, both rounded down, with the keys that ask for them."""
    found = {}
    if any("percent" in change.given for change in held):
        found["amount"] = (str(line.number_of("amount") * times(held) // 1), "percent")
    if any("price_percent" in change.given for change in held):
        price = line.number_of("price") * times(held, "price_percent") * CENT // 1
        found["price"] = (decimal_text(Fraction(price, CENT)), "price_percent")
    return found


def end_outlet(tables: Tables, change: Change) -> None:
    """Sell nothing at an outlet any more, or nothing of some products."""
    name = change.text("outlet")
    rows = tables.named("outlets", name)
    sold = [line.text("product") for line in rows]
    for product in change.words("product"):
        if said(product) not in sold:
            expected = f"{meant(product, sold)}, which '{name}' takes"
            tables.log.add(change.at("product"), f"'{product}'", expected, "unknown-name")
    for line in rows:
        if not change.words("product") or line.text("product") in {said(p) for p in change.words("product")}:
            ended(tables, line, change)


def _is_for(change: Change, line: Line) -> bool:
    return all(
        not change.words(name) or line.text(name) in {said(word) for word in change.words(name)}
        for name in ("outlet", "product")
    )
