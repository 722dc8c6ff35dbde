"""Books of invented farms: the same case always gives the same tables, scaled to its load."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random

from scheduler.book.book import typed_book
from scheduler.book.grids import Grid, grids_of
from scheduler.book.raw import RawBook, RawTable, raw_table
from scheduler.book.to_csv import csv_files
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm

from .box_rows import BOXED, box_tables, substitute_rows
from .crop_rows import LARGE_RAFT, SMALL_RAFT, Row, crop_rows
from .families import Case
from .load import load_of
from .order_rows import FIRST_DAY, Order, Turn, orders_of, turns_of

TRAYS_PER_TIER = 4
RAFT_WIDTH, RAFT_LENGTH = 0.6, 1.2
ROWS_PER_TROUGH = 10
BOARDS_PER_ROW = 8
BOARD_ROWS = 100
"""Rows of boards in one trough at most: a book takes no trough wider than 200 m."""

SPARE = 1.25
"""Units owned for each slot: enough that washing never stands in the way of a full farm (estimate)."""

FITTINGS = 8
"""Times the amounts are scaled: whole heads move the load a little."""

CLOSE = 0.003
"""Share of the load within which it is as wanted."""

COSTS = {
    "hour": 16, "tray": 0.60, "board": 0.20, "raft": 0.20, "raft_slot_day": 0.14, "board_slot_day": 0.10,
    "tray_slot_day": 0.08, "wasted_plant": 0.20, "lot": 0.25,
}  # fmt: skip
"""Prices of the order of those in the examples (estimate)."""


def book_of(case: Case) -> RawBook:
    """Return the book of a case, with amounts that make the load what the case says."""
    crops, orders = _wanted(case)
    tables = _farm_tables(case, crops)
    scale = 10.0 * len(crops)
    tried: list[tuple[float, RawBook]] = []
    for _ in range(FITTINGS):
        book = _raw(case, tables | _wanted_tables(case, crops, orders, scale))
        load = load_of(build_farm(typed_book(book)))
        tried.append((abs(load / case.load - 1), book))
        if tried[-1][0] < CLOSE:
            break
        scale *= case.load / load
    return min(tried, key=lambda pair: pair[0])[1]


def _wanted(case: Case) -> tuple[list[Row], list[tuple[Order, list[Turn]]]]:
    random = Random(f"{case.family.name} {case.family.crops} {case.orders} {case.seed}")
    crops = crop_rows(case.family.crops, random)
    return crops, [(order, turns_of(case, order, random)) for order in orders_of(case, crops, random)]


def book_at(case: Case, scale: float, customers: Sequence[str]) -> RawBook:
    """Return the book of a case with amounts of a known scale, in no time, and customers that take turns."""
    crops, orders = _wanted(case)
    named = [
        (replace(order, customer=customers[number % len(customers)]) if order.customer else order, turns)
        for number, (order, turns) in enumerate(orders)
    ]
    return _raw(case, _farm_tables(case, crops) | _order_tables(named, scale))


def farm_of(case: Case) -> Farm:
    """Return the farm of a case."""
    return build_farm(typed_book(book_of(case)))


def mark_of(book: RawBook) -> str:
    """Return a short mark of a book's tables: another mark is another farm."""
    files = csv_files(grids_of(book))
    return hashlib.sha256(b"".join(files[name] for name in sorted(files))).hexdigest()[:10]


def write_book(case: Case, folder: Path) -> Path:
    """Write the book of a case as CSV tables into a folder of its own and return that."""
    return write_tables(book_of(case), folder / case.name)


def write_tables(book: RawBook, into: Path) -> Path:
    """Write the tables of a book into a folder and return that."""
    into.mkdir(parents=True, exist_ok=True)
    grids: Mapping[str, Grid] = grids_of(book)
    for name, contents in csv_files(grids).items():
        (into / name).write_bytes(contents)
    return into


def _raw(case: Case, tables: Mapping[str, Sequence[Row]]) -> RawBook:
    return RawBook(
        source=case.name,
        tables={name: _table(name, rows) for name, rows in tables.items() if rows},
        unread=frozenset(),
        faults=(),
    )


def _table(name: str, rows: Sequence[Row]) -> RawTable:
    columns = list(dict.fromkeys(column for row in rows for column in row))
    records = [columns, *([_text(row.get(column)) for column in columns] for row in rows)]
    return raw_table(name, list(enumerate(records, start=1)))


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.2f}"
    return value.isoformat() if isinstance(value, date) else str(value)


def _farm_tables(case: Case, crops: list[Row]) -> dict[str, list[Row]]:
    family = case.family
    slots = sum(family.rows)
    tiers = -(-family.trays // TRAYS_PER_TIER)
    settings = {
        "farm": f"Invented farm {case.name}",
        "first_day": FIRST_DAY,
        "weeks": family.weeks,
        "sow_days": "Mon Thu",
        "transplant_days": "Mon Thu",
        "raft_days": "Mon Thu",
        "harvest_days": family.harvest_days,
        "currency": "EUR",
        "hold_days": 3,
    }
    units: list[Row] = [
        _equipment("128-cell tray", "tray", 128, tiers * TRAYS_PER_TIER) | {"rows": 16},
        _equipment("72-hole board", "board", 72, family.board_slots),
        _equipment(SMALL_RAFT, "raft", 18, slots),
        _equipment(LARGE_RAFT, "raft", 36, slots),
    ]
    return {
        "settings": [{"setting": name, "value": value} for name, value in settings.items()],
        "shelves": _shelves(tiers),
        "troughs": [*_raft_troughs(family.rows), *_board_troughs(family.board_slots)],
        "equipment": units,
        "crops": crops,
        "products": [{"product": row["crop"], "crop": row["crop"], "plants_per_unit": 1} for row in crops],
        "costs": [{"cost": name, "amount": float(amount)} for name, amount in COSTS.items()],
    }


def _equipment(name: str, item: str, holes: int, slots: int) -> Row:
    return {"name": name, "item": item, "holes": holes, "owned": int(slots * SPARE) + 2, "wash_days": 1}


def _shelves(tiers: int) -> list[Row]:
    most = 100
    return [
        {
            "shelf": f"Shelf {number + 1}",
            "tiers": min(most, tiers - number * most),
            "trays_per_tier": TRAYS_PER_TIER,
        }
        for number in range(-(-tiers // most))
    ]


def _trough(name: str, rows: int, slots: int, holds: str) -> Row:
    """Return a trough in which rafts lie across, so that a row is as wide as a raft is long."""
    return {
        "trough": name,
        "width": round(rows * RAFT_LENGTH, 2),
        "length": round(slots * RAFT_WIDTH, 2),
        "raft_width": RAFT_WIDTH,
        "raft_length": RAFT_LENGTH,
        "lie": "across",
        "holds": holds,
    }


def _raft_troughs(rows: Sequence[int]) -> list[Row]:
    """Return troughs of rows of one length, a few rows in each."""
    found: list[list[int]] = []
    for slots in rows:
        if found and found[-1][-1] == slots and len(found[-1]) < ROWS_PER_TROUGH:
            found[-1].append(slots)
        else:
            found.append([slots])
    return [
        _trough(f"Trough {number}", len(part), part[0], "rafts") for number, part in enumerate(found, start=1)
    ]


def _board_troughs(slots: int) -> list[Row]:
    """Return troughs: one row for a few boards, else rows of eight, rounded up, and not too many in one."""
    if slots < 2 * BOARDS_PER_ROW:
        return [_trough("Boards", 1, slots, "boards")]
    rows = -(-slots // BOARDS_PER_ROW)
    parts = [min(BOARD_ROWS, rows - begun) for begun in range(0, rows, BOARD_ROWS)]
    return [
        _trough("Boards" if number == 1 else f"More boards {number}", part, BOARDS_PER_ROW, "boards")
        for number, part in enumerate(parts, start=1)
    ]


def _wanted_tables(
    case: Case, crops: list[Row], orders: list[tuple[Order, list[Turn]]], scale: float
) -> dict[str, list[Row]]:
    """Return the tables of all that is wanted; ``scale`` is units of each crop a week."""
    if not case.family.boxes:
        return _order_tables(orders, scale)
    prices: dict[str, float] = {}
    for order, _ in orders:
        prices[order.product] = min(prices.get(order.product, order.price), order.price)
    return {
        **_order_tables(orders, scale * (1 - BOXED)),
        **box_tables(crops, scale, Random(f"boxes {case.family.crops} {case.seed}")),
        "substitutes": substitute_rows(crops, prices),
    }


def _order_tables(orders: Iterable[tuple[Order, list[Turn]]], scale: float) -> dict[str, list[Row]]:
    """Return the tables of orders; what rounding takes from one order the next one gets."""
    tables: dict[str, list[Row]] = {"orders": [], "order_changes": [], "targets": []}
    owed = 0.0
    for order, turns in orders:
        each = max(1, len(order.weekdays)) / order.every
        usual = order.weight * scale
        amount = max(1, round(usual + owed / each))
        owed += (usual - amount) * each
        if order.weekdays:
            tables["orders"].append(_order_row(order, amount))
        else:
            tables["targets"].append(
                {"target": order.name, "product": order.product, "amount": amount, "from": order.begins}
                | {"price": order.price}
            )
        for turn in turns:
            tables["order_changes"].append(_turn_row(order, turn, usual))
    return tables


def _order_row(order: Order, amount: int) -> Row:
    return {
        "order": order.name,
        "customer": order.customer,
        "product": order.product,
        "amount": amount,
        "weekdays": " ".join(order.weekdays),
        "every_weeks": order.every,
        "from": order.begins,
        "kind": order.kind,
        "price": order.price,
        "priority": order.priority,
    }


def _turn_row(order: Order, turn: Turn, usual: float) -> Row:
    row: Row = {"order": order.name, "from": turn.begins, "to": turn.ends, "change": turn.change}
    if turn.change == "amount":
        return row | {"amount": max(1, round(usual * turn.share))}
    return row | ({"amount": turn.share} if turn.change == "times" else {})
